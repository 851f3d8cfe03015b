"""The marks that a problem offers: what is wanted and all that leads to it."""

from __future__ import annotations

from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from typing import Generic, NamedTuple, TypeAlias

from tutor.circuit.joining import JOININGS
from tutor.circuit.relations import Relation
from tutor.circuit.steps import Step
from tutor.teaching.marking.grading import Topic
from tutor.teaching.once import once
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import step_text
from tutor.teaching.speech import Speech
from tutor.teaching.walk import Walk, idle_question, targets
from tutor.teaching.ways_of_walk import canonical, planned, used_by

WaysOfWalk: TypeAlias = Mapping[Quantity, Relation]


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


@once
def scheme_lines(walk: Walk) -> tuple[SchemeLine, ...]:
    """The marks there are, in the order of working: what is wanted and all that leads to it.

    The way is that of the walk: the learner's steps as far as they went, then the tutor's.
    """
    wanted = {canonical(walk, q): None for q in targets(walk)}
    asked = set(wanted) if walk.problem.asked else set()
    known = {canonical(walk, q) for q in walk.known}
    needed, plan = needed_for(walk, wanted), planned(walk)
    lines = []
    for quantity in in_order(walk):
        if quantity not in needed or quantity in known or quantity not in walk.truth:
            continue
        if not _is_passed_on(plan, quantity):
            lines.append(SchemeLine(quantity, 1, 1, 0, quantity in asked))
        elif quantity in wanted:
            lines.append(SchemeLine(quantity, 0, 0, 1, quantity in asked))
    return tuple(lines)


@once
def in_order(walk: Walk) -> tuple[Quantity, ...]:
    """Every quantity in the order in which it is usually worked out."""
    every = (*planned(walk), Quantity("W"), *(canonical(walk, each) for each in walk.truth))
    return tuple(dict.fromkeys(every))


def needed_for(walk: Walk, wanted: Mapping[Quantity, None]) -> set[Quantity]:
    """These quantities and all that leads to them on the way of the walk."""
    plan = planned(walk)
    found: set[Quantity] = set()
    waiting = list(wanted)
    while waiting:
        quantity = canonical(walk, waiting.pop())
        if quantity not in found:
            found.add(quantity)
            waiting += _uses(walk, plan, quantity)
    return found


@once
def needs(walk: Walk, quantity: Quantity) -> AbstractSet[Quantity]:
    """What a quantity is worked out from directly; what is only passed on is looked through."""
    plan = planned(walk)
    found: set[Quantity] = set()
    waiting = _uses(walk, plan, quantity)
    while waiting:
        each = waiting.pop()
        if _is_passed_on(plan, each):
            waiting += _uses(walk, plan, each)
        else:
            found.add(each)
    return found


def _uses(walk: Walk, plan: WaysOfWalk, quantity: Quantity) -> list[Quantity]:
    """What a quantity is worked out from directly; the whole is found where anything is said of
    it, but for the p.d. or charge that is given.
    """
    if quantity in plan:
        return used_by(walk, plan[quantity])
    supply = walk.problem.supply
    is_given = supply is not None and quantity == Quantity(supply.holds)
    of_whole = quantity.of is None and quantity.point is None and quantity.symbol != "C"
    of_whole = of_whole and not is_given
    return [Quantity("Q" if quantity.symbol == "W" else "C")] if of_whole else []


def _is_passed_on(plan: WaysOfWalk, quantity: Quantity) -> bool:
    """Whether it is the charge of a part of a chain, the p.d. of a part of a parallel set, or
    something of a capacitor that holds no charge.
    """
    if quantity.of is None or quantity.symbol == "C":
        return False
    return quantity not in plan or plan[quantity].kind == "shared"


def scheme_text(walk: Walk, line: SchemeLine, speech: Speech) -> str:
    """One line of the printed scheme: the relation and the value, with their marks."""
    value = walk.truth[line.quantity]
    name = speech.name(line.quantity)
    result = f"{name} {speech.result(value, line.quantity.dimension)}"
    if line.independent:
        return f"B1 {result}, {_why_passed_on(walk, line.quantity)}"
    return f"M1 {_relation(walk, line.quantity, speech)}; A1 {result}"


def _why_passed_on(walk: Walk, quantity: Quantity) -> str:
    step = walk.part_of(quantity.of)
    if step is None:
        return "for it takes no part"
    return "the same all along the chain" if step.kind == "series" else "between the same points"


def _relation(walk: Walk, quantity: Quantity, speech: Speech) -> str:
    if quantity.symbol == "W":
        return speech.letters("W = Q V")
    relation = planned(walk)[quantity]
    if relation.step is not None and relation.step.makes is not None:
        whole = relation.step.makes._replace(name=speech.name(quantity))
        return step_text(relation.step._replace(makes=whole), speech).relation
    names = dict(zip(relation.uses, used_by(walk, relation), strict=True))
    text = relation.text(lambda fact: speech.name(names[fact])).replace(" / ", "/")
    return f"{speech.name(quantity)} = {text}"


# Which question of a walk asks for what a script states, by the key of that question


def key_on(begun: Walk, walk: Walk, quantity: Quantity) -> str:
    """The key (``evidence.key_of``) of the question that a walk asks for this; ``begun`` is the
    walk at its start, ``walk`` the way that the learner took. Empty for what is told without being
    asked, and where series and parallel stick, since the walk then goes by other questions.
    """
    if begun.whole is None:
        return ""
    counted = canonical(begun, _counted_for(begun, walk, quantity))
    if counted == Quantity("C"):
        return begun.whole.name if begun.made_by(begun.whole.name) else counted.name
    if counted.of is None or counted.symbol in ("C", "E"):
        return counted.name
    step = _user(begun, counted.of)
    if step is None:
        return counted.name
    if counted.of in {c.name for c in step.swept}:
        return ""
    if step.makes is None:
        symbol, _ = idle_question(step)
        return Quantity(symbol, step.parts[0].name).name
    shared = JOININGS[step.kind].shares
    return f"back {step.makes.name}" if counted.symbol == shared else counted.name


def _counted_for(begun: Walk, walk: Walk, quantity: Quantity) -> Quantity:
    """The quantity itself, or that of a capacitor on the tutor's way which takes it in."""
    name = quantity.of
    if name is None or begun.whole is None or Quantity("C", name) in begun.truth:
        return quantity
    within = _given_in(walk, name)
    taking_in = (
        s.makes.name for s in begun.plan if s.makes and within <= _given_in(begun, s.makes.name)
    )
    return Quantity(quantity.symbol, next(taking_in, begun.whole.name))


def _given_in(walk: Walk, name: str) -> frozenset[str]:
    """The capacitors of the text that a capacitor was made of."""
    found: set[str] = set()
    waiting = [name]
    while waiting:
        step = walk.made_by(each := waiting.pop())
        if step is None:
            found.add(each)
        else:
            waiting += (part.name for part in step.parts)
    return frozenset(found)


def _user(walk: Walk, name: str) -> Step | None:
    return next((s for s in walk.plan if name in {c.name for c in (*s.parts, *s.swept)}), None)
