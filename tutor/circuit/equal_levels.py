"""Points that must be at one potential, and why: a balance of ratios, or a symmetry.

Two such points may be joined by a wire, or what joins them may be left out: no charge is on it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import Literal, NamedTuple

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.values import Value, same, tidy

MOST_POINTS = 16


class Level(NamedTuple):
    """Inner points at one potential.

    ``reason`` is ``ratio`` (each stands between the same two points ``between``, which its two
    capacitances share out in one ratio) or ``symmetry`` (each of ``exchanges``, one for every point
    after the first, leaves the network unchanged). ``arms`` are, for a ratio, the capacitors at
    each point.
    """

    points: tuple[str, ...]
    reason: Literal["ratio", "symmetry"]
    between: tuple[str, str] = ("", "")
    arms: tuple[tuple[str, str], ...] = ()
    exchanges: tuple[tuple[tuple[str, str], ...], ...] = ()


def equal_levels(network: Network) -> tuple[Level, ...]:
    """Groups of inner points whose potentials can be argued equal without solving."""
    by_ratio = (level for level in _shared_out(network) if is_level(network, level))
    return (*by_ratio, *_by_symmetry(network))


def bridged(network: Network) -> Level | None:
    """The two points of a bridge with what joins them, level or not: each shares out the p.d.
    between the same two others; None where there is no bridge.
    """
    joins = {c.points for c in network.capacitors}
    bridges = (each for each in _shared_out(network) if frozenset(each.points) in joins)
    return next(bridges, None)


def is_level(network: Network, level: Level) -> bool:
    """Whether the ratios of two points that share out one p.d. are equal."""
    one, other = (ratio(network, arm) for arm in level.arms)
    return same(one, other)


def ratio(network: Network, arm: tuple[str, str]) -> Value:
    """The first capacitance of an arm over the second, whichever the text names first."""
    above, below = (network.named((name,))[0].value for name in arm)
    return tidy(above / below)


def _shared_out(network: Network) -> Iterator[Level]:
    """Pairs of points that each share out the p.d. between the same two others, in whatever ratio.
    """
    points = network.points()
    around = _neighbours(network)
    # two arms, and perhaps what joins the two points: others need not be looked at
    inner = [p for p in points[1:-1] if len(around[p]) in (2, 3)]
    for at, first in enumerate(inner):
        for second in inner[at + 1 :]:
            one, two = (_arms(around[p], {first, second}) for p in (first, second))
            if set(one) != set(two) or len(one) != 2:
                continue
            near, far = sorted(one, key=points.index)
            names = tuple((arm[near].name, arm[far].name) for arm in (one, two))
            yield Level((first, second), "ratio", (near, far), names)


def _neighbours(network: Network) -> dict[str, dict[str, list[Capacitor]]]:
    """For each point the capacitors to each of its neighbours."""
    around: dict[str, dict[str, list[Capacitor]]] = defaultdict(lambda: defaultdict(list))
    for c in network.capacitors:
        around[c.start][c.end].append(c)
        around[c.end][c.start].append(c)
    return around


def _arms(around: dict[str, list[Capacitor]], pair: set[str]) -> dict[str, Capacitor]:
    """The one capacitor to each neighbour outside the pair; nothing if one has several."""
    outside = {other: found for other, found in around.items() if other not in pair}
    if any(len(found) > 1 for found in outside.values()):
        return {}
    return {other: found[0] for other, found in outside.items()}


def _by_symmetry(network: Network) -> Iterator[Level]:
    """Points that some symmetry of the network, the ends held fast, carries into each other."""
    inner = network.points()[1:-1]
    if len(inner) > MOST_POINTS:
        return
    placed: set[str] = set()
    for at, first in enumerate(inner):
        if first in placed:
            continue
        group, exchanges = [first], []
        for second in inner[at + 1 :]:
            if second not in placed and (found := symmetry(network, first, second)):
                group.append(second)
                exchanges.append(tuple((a, b) for a, b in found.items() if a != b))
        if exchanges:
            placed |= set(group)
            yield Level(tuple(group), "symmetry", exchanges=tuple(exchanges))


def symmetry(network: Network, first: str, second: str) -> dict[str, str] | None:
    """A way to exchange points that leaves every join and every value as it was, keeps both ends
    and carries ``first`` to ``second``; None if there is none.
    """
    points = network.points()
    joins: dict[frozenset[str], Counter[str]] = defaultdict(Counter)
    for c in network.capacitors:
        joins[c.points][str(c.value)] += 1
    shape = {
        p: tuple(sorted((str(value), n) for pair, values in joins.items() if p in pair
                        for value, n in values.items()))
        for p in points
    }
    moves = {network.ends[0]: network.ends[0], network.ends[1]: network.ends[1], first: second}
    if shape[first] != shape[second]:
        return None
    order = [p for p in points if p not in moves]
    found = _complete(moves, order, shape, joins)
    return found if found is not None and _keeps(moves | found, joins) else None


def _complete(
    moves: dict[str, str],
    order: list[str],
    shape: dict[str, tuple[tuple[str, int], ...]],
    joins: dict[frozenset[str], Counter[str]],
) -> dict[str, str] | None:
    """Carry on a partial symmetry point by point, going back where it breaks."""
    if not order:
        return moves if _keeps(moves, joins) else None
    point, rest = order[0], order[1:]
    taken = set(moves.values())
    # trying the point itself first finds symmetries that move little
    candidates = sorted(shape, key=lambda p: p != point)
    for target in candidates:
        if target in taken or shape[target] != shape[point]:
            continue
        grown = {**moves, point: target}
        if _keeps(grown, joins):
            found = _complete(grown, rest, shape, joins)
            if found is not None:
                return found
    return None


def _keeps(moves: dict[str, str], joins: dict[frozenset[str], Counter[str]]) -> bool:
    """Whether joins between points moved so far are carried to equal joins."""
    known = list(moves)
    for at, one in enumerate(known):
        for other in known[at:]:
            before = joins.get(frozenset((one, other)))
            after = joins.get(frozenset((moves[one], moves[other])))
            if before != after:
                return False
    return True
