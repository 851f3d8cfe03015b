"""The points of a text: where each line joins, and whether the ends make sense.

Which points a wire makes one, and whether a line of capacitors leads from end to end, is all
that is looked at here; what that does to charges is no matter of the grammar.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import count, islice
from typing import NamedTuple

from grammar.preparing import Source
from grammar.records import Chain, Element, Join, Letter, Part, Wire
from grammar.refusals import nearest
from grammar.walking import Node, children, start_of

_INNER_LETTERS = "PRSTXYZMNKHLDG"


class Ends(NamedTuple):
    """The two points of the supply as written, each with its offset."""

    names: tuple[str, str]
    offsets: tuple[int, int]


def two_points(source: Source, node: Node) -> Ends:
    """The two points that a node names, in the order of the text.

    Errors: ``Refusal`` for a number that is no whole number, and for one point named twice.
    """
    first, second = children(node, "point")
    names = (_point(source, first), _point(source, second))
    if names[0] == names[1]:
        raise source.refusal(
            start_of(second), f"Both points are {names[0]}.", "Name two different points."
        )
    return Ends(names, (start_of(first), start_of(second)))


def _point(source: Source, node: Node) -> str:
    name = str(node.children[0])
    if re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*'*|[0-9]{1,6}", name):
        return name
    raise source.refusal(
        start_of(node),
        "This is not the name of a point.",
        "Call a point by a letter, a name or a whole number: A, P2 or 3.",
    )


def inner_points(nest: Part, ends: tuple[str, str]) -> frozenset[str]:
    """The names that the points inside a nest go by: P, R, S …, past any taken otherwise.

    Each joint of a chain is such a point.
    """
    joints, taken = 0, set(ends)
    pending: list[Part] = [nest]
    while pending:
        part = pending.pop()
        if isinstance(part, Element):
            taken.add(part.name)
            taken.update((part.worth.symbol,) if isinstance(part.worth, Letter) else ())
            continue
        joints += len(part.members) - 1 if isinstance(part, Chain) else 0
        pending.extend(part.members)
    free = (name for name in _inner_names() if name not in taken)
    return frozenset(islice(free, joints))


def _inner_names() -> Iterator[str]:
    """Letters that mean no quantity (C, E, Q, U, V, W) and look like no figure; without end."""
    yield from _INNER_LETTERS
    for number in count(2):
        yield from (f"{letter}{number}" for letter in _INNER_LETTERS)


def check_list(source: Source, joins: Sequence[Join], wires: Sequence[Wire], ends: Ends) -> None:
    """Whether the ends of a list of joins are points of it, apart, and joined by capacitors.

    Errors: ``Refusal`` at the end that is at fault.
    """
    lines: list[Join | Wire] = [*joins, *wires]
    known = {point for line in lines for point in (line.start, line.end)}
    for name, offset in zip(ends.names, ends.offsets, strict=True):
        if name not in known:
            meant = nearest(name, known)
            raise source.refusal(
                offset,
                f"Nothing is joined to the point {name}.",
                f"Did you mean {meant}?" if meant else "Name an end that a line of the list joins.",
            )
    first, second = ends.names
    if _joined(first, second, wires):
        raise source.refusal(
            ends.offsets[1],
            f"A wire makes {first} and {second} one point.",
            "Name two ends that no wire joins, or take the wire out.",
        )
    if not _joined(first, second, lines):
        raise source.refusal(
            ends.offsets[1],
            f"No line of capacitors leads from {first} to {second}.",
            "Join the two with another line, or name other ends.",
        )


def _joined(first: str, second: str, lines: Iterable[Join | Wire]) -> bool:
    """Whether the lines lead from one point to the other."""
    beside: dict[str, list[str]] = {}
    for line in lines:
        beside.setdefault(line.start, []).append(line.end)
        beside.setdefault(line.end, []).append(line.start)
    reached = {first}
    pending = [first]
    while pending:
        for point in beside.get(pending.pop(), ()):
            if point not in reached:
                reached.add(point)
                pending.append(point)
    return second in reached
