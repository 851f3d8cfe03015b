"""Bonds gathered into blocks: what follows in line, and what lies beside one another.

What is left between the ends is one block for a network of chains and parallel sets, and a
skeleton of several for a bridge.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple, TypeAlias

from tutor.desk.pictures.bonds import Bond, Component


class InLine(NamedTuple):
    """Members one after the other; ``between`` are the points where they meet."""

    members: tuple[Strung, ...]
    between: tuple[str, ...]


class Abreast(NamedTuple):
    """Members between the same two points, from the top down."""

    members: tuple[Strung, ...]


class OneLine(NamedTuple):
    """A bond, ``turned`` where the block runs from its end to its start."""

    bond: Bond
    turned: bool


Strung: TypeAlias = OneLine | InLine | Abreast


class Cluster(NamedTuple):
    """What lies between two points of a skeleton, laid from ``start`` to ``end``."""

    start: str
    end: str
    laid: Strung
    rank: int

    @property
    def turned(self) -> Cluster:
        """The same from its end to its start."""
        return Cluster(self.end, self.start, reversed_of(self.laid), self.rank)

    def seen_from(self, start: str) -> Cluster:
        """The same, laid from this one of its two points."""
        return self if start == self.start else self.turned


def reversed_of(laid: Strung) -> Strung:
    """What a block looks like from its other end."""
    if isinstance(laid, OneLine):
        return laid._replace(turned=not laid.turned)
    if isinstance(laid, Abreast):
        return Abreast(tuple(map(reversed_of, laid.members)))
    return InLine(tuple(map(reversed_of, laid.members[::-1])), laid.between[::-1])


def columns_of(laid: Strung) -> int:
    """How many lines follow one another in it at most."""
    if isinstance(laid, OneLine):
        return 1
    found = [columns_of(member) for member in laid.members]
    return sum(found) if isinstance(laid, InLine) else max(found)


def rows_of(laid: Strung) -> int:
    """How many lines lie under one another in it at most."""
    if isinstance(laid, OneLine):
        return 1
    found = [rows_of(member) for member in laid.members]
    return max(found) if isinstance(laid, InLine) else sum(found)


def lines_in(laid: Strung) -> Iterator[OneLine]:
    """Every bond in it."""
    if isinstance(laid, OneLine):
        yield laid
    else:
        for member in laid.members:
            yield from lines_in(member)


def clusters_of(piece: Component) -> tuple[Cluster, ...]:
    """Blocks that cannot be gathered any further, in the order of the text."""
    blocks = [Cluster(b.start, b.end, OneLine(b, False), b.rank) for b in piece.bonds]
    while True:
        fewer = _in_line(_abreast(blocks), piece.ends)
        if len(fewer) == len(blocks):
            return tuple(sorted(fewer, key=lambda block: block.rank))
        blocks = fewer


def _abreast(blocks: list[Cluster]) -> list[Cluster]:
    """Those between the same two points as one, the first in the text at the top."""
    groups: dict[frozenset[str], list[Cluster]] = defaultdict(list)
    for block in blocks:
        groups[frozenset((block.start, block.end))].append(block)
    return [_one_abreast(group) for group in groups.values()]


def _one_abreast(group: list[Cluster]) -> Cluster:
    first, *others = sorted(group, key=lambda block: block.rank)
    if not others:
        return first
    members: list[Strung] = []
    for block in (first, *(other.seen_from(first.start) for other in others)):
        members.extend(block.laid.members if isinstance(block.laid, Abreast) else (block.laid,))
    members.sort(key=lambda laid: min(line.bond.rank for line in lines_in(laid)))
    return Cluster(first.start, first.end, Abreast(tuple(members)), first.rank)


def _in_line(blocks: list[Cluster], ends: tuple[str, str]) -> list[Cluster]:
    """One inner point at which two blocks meet and nothing else, taken into one block, and again
    as long as there is one.
    """
    at: dict[str, list[Cluster]] = defaultdict(list)
    for block in blocks:
        at[block.start].append(block)
        at[block.end].append(block)
    for point in list(at):
        if point in ends or len(at[point]) != 2:
            continue
        one, two = at.pop(point)
        if frozenset((one.start, one.end)) == frozenset((two.start, two.end)):
            at[point] = [one, two]  # a ring on one point: what lies abreast comes first
            continue
        joined = _one_in_line(point, one, two)
        for far, old in ((joined.start, one), (joined.end, two)):
            at[far] = [joined if block is old else block for block in at[far]]
    return list({id(block): block for group in at.values() for block in group}.values())


def _one_in_line(point: str, one: Cluster, two: Cluster) -> Cluster:
    before = one if one.end == point else one.turned
    after = two.seen_from(point)
    members: list[Strung] = []
    between: list[str] = []
    for block in (before, after):
        if isinstance(block.laid, InLine):
            members += block.laid.members
            between += [*block.laid.between, point]
        else:
            members.append(block.laid)
            between.append(point)
    between.pop()
    return Cluster(before.start, after.end, InLine(tuple(members), tuple(between)),
                 min(one.rank, two.rank))
