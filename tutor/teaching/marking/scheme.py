"""The marks that a problem offers: what is wanted and all that leads to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Generic, NamedTuple, TypeAlias

from tutor.circuit.joining import JOININGS, PARTNER
from tutor.circuit.steps import Step
from tutor.teaching.marking.carrying import canonical
from tutor.teaching.marking.grading import Topic
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.reasons import step_text
from tutor.teaching.speech import Speech
from tutor.teaching.walk import Walk, targets


class Offer(NamedTuple, Generic[Topic]):
    """The marks for one quantity: method and accuracy, or one independent mark where a value
    is only passed on. ``asked``: the text itself asks for it.
    """

    quantity: Topic
    method: int
    accuracy: int
    independent: int
    asked: bool

    @property
    def marks(self) -> int:
        """How many there are."""
        return self.method + self.accuracy + self.independent


SchemeLine: TypeAlias = Offer[Quantity]


def scheme_lines(walk: Walk) -> tuple[SchemeLine, ...]:
    """The marks there are, in the order of working: what is wanted and all that leads to it.

    The way is that of the walk: the learner's steps as far as they went, then the tutor's.
    """
    wanted = {canonical(walk, q): None for q in targets(walk)}
    asked = set(wanted) if walk.problem.asked else set()
    known = {canonical(walk, q) for q in walk.known}
    needed = needed_for(walk, wanted)
    lines = []
    for quantity in in_order(walk):
        if quantity not in needed or quantity in known or quantity not in walk.truth:
            continue
        passed = is_passed_on(walk, quantity)
        if not passed:
            lines.append(SchemeLine(quantity, 1, 1, 0, quantity in asked))
        elif quantity in wanted:
            lines.append(SchemeLine(quantity, 0, 0, 1, quantity in asked))
    return tuple(lines)


def in_order(walk: Walk) -> tuple[Quantity, ...]:
    """Every quantity in the order in which it is usually worked out."""
    steps = [step for step in walk.plan if step.makes]
    found = [Quantity("C", step.makes.name) for step in steps if step.makes]
    symbols: tuple[Symbol, ...] = ("Q", "V")
    found += [Quantity("C"), *(Quantity(symbol) for symbol in symbols)]
    for step in reversed(steps):
        joining = JOININGS[step.kind]
        found += [Quantity(joining.adds, c.name) for c in step.parts]
        found += [Quantity(joining.shares, c.name) for c in step.parts]
    found += [Quantity("E", c.name) for c in walk.problem.network.capacitors]
    found += [Quantity("E"), Quantity("W"), *walk.truth]
    return tuple(dict.fromkeys(canonical(walk, quantity) for quantity in found))


def needed_for(walk: Walk, wanted: Mapping[Quantity, None]) -> set[Quantity]:
    """These quantities and all that leads to them on the way of the walk."""
    found: set[Quantity] = set()
    waiting = list(wanted)
    while waiting:
        quantity = canonical(walk, waiting.pop())
        if quantity not in found:
            found.add(quantity)
            waiting.extend(_needs(walk, quantity))
    return found


def needs(walk: Walk, quantity: Quantity) -> set[Quantity]:
    """What a quantity is worked out from directly; what is only passed on is looked through."""
    found: set[Quantity] = set()
    waiting = [*_needs(walk, quantity)]
    while waiting:
        each = canonical(walk, waiting.pop())
        if is_passed_on(walk, each):
            waiting.extend(_needs(walk, each))
        else:
            found.add(each)
    return found


def _needs(walk: Walk, quantity: Quantity) -> Iterator[Quantity]:
    """What a quantity is worked out from directly."""
    if quantity.symbol == "C":
        name = quantity.of or (walk.whole.name if walk.whole else None)
        step = next((s for s in walk.plan if s.makes and s.makes.name == name), None)
        yield from (Quantity("C", c.name) for c in (step.parts if step else ()))
        return
    if quantity.point is not None:
        return
    if quantity.of is None:
        yield Quantity("C")
        if quantity.symbol == "W":
            yield Quantity("Q")
        return
    step = _step_of(walk, quantity.of)
    if quantity.symbol == "E":
        yield Quantity("V", quantity.of)
    elif step is not None and step.makes is not None:
        passed = JOININGS[step.kind].shares
        if quantity.symbol == passed:
            yield Quantity(quantity.symbol, step.makes.name)
        else:
            yield Quantity(PARTNER[quantity.symbol], quantity.of)


def _step_of(walk: Walk, name: str | None) -> Step | None:
    return next((s for s in walk.plan if s.makes and name in {c.name for c in s.parts}), None)


def is_passed_on(walk: Walk, quantity: Quantity) -> bool:
    """Whether it is the charge of a part of a chain, the p.d. of a part of a parallel set, or
    something of a capacitor that holds no charge.
    """
    if quantity.of is None or quantity.symbol not in ("Q", "V", "E"):
        return False
    step = _step_of(walk, quantity.of)
    if step is None:
        return True
    return quantity.symbol == JOININGS[step.kind].shares


def scheme_text(walk: Walk, line: SchemeLine, speech: Speech) -> str:
    """One line of the printed scheme: the relation and the value, with their marks."""
    value = walk.truth[line.quantity]
    name = speech.name(line.quantity)
    result = f"{name} {speech.result(value, line.quantity.dimension)}"
    if line.independent:
        return f"B1 {result}, {_why_passed_on(walk, line.quantity)}"
    return f"M1 {_relation(walk, line.quantity, speech)}; A1 {result}"


def _why_passed_on(walk: Walk, quantity: Quantity) -> str:
    step = _step_of(walk, quantity.of)
    if step is None:
        return "for it takes no part"
    return "the same all along the chain" if step.kind == "series" else "between the same points"


def _relation(walk: Walk, quantity: Quantity, speech: Speech) -> str:
    if quantity.symbol == "C":
        name = quantity.of or (walk.whole.name if walk.whole else None)
        step = next(s for s in walk.plan if s.makes and s.makes.name == name)
        return step_text(step, speech).relation
    c = quantity.of or "C"
    q, v = (speech.name(Quantity(symbol, quantity.of)) for symbol in ("Q", "V"))
    if quantity.symbol == "W":
        return speech.letters("W = Q V")
    name = speech.name(quantity)
    if quantity.symbol == "E":
        return f"{name} = ½ {c} {v}²"
    return f"{q} = {c} × {v}" if quantity.symbol == "Q" else f"{v} = {q}/{c}"
