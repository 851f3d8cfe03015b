"""What a wrong value would mean on this network: the consequence that cannot be.

Each check rests on something the learner already knows, so that saying it reveals nothing else.
"""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.quantities import Quantity
from tutor.teaching.walk import Question, Walk


class Misfit(NamedTuple):
    """``kind`` of contradiction; ``limit`` the value it breaks, ``would`` what it would entail,
    ``name`` the capacitor that the limit comes from.
    """

    kind: Literal["chain bound", "parallel bound", "above supply", "above total", "would hold",
                  "would be across", "above moved", "none"]
    limit: Value | None = None
    would: Value | None = None
    name: str = ""


NONE: Final = Misfit("none")


def misfit(walk: Walk, question: Question, value: Value) -> Misfit:
    """The first check that this value fails; kind ``none`` where no simple check speaks."""
    quantity = question.quantity
    if quantity is None or in_letters(value) or any(map(in_letters, walk.truth.values())):
        return NONE
    if quantity.symbol == "C":
        return _against_bounds(walk, question, value)
    if question.part is None:
        return NONE
    for check in (_against_whole, _against_partner):
        found = check(walk, question, value)
        if found.kind != "none":
            return found
    return NONE


def _against_bounds(walk: Walk, question: Question, value: Value) -> Misfit:
    parts = question.step.parts if question.step else walk.problem.network.capacitors
    smallest, largest = min(parts, key=lambda c: c.value), max(parts, key=lambda c: c.value)
    kind = question.step.kind if question.step else None
    if kind == "series" and value >= smallest.value:
        return Misfit("chain bound", smallest.value, name=smallest.name)
    if kind == "parallel" and value <= largest.value:
        return Misfit("parallel bound", largest.value, name=largest.name)
    return NONE


def _against_whole(walk: Walk, question: Question, value: Value) -> Misfit:
    """More p.d. than the supply has, or more charge than it gave."""
    quantity = question.quantity
    assert quantity is not None
    across, given = walk.known.get(Quantity("V")), walk.known.get(Quantity("Q"))
    if quantity.of is None:
        return NONE
    if quantity.symbol == "V" and across is not None and value > across:
        return Misfit("above supply", across)
    if quantity.symbol == "Q" and given is not None and value > given:
        return Misfit("above total", given)
    return NONE


def _against_partner(walk: Walk, question: Question, value: Value) -> Misfit:
    """A p.d. and a charge of one capacitor must fit its capacitance: Q = C V."""
    quantity, part = question.quantity, question.part
    assert quantity is not None
    assert part is not None
    charge = walk.known.get(Quantity("Q", quantity.of))
    voltage = walk.known.get(Quantity("V", quantity.of))
    if quantity.symbol == "V" and charge is not None:
        return Misfit("would hold", charge, tidy(part.value * value), part.name)
    if quantity.symbol == "Q" and voltage is not None:
        return Misfit("would be across", voltage, tidy(value / part.value), part.name)
    if quantity.symbol == "E" and charge is not None and voltage is not None:
        moved = tidy(charge * voltage)
        if value >= moved:
            return Misfit("above moved", moved, name=part.name)
    return NONE
