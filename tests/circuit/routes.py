"""Ways through a network, one step at a time, and what the second opinion says of each state."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import combinations
from typing import TypeAlias

from tests import nodal
from tests.nodal import Edge, Outcome
from tests.strategies import Drawn, as_description
from tutor.circuit.network import Capacitor, Network, Supply, build
from tutor.circuit.solving import work_back
from tutor.circuit.steps import Choice, Step, after, carry_out, choices

Options: TypeAlias = Callable[[Network], Sequence[Choice]]
ONE_VOLT = Supply("voltage", Fraction(1))


def network_of(drawn: Drawn) -> Network:
    return build(as_description(drawn)).network


def edges_of(network: Network) -> tuple[Edge, ...]:
    return tuple(Edge(c.name, number(c.value), c.start, c.end) for c in network.capacitors)


def opinion(network: Network, voltage: Fraction = Fraction(1)) -> Outcome:
    """What the nodal method says of a network, with ``voltage`` volts across it."""
    return nodal.solve(edges_of(network), (), network.ends, voltage=voltage)


def second(drawn: Drawn, supply: Supply) -> Outcome:
    """What the nodal method says of a network as it was drawn, wires and all."""
    value = number(supply.value)
    if supply.quantity == "voltage":
        return nodal.solve(*drawn, voltage=value)
    return nodal.solve(*drawn, charge=value)


def number(value: object) -> Fraction:
    assert isinstance(value, Fraction)
    return value


def every_choice(network: Network) -> list[Choice]:
    """All that may be done now: each largest set, and all its parts of any use."""
    found: dict[frozenset[str], Choice] = {}
    for kind, names in choices(network):
        for size in range(1 if kind == "removal" else 2, len(names) + 1):
            for part in combinations(names, size):
                found.setdefault(frozenset(part), Choice(kind, part))
    return list(found.values())


def every_route(
    network: Network, options: Options, taken: tuple[str, ...] = ()
) -> Iterator[tuple[Step, ...]]:
    """All orders of the steps that ``options`` finds in each state, each order to its end."""
    found = options(network)
    if not found:
        yield ()
    for choice in found:
        step = carry_out(network, choice, taken)
        gone = (*taken, *(c.name for c in (*step.parts, *step.swept)))
        for rest in every_route(after(network, step), options, gone):
            yield (step, *rest)


def states(network: Network, route: tuple[Step, ...]) -> list[Network]:
    """The network before the first step and after each."""
    found = [network]
    for step in route:
        found.append(after(found[-1], step))
    return found


def held_at_the_end(network: Network, route: tuple[Step, ...]) -> dict[str, tuple[Fraction, ...]]:
    """What working back over a whole route says of each given capacitor, with 1 V across all."""
    last = states(network, route)[-1]
    (whole,) = last.capacitors
    held = work_back(route, whole, ONE_VOLT, network.ends)
    return {c.name: readings(held[c.name]) for c in network.capacitors}


def readings(holding: tuple[object, object, object]) -> tuple[Fraction, ...]:
    """P.d., charge and energy of a ``Holding``, in the order of ``nodal.Reading``."""
    voltage, charge, energy = (number(value) for value in holding)
    return charge, voltage, energy


def touching(network: Network, point: str) -> tuple[Capacitor, ...]:
    return tuple(c for c in network.capacitors if point in (c.start, c.end))
