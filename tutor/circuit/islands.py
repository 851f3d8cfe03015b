"""Networks whose capacitors hold charge of their own: what each piece of metal keeps.

A point is an island: metal that capacitors keep apart from all other metal. Its charge is the sum
of the charges of the plates on it, and nothing but a wire or a supply can change that. Islands
are found from the shape alone. (The laws are Kirchhoff's, with charge in the place of current: a
fact of the trade, common practice, no source.)

What one block of a network does leaves the others alone: two points joined by no way but through
a single third point exchange no charge. So each block is worked out by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.records import Plates
from tutor.circuit.charge_balance import solve_rows
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.values import Value, tidy


class GapFilling(NamedTuple):
    """A filling that takes up a ``part`` of the gap and ``over`` so much of the area, each above 0
    and up to 1; the rest is air. Without a ``permittivity`` it is metal.
    """

    permittivity: Value | None
    part: Fraction = Fraction(1)
    over: Fraction = Fraction(1)

    @property
    def factor(self) -> Value:
        """The capacitance over what air alone would give: the slab and the air above it are a
        chain, and what is beside them is in parallel.
        """
        slab = self.part / self.permittivity if self.permittivity is not None else Fraction(0)
        return tidy(self.over / (slab + 1 - self.part) + 1 - self.over)


AIR: Final = GapFilling(Fraction(1))


class State(NamedTuple):
    """A network with the charge on each capacitor's plate at its ``start``, in coulombs.

    ``supply`` is the p.d. in volts that is held across the ends, None where nothing is joined to
    them. ``inside`` tells what is between plates: a slab (air where it is left out), or flat
    plates with all their measures. ``same`` gives the name that a point has now, for
    names that wires have done away with.
    """

    network: Network
    charges: Mapping[str, Value]
    supply: Value | None = None
    inside: Mapping[str, GapFilling | Plates] = MappingProxyType({})
    same: Mapping[str, str] = MappingProxyType({})

    def capacitor(self, name: str) -> Capacitor:
        """The capacitor of that name."""
        return self.network.named((name,))[0]

    def voltage(self, name: str) -> Value:
        """Potential of its start less that of its end, in volts: Q/C with the sign of Q."""
        return tidy(self.charges[name] / self.capacitor(name).value)

    def energy(self, name: str) -> Value:
        """Stored energy ½ Q²/C in joules."""
        return tidy(self.charges[name] ** 2 / self.capacitor(name).value / 2)

    @property
    def stored(self) -> Value:
        """Energy of all capacitors together, those that stand apart included."""
        total: Value = Fraction(0)
        for c in self.network.capacitors:
            total = total + self.charges[c.name] ** 2 / c.value
        return tidy(total / 2)

    def charge_at(self, point: str) -> Value:
        """Net charge of all plates on one point."""
        return net_charge(self.network.capacitors, self.charges, point)


class Block(NamedTuple):
    """Capacitors on rings with one another, or one alone; ``points`` in order of first mention.

    ``supplied``: the ends are two of the points, and the supply closes rings with these.
    """

    capacitors: tuple[Capacitor, ...]
    points: tuple[str, ...]
    supplied: bool

    @property
    def names(self) -> tuple[str, ...]:
        """The names of its capacitors."""
        return tuple(c.name for c in self.capacitors)

    def reference(self, ends: tuple[str, str]) -> str:
        """The point from which its potentials are counted: the − end if that is in it."""
        return ends[1] if ends[1] in self.points else self.points[-1]


def net_charge(
    capacitors: tuple[Capacitor, ...], charges: Mapping[str, Value], point: str
) -> Value:
    """Signed charge, in coulombs, of these capacitors' plates on one point."""
    total: Value = Fraction(0)
    for c in capacitors:
        total = total + charges[c.name] * ((c.start == point) - (c.end == point))
    return tidy(total)


def settle(state: State) -> State:
    """The charges once all that can move has moved, from the charges that were brought along.

    Every island keeps its charge, except that a supply moves as much from one end to the other as
    holds its p.d. there. A capacitor with both plates on one point empties. The ends of a supply
    must be two points.
    """
    charges: dict[str, Value] = dict.fromkeys(
        (c.name for c in state.network.capacitors), Fraction(0)
    )
    for block in blocks(state.network, state.supply is not None):
        level = levels(block, state)
        for c in block.capacitors:
            charges[c.name] = tidy(c.value * (level[c.start] - level[c.end]))
    return state._replace(charges=charges)


