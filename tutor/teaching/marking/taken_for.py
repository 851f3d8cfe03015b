"""The networks that a pupil may take a network for, worked out rightly as such.

Whoever goes by one of them from a wrong whole capacitance on makes one mistake, not one a line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, pairwise
from typing import Final

from tutor.circuit.network import Capacitor, Network, Supply, point_names
from tutor.circuit.reduction import reduce
from tutor.circuit.solving import solve
from tutor.circuit.star_delta import exchanged, to_delta, to_star
from tutor.circuit.steps import after
from tutor.circuit.values import Value
from tutor.teaching.quantities import Quantity

MOST_SHORTED: Final = 6  # of so many capacitors one may be taken for short-circuited


def values_taken_for(network: Network, supply: Supply | None) -> list[Mapping[Quantity, Value]]:
    """What is on each capacitor and on the whole, in SI units, for each of these networks: all in
    one chain, all side by side, without what bridges two inner points, or with a wire over one.
    """
    return [dict(_values(each, supply)) for each in _networks(network)]


def _networks(network: Network) -> Iterator[Network]:
    given = network.capacitors
    if len(given) < 2:
        return
    plus, minus = network.ends
    inner = (name for name in point_names() if name not in network.ends)
    stops = [plus, *(next(inner) for _ in given[1:]), minus]
    yield network._replace(
        capacitors=tuple(
            Capacitor(c.name, c.value, *ends)
            for c, ends in zip(given, pairwise(stops), strict=True)
        )
    )
    yield network._replace(capacitors=tuple(Capacitor(c.name, c.value, plus, minus) for c in given))
    if reduce(network).equivalent is None:
        for bridging in (c for c in given if not c.points & set(network.ends)):
            yield network._replace(capacitors=tuple(c for c in given if c is not bridging))
    for shorted in given if len(given) <= MOST_SHORTED else ():
        if shorted.points != set(network.ends):
            yield _without(network, shorted)


def _without(network: Network, shorted: Capacitor) -> Network:
    """A network with a wire in the place of a capacitor."""
    kept = next((point for point in shorted.points if point in network.ends), shorted.start)

    def joined(point: str) -> str:
        return kept if point in shorted.points else point

    return network._replace(
        capacitors=tuple(
            Capacitor(c.name, c.value, joined(c.start), joined(c.end))
            for c in network.capacitors
            if c.points != shorted.points
        )
    )


def _values(network: Network, supply: Supply | None) -> Iterator[tuple[Quantity, Value]]:
    solution = solve(network, supply)
    if solution.whole is None:
        return
    yield Quantity("C"), solution.whole.value
    for name, holding in solution.holdings.items():
        of = None if name == solution.whole.name else name
        held = holding.size
        yield Quantity("V", of), held.voltage
        yield Quantity("Q", of), held.charge
        yield Quantity("E", of), held.energy
    for point, level in solution.potentials.items():
        yield Quantity("V", None, point), level


def values_by_star(network: Network) -> Iterator[Value]:
    """The new capacitances of every such exchange, and what they then make of the others."""
    for step in reduce(network).steps:
        network = after(network, step)
    points = network.points()
    inner = [point for point in points if point not in network.ends]
    stars = [to_star(network, three, ()) for three in combinations(points, 3)]
    for each in (*stars, *(to_delta(network, centre, ()) for centre in inner)):
        if each is None:
            continue
        yield from (c.value for c in each.new)
        steps = reduce(exchanged(network, each)).steps
        yield from (step.makes.value for step in steps if step.makes is not None)
