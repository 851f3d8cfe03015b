"""Why one quantity goes the way it does after a change, with its numbers."""

from __future__ import annotations

from typing import NamedTuple

from tutor.circuit.changes import NewSupply
from tutor.circuit.values import in_letters, same, tidy
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import back_text
from tutor.teaching.speech import Speech, listed
from tutor.teaching.whatif import taken_out
from tutor.teaching.whatif.before_and_after import Sides
from tutor.teaching.whatif.change import Supposing, about
from tutor.teaching.whatif.consequence import Consequence, others_in_words, relation, way_out
from tutor.teaching.whatif.points_and_parts import why_part, why_point
from tutor.teaching.whatif.shifted_potentials import evidence_of


class Why(NamedTuple):
    """The reasons for single quantities of one change."""

    whatif: Supposing
    speech: Speech

    @property
    def sides(self) -> Sides:
        """The words for both sides."""
        return Sides(self.whatif, self.speech)

    def why(self, quantity: Quantity) -> str:
        """Why this one goes the way it does."""
        if quantity.symbol == "C":
            return self._why_capacitance(quantity)
        if self.whatif.is_carried_off:
            return taken_out.why(self.sides, quantity)
        if quantity.symbol == "E":
            return self._why_energy(quantity)
        if quantity.point is not None:
            return why_point(evidence_of(self.whatif, self.speech), quantity)
        if quantity.of is None:
            return self._why_whole(quantity)
        if self.whatif.is_floating:
            return why_part(evidence_of(self.whatif, self.speech), quantity, quantity.of)
        return self._why_part(quantity, quantity.of)

    def _why_capacitance(self, quantity: Quantity) -> str:
        if quantity.of is None:
            return Consequence(self.whatif, self.speech).rule()
        if quantity.of in about(self.whatif.change):
            return f"{self.sides.goes(quantity)} by the change itself."
        return f"{quantity.of} is not touched, and its value is its own."

    def _why_whole(self, quantity: Quantity) -> str:
        supply = self.whatif.problem.supply
        assert supply is not None
        given = supply.holds
        if isinstance(self.whatif.change, NewSupply):
            if quantity.symbol == given:
                return f"{self.sides.goes(quantity)} by the change itself."
            cause = self.sides.goes(Quantity(given))
            return f"{relation(quantity, self.speech)}: C stays, and {cause}."
        if quantity.symbol == given:
            return self.sides.fixed()
        return (
            f"{relation(quantity, self.speech)}: {self.sides.held()}, and "
            f"{self.sides.goes(Quantity('C'))}."
        )

    def _why_part(self, quantity: Quantity, name: str) -> str:
        solution = self.whatif.solution
        part = self.sides.changed(name)
        after = self.whatif.after[quantity]
        if not in_letters(after) and after == 0:
            when = "here" if same(self.whatif.before[quantity], after) else "now"
            return f"No charge comes to {name} {when}."
        step = next(iter(way_out(solution, name)), None)
        if step is None or step.makes is None:
            return f"{name} is the whole, and {self.sides.goes(quantity)}."
        holding = solution.holdings[name]
        is_whole = solution.whole is not None and step.makes.name == solution.whole.name
        if step.kind == "series" and quantity.symbol == "Q":
            others = others_in_words(solution, step, name)
            given = "the charge of the whole" if is_whole else "the charge of that chain"
            goes = self.sides.goes(quantity)
            return f"{name} is in a chain with {others} and holds {given}: {goes}."
        if step.kind == "parallel" and quantity.symbol == "V":
            ends = " themselves, the ends" if is_whole else ""
            return f"{name} joins {listed(step.points)}{ends}: {self.sides.goes(quantity)}."
        before = self.sides.amount(quantity)
        return f"{back_text(step, part, holding, self.speech)}; it was {before}."

    def _why_energy(self, quantity: Quantity) -> str:
        charge, voltage = (Quantity(s, quantity.of) for s in ("Q", "V"))
        times = ""
        if isinstance(self.whatif.change, NewSupply) and self.whatif.before[quantity] != 0:
            factor = tidy(self.whatif.after[quantity] / self.whatif.before[quantity])
            times = f" Both changed alike, so the energy is {self.sides.times(factor)} what it was."
        formula = " × ".join(self.speech.name(each) for each in (charge, voltage))
        return (
            f"{self.speech.name(quantity)} = ½ × {formula}: {self.sides.goes(charge)}, and "
            f"{self.sides.goes(voltage)}.{times}"
        )
