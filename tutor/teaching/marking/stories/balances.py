"""Balances of charge as a learner writes them: equations in potentials that are not known yet.

An equation is taken apart by trying it: it is of the first degree where its two sides differ by
so much for nought, so much more for each potential, and by the sum of these for all together.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple, TypeAlias

from tutor.circuit.values import Value, in_letters
from tutor.teaching.marking.stories.following import Path, follow
from tutor.teaching.staged.story import Story

BALANCED: Final = ("potential", "balance")
CONSTANT: Final = -1
MOST_UNKNOWN: Final = 12
# The factors of potentials by the places of their questions, and what is left at CONSTANT.
Row: TypeAlias = Mapping[int, Fraction]
Difference: TypeAlias = Callable[[Mapping[int, Fraction]], Value | None]


class Balances(NamedTuple):
    """The balances of a story, by the place of the question for the potential.

    ``right`` are those that hold, ``written`` those of the learner, right or not.
    """

    right: Mapping[int, Row]
    written: Mapping[int, Row] = MappingProxyType({})

    def with_row(self, at: int, row: Row) -> Balances:
        """With one more equation of the learner's, or another one for the same point."""
        return self._replace(written={**self.written, at: row})

    def point_of(self, row: Row) -> int | None:
        """The point whose balance an equation is."""
        return next((at for at, right in self.right.items() if _is_multiple(row, right, at)), None)

    def slipped_at(self, row: Row) -> int | None:
        """The point in whose balance one neighbour without a given potential has the other sign,
        None for any other equation.
        """
        for at, right in self.right.items():
            for place in set(right) - {at, CONSTANT}:
                term = right[place]  # the capacitance between the two, less than nought
                slipped = {**right, at: right[at] + 2 * term, place: -term}
                if term and _is_proportional(row, slipped):
                    return at
        return None

    def solved(self) -> Mapping[int, Value]:
        """The potentials that the learner's equations lead to, with the right ones for the points
        without; nothing where the learner has written none.
        """
        if not self.written or len(self.right) > MOST_UNKNOWN:
            return {}
        rows = [self.written.get(at, row) for at, row in self.right.items()]
        return _solve(rows, list(self.right)) or {}


def right_balances(story: Story, paths: Sequence[tuple[Path, ...]]) -> Balances:
    """The balances of a story, read off the ways to its potentials."""
    places = [
        at
        for at, ask in enumerate(story.asks)
        if ask.key in BALANCED and paths[at] and isinstance(ask.right, Fraction)
    ]
    found: dict[int, Row] = {}
    for at in places:
        path = paths[at][0]
        linked = {link.at for link in path.links.values()} & set(places)

        def less_its_way(
            levels: Mapping[int, Fraction], at: int = at, path: Path = path
        ) -> Value | None:
            values = {
                key: link.value[0] if link.at is None else levels.get(link.at, link.value[0])
                for key, link in path.links.items()
            }
            value = follow(path, values)
            return None if value is None else levels[at] - value

        row = row_of(less_its_way, [at, *(p for p in linked if p is not None)])
        if row is not None:
            found[at] = row
    return Balances(found)


def row_of(difference: Difference, unknown: Collection[int]) -> Row | None:
    """The factors of an equation, None where it is not of the first degree in the unknown."""

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


def _is_multiple(row: Row, right: Row, at: int) -> bool:
    return row.get(at, Fraction(0)) != 0 and _is_proportional(row, right)


def _is_proportional(row: Row, other: Row) -> bool:
    nought = Fraction(0)
    place = next((place for place, factor in other.items() if factor), None)
    factor = nought if place is None else row.get(place, nought) / other[place]
    return factor != 0 and all(
        row.get(place, nought) == factor * other.get(place, nought) for place in {*row, *other}
    )


def _solve(rows: Sequence[Row], unknown: Sequence[int]) -> dict[int, Fraction] | None:
    """By elimination; None where the equations do not settle all. Rows may be any learner's, so
    nothing is known of their signs.
    """
    waiting = [dict(row) for row in rows]
    done: list[tuple[int, dict[int, Fraction]]] = []
    for place in unknown:
        pivot = next((row for row in waiting if row.get(place)), None)
        if pivot is None:
            return None
        waiting.remove(pivot)
        done.append((place, pivot))
        for row in waiting:
            factor = row.get(place, Fraction(0)) / pivot[place]
            for key, value in pivot.items():
                row[key] = row.get(key, Fraction(0)) - factor * value
    found: dict[int, Fraction] = {}
    for place, row in reversed(done):
        rest = sum((row.get(p, Fraction(0)) * v for p, v in found.items()), row[CONSTANT])
        found[place] = -rest / row[place]
    return found
