"""Where a change puts more or less capacitance: the reading that holds in any network.

Every change of a capacitor is one of the capacitance between two points: a gap is none, a wire is
more than any. Whether the two points differ in potential decides whether anything else notices.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.changes import Added, NewSupply, NewValue, Removed, Scaled, Swapped, Wired
from tutor.circuit.network import Network, Supply
from tutor.circuit.solving import solve
from tutor.circuit.values import Value, in_letters, same, tidy
from tutor.teaching.quantities import Quantity
from tutor.teaching.whatif.change import Direction, Supposing, about, way


class Shift(NamedTuple):
    """More (``up``), less or the same capacitance at the place of the capacitor ``name``; None
    where letters leave it open.

    ``high`` is the one of its points at the higher potential before the change, ``low`` the other;
    where ``is_ordered`` is False letters leave open which it is. ``is_level`` says that both are
    at one potential.
    """

    name: str
    high: str
    low: str
    way: Direction | None
    is_level: bool
    is_ordered: bool = True

    @property
    def points(self) -> tuple[str, str]:
        """Both points."""
        return self.high, self.low


def shifts(whatif: Supposing, levels: Mapping[str, Value]) -> tuple[Shift, ...]:
    """One for each capacitor that is changed; none for a supply and for what joins the ends.

    ``levels`` are the potentials before the change, as shares of the p.d. between the ends.
    """
    return tuple(_shift(whatif, name, levels) for name in changed_names(whatif))


def changed_names(whatif: Supposing) -> tuple[str, ...]:
    """The capacitors of the text at whose places something is changed."""
    change = whatif.change
    if isinstance(change, Added):
        return (change.to,) if change.to is not None else ()
    return about(change)


def shares(network: Network) -> Mapping[str, Value]:
    """The potential of every point joined to the ends, as a share of the p.d. between these."""
    return solve(network, Supply("voltage", Fraction(1))).potentials


def _shift(whatif: Supposing, name: str, levels: Mapping[str, Value]) -> Shift:
    c = whatif.problem.network.named([name])[0]
    goes = _way(whatif, name)
    if c.start not in levels or same(levels[c.start], levels[c.end]):
        return Shift(name, c.start, c.end, goes, True)
    lower = way(levels[c.start], levels[c.end])
    high, low = (c.end, c.start) if lower == "up" else (c.start, c.end)
    return Shift(name, high, low, goes, False, lower is not None)


def _way(whatif: Supposing, name: str) -> Direction | None:
    change = whatif.change
    if isinstance(change, Removed):
        return "down"
    if isinstance(change, Wired):
        return "up"
    if isinstance(change, Added):
        return "up" if change.kind == "parallel" else "down"
    old = whatif.problem.network.named([name])[0].value
    if isinstance(change, NewValue):
        return way(old, change.value)
    if isinstance(change, Scaled):
        return way(old, tidy(old * change.factor))
    assert isinstance(change, Swapped)
    other = change.second if name == change.first else change.first
    return way(old, whatif.problem.network.named([other])[0].value)


def is_of_all(whatif: Supposing, levels: Mapping[str, Value]) -> bool:
    """Whether every capacitor whose points differ in potential is changed by one factor."""
    if not isinstance(whatif.change, Scaled):
        return False
    return all(
        c.name in whatif.change.names or c.start not in levels
        or same(levels[c.start], levels[c.end])
        for c in whatif.problem.network.capacitors
    )


def one_way(found: tuple[Shift, ...]) -> Direction | None:
    """Which way all of them go that are between points of different potential; None if they
    differ, or if letters leave it open.
    """
    ways = {shift.way for shift in found if not shift.is_level}
    return ways.pop() if len(ways) == 1 else None


def only_way(whatif: Supposing, quantity: Quantity) -> Direction | None:
    """The one way in which the whole, and its charge at a p.d. that is held, can go, where letters
    leave open whether it goes at all.
    """
    if not (whatif.is_floating and has_letters(whatif)):
        return None
    supply = whatif.problem.supply
    held = supply is not None and supply.quantity == "voltage"
    if quantity != Quantity("C") and not (held and quantity == Quantity("Q")):
        return None
    goes = one_way(shifts(whatif, shares(whatif.problem.network)))
    return goes if goes in ("up", "down") else None


def is_between_ends(shift: Shift, ends: tuple[str, str]) -> bool:
    """Whether its two points are the ends themselves."""
    return set(shift.points) == set(ends)


def supply_is_changed(whatif: Supposing) -> bool:
    """Whether the network stays as it is."""
    return isinstance(whatif.change, NewSupply)


def has_letters(whatif: Supposing) -> bool:
    """Whether letters stand for some of its capacitances."""
    return any(in_letters(c.value) for c in whatif.problem.network.capacitors)
