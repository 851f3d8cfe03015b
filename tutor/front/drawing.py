"""A sketch of a nest in text: across the page if that fits, else down the page.

    A ─╢C1╟─ P ─┬─╢C2╟─┬─ B
                │      │
                └─╢C3╟─┘

Plates are double lines with the name of the capacitor in the gap between them; a name without
plates is a point, and each point stands in the drawing once. Everything is laid out in box
characters first; the plain look puts ``- | +`` in their place.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from grammar.records import Capacitor, Chain, Part

MOST_CAPACITORS = 60
# With at least two members in every chain and every parallel part, no nest of that many
# capacitors has more parts, so this only turns away towers of groups with one member.
MOST_PARTS = 2 * MOST_CAPACITORS - 1

BOX = "─│┌┬┐├┼┤└┴┘╢╟═╧╤"
PLAIN = "-|+++++++++||---"

Points: TypeAlias = Mapping[str, tuple[str, str]]


class Look(NamedTuple):
    """How much room there is (``width`` in columns) and whether only ASCII may be printed."""

    width: int
    ascii: bool


class Stretch(NamedTuple):
    """Members from left to right, with the points ``between`` them: one fewer than members."""

    members: tuple[Laid, ...]
    between: tuple[str, ...]


class Branches(NamedTuple):
    """At least two members side by side, between the same two points."""

    members: tuple[Laid, ...]


# A nest turned so that it starts at the left; a single capacitor is its name.
Laid: TypeAlias = str | Stretch | Branches


class Column(NamedTuple):
    """Rows of one width; the line comes in above ``axis`` and leaves below it."""

    rows: tuple[str, ...]
    axis: int

    @property
    def width(self) -> int:
        """In columns of the page."""
        return len(self.rows[0])


def draw(nest: Part, points: Points, ends: tuple[str, str], look: Look) -> str | None:
    """Lines within ``look.width``, or None for a nest too large or too wide to draw.

    ``points`` has the two points of every capacitor, in either order; the members of a chain may
    come in any order too. The first of ``ends`` is drawn at the left or at the top.
    Raises ValueError if the points are not those of this nest, KeyError if some are missing.
    """
    if not _is_small(nest):
        return None
    laid, last = _turned(nest, ends[0], points)
    if last != ends[1]:
        raise ValueError(f"this nest runs from {ends[0]} to {last}, not to {ends[1]}")
    stops = [*ends, *_inner_points(laid)]
    if len(set(stops)) < len(stops):
        raise ValueError(f"a point comes at two places of this nest: {', '.join(stops)}")
    for rows in (_across_page(laid, ends), _down_page(laid, ends)):
        lines = [row.rstrip() for row in rows]
        if max(map(len, lines)) <= look.width:
            text = "\n".join(lines)
            return text.translate(str.maketrans(BOX, PLAIN)) if look.ascii else text
    return None


def _is_small(nest: Part) -> bool:
    """Whether the nest is within both limits; with an explicit stack, as it may be deep."""
    capacitors = parts = 0
    waiting: list[Part] = [nest]
    while waiting:
        part = waiting.pop()
        parts += 1
        if isinstance(part, Capacitor):
            capacitors += 1
        else:
            waiting.extend(part.members)
    return capacitors <= MOST_CAPACITORS and parts <= MOST_PARTS


# --- From a nest to members in drawing order ---------------------------------------------------


def _touches(part: Part, point: str, points: Points) -> bool:
    """Whether a capacitor of this part is joined to the point.

    For a member of a chain this means one of its ends, as what is inside it touches nothing else.
    """
    if isinstance(part, Capacitor):
        return point in points[part.name]
    return any(_touches(member, point, points) for member in part.members)


def _turned(part: Part, left: str, points: Points) -> tuple[Laid, str]:
    """The part as it runs from the point ``left``, and the point where it ends."""
    if isinstance(part, Capacitor):
        return part.name, _far_end(frozenset(points[part.name]), left, part.name)
    if isinstance(part, Chain):
        return _turned_chain(part, left, points)
    members: list[Laid] = []
    rights = set()
    for member in part.members:
        laid, right = _turned(member, left, points)
        members.extend(laid.members if isinstance(laid, Branches) else (laid,))
        rights.add(right)
    if len(rights) > 1:
        raise ValueError(f"parallel parts from {left} end at {' and '.join(sorted(rights))}")
    return (Branches(tuple(members)) if len(members) > 1 else members[0]), rights.pop()


def _turned_chain(chain: Chain, left: str, points: Points) -> tuple[Laid, str]:
    waiting = list(chain.members)
    members: list[Laid] = []
    stops = [left]
    while waiting:
        here = stops[-1]
        place = next((n for n, part in enumerate(waiting) if _touches(part, here, points)), 0)
        laid, right = _turned(waiting.pop(place), here, points)
        members.append(laid)
        stops.append(right)
    between = tuple(stops[1:-1])
    return (Stretch(tuple(members), between) if between else members[0]), stops[-1]


def _far_end(ends: frozenset[str], left: str, name: str) -> str:
    if left not in ends or len(ends) != 2:
        raise ValueError(f"{name} does not lead from {left} to another point")
    (right,) = ends - {left}
    return right


def _inner_points(laid: Laid) -> list[str]:
    if isinstance(laid, str):
        return []
    deeper = [point for member in laid.members for point in _inner_points(member)]
    return [*laid.between, *deeper] if isinstance(laid, Stretch) else deeper


# --- Across the page: the line runs along the top row of every part ----------------------------


def _across_page(laid: Laid, ends: tuple[str, str]) -> list[str]:
    return _end_to_end([[f"{ends[0]} ─"], _across(laid), [f"─ {ends[1]}"]])


def _across(laid: Laid) -> list[str]:
    if isinstance(laid, str):
        return [f"╢{laid}╟"]
    if isinstance(laid, Branches):
        return _one_below_another([_across(member) for member in laid.members])
    blocks = [_across(laid.members[0])]
    for point, member in zip(laid.between, laid.members[1:], strict=True):
        blocks += [[f"─ {point} ─"], _across(member)]
    return _end_to_end(blocks)


def _end_to_end(blocks: Sequence[list[str]]) -> list[str]:
    height = max(map(len, blocks))
    filled = [block + [" " * len(block[0])] * (height - len(block)) for block in blocks]
    return ["".join(pieces) for pieces in zip(*filled, strict=True)]


def _one_below_another(blocks: Sequence[list[str]]) -> list[str]:
    """Branches between two rails, with a free row between them so that no plates touch."""
    width = max(len(block[0]) for block in blocks)
    rows: list[str] = []
    for place, (first, *others) in enumerate(blocks):
        is_last = place == len(blocks) - 1
        left, right = "┬┬" if not rows else "└┘" if is_last else "├┤"
        rows.append(f"{left}─{first.center(width, '─')}─{right}")
        rail = " " if is_last else "│"
        below = others if is_last else [*others, " " * width]
        rows += [f"{rail} {row.center(width)} {rail}" for row in below]
    return rows


# --- Down the page: parts in a column on one axis, branches beside one another -----------------


def _down_page(laid: Laid, ends: tuple[str, str]) -> tuple[str, ...]:
    top, bottom = ends
    return _stacked([*_middled(top, "│"), _down(laid), *_middled("│", bottom)]).rows


def _down(laid: Laid) -> Column:
    if isinstance(laid, str):
        return _stacked(_middled("═╧═", laid, "═╤═"))
    if isinstance(laid, Branches):
        return _beside([_down(member) for member in laid.members])
    columns = [_down(laid.members[0])]
    for point, member in zip(laid.between, laid.members[1:], strict=True):
        columns += [*_middled("│", point, "│"), _down(member)]
    return _stacked(columns)


def _middled(*texts: str) -> list[Column]:
    return [Column((text,), len(text) // 2) for text in texts]


def _stacked(columns: Sequence[Column]) -> Column:
    axis = max(column.axis for column in columns)
    width = axis + max(column.width - column.axis for column in columns)
    rows = (
        (" " * (axis - column.axis) + row).ljust(width) for column in columns for row in column.rows
    )
    return Column(tuple(rows), axis)


def _beside(columns: Sequence[Column]) -> Column:
    """Branches hung between two rails; shorter ones get longer lines above and below."""
    height = max(len(column.rows) for column in columns) + 2
    hung = [_lengthened(column, height) for column in columns]
    rows = ["  ".join(pieces) for pieces in zip(*(column.rows for column in hung), strict=True)]
    axes: list[int] = []
    start = 0
    for column in hung:
        axes.append(start + column.axis)
        start += column.width + 2
    axis = _entry(axes)
    upper, lower = _rail(axes, axis, "┌┬┐┴┼"), _rail(axes, axis, "└┴┘┬┼")
    width = len(rows[0])
    return Column((upper.ljust(width), *rows, lower.ljust(width)), axis)


def _lengthened(column: Column, height: int) -> Column:
    spare = height - len(column.rows)
    line = _middled("│")
    return _stacked(line * (spare // 2) + [column] + line * (spare - spare // 2))


def _entry(axes: Sequence[int]) -> int:
    """Half-way along the rail, or at a branch close to there: two corners side by side blur."""
    middle = (axes[0] + axes[-1]) // 2
    near = [axis for axis in axes[1:-1] if abs(axis - middle) <= 2]
    return min(near, key=lambda axis: abs(axis - middle), default=middle)


def _rail(axes: Iterable[int], entry: int, corners: str) -> str:
    """A rail over or under branches; ``corners``: first, inner, last, entry, entry at a branch."""
    first, *inner, last = axes
    row = [" "] * first + ["─"] * (last - first + 1)
    for axis in inner:
        row[axis] = corners[1]
    row[first], row[last] = corners[0], corners[2]
    row[entry] = corners[4] if entry in inner else corners[3]
    return "".join(row)
