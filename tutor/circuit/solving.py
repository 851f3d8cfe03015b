"""What every capacitor holds: working back through the steps, last one first.

A chain passes its charge on unchanged to every member; a parallel set passes on its p.d. What has
been taken off as idle holds nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from tutor.circuit.beyond import work_out
from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Capacitor, Network, Supply
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, in_letters, magnitude, product, tidy


class Holding(NamedTuple):
    """P.d. (potential of ``start`` less that of ``end``) in volts, charge of the plate at
    ``start`` in coulombs, stored energy in joules.
    """

    voltage: Value
    charge: Value
    energy: Value

    @property
    def size(self) -> Holding:
        """The same with the signs dropped, as p.d. and charge are usually quoted."""
        return Holding(magnitude(self.voltage), magnitude(self.charge), self.energy)


NOTHING: Final = Holding(Fraction(0), Fraction(0), Fraction(0))


class Solution(NamedTuple):
    """A network worked out. ``whole`` is the last capacitor left, None where it cannot be reduced.

    ``holdings`` are of the given and of all made capacitors, empty without a supply;
    ``potentials`` are in volts above the − end.
    """

    network: Network
    steps: tuple[Step, ...]
    left: Network
    whole: Capacitor | None
    holdings: Mapping[str, Holding]
    potentials: Mapping[str, Value]


def solve(network: Network, supply: Supply | None) -> Solution:
    """Reduce as the tutor does, then work back to every capacitor."""
    steps, left = reduced = work_out(network)
    whole = reduced.equivalent
    if whole is None or supply is None:
        return Solution(network, steps, left, whole, {}, {})
    holdings = work_back(steps, whole, supply, network.ends)
    return Solution(
        network, steps, left, whole, holdings, potentials(network, holdings)
    )


def holding_of(c: Capacitor, voltage: Value) -> Holding:
    """Q = C V and E = ½ Q V for one capacitor; p.d. in volts."""
    charge = tidy(c.value * voltage)
    return Holding(tidy(voltage), charge, product(charge, tidy(voltage)) / 2)


def work_back(
    steps: Iterable[Step], whole: Capacitor, supply: Supply, ends: tuple[str, str]
) -> dict[str, Holding]:
    """What each given and each made capacitor holds, from the whole back to the parts."""
    across = supply.value if supply.quantity == "voltage" else tidy(supply.value / whole.value)
    held = {whole.name: holding_of(whole, across if whole.start == ends[0] else -across)}
    for step in reversed(list(steps)):
        held.update(dict.fromkeys((c.name for c in step.swept), NOTHING))
        if step.makes is None:
            held.update(dict.fromkeys((c.name for c in step.parts), NOTHING))
            continue
        passed_on = held[step.makes.name]
        if step.shares:
            shares = dict(step.shares)
            for part in step.parts:
                share = tidy(shares[part.start] - shares[part.end])
                held[part.name] = holding_of(part, passed_on.voltage * share)
            continue
        for part, turned in zip(step.parts, step.turned, strict=True):
            if JOININGS[step.kind].shares == "V":
                voltage = passed_on.voltage
            else:
                voltage = tidy(passed_on.charge / part.value)
            held[part.name] = holding_of(part, -voltage if turned else voltage)
    return held


def potentials(network: Network, holdings: Mapping[str, Holding]) -> dict[str, Value]:
    """The potential of every point that capacitors join to the ends, in volts above the − end."""
    around: dict[str, list[tuple[str, Value]]] = {}
    for c in network.capacitors:
        drop = holdings[c.name].voltage
        around.setdefault(c.start, []).append((c.end, -drop))
        around.setdefault(c.end, []).append((c.start, drop))
    level: dict[str, Value] = {network.ends[1]: Fraction(0)}
    waiting = [network.ends[1]]
    while waiting:
        here = waiting.pop()
        for other, rise in around.get(here, ()):
            if other not in level:
                level[other] = tidy(level[here] + rise)
                waiting.append(other)
    return {point: level[point] for point in network.points() if point in level}


def plus_point(c: Capacitor, holding: Holding) -> str | None:
    """The point where its + plate is; None where it holds no charge."""
    if in_letters(holding.voltage):
        return c.end if holding.voltage.could_extract_minus_sign() else c.start
    if holding.voltage == 0:
        return None
    return c.start if holding.voltage > 0 else c.end
