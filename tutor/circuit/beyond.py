"""Where series and parallel stick: equal potentials first, and charge balance where there are none.

The order of preference: points argued to be at one potential by a ratio or by a symmetry, and
reduction again after that; else the charges are balanced at every floating point at once.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from tutor.circuit.charge_balance import balance
from tutor.circuit.equal_levels import Level, equal_levels
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.reduction import Reduction, reduce
from tutor.circuit.steps import Step, after, joint_name
from tutor.circuit.values import Value, in_letters


def work_out(network: Network, taken: Collection[str] = ()) -> Reduction:
    """The tutor's own way through any network that joins its ends: one capacitor is left."""
    steps: list[Step] = []
    used = {*taken, *(c.name for c in network.capacitors), *network.points()}
    while True:
        reduced = reduce(network, used)
        steps += reduced.steps
        used |= {step.makes.name for step in reduced.steps if step.makes}
        network = reduced.left
        if len(network.capacitors) < 2:
            return Reduction(tuple(steps), network)
        step = way_on(network, used)
        steps.append(step)
        network = after(network, step)


def way_on(network: Network, used: Collection[str]) -> Step:
    """The tutor's next step where nothing can be combined."""
    levels = equal_levels(network)
    if not levels:
        return balance_step(network, used)
    joining = joining_names(network, levels[0].points)
    return leave_out(network, joining, levels[0]) if joining else merge_step(levels[0])


def joining_names(network: Network, points: Collection[str]) -> tuple[str, ...]:
    """The capacitors between two different ones of these points."""
    return tuple(
        c.name for c in network.capacitors if c.points <= set(points) and c.start != c.end
    )


def leave_out(network: Network, names: Collection[str], level: Level) -> Step:
    """What joins points at one potential has no p.d., so no charge: it may go."""
    return Step("equal", network.named(names), None, level.points, level=level)


def merge_step(level: Level) -> Step:
    """Points at one potential may be joined by a wire: no charge would go along it."""
    kept, *others = level.points
    renamed = tuple((point, kept) for point in others)
    return Step("merge", (), None, level.points, gone=tuple(others), renamed=renamed, level=level)


def balance_step(network: Network, used: Collection[str]) -> Step:
    """All that is left at once, by charge balance at each floating point."""
    solved = balance(network)
    names = [c.name for c in network.capacitors]
    taken = {*used, *names, *network.points()}
    makes = Capacitor(joint_name(names, taken), solved.capacitance, *network.ends)
    inner = network.points()[1:-1]
    return Step(
        "balance", network.capacitors, makes, inner, gone=inner, shares=tuple(solved.shares.items())
    )


class Bounds(NamedTuple):
    """What the whole must lie between: with the capacitors ``names`` left out, and with each of
    them made a wire; in farads.
    """

    names: tuple[str, ...]
    low: Value
    high: Value


def bounds(network: Network) -> Bounds | None:
    """The bounds of a bridge by what joins its inner points; None where series and parallel do
    not lead to both, and for letters, which cannot be compared.

    Source: adding capacitance between two points never lowers that of the whole (Rayleigh's
    monotonicity law for networks; common practice, cited from memory).
    """
    inner = network.points()[1:-1]
    names = joining_names(network, inner)
    if not names or any(in_letters(c.value) for c in network.capacitors):
        return None
    low, high = left_out(network, names), made_one(network, inner)
    return None if low is None or high is None else Bounds(names, low, high)


def left_out(network: Network, names: Collection[str]) -> Value | None:
    """What series and parallel make of a network without these capacitors; None if they stick."""
    kept = tuple(c for c in network.capacitors if c.name not in names)
    whole = reduce(Network(kept, network.ends)).equivalent
    return whole.value if whole else None


def made_one(network: Network, points: tuple[str, ...]) -> Value | None:
    """The same with these points made one by wires."""
    whole = reduce(after(network, merge_step(Level(points, "symmetry")))).equivalent
    return whole.value if whole else None
