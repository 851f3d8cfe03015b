"""What a statement says by its numbers alone: whether they agree, what they add, which are used."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import log10
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Name, Num, Op, names_in, parts_of
from grammar.measures import PURE
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import without_closing_noughts
from tutor.teaching.marking.fitting import numbers_in
from tutor.teaching.marking.grading import Statement, Topic

USUAL_POWERS: Final = (0, -12, -9, -6, -3, 3)  # in which a plain number may be one that is given
ROUGHLY: Final = Fraction(1, 40)
TINY: Final = 1e-9  # what logarithms lose
FIGURES_AGREE: Final = 0.01  # of a power of ten: 2 %


def as_reciprocals(statement: Statement, names: tuple[str, ...]) -> Statement:
    """1/8 + 1/12 = 5/24, with no name in front and no unit behind, says what 1/C is."""
    first, last = statement.sides[0], statement.sides[-1]
    ones = [part for part in parts_of(first) if isinstance(part, Op) and part.sign == "/"]
    whole = not names and isinstance(first, Op) and first.sign == "+"
    plain = all(isinstance(p, (Num, Op)) for p in (*parts_of(first), *parts_of(last)))
    if not whole or not plain or statement.turned:
        return statement
    if not holds(statement) and not isinstance(last, Op) and not _is_nearer(first, last):
        return statement  # 1/4 + 1/4 = 2 may go on to C
    united = any(isinstance(p, Num) and p.unit is not None for p in parts_of(last))
    turned = all(isinstance(one.left, Num) and one.left.value == 1 for one in ones)
    terms = sum(isinstance(p, Op) and p.sign == "+" for p in parts_of(first)) + 1
    if united or not turned or len(ones) != terms:
        return statement
    return statement._replace(turned=True)


def _is_nearer(first: Expression, last: Expression) -> bool:
    """Whether plain numbers are nearer to each other than the second to one over the first."""
    one, other = (Fraction(evaluate(side, {}).value) for side in (first, last))
    return bool(one) and abs(other - one) < abs(other - 1 / one) and abs(other - one) < abs(one) / 4


def as_turned(statement: Statement, named: bool) -> Statement | None:
    """What a sum of plain numbers that holds may mean else: 0.2 + 0.05 = 0.25, said of 1/C."""
    first = statement.sides[0]
    is_sum = isinstance(first, Op) and first.sign in "+-"
    if statement.turned or not is_sum or not is_bare_sum(statement, named):
        return None
    return statement._replace(turned=True)


def used_in(
    statement: Statement, values: Mapping[Topic, Value], given: Iterable[Value], power: int,
    is_own: bool = True,
) -> frozenset[Topic]:
    """What has its value among the numbers that are worked on, and is no given number: the 24 and
    the 18 of 24 + 18 = 42. Plain numbers count in 10**``power``; in a sum only where ``is_own``,
    the values being of the kind of what it states.
    """
    given = set(given)
    numbers = {
        number.value * Fraction(10) ** (number.unit.power if number.unit else exponent)
        for side in statement.sides
        for number in _worked_on(side, is_own)
        for exponent in (power, 0)
        if number.unit is not None
        or not any(number.value * Fraction(10) ** each in given for each in USUAL_POWERS)
    }
    known = given | {Fraction(n) * Fraction(10) ** power for n in (1, 2)}
    return frozenset(
        about for about, value in values.items() if value in numbers and value not in known
    )


def _worked_on(side: Expression, is_own: bool) -> Iterable[Num]:
    parts = [part for part in parts_of(side) if not isinstance(part, Num)]
    is_sum = all(isinstance(part, Op) and part.sign in "+-" for part in parts)
    return () if not parts or (is_sum and not is_own) else numbers_in(side)


def is_sum_of_values(statement: Statement) -> bool:
    """Whether its first side adds numbers, with units or without."""
    first = statement.sides[0]
    parts = list(parts_of(first))
    sums = all(p.sign == "+" for p in parts if isinstance(p, Op))
    return isinstance(first, Op) and sums and all(isinstance(p, (Num, Op)) for p in parts)


def misadds(statement: Statement, given: Iterable[Value]) -> bool:
    """Whether given values are added up to another sum than theirs, though theirs has no more
    places than were typed: 2.2 + 4.7 is not 6.8, however near that is.
    """
    *before, last = statement.sides
    if not before or not isinstance(last, Num) or not last.half or statement.turned:
        return False
    if not is_sum_of_values(Statement((before[-1],))):
        return False
    numbers = list(numbers_in(before[-1]))
    given = set(given)
    if any(
        not any(n.value * Fraction(10) ** power in given for power in USUAL_POWERS) for n in numbers
    ):
        return False
    powers = [n.unit.power if n.unit and last.unit else 0 for n in numbers]
    own = last.unit.power if last.unit and numbers[0].unit else 0
    total = sum(
        (n.value * Fraction(10) ** (p - own) for n, p in zip(numbers, powers, strict=True)),
        Fraction(0),
    )
    place = 2 * last.half
    while last.value and (last.value / (10 * place)).denominator == 1:  # 322 may be put as 320
        place *= 10
    return total != last.value and (total / place).denominator == 1


def is_bare_sum(statement: Statement, named: bool) -> bool:
    """Whether plain numbers alone are rightly said to be equal, and not what they are."""
    numbers = [part for side in statement.sides for part in parts_of(side)]
    bare = all(not isinstance(p, Name) and getattr(p, "unit", None) is None for p in numbers)
    return not named and len(statement.sides) > 1 and bare and holds(statement)


def holds(statement: Statement) -> bool:
    """Whether sides of numbers alone are equal, within the places typed; True if names stand in
    them.
    """
    try:
        worths = [evaluate(side, {}) for side in statement.sides]
    except Refusal:
        return True
    first, last = worths[0], worths[-1]
    if first.dims != last.dims or first.bare != last.bare:
        return first.dims != PURE or _agree(first, last)
    typed = without_closing_noughts(last).half
    within = typed if last.one_number and typed else Fraction(0)
    return all(abs(w.value - first.value) <= within for w in worths)


def misreckons(statement: Statement) -> bool:
    """Whether plain numbers alone are said to be equal that differ by more than rounding."""
    if len(statement.sides) < 2 or names_in(*statement.sides) or holds(statement):
        return False
    worths = [evaluate(side, {}) for side in statement.sides]
    first, last = (Fraction(worth.value) for worth in (worths[0], worths[-1]))
    return all(w.bare for w in worths) and abs(first - last) > ROUGHLY * abs(first)


def _agree(number: Measure, amount: Measure) -> bool:
    """Whether an amount with a unit has the figures of a plain number, in whatever unit and as far
    as it was typed.
    """
    if in_letters(number.value) or in_letters(amount.value) or not number.value * amount.value:
        return True
    shift = log10(abs(Fraction(amount.value) / Fraction(number.value)))
    half = without_closing_noughts(amount).half if amount.figures > 1 else None
    room = -log10(1 - abs((half or Fraction(0)) / Fraction(amount.value)))
    return abs(shift - round(shift)) < max(FIGURES_AGREE, room + TINY)
