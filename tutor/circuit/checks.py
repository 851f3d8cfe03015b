"""Closing checks with numbers: paths, inner points, energies and the supply's own work."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.network import Capacitor, Supply
from tutor.circuit.solving import Holding, Solution, plus_point
from tutor.circuit.values import Value, add_up, tidy


class PathCheck(NamedTuple):
    """Down one path from the + end to the − end the p.d.s add to the supply's, in volts."""

    capacitors: tuple[Capacitor, ...]
    points: tuple[str, ...]
    drops: tuple[Value, ...]
    total: Value


class PointCheck(NamedTuple):
    """The charges of the plates at one point, in coulombs with their signs, and their sum.

    The sum is nought at an inner point, and the charge the supply gave at the + end.
    """

    point: str
    plates: tuple[tuple[str, Value], ...]
    total: Value


class EnergyCheck(NamedTuple):
    """Stored energies in joules, their sum, and ½ C V² of the whole, which must agree.

    ``supplied`` is what a supply of fixed p.d. gave while it charged the network from empty:
    Q V, twice what is stored. None where a charge is given and no supply is named.
    """

    stored: tuple[tuple[str, Value], ...]
    total: Value
    of_whole: Value
    supplied: Value | None


class Checks(NamedTuple):
    """All checks of one solution; each has been worked out from the single capacitors."""

    paths: tuple[PathCheck, ...]
    inner_points: tuple[PointCheck, ...]
    plus_end: PointCheck
    energy: EnergyCheck


def closing_checks(solution: Solution, supply: Supply) -> Checks:
    """The checks of a network that has been worked out; it must have a whole."""
    whole = solution.whole
    if whole is None:
        raise ValueError("a network that is not reduced has no closing checks")
    network = solution.network
    points = {p: _point_check(solution, p) for p in network.points()}
    stored = tuple((c.name, solution.holdings[c.name].energy) for c in network.capacitors)
    held = solution.holdings[whole.name].size
    given = tidy(held.charge * held.voltage) if supply.quantity == "voltage" else None
    return Checks(
        _paths(solution),
        tuple(points[p] for p in network.points()[1:-1] if p in solution.potentials),
        points[network.ends[0]],
        EnergyCheck(stored, add_up([e for _, e in stored]), held.energy, given),
    )


def _point_check(solution: Solution, point: str) -> PointCheck:
    plates: list[tuple[str, Value]] = []
    for c in solution.network.capacitors:
        charge = solution.holdings[c.name].charge
        plates += [(c.name, charge)] if c.start == point else []
        plates += [(c.name, -charge)] if c.end == point else []
    sums = [q for _, q in plates] or [Fraction(0)]
    return PointCheck(point, tuple(plates), add_up(sums))


def _paths(solution: Solution) -> tuple[PathCheck, ...]:
    """As few paths as going down from each capacitor not yet on one takes."""
    plus, minus = solution.network.ends
    leaving: dict[str, list[tuple[Capacitor, str, Holding]]] = {}
    arriving: dict[str, list[tuple[Capacitor, str, Holding]]] = {}
    for c in solution.network.capacitors:
        holding = solution.holdings[c.name]
        top = plus_point(c, holding)
        if top is not None:
            bottom = c.end if top == c.start else c.start
            leaving.setdefault(top, []).append((c, bottom, holding))
            arriving.setdefault(bottom, []).append((c, top, holding))
    found: list[PathCheck] = []
    seen: set[str] = set()
    for c in solution.network.capacitors:
        top = plus_point(c, solution.holdings[c.name])
        if c.name in seen or top is None:
            continue
        bottom = c.end if top == c.start else c.start
        above, at = [], top
        while at != plus:
            above.append(arriving[at][0])
            at = above[-1][1]
        below, at = [], bottom
        while at != minus:
            below.append(leaving[at][0])
            at = below[-1][1]
        steps = [*((d, top) for d, top, _ in reversed(above)), (c, top)]
        steps += [(d, d.start if bottom == d.end else d.end) for d, bottom, _ in below]
        members = tuple(d for d, _ in steps)
        seen |= {d.name for d in members}
        drops = tuple(solution.holdings[d.name].size.voltage for d in members)
        points = (*(p for _, p in steps), minus)
        found.append(PathCheck(members, points, drops, add_up(list(drops))))
    return tuple(found)
