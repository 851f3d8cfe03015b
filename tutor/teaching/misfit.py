"""What a wrong value would mean on this network: the consequence that cannot be.

Each check rests on something the learner already knows, so that saying it reveals nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

from grammar.records import Dimension
from tutor.circuit.network import Capacitor
from tutor.circuit.steps import StepKind
from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.context import RuleContext, plain_power
from tutor.teaching.speech import Speech
from tutor.teaching.walk import Question, Walk


class Fitting(NamedTuple):
    """What a value must fit, as far as the learner knows it, in SI units; None for what is not
    known.

    ``name`` is the capacitor asked about, with its ``capacitance``, ``charge`` and ``voltage``;
    ``parts`` are those that one of this ``kind`` stands for, where a capacitance is asked; between
    the ends of the network there is ``supply``, and ``total`` was moved from one to the other.
    """

    dimension: Dimension
    name: str = ""
    kind: StepKind | None = None
    parts: tuple[Capacitor, ...] = ()
    capacitance: Value | None = None
    charge: Value | None = None
    voltage: Value | None = None
    supply: Value | None = None
    total: Value | None = None


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
    """The first check that this value fails in a walk; kind ``none`` where no simple check
    speaks.
    """
    quantity = question.quantity
    if quantity is None or any(map(in_letters, walk.truth.values())):
        return NONE
    return unfit(_known_in(walk, question, quantity), value)


def _known_in(walk: Walk, question: Question, quantity: Quantity) -> Fitting:
    if quantity.symbol == "C":
        parts = question.step.parts if question.step else walk.problem.network.capacitors
        return Fitting("capacitance", kind=question.step.kind if question.step else None,
                       parts=parts)
    if question.part is None or quantity.symbol == "W":
        return Fitting(quantity.dimension)
    part, known = question.part, walk.known
    is_whole = quantity.of is None
    return Fitting(
        quantity.dimension, part.name, capacitance=part.value,
        charge=known.get(Quantity("Q", quantity.of)),
        voltage=known.get(Quantity("V", quantity.of)),
        supply=None if is_whole else known.get(Quantity("V")),
        total=None if is_whole else known.get(Quantity("Q")),
    )


_COMBINED: Final[Mapping[str, StepKind]] = MappingProxyType(
    {"series": "series", "parallel": "parallel"}
)


def known_at(context: RuleContext, speech: Speech) -> Fitting | None:
    """What the value of a question of a problem in stages must fit; None where that is not one of
    a single relation.
    """
    if context.place in _COMBINED:
        scale = Fraction(10) ** plain_power(speech.powers, "capacitance")
        parts = tuple(
            Capacitor(name, number * scale, "", "")
            for name, number in zip(context.names, context.parts, strict=True)
        )
        return Fitting("capacitance", kind=_COMBINED[context.place], parts=parts)
    kinds: dict[str, Dimension] = {"charge": "charge", "voltage": "voltage", "energy": "energy"}
    asked = kinds.get(context.place)
    if asked is None or len(context.held) != 1:
        return None

    def known(number: Fraction | None, dimension: Dimension) -> Fraction | None:
        if number is None or dimension == asked:
            return None
        return number * Fraction(10) ** plain_power(speech.powers, dimension)

    held = context.one
    return Fitting(
        asked, context.of, capacitance=known(held.c, "capacitance"),
        charge=known(held.q, "charge"), voltage=known(held.v, "voltage"),
    )


def unfit(known: Fitting, value: Value) -> Misfit:
    """The first check that a value fails; kind ``none`` where it fails none."""
    if in_letters(value):
        return NONE
    for check in (_against_parts, _against_whole, _against_partner):
        found = check(known, value)
        if found.kind != "none":
            return found
    return NONE


def _against_parts(known: Fitting, value: Value) -> Misfit:
    if not known.parts or known.kind is None:
        return NONE
    smallest, largest = (pick(known.parts, key=lambda c: c.value) for pick in (min, max))
    if known.kind == "series" and value >= smallest.value:
        return Misfit("chain bound", smallest.value, name=smallest.name)
    if known.kind == "parallel" and value <= largest.value:
        return Misfit("parallel bound", largest.value, name=largest.name)
    return NONE


def _against_whole(known: Fitting, value: Value) -> Misfit:
    """More p.d. than the supply has, or more charge than it gave."""
    if known.dimension == "voltage" and known.supply is not None and value > known.supply:
        return Misfit("above supply", known.supply)
    if known.dimension == "charge" and known.total is not None and value > known.total:
        return Misfit("above total", known.total)
    return NONE


def _against_partner(known: Fitting, value: Value) -> Misfit:
    """A p.d. and a charge of one capacitor must fit its capacitance: Q = C V."""
    charge, voltage, own = known.charge, known.voltage, known.capacitance
    if known.dimension == "voltage" and charge is not None and own is not None:
        return Misfit("would hold", charge, tidy(own * value), known.name)
    if known.dimension == "charge" and voltage is not None and own is not None:
        return Misfit("would be across", voltage, tidy(value / own), known.name)
    if known.dimension == "energy" and charge is not None and voltage is not None:
        moved = tidy(charge * voltage)
        if value >= moved:
            return Misfit("above moved", moved, name=known.name)
    return NONE


def does_not_fit(found: Misfit, said: str, asked: Dimension, speech: Speech) -> str:
    """What cannot be about a value, as one consequence."""
    kinds: dict[str, Dimension] = {"would hold": "charge", "would be across": "voltage"}
    limit = "" if found.limit is None else speech.amount(found.limit, kinds.get(found.kind, asked))
    difference = speech.terms.difference
    if found.kind == "chain bound":
        return (
            f"{said} does not fit: {found.name} alone is {limit}, and in a chain it gets only "
            f"part of the {difference}, so the whole must be less than that."
        )
    if found.kind == "parallel bound":
        return (
            f"{said} does not fit: {found.name} alone is {limit}, and beside others it still "
            "takes all its own charge, so the whole must be more than that."
        )
    if found.kind == "above supply":
        return f"{said} does not fit: the ends have only {limit} between them."
    if found.kind == "above total":
        return f"{said} does not fit: only {limit} was moved in all, from one end to the other."
    if found.kind == "would hold":
        would = speech.amount(found.would, "charge")
        return f"At {said} {found.name} would hold {would}, but it holds {limit}."
    if found.kind == "would be across":
        would = speech.amount(found.would, "voltage")
        return (
            f"Holding {said}, {found.name} would have {would} across it, "
            f"but {limit} is across it."
        )
    if found.kind == "above moved":
        return (
            f"{said} does not fit: moving all the charge across the full {difference} would "
            f"take {limit}, and the {difference} was less than that for all but the last of it."
        )
    return f"{said} does not fit."
