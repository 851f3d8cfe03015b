"""How long an answer in letters can grow, known before any of it is worked out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from math import prod
from typing import Final, NamedTuple

from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters

# A little more than a ladder of twelve letters needs; with more, no answer fits a page, and the
# next step takes minutes.
MOST_TERMS: Final = 400
_MOST_POINTS: Final = 100


class ValueBetween(NamedTuple):
    """A capacitance in farads, or in letters, between two points."""

    value: Value
    start: str
    end: str


def refuse_many_letters(joins: Sequence[ValueBetween], ends: tuple[str, str]) -> None:
    """Errors: ``Refusal`` for a network whose answer in letters could have too many terms."""
    if most_terms(joins, ends) > MOST_TERMS:
        raise Refusal(
            "With so many different letters, the answer in letters would fill pages.",
            "Give some of the capacitors numbers, or the same letter, as in C, 2C and C/2.",
        )


def most_terms(joins: Sequence[ValueBetween], ends: tuple[str, str]) -> int:
    """A bound on the number of terms above and below the line of the capacitance of the whole.

    Above it each term is the product of the capacitances of a spanning tree, below it of one of
    the network with its ends made one point (Kirchhoff, 1847): together the trees of the network
    with one more join between its ends. Nor are there more than products of the letters, each at
    most as often as it stands. Where there are many points, only these are counted.
    """
    often = Counter(
        letter
        for join in joins
        if in_letters(join.value)
        for letter in join.value.free_symbols
    )
    products = prod(1 + times for times in often.values())
    if products <= MOST_TERMS:
        return products
    both = [ends, *((join.start, join.end) for join in joins)]
    points = list(dict.fromkeys(point for pair in both for point in pair))
    if len(points) > _MOST_POINTS:
        return products
    return min(products, _spanning_trees(both, points))


def _spanning_trees(joins: Sequence[tuple[str, str]], points: Sequence[str]) -> int:
    """How many sets of joins connect all points with no way round.

    It is the determinant of the joins at all points but one, worked out without fractions
    (Bareiss, 1968). Parts that are joined to nothing else are counted each for itself.
    """
    place = {point: at for at, point in enumerate(points[1:])}
    rows = [[0] * len(place) for _ in place]
    for start, end in joins:
        one, other = place.get(start), place.get(end)
        if one == other:
            continue
        for here, there in ((one, other), (other, one)):
            if here is not None:
                rows[here][here] += 1
                if there is not None:
                    rows[here][there] -= 1
    before = 1
    for at, row in enumerate(rows):
        if row[at] == 0:  # the last point of a part joined to nothing else: a tree of its own
            row[at] = before
        for lower in rows[at + 1 :]:
            for column in range(len(rows) - 1, at - 1, -1):
                lower[column] = (lower[column] * row[at] - lower[at] * row[column]) // before
        before = row[at]
    return before
