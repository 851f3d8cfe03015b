"""Solids with a capacitor along every edge: the list of joins that a cube or a tetrahedron is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Final, NamedTuple

from grammar.ladder_sections import free_names
from grammar.records import Element, Join, Worth

_POINTS: Final = "PRSTUW"  # the corners that are no ends, in this order


class Solid(NamedTuple):
    """The joins of a solid from the first of its ``ends`` on."""

    joins: tuple[Join, ...]
    ends: tuple[str, str]


def solid_of(kind: str, worth: Worth, corners: str) -> Solid:
    """A ``cube`` or a ``tetrahedron`` with one value along every edge.

    ``corners`` says which two are the ends: ``opposite`` ones, those ``of_face``, or
    ``neighbours``; of a tetrahedron any two are neighbours.
    """
    count, steps = (8, (1, 2, 4)) if kind == "cube" else (4, (1, 2, 3))
    last = 1 if kind != "cube" else {"opposite": 7, "of_face": 3, "neighbours": 1}[corners]
    order = [*sorted(set(range(count)) - {last}, key=_depth), last]
    names = dict(zip(order, ("A", *_POINTS[: count - 2], "B"), strict=True))
    edges = [pair for pair in combinations(order, 2) if pair[0] ^ pair[1] in steps]
    return Solid(_joined(edges, names, worth), ("A", "B"))


def _depth(corner: int) -> tuple[int, int]:
    """How many edges a corner of a cube is from the first one, so that near ones come first."""
    return corner.bit_count(), corner


def _joined(
    edges: Sequence[tuple[int, int]], names: Mapping[int, str], worth: Worth
) -> tuple[Join, ...]:
    free = free_names((worth,))
    made = [sorted((names[one], names[other]), key=_towards_end) for one, other in edges]
    return tuple(
        Join(Element(next(free), worth), *points)
        for points in sorted(made, key=lambda each: list(map(_towards_end, each)))
    )


def _towards_end(name: str) -> int:
    return f"A{_POINTS}B".index(name)
