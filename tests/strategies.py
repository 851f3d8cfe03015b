"""Networks by chance for hypothesis: nested ones as records and as text, and any others."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from hypothesis import strategies as st

from grammar.records import (
    Amount,
    Chain,
    Charging,
    Description,
    Element,
    Join,
    Parallel,
    Part,
    Wire,
)
from tests.nodal import Edge, Link

PREFIXES = {-12: "p", -9: "n", -6: "u", -3: "m"}
MOST_MEMBERS = 3
ENDS = ("A", "B")


class Written(NamedTuple):
    """A description and one text that says the same."""

    description: Description
    text: str


class Drawn(NamedTuple):
    """A network of any shape: what `tests.nodal.solve` takes."""

    edges: tuple[Edge, ...]
    wires: tuple[Link, ...]
    ends: Link


def decimals() -> st.SearchStrategy[Fraction]:
    """Values above zero with at most two decimals: these can be written as text."""
    whole = st.integers(1, 12).map(Fraction)
    return whole | st.integers(1, 1200).map(lambda hundredths: Fraction(hundredths, 100))


def small_fractions() -> st.SearchStrategy[Fraction]:
    """Values above zero such as 2/3: exact work with these shows up any rounding."""
    return st.builds(Fraction, st.integers(1, 12), st.integers(1, 7))


def capacitances() -> st.SearchStrategy[Fraction]:
    """Values in farads; small whole ones come often, so that equal ones and balances do too."""
    return st.integers(1, 3).map(Fraction) | small_fractions() | decimals()


@st.composite
def nests(
    draw: st.DrawFn, values: st.SearchStrategy[Fraction] | None = None, most: int = 9
) -> Part:
    """Give nested series and parallel parts of 1 to ``most`` capacitors C1, C2, … in reading order.

    A chain never holds a chain, nor a parallel part a parallel part, so a text without needless
    brackets says the same. ``values`` are in farads; without it they are decimals of one prefix.
    """
    size = draw(st.integers(1, most))
    power = draw(st.sampled_from(sorted(PREFIXES)))
    written = decimals().map(lambda number: number * Fraction(10) ** power)
    worth = written if values is None else values
    leaves = iter([Element(f"C{n}", Amount(draw(worth), power)) for n in range(1, size + 1)])

    def part(count: int, chain: bool) -> Part:
        if count == 1:
            return next(leaves)
        members = tuple(part(share, not chain) for share in _shares(draw, count))
        return Chain(members) if chain else Parallel(members)

    return part(size, draw(st.booleans()))


def _shares(draw: st.DrawFn, count: int) -> list[int]:
    """Split a number of capacitors among two or three members."""
    pieces = draw(st.integers(2, min(MOST_MEMBERS, count)))
    cuts = sorted(
        draw(st.sets(st.integers(1, count - 1), min_size=pieces - 1, max_size=pieces - 1))
    )
    return [right - left for left, right in zip([0, *cuts], [*cuts, count], strict=True)]


def supplies() -> st.SearchStrategy[Charging]:
    """A p.d. in volts or a charge in microcoulombs."""
    volts = decimals().map(lambda number: Charging("voltage", Amount(number, 0)))
    return volts | decimals().map(lambda number: Charging("charge", Amount(number / 10**6, -6)))


@st.composite
def nested_descriptions(draw: st.DrawFn, most: int = 9) -> Written:
    """Give a nested network, with or without a supply, as a record and as text."""
    nest = draw(nests(most=most))
    supply = draw(st.none() | supplies())
    said = nest_text(nest) + supply_text(supply)
    return Written(Description(nest=nest, supply=supply), said)


@st.composite
def multigraphs(
    draw: st.DrawFn, values: st.SearchStrategy[Fraction] | None = None, most: int = 14
) -> Drawn:
    """Give 1 to ``most`` capacitors between 2 to 9 points, with wires, anyhow.

    Parallel ones, both ends on one point, dead ends, hanging rings and loose pieces all come up;
    so do ends that nothing joins, and ends that wires make one point.
    """
    points = [*ENDS, *(f"P{n}" for n in range(1, draw(st.integers(0, 7)) + 1))]
    point = st.sampled_from(points)
    worth = capacitances() if values is None else values
    size = draw(st.integers(1, most))
    edges = [Edge(f"C{n}", draw(worth), draw(point), draw(point)) for n in range(1, size + 1)]
    wires = draw(st.lists(st.tuples(point, point), max_size=2))
    return Drawn(tuple(edges), tuple(wires), ENDS)


@st.composite
def joined_multigraphs(
    draw: st.DrawFn,
    values: st.SearchStrategy[Fraction] | None = None,
    most: int = 14,
    loops: bool = True,
) -> Drawn:
    """Give a network whose ends are two points and are joined: one that can be charged.

    A spine of capacitors runs from end to end, and the rest goes anywhere, with a dead end or a
    hanging ring added at times. Without ``loops`` no capacitor has both ends on one point, as in
    a text, where that is refused as a slip of the pen.
    """
    spine = [ENDS[0], *(f"P{n}" for n in range(1, draw(st.integers(0, 5)) + 1)), ENDS[1]]
    links = list(pairwise(spine))
    point = st.sampled_from([*spine, "Q1", "Q2"])
    room = most - len(links)
    anywhere = st.tuples(point, point).filter(lambda link: loops or link[0] != link[1])
    links += draw(st.lists(anywhere, max_size=max(room - 3, 0)))
    if room >= 3 and draw(st.booleans()):
        root = draw(st.sampled_from(spine))
        links += [(root, "Q3"), *draw(st.sampled_from([[], [("Q3", "Q4"), ("Q4", root)]]))]
    links = draw(st.permutations(links))
    worth = capacitances() if values is None else values
    edges = [
        Edge(f"C{n}", draw(worth), *(draw(st.permutations(link))))
        for n, link in enumerate(links, start=1)
    ]
    wires = [("P1", "Q5")] if "P1" in spine and draw(st.booleans()) else []
    return Drawn(tuple(edges), tuple(wires), ENDS)


def voltages() -> st.SearchStrategy[Fraction]:
    """P.d.s above zero, in volts."""
    return small_fractions() | decimals()


def as_description(drawn: Drawn, supply: Charging | None = None, power: int = 0) -> Description:
    """Give the record of a list of joins; ``power`` is the prefix its text was written with."""
    joins = tuple(
        Join(Element(edge.name, Amount(edge.capacitance, power)), edge.start, edge.end)
        for edge in drawn.edges
    )
    wires = tuple(Wire(*link) for link in drawn.wires)
    return Description(joins=joins, wires=wires, ends=drawn.ends, supply=supply)


def as_drawn(description: Description) -> Drawn:
    """Lay out any description of numbers as edges; inner points of a nest are called N1, N2, …"""
    wires = tuple((wire.start, wire.end) for wire in description.wires)
    if description.nest is not None:
        return Drawn(tuple(_laid(description.nest, description.ends)), wires, description.ends)
    edges = tuple(_edge(join.capacitor, (join.start, join.end)) for join in description.joins)
    return Drawn(edges, wires, description.ends)


def _laid(nest: Part, ends: Link) -> list[Edge]:
    edges: list[Edge] = []
    inner = 0
    waiting: list[tuple[Part, Link]] = [(nest, ends)]
    while waiting:
        part, (start, end) = waiting.pop()
        if isinstance(part, Element):
            edges.append(_edge(part, (start, end)))
        elif isinstance(part, Parallel):
            waiting += [(member, (start, end)) for member in part.members]
        else:
            stops = [start, *(f"N{inner + n}" for n in range(1, len(part.members))), end]
            inner += len(part.members) - 1
            waiting += list(zip(part.members, pairwise(stops), strict=True))
    return edges


def _edge(capacitor: Element, link: Link) -> Edge:
    if not isinstance(capacitor.worth, Amount):
        raise TypeError(f"{capacitor.name} is worth a letter, not a number")
    return Edge(capacitor.name, capacitor.worth.value, *link)


def nest_text(nest: Part) -> str:
    """Write a nest with the names given on the spot, such as C1 = 4 uF -- (C2 = 2 uF || …)."""
    if isinstance(nest, Element):
        return f"{nest.name} = {amount_text(nest.worth, 'F')}"
    sign = " -- " if isinstance(nest, Chain) else " || "
    return sign.join(
        nest_text(member) if isinstance(member, Element) else f"({nest_text(member)})"
        for member in nest.members
    )


def joins_text(drawn: Drawn, power: int = -6) -> str:
    """Write a network of any shape as a list of joins, all with one prefix.

    :raises ValueError: a capacitance has more than two decimals in that prefix.
    """
    clauses = [
        f"{edge.name} = {amount_text(Amount(edge.capacitance, power), 'F')} "
        f"from {edge.start} to {edge.end}"
        for edge in drawn.edges
    ]
    clauses += [f"wire from {start} to {end}" for start, end in drawn.wires]
    clauses.append(f"ends {drawn.ends[0]} and {drawn.ends[1]}")
    return "; ".join(clauses)


def supply_text(supply: Charging | None) -> str:
    if supply is None:
        return ""
    word, unit = {"voltage": ("across", "V"), "charge": ("holding", "C")}[supply.quantity]
    return f", {word} {amount_text(supply.worth, unit)}"


def amount_text(worth: object, unit: str) -> str:
    """Write a decimal with its prefix, exactly.

    :raises ValueError: two decimals are not enough for the value in that prefix.
    """
    if not isinstance(worth, Amount):
        raise TypeError("letters are written elsewhere")
    hundredths = worth.value / Fraction(10) ** worth.power * 100
    if hundredths.denominator != 1:
        raise ValueError(f"{worth.value} has no short decimal")
    whole, rest = divmod(hundredths.numerator, 100)
    digits = f"{whole}.{rest:02}".rstrip("0").rstrip(".")
    return f"{digits} {PREFIXES.get(worth.power, '')}{unit}"


def ladder(rungs: int) -> str:
    """A network drawn as a ladder of so many rungs, told join by join."""
    parts = "; ".join(
        f"C{n} = {2 + n % 3} uF from P{n} to P{n + 1}; D{n} = 3 uF from P{n + 1} to B"
        for n in range(rungs)
    )
    return f"{parts}; ends P0 and B; across 12 V; asked: C"
