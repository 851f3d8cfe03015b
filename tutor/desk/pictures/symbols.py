"""The symbols of IEC 60617 for a capacitor and a source, as the drawing library has them.

That they follow IEC 60617 (capacitor: two equal plates; source: a long line for the + side) is
common practice, no source: the standard itself was not read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from math import isnan
from typing import Any, Final, NamedTuple, TypeAlias

UNIT: Final = 52.0  # pixels for one unit of the library
Polyline: TypeAlias = tuple[tuple[float, float], ...]


class LineArt(NamedTuple):
    """Lines about the middle of a level symbol, which is ``width`` wide between its leads."""

    lines: tuple[Polyline, ...]
    width: float
    height: float


@cache
def capacitor_symbol() -> LineArt:
    """Two equal plates."""
    return _line_art("Capacitor")


@cache
def source_symbol() -> LineArt:
    """A cell, its long + side on the left."""
    return _line_art("BatteryCell")


def _line_art(name: str) -> LineArt:
    from schemdraw import elements

    element: Any = getattr(elements, name)()
    lines = [line for segment in element.segments for line in _lines(segment.path)]
    across = [x for line in lines for x, _ in line]
    middle = (min(across) + max(across)) / 2
    scaled = tuple(
        tuple(((x - middle) * UNIT, y * UNIT) for x, y in line) for line in lines if len(line) > 1
    )
    height = max(y for line in scaled for _, y in line)
    return LineArt(scaled, (max(across) - min(across)) * UNIT, 2 * height)


def _lines(path: Iterable[tuple[float, float]]) -> Iterator[list[tuple[float, float]]]:
    """The path in pieces: the library parts them by a point that is no number."""
    line: list[tuple[float, float]] = []
    for x, y in path:
        if isnan(x):
            yield line
            line = []
        else:
            line.append((float(x), float(y)))
    yield line
