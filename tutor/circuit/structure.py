"""What the shape of a network decides, before any value is looked at.

Imagine the supply drawn as one more line between the ends. Then
- a capacitor takes part only if it lies on a ring with that line that crosses no point twice
  (it is in the same block of the graph); all others hold no charge;
- two capacitors must carry the same charge exactly if cutting both, and nothing else, parts the
  metal in two (a two-edge cut): the part cut off between them gains no charge overall.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from tutor.circuit.network import Capacitor, Network

Neighbours = Mapping[str, list[tuple[str, str]]]


def neighbours(capacitors: Iterable[Capacitor]) -> Neighbours:
    """For each point the (capacitor, other point) pairs there; bypassed ones are left out."""
    around: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for c in capacitors:
        if c.start != c.end:
            around[c.start].append((c.name, c.end))
            around[c.end].append((c.name, c.start))
    return around


class _Visit(NamedTuple):
    point: str
    came_by: str
    onward: Iterator[tuple[str, str]]


def live_names(network: Network) -> frozenset[str]:
    """The capacitors that share a block with the supply: the only ones that take charge.

    Tarjan's lowest-point search from the − end, the supply's own line being the way back to the
    + end. Whatever closes off at a cut point on the way holds no charge; what is left does.
    """
    plus, minus = network.ends
    around = neighbours(network.capacitors)
    order = {plus: 0, minus: 1}
    lowest = {minus: 0}
    pending: list[str] = []
    since: dict[str, int] = {minus: 0}
    path = [_Visit(minus, "", iter(around.get(minus, ())))]
    while path:
        here = path[-1]
        for name, other in here.onward:
            if name == here.came_by:
                continue
            if other not in order:
                order[other] = lowest[other] = len(order)
                since[other] = len(pending)
                pending.append(name)
                path.append(_Visit(other, name, iter(around[other])))
                break
            if order[other] < order[here.point]:
                pending.append(name)
                lowest[here.point] = min(lowest[here.point], order[other])
        else:
            path.pop()
            if path:
                above = path[-1].point
                lowest[above] = min(lowest[above], lowest[here.point])
                if lowest[here.point] >= order[above]:
                    del pending[since[here.point] :]
    return frozenset(pending)


def chain_classes(live: tuple[Capacitor, ...], ends: tuple[str, str]) -> list[list[str]]:
    """Sets of two and more live capacitors that must all carry the same charge.

    Each way round outside a search tree gets a bit of its own; a capacitor's label is the set of
    ways round that use it. Two capacitors form a two-edge cut exactly if their labels agree.
    """
    plus, minus = ends
    around = neighbours(live)
    parent: dict[str, tuple[str, str]] = {minus: ("", plus), plus: ("", "")}
    visited = [minus]
    depth = {plus: 0, minus: 1}
    label: dict[str, int] = {}
    crossing: dict[str, int] = defaultdict(int)
    path = [_Visit(minus, "", iter(around.get(minus, ())))]
    while path:
        here = path[-1]
        for name, other in here.onward:
            if name == here.came_by:
                continue
            if other not in depth:
                depth[other] = depth[here.point] + 1
                parent[other] = (name, here.point)
                visited.append(other)
                path.append(_Visit(other, name, iter(around[other])))
                break
            if name not in label and depth[other] < depth[here.point]:
                label[name] = 1 << len(label)
                crossing[here.point] ^= label[name]
                crossing[other] ^= label[name]
        else:
            path.pop()
    for point in reversed(visited):
        name, above = parent[point]
        label[name] = crossing[point]
        crossing[above] ^= crossing[point]
    classes: dict[int, list[str]] = defaultdict(list)
    for c in live:
        classes[label[c.name]].append(c.name)
    return [names for names in classes.values() if len(names) > 1]


class ChainLink(NamedTuple):
    """One member of a chain on the way along it: from the point ``near`` to the point ``far``."""

    capacitor: Capacitor
    near: str
    far: str

    @property
    def turned(self) -> bool:
        """Whether the walk runs from the capacitor's end to its start."""
        return self.near != self.capacitor.start


def line_up(
    live: tuple[Capacitor, ...], ends: tuple[str, str], members: Iterable[str]
) -> list[ChainLink]:
    """The members of one class in the order in which a walk from the + end meets them.

    Cutting all of them leaves pieces that form a ring with the cut capacitors; the walk starts
    at the piece with the + end and follows the ring to the − end or, where both ends are in one
    piece, once round, starting with the member named first.
    """
    cut = set(members)
    piece = pieces([c for c in live if c.name not in cut])
    at: dict[str, list[Capacitor]] = defaultdict(list)
    for c in live:
        if c.name in cut:
            at[piece.get(c.start, c.start)].append(c)
            at[piece.get(c.end, c.end)].append(c)
    links: list[ChainLink] = []
    here, left = piece.get(ends[0], ends[0]), set(cut)
    while left:
        c = next(c for c in at[here] if c.name in left)
        left.discard(c.name)
        near_end, far_end = c.start, c.end
        if piece.get(near_end, near_end) != here:
            near_end, far_end = far_end, near_end
        links.append(ChainLink(c, near_end, far_end))
        here = piece.get(far_end, far_end)
    return links


def pieces(capacitors: Iterable[Capacitor]) -> dict[str, str]:
    """Each point's piece, named after one of its points; points not mentioned stand alone."""
    around = neighbours(capacitors)
    piece: dict[str, str] = {}
    for first in around:
        if first in piece:
            continue
        piece[first] = first
        waiting = [first]
        while waiting:
            for _, other in around[waiting.pop()]:
                if other not in piece:
                    piece[other] = first
                    waiting.append(other)
    return piece
