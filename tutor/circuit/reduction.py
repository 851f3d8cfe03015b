"""The tutor's own way through a network: innermost first, until one capacitor is left.

``reduce`` keeps one open picture of the network and a queue of places where something may be
combined, so that thousands of capacitors take a time that grows with their number. That finds
joins, shape only. A join that only begins what a later one of the same kind ends, as where a
chain is still waiting for one of its members, is then done together with it, in one step.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from fractions import Fraction
from heapq import heapify, heappop, heappush
from typing import Final, NamedTuple

from tutor.circuit.joining import Connection
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import (
    BEYOND,
    Choice,
    Step,
    after,
    carry_out,
    choices,
    idle_pieces,
    neighbours_step,
    parallel_step,
)
from tutor.circuit.structure import ChainLink, live_names

UNKNOWN: Final = Fraction(0)


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

    @property
    def is_by_rules(self) -> bool:
        """Whether every step combines in series or in parallel, or leaves out what is idle."""
        return not any(step.kind in BEYOND for step in self.steps)


def reduce(network: Network, taken: Collection[str] = ()) -> Reduction:
    """Take off what holds no charge, then combine, always as far from the supply as can be.

    ``taken`` are names used earlier on the way. Members of a chain that are no neighbours come
    last, and only where something that cannot be reduced stays between them.
    """
    steps: list[Step] = []
    used = {*taken, *(c.name for c in network.capacitors), *network.points()}
    for names in idle_pieces(network, live_names(network)):
        steps.append(carry_out(network, Choice("removal", names)))
        network = after(network, steps[-1])
    combined, network = _combine(network, used)
    steps += combined
    while len(network.capacitors) > 1 and (left := choices(network)):
        steps.append(step := carry_out(network, left[0], used))
        network = after(network, step)
        used |= {step.makes.name} if step.makes else set()
    return Reduction(tuple(steps), network)


def _combine(network: Network, used: set[str]) -> tuple[list[Step], Network]:
    """Parallel sets and chains of neighbours, and what they leave; ``used`` takes the new names."""
    bench = _Bench(network)
    joins = bench.find_joins()
    begun = _absorbed(joins)
    steps: list[Step] = []
    made: dict[str, Capacitor] = {}
    for join in joins:
        if join.makes.name in begun:
            continue
        links = [
            k._replace(capacitor=made.get(k.capacitor.name, k.capacitor))
            for k in _spread(join, begun)
        ]
        if join.kind == "parallel":
            step = parallel_step(tuple(k.capacitor for k in links), used)
        else:
            step = neighbours_step(links, used, ())
        steps.append(step)
        if step.makes:
            made[join.makes.name] = step.makes
            used.add(step.makes.name)
    left = tuple(made.get(name, c) for name, c in bench.present.items())
    return steps, Network(left, network.ends)


class _Join(NamedTuple):
    """A set found in the open picture, by shape; ``makes`` has a passing name and no value."""

    kind: Connection
    links: tuple[ChainLink, ...]
    makes: Capacitor


def _absorbed(joins: list[_Join]) -> Mapping[str, _Join]:
    """The joins that are part of a larger one of their kind, by the name of what they make."""
    by_name = {join.makes.name: join for join in joins}
    return {
        k.capacitor.name: by_name[k.capacitor.name]
        for join in joins
        for k in join.links
        if k.capacitor.name in by_name and by_name[k.capacitor.name].kind == join.kind
    }


def _spread(join: _Join, absorbed: Mapping[str, _Join]) -> Iterator[ChainLink]:
    """The links of a join with those of what it absorbs, in the order of the walk."""
    waiting = list(reversed(join.links))
    while waiting:
        link = waiting.pop()
        inner = absorbed.get(link.capacitor.name)
        if inner is None:
            yield link
        elif link.turned:
            waiting.extend(ChainLink(k.capacitor, k.far, k.near) for k in inner.links)
        else:
            waiting.extend(reversed(inner.links))


class _Bench:
    """A network being reduced: open to change, and never seen outside ``reduce``."""

    def __init__(self, network: Network) -> None:
        self.ends = network.ends
        self.present: dict[str, Capacitor] = {}
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

    def find_joins(self) -> list[_Join]:
        """Combine until nothing is left to do."""
        found: list[_Join] = []
        while self.queue:
            *_, points = heappop(self.queue)
            links: list[ChainLink] = []
            if len(points) > 1:
                side_by_side = [self.present[name] for name in self.between[frozenset(points)]]
                links = [ChainLink(c, *side_by_side[0][2:]) for c in side_by_side]
            elif self._is_link(points[0]):
                links = self._run_through(points[0])
            if len(links) > 1:
                kind: Connection = "parallel" if len(points) > 1 else "series"
                # A name that no text can give, for as long as the search lasts.
                makes = Capacitor(f"join {len(found)}", UNKNOWN, links[0].near, links[-1].far)
                found.append(_Join(kind, tuple(links), makes))
                self._put_in_place(found[-1])
        return found

    def _put(self, c: Capacitor) -> None:
        self.present[c.name] = c
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

    def _run_through(self, point: str) -> list[ChainLink]:
        """The whole chain through an inner point, from the side nearer the + end."""
        halves = []
        for name in self.at[point]:
            half, here, c = [], point, self.present[name]
            while True:
                onward = c.end if c.start == here else c.start
                half.append(ChainLink(c, here, onward))
                here = onward
                if here == point or not self._is_link(here):
                    break
                c = next(self.present[n] for n in self.at[here] if n != c.name)
            halves.append(half)
        back, forth = sorted(halves, key=lambda half: self.rank[half[-1].far])
        return [ChainLink(k.capacitor, k.far, k.near) for k in reversed(back)] + forth

    def _put_in_place(self, join: _Join) -> None:
        for c in (k.capacitor for k in join.links):
            del self.present[c.name]
            del self.between[c.points][c.name]
            for point in (c.start, c.end):
                del self.at[point][c.name]
        self._put(join.makes)
        self._look_at(join.makes)


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
        far.update(dict.fromkeys(onward, far[ring[0]] + 1))
        ring = list(onward)
    return far
