"""Networks as lists of joins, with point names and an order that give nothing away."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import permutations, product
from random import Random

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.solving import solve
from tutor.practice.questions.given import CAPACITANCES, WorkedNetwork, read
from tutor.teaching.settings import Settings

POINTS = ("P", "R", "S", "T", "X", "Y", "Z")


def drawn_as_list(chance: Random, shapes: Sequence[str], settings: Settings) -> WorkedNetwork:
    """One of the shapes as a list, its lines, points and directions by chance."""
    nested = read_any(chance, shapes, settings)
    joins = scrambled(chance, nested.problem.network)
    numbered = tuple(
        c._replace(name=f"C{number}") for number, c in enumerate(joins.capacitors, start=1)
    )
    network = joins._replace(capacitors=numbered)
    problem = nested.problem._replace(network=network)
    return WorkedNetwork(as_text(network), problem, solve(network, None), nested.speech)


def read_any(chance: Random, shapes: Sequence[str], settings: Settings) -> WorkedNetwork:
    """One of the shapes with unequal values."""
    shape = chance.choice(shapes)
    return read(shape.format(*chance.sample(CAPACITANCES, shape.count("{}"))), settings)


def scrambled(chance: Random, network: Network) -> Network:
    """The same network with other names for its inner points, in another order, some turned."""
    inner = [point for point in network.points() if point not in network.ends]
    renamed = dict(zip(inner, chance.sample(POINTS, len(inner)), strict=True))
    turned = []
    for c in network.capacitors:
        ends = [renamed.get(c.start, c.start), renamed.get(c.end, c.end)]
        if chance.random() < 0.5:
            ends.reverse()
        turned.append(c._replace(start=ends[0], end=ends[1]))
    chance.shuffle(turned)
    return Network(tuple(turned), network.ends)


def as_text(
    network: Network, names: bool = False, wires: Iterable[tuple[str, str]] = ()
) -> str:
    """A list of joins as it is typed; with ``names`` the capacitors are numbered as they come."""
    lines = []
    for number, c in enumerate(network.capacitors, start=1):
        name = f"C{number}" if names else c.name
        micro = c.value * 10**6
        lines.append(f"{name} = {micro} uF from {c.start} to {c.end}")
    lines += [f"wire from {start} to {end}" for start, end in wires]
    return "; ".join([*lines, f"ends {network.ends[0]} and {network.ends[1]}"])


def joins_in_words(given: WorkedNetwork) -> list[str]:
    """Each capacitor and each wire with its two points as written; who meets where is left to
    the reader.
    """
    drawn = given.problem.drawn or given.problem.network
    lines = [
        f"{c.name}, {given.farads(Fraction(c.value))}, from {c.start} to {c.end}"
        for c in drawn.capacitors
    ]
    lines += [f"a wire from {start} to {end}" for start, end in given.problem.wires]
    return [*lines, f"The ends are {drawn.ends[0]} and {drawn.ends[1]}."]


def same_joins(one: Network, other: Network) -> dict[str, str] | None:
    """Which point of one is which of the other, so that every capacitor joins the same two; None
    where there is no such thing. A network reads as well from its other end.
    """
    inner, others = (
        [p for p in network.points() if p not in network.ends] for network in (one, other)
    )
    if len(inner) != len(others) or len(one.capacitors) != len(other.capacitors):
        return None
    joined = {c.name: c.points for c in other.capacitors}
    for ends, order in product((other.ends, other.ends[::-1]), permutations(others)):
        there = {**dict(zip(one.ends, ends, strict=True)), **dict(zip(inner, order, strict=True))}
        if all(joined.get(c.name) == frozenset((there[c.start], there[c.end]))
               for c in one.capacitors):
            return there
    return None


def without(network: Network, name: str) -> Network:
    """The network with one capacitor left out."""
    kept: tuple[Capacitor, ...] = tuple(c for c in network.capacitors if c.name != name)
    return network._replace(capacitors=kept)
