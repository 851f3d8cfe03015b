"""A network down the page, for a narrow one: points as level lines, capacitors hung between two."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from tutor.front.cells import HOP, LEFT, Cells
from tutor.front.rails import Plot, Sign, Track, Upright, places, widest

PLATES = ("═╧═", "═╤═")


class _Lane(NamedTuple):
    """A row of the plan is a lane here: the columns where its line runs and where it ends."""

    axis: int
    end: int


def down(plot: Plot) -> list[str]:
    """The lines of one piece."""
    levels = places(plot, lambda *pair: _need(plot, *pair), {})
    lanes, cells = _lanes(plot), Cells()
    for rail in plot.rails:
        _rail(cells, rail, levels[rail.point], lanes)
    for track in plot.tracks:
        _track(cells, plot, track, levels, lanes[track.row].axis)
    return cells.rows()


def _texts(sign: Sign) -> tuple[str, ...]:
    """The lines beside a capacitor, or in the place of the supply."""
    if sign.is_source:
        return ("+", sign.inside, "−", *sign.under)
    return (sign.inside, *sign.under)


def _tall(sign: Sign) -> int:
    return max(len(PLATES), len(_texts(sign)))


def _need(plot: Plot, row: int, one: Upright, other: Upright) -> int:
    """Lines from one level to the next in a lane."""
    found = 2
    for track in plot.tracks_on(row):
        if track.sign is not None and plot.room(track) == (one.point, other.point):
            found = max(found, _tall(track.sign) + 1)
    return found


def _lanes(plot: Plot) -> list[_Lane]:
    found = []
    start = 0
    for row in range(plot.rows):
        named = widest([rail.words for rail in plot.rails if rail.first == row])
        signs = [track.sign for track in plot.tracks_on(row) if track.sign is not None]
        source = widest([t for sign in signs if sign.is_source for t in _texts(sign)])
        beside = widest([t for sign in signs if not sign.is_source for t in _texts(sign)])
        edge = 3 if any(sign.plus is not None for sign in signs) else 2
        before = max(edge, named + 3 if named else 0, source // 2)
        after = max(beside + 2 if beside else 0, source // 2)
        found.append(_Lane(start + before, start + before + after))
        start += before + after + 3
    return found


def _rail(cells: Cells, rail: Upright, level: int, lanes: list[_Lane]) -> None:
    first, last = lanes[rail.first].axis, lanes[rail.last].axis
    cells.level(level, first, last)
    if rail.words:
        cells.level(level, first - 1, first)
        cells.put(level, first - 2 - len(rail.words), rail.words)
    elif first == last:
        cells.stub(level, first, LEFT)


def _track(
    cells: Cells, plot: Plot, track: Track, levels: Mapping[str, int], axis: int
) -> None:
    cells.upright(axis, levels[track.left], levels[track.right])
    for rail in plot.crossed(track):
        cells.put(levels[rail.point], axis, HOP)
    if track.sign is None:
        return
    above, below = (levels[point] for point in plot.room(track))
    top = above + 1 + (below - above - 1 - _tall(track.sign)) // 2
    if track.sign.is_source:
        for at, text in enumerate(_texts(track.sign)):
            cells.put(top + at, axis - (len(text) - 1) // 2, text)
        return
    for at, text in enumerate(_texts(track.sign)):
        cells.put(top + at, axis + 3, text)
    for at, plate in enumerate(PLATES):
        cells.put(top + at, axis - 1, plate)
    if track.sign.plus is not None:
        signs = "+−" if track.sign.plus == track.left else "−+"
        for at, each in enumerate(signs):
            cells.put(top + at, axis - 3, each)
