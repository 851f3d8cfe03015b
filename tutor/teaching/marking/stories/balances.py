"""Balances of charge as a learner writes them: equations in potentials that are not known yet,
whose unknowns are told by the places of their questions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple

from tutor.circuit.values import Value
from tutor.teaching.marking.linear import CONSTANT, Row, is_proportional, row_of, solve
from tutor.teaching.marking.stories.following import Path, follow
from tutor.teaching.staged.story import Story

BALANCED: Final = ("potential", "balance")
MOST_UNKNOWN: Final = 12


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
                if term and is_proportional(row, slipped):
                    return at
        return None

    def solved(self) -> Mapping[int, Value]:
        """The potentials that the learner's equations lead to, with the right ones for the points
        without; nothing where the learner has written none.
        """
        if not self.written or len(self.right) > MOST_UNKNOWN:
            return {}
        rows = [self.written.get(at, row) for at, row in self.right.items()]
        return solve(rows, list(self.right)) or {}


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


def _is_multiple(row: Row, right: Row, at: int) -> bool:
    return row.get(at, Fraction(0)) != 0 and is_proportional(row, right)
