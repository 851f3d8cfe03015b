"""The second opinion: the nodal method, on exact fractions, for any network of capacitors.

It never looks for series or parallel. Every point joined to the ends gets a potential; every
such point that is not an end is an island, and the charges on the plates that face it sum to
zero. Those equations are solved by elimination. Nothing of ``grammar`` or ``tutor`` is used, so
that a mistake there cannot hide here.

The nodal method is Kirchhoff's laws written for potentials (a fact of the trade: common
practice, no source), here with charge in the place of current.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple, TypeAlias


class Edge(NamedTuple):
    """A capacitor of ``capacitance`` farads from point ``start`` to point ``end``."""

    name: str
    capacitance: Fraction
    start: str
    end: str


Link: TypeAlias = tuple[str, str]


class Reading(NamedTuple):
    """What one capacitor carries, in coulombs, volts and joules.

    ``charge`` is that of the plate at the capacitor's ``start`` and ``voltage`` is the potential
    of ``start`` less that of ``end``: both have a sign.
    """

    charge: Fraction
    voltage: Fraction
    energy: Fraction


class Outcome(NamedTuple):
    """The whole solution in SI units; ``potentials`` are measured from the second of the ends.

    A point with no way to the ends through wires and capacitors stands in no potential.
    Without a supply only ``capacitance`` is of use: everything else is then worked at 0 V.
    """

    capacitance: Fraction
    voltage: Fraction
    charge: Fraction
    energy: Fraction
    potentials: Mapping[str, Fraction]
    capacitors: Mapping[str, Reading]


class NoAnswerError(ValueError):
    """The ends are one point, or a charge is asked of ends with nothing between them."""


def solve(
    edges: Sequence[Edge],
    wires: Sequence[Link],
    ends: Link,
    *,
    voltage: Fraction | None = None,
    charge: Fraction | None = None,
) -> Outcome:
    """Return the potentials and charges with ``voltage`` volts, or ``charge`` coulombs, applied.

    :raises NoAnswerError: no answer exists, or both a voltage and a charge are given.
    """
    if voltage is not None and charge is not None:
        raise NoAnswerError("give a voltage or a charge, not both")
    if any(edge.capacitance <= 0 for edge in edges):
        raise NoAnswerError("every capacitance must be above zero")
    merged = _merge(edges, wires, ends)
    plus, minus = merged[ends[0]], merged[ends[1]]
    if plus == minus:
        raise NoAnswerError("a wire makes the two ends one point")
    unit = _potentials_at_one_volt(edges, merged, (plus, minus))
    capacitance = sum((_outward(edge, merged, unit, plus) for edge in edges), start=Fraction(0))
    across = _applied(capacitance, voltage, charge)
    potentials = {point: across * unit[node] for point, node in merged.items() if node in unit}
    readings = {edge.name: _reading(edge, potentials) for edge in edges}
    return Outcome(
        capacitance=capacitance,
        voltage=across,
        charge=capacitance * across,
        energy=capacitance * across**2 / 2,
        potentials=potentials,
        capacitors=readings,
    )


def _applied(capacitance: Fraction, voltage: Fraction | None, charge: Fraction | None) -> Fraction:
    if charge is None:
        return Fraction(0) if voltage is None else voltage
    if capacitance:
        return charge / capacitance
    if charge:
        raise NoAnswerError("nothing joins the ends, so they cannot hold a charge")
    return Fraction(0)


def _merge(edges: Sequence[Edge], wires: Sequence[Link], ends: Link) -> dict[str, str]:
    """Map every point to one name for all that wires make one with it."""
    points = [*ends, *(p for edge in edges for p in edge[2:]), *(p for wire in wires for p in wire)]
    merged = {point: point for point in points}
    for start, end in wires:
        old, new = merged[start], merged[end]
        merged = {point: new if node == old else node for point, node in merged.items()}
    return merged


def _potentials_at_one_volt(
    edges: Sequence[Edge], merged: Mapping[str, str], ends: Link
) -> dict[str, Fraction]:
    """Solve the charge balance of every island joined to the ends, with 1 V between the ends."""
    plus, minus = ends
    known = {plus: Fraction(1), minus: Fraction(0)}
    links = [(merged[edge.start], merged[edge.end], edge.capacitance) for edge in edges]
    islands = [node for node in _joined(links, ends) if node not in known]
    column = {node: index for index, node in enumerate(islands)}
    rows = [[Fraction(0)] * (len(islands) + 1) for _ in islands]
    for start, end, capacitance in links:
        for here, there in ((start, end), (end, start)):
            if here == there or here not in column:
                continue
            row = rows[column[here]]
            row[column[here]] += capacitance
            if there in known:
                row[-1] += capacitance * known[there]
            else:
                row[column[there]] -= capacitance
    return known | dict(zip(islands, eliminate(rows), strict=True))


def _joined(links: Sequence[tuple[str, str, Fraction]], ends: Link) -> list[str]:
    """List the points with a way to either end."""
    seen = list(dict.fromkeys(ends))
    for node in seen:  # grows while it is walked: a search, breadth first
        for start, end, _ in links:
            if node in (start, end):
                seen.extend(other for other in (start, end) if other not in seen)
    return seen


def eliminate(rows: Sequence[Sequence[Fraction]]) -> list[Fraction]:
    """Solve as many linear equations as unknowns; the last number of a row is its right side.

    :raises NoAnswerError: the equations do not fix the unknowns.
    """
    table = [list(row) for row in rows]
    size = len(table)
    for pivot in range(size):
        best = next((r for r in range(pivot, size) if table[r][pivot]), None)
        if best is None:
            raise NoAnswerError("the equations do not fix every potential")
        table[pivot], table[best] = table[best], table[pivot]
        lead = table[pivot][pivot]
        table[pivot] = [number / lead for number in table[pivot]]
        for r in range(size):
            factor = table[r][pivot]
            if r != pivot and factor:
                table[r] = [a - factor * b for a, b in zip(table[r], table[pivot], strict=True)]
    return [row[-1] for row in table]


def _outward(
    edge: Edge, merged: Mapping[str, str], potentials: Mapping[str, Fraction], node: str
) -> Fraction:
    """Return the charge of those plates of one capacitor that stand at ``node``."""
    start, end = merged[edge.start], merged[edge.end]
    if start == end or node not in (start, end):
        return Fraction(0)
    other = end if start == node else start
    return edge.capacitance * (potentials[node] - potentials[other])


def _reading(edge: Edge, potentials: Mapping[str, Fraction]) -> Reading:
    if edge.start not in potentials:  # a loose piece: nothing has ever charged it
        return Reading(Fraction(0), Fraction(0), Fraction(0))
    voltage = potentials[edge.start] - potentials[edge.end]
    return Reading(edge.capacitance * voltage, voltage, edge.capacitance * voltage**2 / 2)
