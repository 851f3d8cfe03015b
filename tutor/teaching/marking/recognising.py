"""What a statement about a quantity of a walk is judged by, and the wrong rules behind a number."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grammar.measures import times_ten
from tutor.circuit.values import Value, in_letters
from tutor.teaching.marking.carrying import Own, gauge_of
from tutor.teaching.marking.fitting import Fit
from tutor.teaching.marking.grading import Subject
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.context import route_of
from tutor.teaching.rules.diagnosis import Diagnosis, Typed, diagnose
from tutor.teaching.rules.skipped import diagnose_skipped
from tutor.teaching.ways_of_walk import canonical

MOST_STEPS_TRIED = 12  # in a longer script too many wrong numbers would seem to come from somewhere


def subject_of(own: Own, quantity: Quantity) -> Subject[Quantity]:
    """A quantity as the subject of a statement."""

    def recognise(side: Fit) -> tuple[tuple[str, ...], Diagnosis | None]:
        diagnosis = _diagnosed(own, quantity, side)
        return (diagnosis.names if diagnosis else ()), diagnosis

    return Subject(
        quantity,
        gauge_of(own, quantity),
        gauge_of(own._replace(led_to=()), quantity),
        lambda: _others(own, quantity),
        recognise,
        lambda shift: _of_shift(own, quantity, shift),
    )


def _others(own: Own, quantity: Quantity) -> Iterator[Fraction]:
    """The learner's values of other quantities, in the usual units."""
    powers = own.walk.problem.powers
    for q, value in own.values.items():
        if q.symbol in ("C", "Q", "V") and q != quantity and isinstance(value, Fraction):
            yield value / Fraction(10) ** powers[q.dimension]


def of_shift(shift: int) -> tuple[str, ...]:
    """The slip of a prefix that a missing power of ten shows."""
    return ("prefix-slip-of-a-thousand" if abs(shift) == 3 else "prefix-slip-of-a-million-or-more",)


def _of_shift(own: Own, quantity: Quantity, shift: int) -> tuple[str, ...]:
    thousand = abs(shift) == 3
    if quantity.symbol == "E" and thousand and own.walk.problem.powers["voltage"] in (-3, 3):
        return ("squares-the-number-not-the-prefix",)
    return of_shift(shift)


def _diagnosed(own: Own, quantity: Quantity, side: Fit) -> Diagnosis | None:
    """The wrong rules that give a side: on the true values, on the learner's, at a skipped step."""
    if side.number is None or quantity.point is not None:
        return None
    walk = own.walk
    route = route_of(walk)
    stated = own.stated.get(quantity)
    figures = side.figures
    if stated is not None and _are_reciprocal(own, quantity, stated, side):
        figures = max(figures, 2)  # the line before shows where even one figure comes from
    typed = Typed(side.number, side.half, figures)
    mine = {q: v for q, v in own.values.items() if in_letters(v) or v > 0}  # rules divide by them
    if walk.whole is not None:
        for whole in [q for q in mine if q.of is None and q.point is None]:
            mine[Quantity(whole.symbol, walk.whole.name)] = mine[whole]
    found = diagnose(route, quantity, typed, mine)
    if found.groups:
        return found
    if len(walk.plan) > MOST_STEPS_TRIED:
        return None
    return diagnose_skipped(
        route, quantity, typed, lambda earlier: canonical(walk, earlier) not in own.stated
    )


def _are_reciprocal(own: Own, quantity: Quantity, stated: Value, side: Fit) -> bool:
    """Whether a number is one over the number stated before for the same quantity."""
    number = times_ten(stated, -own.walk.problem.powers[quantity.dimension])
    return side.number is not None and number * side.number == 1