def levels(block: Block, state: State) -> dict[str, Value]:
    """The potential of every point of a block above its reference, in volts, once settled.

    Charge balance, an equation for each point whose potential is open: the sum of C (V_P − V_j)
    over its plates in the block is the charge that the block keeps there.
    """
    known: dict[str, Value] = {block.reference(state.network.ends): Fraction(0)}
    if block.supplied:
        assert state.supply is not None, "only a supply makes a block supplied"
        known[state.network.ends[0]] = state.supply
    unknown = [point for point in block.points if point not in known]
    rows = [_row(block, state, point, (known, unknown)) for point in unknown]
    return {**known, **dict(zip(unknown, solve_rows(rows), strict=True))}


def _row(
    block: Block, state: State, point: str, levels_: tuple[Mapping[str, Value], list[str]]
) -> list[Value]:
    """One equation: the factor of each unknown potential, then the right side."""
    known, unknown = levels_
    row: dict[str, Value] = dict.fromkeys(unknown, Fraction(0))
    right = net_charge(block.capacitors, state.charges, point)
    for c in block.capacitors:
        if point not in (c.start, c.end):
            continue
        other = c.end if c.start == point else c.start
        row[point] = row[point] + c.value
        if other in known:
            right = right + c.value * known[other]
        else:
            row[other] = row[other] - c.value
    return [*row.values(), right]


class _Line(NamedTuple):
    """A line of the graph: a capacitor, or None for the supply, between two points."""

    capacitor: Capacitor | None
    start: str
    end: str


class _Visit(NamedTuple):
    point: str
    came_by: int
    since: int
    onward: Iterator[int]


def blocks(network: Network, with_supply: bool) -> tuple[Block, ...]:
    """The blocks in the order of their first capacitors, bypassed ones left out.

    With a supply the ends count as joined by one more line.
    """
    lines = [_Line(c, c.start, c.end) for c in network.capacitors if c.start != c.end]
    if with_supply:
        lines.append(_Line(None, *network.ends))
    order = {point: at for at, point in enumerate(network.points())}
    found = [
        _block([lines[at] for at in sorted(group)], order) for group in _grouped(lines)
    ]
    rank = {c.name: at for at, c in enumerate(network.capacitors)}
    return tuple(sorted((b for b in found if b.capacitors), key=lambda b: rank[b.names[0]]))


def _block(lines: list[_Line], order: Mapping[str, int]) -> Block:
    points = {point for line in lines for point in (line.start, line.end)}
    return Block(
        tuple(line.capacitor for line in lines if line.capacitor is not None),
        tuple(sorted(points, key=order.__getitem__)),
        any(line.capacitor is None for line in lines),
    )


def _grouped(lines: list[_Line]) -> list[list[int]]:
    """The lines of each block, by Tarjan's lowest-point search from every piece of the graph."""
    around: dict[str, list[int]] = {}
    for at, line in enumerate(lines):
        around.setdefault(line.start, []).append(at)
        around.setdefault(line.end, []).append(at)
    order: dict[str, int] = {}
    groups: list[list[int]] = []
    for root in around:
        if root not in order:
            _search(root, lines, around, order, groups)
    return groups


def _search(
    root: str,
    lines: list[_Line],
    around: Mapping[str, list[int]],
    order: dict[str, int],
    groups: list[list[int]],
) -> None:
    lowest = {root: len(order)}
    order[root] = len(order)
    pending: list[int] = []
    path = [_Visit(root, -1, 0, iter(around[root]))]
    while path:
        here = path[-1]
        for at in here.onward:
            other = lines[at].end if lines[at].start == here.point else lines[at].start
            if at == here.came_by or order.get(other, -1) > order[here.point]:
                continue  # the way we came, or a way back that the other end has seen
            pending.append(at)
            if other not in order:
                order[other] = lowest[other] = len(order)
                path.append(_Visit(other, at, len(pending) - 1, iter(around[other])))
                break
            lowest[here.point] = min(lowest[here.point], order[other])
        else:
            path.pop()
            if path:
                above = path[-1].point
                lowest[above] = min(lowest[above], lowest[here.point])
                if lowest[here.point] >= order[above]:
                    groups.append(pending[here.since :])
                    del pending[here.since :]
