"""A network across the page: points as upright rails, capacitors as rungs between two of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from tutor.front.cells import HOP, UP, Cells
from tutor.front.rails import Plot, Sign, Track, Upright, places, widest


class _Lines(NamedTuple):
    """The line of the page for a row of the plan: of the words above it, and its own."""

    above: int
    own: int


def across(plot: Plot) -> list[str]:
    """The lines of one piece."""
    columns = places(plot, lambda *pair: _need(plot, *pair), {
        rail.point: max(0, len(rail.words) - 1) // 2 for rail in plot.rails
    })
    lines, cells = _lines(plot), Cells()
    for rail in plot.rails:
        _rail(cells, rail, columns[rail.point], lines)
    for track in plot.tracks:
        _track(cells, plot, track, columns, lines[track.row].own)
    return cells.rows()


def body(sign: Sign, left: str) -> str:
    """A capacitor in line, or the supply with its + on the left."""
    if sign.is_source:
        return f"(+ {sign.inside} −)"
    if sign.plus is None:
        return f"╢{sign.inside}╟"
    one, other = "+−" if sign.plus == left else "−+"
    return f"╢{one} {sign.inside} {other}╟"


def _need(plot: Plot, row: int, one: Upright, other: Upright) -> int:
    """Columns from one rail to the next on a row."""
    found = 2
    for track in plot.tracks_on(row):
        if track.sign is None and (track.left, track.right) == (one.point, other.point):
            found = max(found, 4)
        elif track.sign is not None and plot.room(track) == (one.point, other.point):
            wide = max(len(body(track.sign, track.left)), widest(track.sign.under))
            found = max(found, wide + 3)
    right = len(one.words) // 2 if one.first == row else 0
    left = max(0, len(other.words) - 1) // 2 if other.first == row else 0
    return max(found, right + left + 3)  # two blanks part the words of two points


def _lines(plot: Plot) -> list[_Lines]:
    """Where each row stands: with a free line above it where plates would touch, and with one for
    the words of points, clear of what stands over them.
    """
    found = []
    at, is_free = 0, True
    for row in range(plot.rows):
        named = any(rail.first == row and rail.words for rail in plot.rails)
        at += named + (not is_free or (named and row > 0))
        found.append(_Lines(at - 1, at))
        under = max((len(t.sign.under) for t in plot.tracks_on(row) if t.sign), default=0)
        at += 1 + under
        is_free = under > 0
    return found


def _rail(cells: Cells, rail: Upright, column: int, lines: list[_Lines]) -> None:
    top = lines[rail.first]
    cells.upright(column, top.own, lines[rail.last].own)
    if rail.words:
        cells.stub(top.own, column, UP)
        cells.put(top.above, column - (len(rail.words) - 1) // 2, rail.words)


def _track(
    cells: Cells, plot: Plot, track: Track, columns: Mapping[str, int], line: int
) -> None:
    cells.level(line, columns[track.left], columns[track.right])
    for rail in plot.crossed(track):
        cells.put(line, columns[rail.point], HOP)
    if track.sign is None:
        return
    left, right = (columns[point] for point in plot.room(track))
    drawn = body(track.sign, track.left)
    for at, text in enumerate((drawn, *track.sign.under)):
        cells.put(line + at, left + 1 + (right - left - 1 - len(text)) // 2, text)
