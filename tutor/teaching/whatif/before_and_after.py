"""Both sides of a what-if in words: the change in full, what stays, and values side by side."""

from __future__ import annotations

from typing import NamedTuple

from grammar.writing import write_number
from tutor.circuit.changes import Added, NewSupply, NewValue, Removed, Scaled, Swapped, Wired
from tutor.circuit.network import Capacitor
from tutor.circuit.values import Value, in_letters
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import Speech, listed
from tutor.teaching.whatif.change import Direction, Supposing, about, direction
from tutor.teaching.whatif.shifts import only_way

MOST_TOLD = 4


class Sides(NamedTuple):
    """Before and after one change."""

    whatif: Supposing
    speech: Speech

    # The change itself

    def supposition(self) -> str:
        """The change in full, and what stays."""
        change = self.whatif.change
        if isinstance(change, NewSupply):
            return f"Suppose {self._supply_told()}. Nothing else is changed."
        if isinstance(change, Added):
            return f"Suppose {self._added_told(change)}. {self.fixed()}".rstrip()
        return f"Suppose {self._change_told()}. {self.fixed()}".rstrip()

    def _change_told(self) -> str:
        change = self.whatif.change
        if isinstance(change, NewValue | Scaled):
            names = about(change)
            told = [
                f"{name} is {self.amount(Quantity('C', name), after=True)} in place of "
                f"{self.amount(Quantity('C', name))}"
                for name in names[:MOST_TOLD]
            ]
            more = ["so on"] if len(names) > MOST_TOLD else []
            return listed([*told, *more])
        if isinstance(change, Removed):
            return self._removed_told(change)
        if isinstance(change, Wired):
            parts = self.whatif.problem.network.named(change.names)
            points = "; ".join(f"{listed((c.start, c.end))} are one point" for c in parts)
            each = "a wire takes" if len(parts) == 1 else "wires take"
            return f"{each} the place of {listed(change.names)}, so that {points}"
        assert isinstance(change, Swapped)
        places = " and ".join(_place(self.changed(name)) for name in change)
        return f"{listed(change)} change places, so that {places}"

    def _removed_told(self, change: Removed) -> str:
        one = len(change.names) == 1
        gap, supply = "leaves a gap" if one else "leave gaps", self.whatif.problem.supply
        if change.charged:
            how = f" with the charge on {'its' if one else 'their'} plates"
        else:
            how = "" if supply is None else " before anything is charged"
        return f"{listed(change.names)} {_is(change.names)} taken out{how} and {gap}"

    def _added_told(self, change: Added) -> str:
        added = self.added()
        value = self.speech.amount(change.value, "capacitance")
        if change.kind == "parallel":
            beside = change.to or "the whole network"
            points = listed((added.start, added.end))
            return f"{added.name}, {value}, joins {points} beside {beside}"
        first = "" if self.whatif.problem.supply is None else ", before anything is charged"
        to = change.to or "the whole network"
        old = self.whatif.problem.network.points()
        ends = (p if p in old else f"{p}, a new point" for p in (added.start, added.end))
        way = " to ".join(ends)
        told = f"{added.name}, {value}, is put in a chain with {to}{first}, from {way}"
        moved = [
            (c.name, before.points - c.points, c.points - before.points)
            for before in self.whatif.problem.network.capacitors
            for c in self.whatif.changed.network.named((before.name,)) if c.points != before.points
        ]
        if not moved:
            return told
        (gone,), (new,) = moved[0][1:]
        movers = [name for name, *_ in moved]
        join = "joins" if len(movers) == 1 else "join"
        return f"{told}; {listed(movers)} now {join} {new} in the place of {gone}"

    def _supply_told(self) -> str:
        supply = self.whatif.problem.supply
        assert supply is not None
        quantity = Quantity(supply.holds)
        new, old = self.amount(quantity, after=True), self.amount(quantity)
        if supply.quantity == "voltage":
            return f"the supply holds {new} in place of {old}"
        return f"{new} in all have been moved in place of {old}"

    def fixed(self) -> str:
        """What a change of the network leaves as it is."""
        supply = self.whatif.problem.supply
        if supply is None:
            return ""
        if self.whatif.is_carried_off:
            return "Nothing else is touched."
        ends = listed(self.whatif.changed.network.ends)
        if supply.quantity == "voltage":
            return f"The supply still holds {self.amount(Quantity('V'))} between {ends}."
        return f"The charge moved, {self.amount(Quantity('Q'))}, stays as it is."

    # Values

    def held(self) -> str:
        """That what the supply gives is held, with its value unless that is the name itself."""
        supply = self.whatif.problem.supply
        assert supply is not None
        quantity = Quantity(supply.holds)
        name, amount = self.speech.name(quantity), self.amount(quantity)
        return f"{name} is held" if amount == name else f"{name} is held at {amount}"

    def side_by_side(self, quantity: Quantity) -> str:
        """``C: 2 µF before, 3 µF after: up``."""
        name = self.speech.name(quantity)
        way = direction(self.whatif, quantity)
        if way is None:
            way_told = self._open_way(quantity)
        else:
            way_told = {"up": "up", "down": "down", "same": "the same"}[way]
        if quantity in self.whatif.hidden:
            return f"{name}: {way_told}"
        before, after = self.amount(quantity), self.amount(quantity, after=True)
        small = ", by less than these figures show" if before == after and way != "same" else ""
        return f"{name}: {before} before, {after} after: {way_told}{small}"

    def _open_way(self, quantity: Quantity) -> str:
        goes = only_way(self.whatif, quantity)
        if goes is None:
            return "it depends on the letters which is more"
        return f"{goes}, or the same if the values happen to balance"

    def way(self, quantity: Quantity) -> Direction | None:
        """Which way it goes."""
        return direction(self.whatif, quantity)

    def goes(self, quantity: Quantity) -> str:
        """``Q goes from 24 µC to 36 µC``, or that it stays; without the values that are hidden."""
        name, way = self.speech.name(quantity), direction(self.whatif, quantity)
        if quantity in self.whatif.hidden:
            told = {"up": "goes up", "down": "goes down", "same": "stays as it is"}
            return f"{name} {told[way]}" if way else f"{name} changes"
        before = self.amount(quantity)
        if way == "same":
            return f"{name} stays {before}"
        return f"{name} goes from {before} to {self.amount(quantity, after=True)}"

    def amount(self, quantity: Quantity, after: bool = False) -> str:
        """Its value on one of the sides."""
        values = self.whatif.after if after else self.whatif.before
        return self.speech.amount(values[quantity], quantity.dimension)

    def times(self, factor: Value) -> str:
        """How many times, in the learner's figures."""
        if in_letters(factor):
            return "one and the same number of times"
        style = self.speech.terms.style
        return f"{write_number(factor, style.figures, style.comma)[0]} times"

    def changed(self, name: str) -> Capacitor:
        """A capacitor where it stands after the change."""
        return self.whatif.changed.network.named([name])[0]

    def added(self) -> Capacitor:
        """The one that was not there before."""
        old = {c.name for c in self.whatif.problem.network.capacitors}
        return next(c for c in self.whatif.changed.network.capacitors if c.name not in old)


def _place(c: Capacitor) -> str:
    if c.start == c.end:
        return f"{c.name} has both plates on {c.start}"
    return f"{c.name} joins {listed((c.start, c.end))}"


def _is(names: tuple[str, ...]) -> str:
    return "is" if len(names) == 1 else "are"
