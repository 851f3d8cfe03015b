"""The tutor's own way through a network: innermost first, until one capacitor is left.

``reduce`` keeps one open picture of the network and a queue of places where something may be
combined, so that thousands of capacitors take a time that grows with their number.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from heapq import heapify, heappop, heappush
from typing import NamedTuple

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import (
    Choice,
    Step,
    after,
    carry_out,
    idle_pieces,
    neighbours_step,
    parallel_step,
)
from tutor.circuit.structure import Link, live_names


class Reduction(NamedTuple):
    """The steps, and the network that is left: one capacitor, none, or what series and
    parallel cannot reduce.
    """

    steps: tuple[Step, ...]
    left: Network

    @property
    def equivalent(self) -> Capacitor | None:
        """The one capacitor that stands for the whole, if it came to that."""
        return self.left.capacitors[0] if len(self.left.capacitors) == 1 else None


def reduce(network: Network, taken: Collection[str] = ()) -> Reduction:
    """Take off what holds no charge, then combine, always as far from the supply as can be.

    ``taken`` are names used earlier on the way.
    """
    live = live_names(network)
    steps: list[Step] = []
    for names in idle_pieces(network, live):
        steps.append(carry_out(network, Choice("removal", names)))
        network = after(network, steps[-1])
    bench = _Bench(network, taken)
    while step := bench.next_step():
        steps.append(step)
    return Reduction(tuple(steps), bench.network())


class _Bench:
    """A network being reduced: open to change, and never seen outside ``reduce``."""

    def __init__(self, network: Network, taken: Collection[str]) -> None:
        self.ends = network.ends
        self.present = {c.name: c for c in network.capacitors}
        self.used = set(taken) | set(self.present)
        self.at: dict[str, dict[str, None]] = defaultdict(dict)
        self.between: dict[frozenset[str], dict[str, None]] = defaultdict(dict)
        self.far = _distances(network)
        self.rank = {point: place for place, point in enumerate(network.points())}
        for c in network.capacitors:
            self._put(c)
        self.queue: list[tuple[int, int, int, tuple[str, ...]]] = []
        for c in network.capacitors:
            self._look_at(c)
        heapify(self.queue)

    def network(self) -> Network:
        return Network(tuple(self.present.values()), self.ends)

    def next_step(self) -> Step | None:
        while self.queue:
            *_, points = heappop(self.queue)
            if len(points) > 1:
                names = self.between[frozenset(points)]
                if len(names) > 1:
                    parts = tuple(self.present[name] for name in names)
                    return self._do(parallel_step(parts, self.used))
            elif self._is_link(points[0]):
                return self._do(neighbours_step(self._run_through(points[0]), self.used, ()))
        return None

    def _put(self, c: Capacitor) -> None:
        self.present[c.name] = c
        self.used.add(c.name)
        self.between[c.points][c.name] = None
        for point in (c.start, c.end):
            self.at[point][c.name] = None

    def _look_at(self, c: Capacitor) -> None:
        """Queue what may have become possible around this capacitor."""
        if len(self.between[c.points]) > 1:
            pair = tuple(sorted(c.points, key=self.rank.__getitem__))
            reach = max(self.far.get(p, 0) for p in pair)
            heappush(self.queue, (-reach, 0, self.rank[pair[-1]], pair))
        for point in (c.start, c.end):
            if self._is_link(point):
                heappush(self.queue, (-self.far.get(point, 0), 1, self.rank[point], (point,)))

    def _is_link(self, point: str) -> bool:
        if point in self.ends or len(self.at[point]) != 2:
            return False
        first, second = (self.present[name] for name in self.at[point])
        return first.points != second.points

    def _run_through(self, point: str) -> list[Link]:
        """The whole chain through an inner point, from the side nearer the + end."""
        halves = []
        for name in self.at[point]:
            half, here, c = [], point, self.present[name]
            while True:
                onward = c.end if c.start == here else c.start
                half.append(Link(c, here, onward))
                here = onward
                if here == point or not self._is_link(here):
                    break
                c = next(self.present[n] for n in self.at[here] if n != c.name)
            halves.append(half)
        back, forth = sorted(halves, key=lambda half: self.rank[half[-1].far])
        return [Link(k.capacitor, k.far, k.near) for k in reversed(back)] + forth

    def _do(self, step: Step) -> Step:
        for c in step.parts:
            del self.present[c.name]
            del self.between[c.points][c.name]
            for point in (c.start, c.end):
                del self.at[point][c.name]
        if step.makes:
            self._put(step.makes)
            self._look_at(step.makes)
        return step


def _distances(network: Network) -> dict[str, int]:
    """How many capacitors lie between each point and the nearer end, at the least."""
    around: dict[str, list[str]] = defaultdict(list)
    for c in network.capacitors:
        around[c.start].append(c.end)
        around[c.end].append(c.start)
    far = dict.fromkeys(network.ends, 0)
    ring = list(network.ends)
    while ring:
        onward = dict.fromkeys(q for p in ring for q in around[p] if q not in far)
        far.update({q: far[ring[0]] + 1 for q in onward})
        ring = list(onward)
    return far
