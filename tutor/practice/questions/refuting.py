"""Why a wrong guess about a change cannot be: what would have to add up, and does not."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.changes import Added, NewSupply, NewValue, Wired
from tutor.circuit.steps import Step
from tutor.practice.questions.given import WorkedNetwork
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import listed
from tutor.teaching.whatif.change import Direction, Supposing
from tutor.teaching.whatif.consequence import way_out


class Refuting(NamedTuple):
    """A change and the quantity that is watched; nothing here says which way it does go."""

    given: WorkedNetwork
    whatif: Supposing
    quantity: Quantity

    @property
    def outer(self) -> Step:
        """The step that leaves one capacitor for all, before the change."""
        return self.given.solution.steps[-1]

    @property
    def place(self) -> str | None:
        """The capacitor at which the network is changed; None for the whole or the supply."""
        change = self.whatif.change
        if isinstance(change, NewValue):
            return change.name
        if isinstance(change, Wired):
            return change.names[0]
        return change.to if isinstance(change, Added) else None

    def hints(self) -> tuple[str, ...]:
        """Where to look, and the idea."""
        ends = listed(self.given.problem.network.ends)
        if isinstance(self.whatif.change, NewSupply):
            return (
                "Look at what is changed: a capacitor, or the supply?",
                f"{self._letters('Q = C V')}: which of the three does a supply set, and which is "
                "fixed by how a capacitor is built?",
            )
        difference = self.given.difference
        if self.quantity.symbol == "C":
            return (
                "Look at how the place of the change is joined to the rest.",
                "Side by side capacitances add up; along a chain 1/C adds up. What becomes of "
                "that sum?",
            )
        return (
            f"Look at {ends}: the supply holds the {difference} there, before and after.",
            f"Which way goes the capacitance of the whole, and what share of the {difference} or "
            "of the charge comes to the place in question?",
        )

    def reply(self, claimed: Direction) -> str:
        """What would follow from the claim, and what stands against it."""
        change = self.whatif.change
        if isinstance(change, NewSupply):
            return self._supply_changed()
        if self.quantity.of is None:
            return self._whole(claimed)
        if isinstance(change, Added) and change.to is None:
            return self._chained(claimed) if change.kind == "series" else self._untouched()
        return self._part(claimed)

    def _supply_changed(self) -> str:
        if self.quantity.symbol == "C":
            return (
                "No capacitor is touched. A capacitance is charge for each volt, and with other "
                f"volts the charge changes in the same ratio: C = {self._letters('Q/V')}."
            )
        if self.quantity.symbol == "V":
            start, end = self.given.problem.network.ends
            return (
                f"The {self.given.speech.terms.differences} from {start} to {end} must add up to "
                "what the supply now holds, and each keeps its own share of that."
            )
        return (
            f"{self._letters('Q = C V')}: the capacitances are what they were, and the "
            f"{self.given.speech.terms.differences} are not."
        )

    def _letters(self, text: str) -> str:
        return self.given.speech.letters(text)

    def _whole(self, claimed: Direction) -> str:
        volts = self.given.volts()
        old, across = self._old_charge(Quantity("Q"))
        tried = f"Try the old charge, {old}, on the changed whole: it would need {across}"
        if self.quantity.symbol == "C":
            return (
                f"{tried}, where it needed {volts} before. Compare the charge for each volt, "
                f"{self._letters('Q/V')}."
            )
        off = "" if claimed == "same" else " A change that way would take it further off."
        return f"{tried}, but the supply holds {volts}.{off}"

    def _old_charge(self, of: Quantity) -> tuple[str, str]:
        """The charge before the change, and the p.d. that all it goes through would now need."""
        old, new = Fraction(self.whatif.before[of]), Fraction(self.whatif.after[of])
        across = self.given.supply * old / new
        return self.given.coulombs(old), self.given.speech.amount(across, "voltage")

    def _untouched(self) -> str:
        start, end = self.given.problem.network.ends
        return (
            f"What is added joins {start} and {end} itself, where the supply still holds "
            f"{self.given.volts()}. Nothing on the way from {start} to {end} through "
            f"{self.quantity.of} has changed."
        )

    def _chained(self, claimed: Direction) -> str:
        """All that was there is now one member of a chain."""
        volts = self.given.volts()
        added = self.whatif.changed.network.capacitors[0].name
        if claimed == "same":
            return (
                f"Then the old part would still have all {volts} across it, and nothing would be "
                f"left for {added}; but {added} holds charge as well."
            )
        return (
            f"Then the old part would have more than {volts} across it, and {volts} is all that "
            "the supply holds."
        )

    def _part(self, claimed: Direction) -> str:
        place, watched = self.place, self.quantity.of
        assert place is not None
        assert watched is not None
        if self.whatif.after[Quantity("V", watched)] == 0:
            return self._bypassed(watched)
        together = self._member(place) == self._member(watched)
        if self.outer.kind == "parallel":
            if not together:
                return self._other_branch()
            if self._member(place) == place:
                return self._untouched()
            return self._in_a_chain(claimed, place == watched, self._neighbour(place))
        return self._in_a_chain(claimed, together, Quantity("Q"))

    def _bypassed(self, name: str) -> str:
        point = self.whatif.changed.network.named((name,))[0].start
        return (
            f"With the wire both plates of {name} are on the one point {point}, and a point has "
            "one potential."
        )

    def _member(self, name: str) -> str:
        """The part of the outer step that a capacitor is, or belongs to."""
        made = [step.makes.name for step in way_out(self.given.solution, name) if step.makes]
        return made[-2] if len(made) > 1 else name

    def _neighbour(self, name: str) -> Quantity:
        """The charge of the one that is in a chain with this one."""
        step = way_out(self.given.solution, name)[0]
        return Quantity("Q", next(c.name for c in step.parts if c.name != name))

    def _other_branch(self) -> str:
        start, end = self.given.problem.network.ends
        return (
            f"{self.quantity.of} is on a way of its own from {start} to {end}, where the supply "
            f"still holds {self.given.volts()}, and nothing on that way has changed."
        )

    def _in_a_chain(self, claimed: Direction, at_the_change: bool, of: Quantity) -> str:
        """All these changes make one part of a chain larger, so the old charge is too little."""
        terms, volts = self.given.speech.terms, self.given.volts()
        old, across = self._old_charge(of)
        comes = f"the {terms.differences} along the chain would come to {across}"
        holds = f"the supply holds {volts}"
        if at_the_change and claimed == "same":
            return (
                f"Then the rest of the chain would keep its {terms.difference} too, and so the old "
                f"charge, {old}. But with that {comes}, and {holds}."
            )
        if at_the_change:
            return (
                f"Then less would be left for the rest of the chain, and it would hold less than "
                f"the old charge, {old}. But even with that {comes}, and {holds}."
            )
        if claimed == "same":
            return (
                f"Then the charge along the chain would be {old} as before, and {comes}; {holds}."
            )
        return (
            f"With the old charge, {old}, {comes}, and {holds}. A change that way would take them "
            "further off."
        )
