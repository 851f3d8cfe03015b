"""Where the rails of a plan stand on a page of characters, so that everything has room."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple, TypeAlias

from tutor.desk.pictures.ruled import Ruled, Rung

SOURCE = "\0source"


class Upright(NamedTuple):
    """A point of the plan: its rail reaches from one row to another, and its words stand where it
    begins. A bend of a wire has no words.
    """

    point: str
    column: float
    first: int
    last: int
    words: str


class Sign(NamedTuple):
    """What is drawn on a rung: words ``inside`` the plates, or in the place of a source, and words
    ``under`` them. ``plus`` is the point of the + plate. A wire has no sign.
    """

    inside: str
    under: tuple[str, ...] = ()
    plus: str | None = None
    is_source: bool = False


class Track(NamedTuple):
    """A row of the plan with a line from one rail to another; ``at`` is where its sign stands."""

    row: int
    left: str
    right: str
    at: float
    sign: Sign | None


class Plot(NamedTuple):
    """Everything of one piece of a network that is to be put on a page."""

    rails: tuple[Upright, ...]
    tracks: tuple[Track, ...]

    @property
    def rows(self) -> int:
        """How many rows there are, that of the supply included."""
        return 1 + max(track.row for track in self.tracks)

    def on_row(self, row: int) -> list[Upright]:
        """The rails that stand on a row or pass it, from left to right."""
        found = [rail for rail in self.rails if rail.first <= row <= rail.last]
        return sorted(found, key=lambda rail: rail.column)

    def tracks_on(self, row: int) -> list[Track]:
        """What joins rails on a row."""
        return [track for track in self.tracks if track.row == row]

    def room(self, track: Track) -> tuple[str, str]:
        """The rails on either side of the sign of a track."""
        rails = self.on_row(track.row)
        before = [rail.point for rail in rails if rail.column < track.at]
        after = [rail.point for rail in rails if rail.column > track.at]
        return before[-1], after[0]

    def crossed(self, track: Track) -> list[Upright]:
        """The rails that a track passes without being joined to them."""
        ends = {rail.point: rail.column for rail in self.rails}
        left, right = ends[track.left], ends[track.right]
        return [rail for rail in self.on_row(track.row) if left < rail.column < right]


Apart: TypeAlias = Callable[[int, Upright, Upright], int]


def plotted(
    plan: Ruled, signs: Mapping[str, Sign], words: Mapping[str, str], source: Sign | None
) -> Plot:
    """The plan with the signs of its capacitors and the words of its points; the supply has a row
    of its own below all others.
    """
    columns = {rail.point: rail.column for rail in plan.rails}
    rails = tuple(
        Upright(
            rail.point, rail.column, rail.first,
            plan.rows if source is not None and rail.point in plan.ends else rail.last,
            words.get(rail.point, ""),
        )
        for rail in plan.rails
    )
    tracks = [_track(rung, signs) for rung in plan.rungs]
    if source is not None:
        one, other = plan.ends
        middle = (columns[one] + columns[other]) / 2
        tracks.append(Track(plan.rows, one, other, middle, source))
    return Plot(rails, tuple(tracks))


def _track(rung: Rung, signs: Mapping[str, Sign]) -> Track:
    sign = signs[rung.bond.name] if rung.bond.kind == "capacitor" else None
    return Track(rung.row, rung.left, rung.right, rung.symbol, sign)


def places(plot: Plot, need: Apart, least: Mapping[str, int]) -> dict[str, int]:
    """Where each rail stands: so far apart as ``need`` says of neighbours on a row, in the middle
    of what is free, and none nearer to the edge than ``least``.
    """
    needs = dict(_needs(plot, need))
    order = [rail.point for rail in sorted(plot.rails, key=lambda rail: rail.column)]
    early = {point: least.get(point, 0) for point in order}
    for point in order:
        for (one, other), wide in needs.items():
            if other == point:
                early[point] = max(early[point], early[one] + wide)
    late = dict.fromkeys(order, max(early.values()))
    for point in reversed(order):
        for (one, other), wide in needs.items():
            if one == point:
                late[point] = min(late[point], late[other] - wide)
    return {point: (early[point] + late[point]) // 2 for point in order}


def _needs(plot: Plot, need: Apart) -> Iterator[tuple[tuple[str, str], int]]:
    found: dict[tuple[str, str], int] = {}
    for row in range(plot.rows):
        for one, other in pairwise(plot.on_row(row)):
            pair = (one.point, other.point)
            found[pair] = max(found.get(pair, 0), need(row, one, other))
    yield from found.items()


def widest(texts: Sequence[str]) -> int:
    """The length of the longest."""
    return max(map(len, texts), default=0)
