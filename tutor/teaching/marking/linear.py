"""Equations of the first degree as rows of factors: read off by trying, solved and combined."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Final, TypeAlias

from tutor.circuit.values import Value, in_letters

CONSTANT: Final = -1
# The factors of unknowns by their places, and what is left at CONSTANT.
Row: TypeAlias = Mapping[int, Fraction]
Difference: TypeAlias = Callable[[Mapping[int, Fraction]], Value | None]


def row_of(difference: Difference, unknown: Collection[int]) -> Row | None:
    """The factors of an equation, None where it is not of the first degree in the unknown.

    It is of the first degree where its two sides differ by so much for nought, so much more for
    each unknown, and by the sum of these for all together.
    """

    def at(levels: Mapping[int, Fraction]) -> Fraction | None:
        found = difference({**dict.fromkeys(unknown, Fraction(0)), **levels})
        return None if found is None or in_letters(found) else Fraction(found)

    rest = at({})
    if rest is None:
        return None
    row: dict[int, Fraction] = {CONSTANT: rest}
    for place in unknown:
        one = at({place: Fraction(1)})
        if one is None:
            return None
        row[place] = one - rest
    trial = {place: Fraction(7 * n + 2) for n, place in enumerate(unknown)}
    expected = rest + sum((row[p] * v for p, v in trial.items()), Fraction(0))
    return row if at(trial) == expected else None


def solution(row: Row, unknown: int, levels: Mapping[int, Value]) -> Fraction | None:
    """What an equation gives for one unknown, the others having these values."""
    factor = row.get(unknown, Fraction(0))
    if factor == 0:
        return None
    rest = row[CONSTANT]
    for place, number in row.items():
        if place not in (CONSTANT, unknown):
            value = levels[place]
            if in_letters(value):
                return None
            rest += number * Fraction(value)
    return -rest / factor


def is_proportional(row: Row, other: Row) -> bool:
    """Whether two rows are one equation."""
    nought = Fraction(0)
    place = next((place for place, factor in other.items() if factor), None)
    factor = nought if place is None else row.get(place, nought) / other[place]
    return factor != 0 and all(
        row.get(place, nought) == factor * other.get(place, nought) for place in {*row, *other}
    )


def solve(rows: Sequence[Row], unknown: Sequence[int]) -> dict[int, Fraction] | None:
    """What the unknowns are; None where the equations do not settle all. Rows may be any learner's,
    so nothing is known of their signs.
    """
    kept = {CONSTANT, *unknown}
    steps = independent({p: factor for p, factor in row.items() if p in kept} for row in rows)
    if len(steps) < len(unknown):
        return None
    found: dict[int, Fraction] = {}
    for place, row in reversed(steps):
        rest = sum((row.get(p, Fraction(0)) * v for p, v in found.items()), row[CONSTANT])
        found[place] = -rest / row[place]
    return found


def independent(rows: Iterable[Row]) -> list[tuple[int, Row]]:
    """Rows that say the same, each with an unknown that none after it has; one that contradicts
    those before it is left out.
    """
    found: list[tuple[int, Row]] = []
    for row in rows:
        left = less(row, found)
        place = next((p for p, factor in left.items() if factor and p != CONSTANT), None)
        if place is not None:
            found.append((place, left))
    return found


def less(row: Row, others: Sequence[tuple[int, Row]]) -> Row:
    """What is left of a row without what independent rows say of it."""
    left = dict(row)
    for place, other in others:
        factor = left.get(place, Fraction(0)) / other[place]
        for key, value in other.items() if factor else ():
            left[key] = left.get(key, Fraction(0)) - factor * value
    return left
