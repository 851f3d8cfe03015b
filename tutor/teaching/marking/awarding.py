"""Marks for the statements of a script, by the scheme of the problem and a marker's settings."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from types import MappingProxyType
from typing import Any, Generic, NamedTuple

from tutor.teaching.marking.examining import Scheme
from tutor.teaching.marking.grading import Judgement, Topic
from tutor.teaching.marking.scheme import Offer


class Marks(NamedTuple):
    """Marks of one line, out of ``of``. ``implied`` are marks of earlier values that the learner
    did not write down and must have had.
    """

    method: int = 0
    accuracy: int = 0
    independent: int = 0
    implied: int = 0
    of: int = 0

    @property
    def total(self) -> int:
        """What was earned."""
        return self.method + self.accuracy + self.independent + self.implied


class Lost(NamedTuple):
    """Marks lost by a rule of marking rather than by a wrong value: where, and by which rule.

    ``reminded`` is the first line on which a unit is missing.
    """

    units: frozenset[int] = frozenset()
    figures: frozenset[int] = frozenset()
    contradicted: Mapping[tuple[int, Any], int] = MappingProxyType({})
    misread: frozenset[int] = frozenset()
    reminded: int | None = None


class Awarded(NamedTuple, Generic[Topic]):
    """The marks of each statement (line by line, as graded), what rules took away, and the items
    ``left`` for which nothing was written and that nothing written implies in full; ``implied`` are
    the marks of each item that other lines show to be due, ``led_on`` what later lines show to have
    a value that an earlier slip led to.
    """

    marks: tuple[tuple[Marks, ...], ...]
    lost: Lost
    left: tuple[Offer[Topic], ...]
    implied: Mapping[Topic, int] = MappingProxyType({})
    led_on: frozenset[Topic] = frozenset()


class Ground(NamedTuple, Generic[Topic]):
    """What marks are given on: the ``items`` of the scheme, and what is ``wanted`` in the end.

    ``needed`` is all that leads to a quantity, itself too, ``related`` all from which one of the
    relations gives it, on whatever way; ``implied`` are the items that may be credited though
    nothing was written for them, ``choices`` those of them that have no value. The accuracy mark of
    ``answers`` is for a value that stands there.
    """

    items: Sequence[Offer[Topic]]
    wanted: AbstractSet[Topic]
    needed: Callable[[Topic], AbstractSet[Topic]]
    implied: Sequence[Offer[Topic]]
    choices: AbstractSet[Topic] = frozenset()
    answers: AbstractSet[Topic] = frozenset()
    related: Callable[[Topic], AbstractSet[Topic]] = lambda _: frozenset()


class _Rules(NamedTuple):
    """``costs``: the unit of the statement in hand takes its accuracy mark."""

    lost: Lost
    scheme: Scheme
    costs: bool = False


class _Settled(NamedTuple):
    """What has been decided on one quantity: whether its marks were earned."""

    method: bool | None = None
    accuracy: bool | None = None


def award(
    ground: Ground[Topic], lines: Sequence[Sequence[Judgement[Topic]]], scheme: Scheme
) -> Awarded[Topic]:
    """Give out the marks."""
    scheme_of = {item.quantity: item for item in ground.items}
    rules = _Rules(_lost(ground, lines, scheme), scheme)
    settled: dict[Topic, _Settled] = {}
    marks: list[list[Marks]] = []
    for at, grades in enumerate(lines):
        row = []
        paid = False
        for each in grades:
            item = scheme_of.get(each.quantity)
            before = settled.get(each.quantity, _Settled())
            costs = bool(each.unit) and at in rules.lost.units
            costs = costs and not (paid and scheme.units == "once")
            paid = paid or costs
            given, settled[each.quantity] = _one(
                at, each, item, before, rules._replace(costs=costs)
            )
            row.append(given)
        marks.append(row)
    ground = ground if scheme.implied else ground._replace(implied=())
    implied, led_on = _add_implied(ground, lines, marks)
    written = {each.quantity for grades in lines for each in grades}
    left = tuple(
        item
        for item in ground.items
        if item.quantity not in written and implied.get(item.quantity, 0) < item.marks
    )
    rows = tuple(tuple(row) for row in marks)
    return Awarded(rows, rules.lost, left, implied, led_on)


def _one(
    at: int, each: Judgement[Topic], item: Offer[Topic] | None, before: _Settled, rules: _Rules
) -> tuple[Marks, _Settled]:
    lost, scheme, costs = rules
    if item is None or each.given or (each.relation and each.verdict == "wrong"):
        return Marks(), before
    accurate = each.accurate and each.verdict in ("right", "carried", "wrong")
    if each.verdict == "carried" and not scheme.carried:
        accurate = False
    if each.is_fraction and not scheme.fractions:
        accurate = False
    if costs or at in lost.figures or at in lost.misread:
        accurate = False
    replaced = lost.contradicted.get((at, each.quantity))
    if replaced is not None:
        accurate = False
    if replaced is not None and scheme.contradictions == "last":
        return Marks(), before
    if item.independent:
        if before.accuracy is not None:
            return Marks(), before
        earned = each.method and replaced is None and (accurate or not each.is_final)
        return Marks(independent=int(earned), of=1), _Settled(earned, earned)
    method, accuracy, of = 0, 0, 0
    knows = before.method
    if knows is None:
        knows = each.method and replaced is None
        method, of = int(knows), 1
    reached = before.accuracy
    if reached is None and (each.is_final or each.verdict == "wrong"):
        reached = knows and accurate
        accuracy, of = int(reached), of + 1
    return Marks(method, accuracy, 0, 0, of), _Settled(knows, reached)


def _lost(
    ground: Ground[Topic], lines: Sequence[Sequence[Judgement[Topic]]], scheme: Scheme
) -> Lost:
    """Which lines lose a mark by a rule: the first slip of unit, of figures, and contradictions."""
    items = {item.quantity: item for item in ground.items}
    units: list[int] = []
    figures: list[int] = []
    misread: list[int] = []
    without: list[int] = []
    copied_wrongly = False
    for at, grades in enumerate(lines):
        for each in grades:
            if each.given:
                copied_wrongly |= each.verdict == "wrong" and not each.is_certain
                continue
            if each.unit == "missing" and each.verdict != "wrong":
                without.append(at)
            item = items.get(each.quantity)
            if item is None or not each.accurate:
                continue
            due = each.unit == "wrong" or each.quantity in ground.wanted
            if each.unit and due and not _supplied_later(lines[at:], each.quantity):
                units.append(at)
            if each.note == "one figure":
                figures.append(at)
            if copied_wrongly and each.verdict == "carried" and item.accuracy:
                misread.append(at)
    kept = {"once": units[:1], "every time": units, "never": []}[scheme.units]
    return Lost(
        frozenset(kept),
        frozenset(figures[:1] if scheme.figures else ()),
        _contradicted(lines, scheme),
        frozenset(misread[:1]),
        min(without, default=None),
    )


def _supplied_later(lines: Sequence[Sequence[Judgement[Topic]]], quantity: Topic) -> bool:
    """Whether the value is given again with its unit."""
    return any(
        each.quantity == quantity and each.accurate and not each.unit
        for grades in lines
        for each in grades
    )


def _contradicted(
    lines: Sequence[Sequence[Judgement[Topic]]], scheme: Scheme
) -> dict[tuple[int, Any], int]:
    """Lines with a value of a quantity that another line gives differently, and that other line.

    Right and wrong together are wrong: neither counts, unless the last is to count. A wrong value
    used again, as in Q1 = Q = 82 µC, is the same answer, though it then follows from itself.
    """
    first: dict[Topic, tuple[int, Judgement[Topic]]] = {}
    found: dict[tuple[int, Any], int] = {}
    for at, grades in enumerate(lines):
        for each in grades:
            if not each.is_final or each.given:
                continue
            if each.quantity in first:
                before, other = first[each.quantity]
                is_repeated = other.value is not None and other.value == each.value
                if other.accurate != each.accurate and not is_repeated:
                    found[before, each.quantity] = at
                    if scheme.contradictions == "neither":
                        found[at, each.quantity] = before
            first[each.quantity] = (at, each)
    return found


def _add_implied(
    ground: Ground[Topic],
    lines: Sequence[Sequence[Judgement[Topic]]],
    marks: list[list[Marks]],
) -> tuple[dict[Topic, int], frozenset[Topic]]:
    """Credit what was never written to the first line that shows it, and the value of what was
    begun rightly and never worked out. Gives the marks of each, and what of it is carried on.
    """
    written = {each.quantity for grades in lines for each in grades}
    valued: set[Topic] = worked_out(lines)
    begun = written - valued
    left = {item.quantity: item for item in ground.implied if item.quantity not in written}
    left |= {
        item.quantity: item._replace(method=0)
        for item in ground.implied
        if item.quantity in begun and item.accuracy
    }
    credited: dict[Topic, int] = {}
    led_on: set[Topic] = set()
    for at, grades in enumerate(lines):
        for place, each in enumerate(grades):
            is_equation = each.relation and each.verdict == "right"
            if not left or each.given or not (each.in_numbers or each.used or is_equation):
                continue
            shown = _shown(ground, each) if each.in_numbers else frozenset()
            if is_equation:
                shown |= ground.needed(each.quantity) & ground.choices
            needed = shown | (ground.needed(each.quantity) & each.used)
            if each.verdict == "right" and not is_equation:
                needed |= ground.related(each.quantity) & each.used
            if each.value is None:  # an equation works no value out
                needed -= begun
            if not each.is_final:  # nor a sum that is not worked out its own
                needed -= {each.quantity} & begun
            withheld = ground.answers - begun - each.used
            gained = [_without_answer(left[q], withheld) for q in left if q in needed]
            for item in gained:
                whole = left.pop(item.quantity)
                if item != whole:
                    left[item.quantity] = whole._replace(method=0)
                credited[item.quantity] = credited.get(item.quantity, 0) + item.marks
            if each.verdict == "carried":
                led_on |= each.carrying.intersection(item.quantity for item in gained)
            more = sum(item.marks for item in gained)
            before = marks[at][place]
            marks[at][place] = before._replace(implied=before.implied + more, of=before.of + more)
    return credited, frozenset(led_on)


def _without_answer(item: Offer[Topic], withheld: AbstractSet[Topic]) -> Offer[Topic]:
    """The marks that are shown of what was not written: of a value that is wanted in the end its
    way alone, for an answer counts where it stands, if only as a number in a sum.
    """
    return item._replace(accuracy=0) if item.quantity in withheld else item


def worked_out(lines: Sequence[Sequence[Judgement[Topic]]]) -> set[Topic]:
    """What a value was written for, right or wrong, rather than a way to it alone."""
    return {
        each.quantity
        for grades in lines
        for each in grades
        if each.is_final or each.verdict == "wrong"
    }


def _shown(ground: Ground[Topic], each: Judgement[Topic]) -> AbstractSet[Topic]:
    """What a value shows to be known: all that it rests on where it is right. A carried value
    shows what carried the error to it; a right way with a slip after it all that its numbers rest
    on, in names what needs no number; a wrong value no way that led to it.
    """
    needed = ground.needed(each.quantity)
    if each.note == "one figure":
        return frozenset()
    if each.verdict == "right" or each.fault == "unit" or (each.method and each.begun):
        return needed
    if each.verdict == "carried":
        return needed & each.carrying
    plain = {item.quantity for item in ground.items if item.independent}
    return needed & plain if each.method and each.slip else frozenset()
