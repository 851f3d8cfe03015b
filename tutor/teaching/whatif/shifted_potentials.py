"""A change of a network with floating points: potentials on both sides, and what is shifted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from tutor.circuit.changes import Removed, Swapped, Wired
from tutor.circuit.equal_levels import equal_levels
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.structure import live_names
from tutor.circuit.values import Value
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import level_reason
from tutor.teaching.speech import Speech
from tutor.teaching.whatif.before_and_after import Sides
from tutor.teaching.whatif.change import Supposing, comparable, way
from tutor.teaching.whatif.shifts import Shift, is_of_all, shares, shifts


class Evidence(NamedTuple):
    """One change and all that its reasons need; ``old`` and ``new`` are the potentials before and
    after, as shares of the p.d. between the ends.
    """

    whatif: Supposing
    speech: Speech
    shifts: tuple[Shift, ...]
    old: Mapping[str, Value]
    new: Mapping[str, Value]

    @property
    def sides(self) -> Sides:
        """The words for both sides."""
        return Sides(self.whatif, self.speech)

    @property
    def before(self) -> Network:
        """The network as it was."""
        return self.whatif.problem.network

    @property
    def after(self) -> Network:
        """The network with the change."""
        return self.whatif.changed.network

    @property
    def loud(self) -> tuple[Shift, ...]:
        """The shifts that are between points of different potential."""
        return tuple(shift for shift in self.shifts if not shift.is_level)

    @property
    def is_of_all(self) -> bool:
        """Whether every capacitor that has a p.d. is changed by one factor."""
        return is_of_all(self.whatif, self.old)

    @property
    def joins(self) -> str:
        """The word for where a changed capacitor stands, or stood."""
        return "joined" if isinstance(self.whatif.change, Removed | Wired | Swapped) else "joins"

    @property
    def is_held(self) -> bool:
        """Whether a supply holds the p.d. between the ends."""
        supply = self.whatif.problem.supply
        return supply is not None and supply.quantity == "voltage"

    def level(self, network: Network, points: tuple[str, str]) -> str:
        """Why two points are at one potential, where a ratio or a symmetry says so."""
        found = [each for each in equal_levels(network) if set(points) <= set(each.points)]
        return f", since {level_reason(found[0], self.speech)}" if found else ""

    def gone_quiet(self, c: Capacitor) -> str:
        """Why a capacitor holds no charge after the change."""
        if c.start == c.end:
            return f"both plates of {c.name} are on {c.start}, so it holds nothing"
        if c.name not in live_names(self.after):
            return f"no charge comes to {c.name}"
        points = (c.start, c.end)
        return (
            f"{' and '.join(points)} are at one potential{self.level(self.after, points)}, so "
            f"{c.name} has no {self.speech.terms.difference} and no charge"
        )

    def plus(self, c: Capacitor) -> str | None:
        """Where its + plate is after the change; None for none, or where letters leave it open."""
        return _higher(c, self.new)

    def is_turned(self, c: Capacitor) -> bool:
        """Whether its plates have changed signs."""
        old = next((one for one in self.before.capacitors if one[2:] == c[2:]), None)
        tops = (_higher(c, self.old), self.plus(c))
        return old is not None and None not in tops and tops[0] != tops[1]

    def has_both(self, quantity: Quantity) -> bool:
        """Whether a quantity stands on both sides."""
        return quantity in comparable(self.whatif)


def evidence_of(whatif: Supposing, speech: Speech) -> Evidence:
    """Both sides worked out."""
    old, new = shares(whatif.problem.network), shares(whatif.changed.network)
    return Evidence(whatif, speech, shifts(whatif, old), old, new)


def _higher(c: Capacitor, levels: Mapping[str, Value]) -> str | None:
    """The point of a capacitor at the higher potential."""
    if c.start not in levels or c.end not in levels:
        return None
    goes = way(levels[c.end], levels[c.start])
    if goes in (None, "same"):
        return None
    return c.start if goes == "up" else c.end
