"""The plan of a picture on ruled paper: rails for points, rungs for what joins them.

Columns and rows are counted from the top left; a rail is upright, a rung level. No rung lies on
another, and none meets a rail at which it does not end except to cross it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Final, NamedTuple

from tutor.desk.pictures.bonds import HIDDEN, Bond, Component, pieces_in
from tutor.desk.pictures.clusters import (
    Abreast,
    InLine,
    OneLine,
    Strung,
    clusters_of,
    columns_of,
    rows_of,
)
from tutor.desk.pictures.skeleton import skeleton_of
from tutor.teaching.depicted import Depicted

TIGHT: Final = 1  # columns between neighbours at the least


class Rung(NamedTuple):
    """A capacitor or a wire from the rail ``left`` to the rail ``right`` on a row.

    ``symbol`` is the column of the middle of what is drawn on it, clear of every rail.
    """

    bond: Bond
    row: int
    left: str
    right: str
    span: tuple[float, float]
    symbol: float


class Rail(NamedTuple):
    """A point: its column, and the row of every rung that ends on it, in order."""

    point: str
    column: float
    rows: tuple[int, ...]

    @property
    def first(self) -> int:
        """Its topmost row."""
        return self.rows[0]

    @property
    def last(self) -> int:
        """Its lowest row, but for a supply."""
        return self.rows[-1]

    @property
    def is_hidden(self) -> bool:
        """Whether it is only a bend of a wire."""
        return self.point.startswith(HIDDEN)


class Ruled(NamedTuple):
    """The plan of one piece that hangs together."""

    rails: tuple[Rail, ...]
    rungs: tuple[Rung, ...]
    ends: tuple[str, str]
    is_supplied: bool
    columns: float
    rows: int


def ruled(drawn: Depicted) -> tuple[Ruled, ...]:
    """The plans of the pieces of a network, that with the ends first.

    Points stand in the order of their potentials once these are known, and before that in an order
    that tells nothing of them.
    """
    return tuple(_plan(piece, drawn.levels) for piece in pieces_in(drawn.network, drawn.wires))


def _plan(piece: Component, levels: Mapping[str, float]) -> Ruled:
    skeleton = skeleton_of(clusters_of(piece), piece.ends, levels)
    rungs: list[Rung] = []
    columns: dict[str, float] = dict(skeleton.columns)
    for block, row in skeleton.seats:
        span = (float(columns[block.start]), float(columns[block.end]))
        rungs += _spread(block.laid, (block.start, block.end), span, row, columns)
    rungs = [rung for rung in rungs if rung.bond.kind != "tie"]
    rails = tuple(_rails(rungs, columns))
    if skeleton.crosses:
        rungs = [rung._replace(symbol=_clear_of(rung, rails)) for rung in rungs]
    rows = 1 + max(rung.row for rung in rungs)
    return Ruled(rails, tuple(rungs), piece.ends, piece.is_supplied, max(columns.values()), rows)


def _spread(
    laid: Strung, points: tuple[str, str], span: tuple[float, float], row: int,
    columns: dict[str, float],
) -> Iterator[Rung]:
    """The rungs of a block within its span, from this row down; inner points get their columns."""
    left, right = span
    if isinstance(laid, OneLine):
        yield Rung(laid.bond, row, *points, span, (left + right) / 2)
    elif isinstance(laid, Abreast):
        for member in laid.members:
            yield from _spread(member, points, span, row, columns)
            row += rows_of(member)
    else:
        yield from _spread_in_line(laid, points, span, row, columns)


def _spread_in_line(
    laid: InLine, points: tuple[str, str], span: tuple[float, float], row: int,
    columns: dict[str, float],
) -> Iterator[Rung]:
    """Members share the room by how many lines follow one another in each."""
    stops = [points[0], *laid.between, points[1]]
    unit = (span[1] - span[0]) / columns_of(laid)
    here = span[0]
    for at, member in enumerate(laid.members):
        there = here + unit * columns_of(member)
        columns[stops[at + 1]] = there
        yield from _spread(member, (stops[at], stops[at + 1]), (here, there), row, columns)
        here = there


def _rails(rungs: list[Rung], columns: Mapping[str, float]) -> Iterator[Rail]:
    ending: dict[str, list[int]] = defaultdict(list)
    for rung in rungs:
        ending[rung.left].append(rung.row)
        ending[rung.right].append(rung.row)
    for point, rows in ending.items():
        yield Rail(point, columns[point], tuple(sorted(rows)))


def _clear_of(rung: Rung, rails: tuple[Rail, ...]) -> float:
    """The middle of the widest room between the rails that a rung crosses, near its own middle."""
    left, right = rung.span
    inside = sorted(
        rail.column for rail in rails
        if left < rail.column < right and rail.first < rung.row < rail.last
    )
    stops = [left, *inside, right]
    rooms = list(pairwise(stops))
    wide = max(there - here for here, there in rooms)
    middle = (left + right) / 2
    found = [(here + there) / 2 for here, there in rooms if there - here > wide - TIGHT / 2]
    return min(found, key=lambda at: abs(at - middle))
