"""Why a change does what it does to the whole: the rule of its place, and what is held fixed."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.changes import Added, NewSupply, Removed, Swapped, Wired
from tutor.circuit.solving import Solution, solve
from tutor.circuit.steps import Step
from tutor.circuit.values import same, tidy
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import Speech, listed
from tutor.teaching.whatif import floating, taken_out
from tutor.teaching.whatif.before_and_after import MOST_TOLD, Sides
from tutor.teaching.whatif.change import Direction, Supposing, about, direction
from tutor.teaching.whatif.shifted_potentials import evidence_of
from tutor.teaching.whatif.shifts import changed_names

MOST_STEPS_TOLD = 3


class Consequence(NamedTuple):
    """The reasons of one change; none of them is true of every network."""

    whatif: Supposing
    speech: Speech

    @property
    def sides(self) -> Sides:
        """The words for both sides."""
        return Sides(self.whatif, self.speech)

    def reason(self) -> str:
        """How the whole changes, what follows from what is fixed, and with floating points what
        that does to these.
        """
        if self.whatif.is_carried_off:
            return taken_out.reason(self.whatif, self.rule())
        if not self._is_floating():
            return " ".join(filter(None, (self.rule(), self._follows())))
        evidence = evidence_of(self.whatif, self.speech)
        told = (floating.rule(evidence), self._follows(), floating.inside(evidence))
        return " ".join(filter(None, told))

    def rule(self) -> str:
        """What the change does to the capacitance of the whole, by the rule of its place."""
        change = self.whatif.change
        if isinstance(change, NewSupply):
            pair = (self.speech.terms.difference, "charge")
            cause, effect = pair if self._given() == "voltage" else pair[::-1]
            return (
                "No capacitor is touched, and a capacitance is fixed by the build of its "
                f"capacitor, so every C stays; another {cause} only brings another {effect} along."
            )
        if self._is_floating():
            return floating.rule(evidence_of(self.whatif, self.speech))
        if isinstance(change, Added):
            return self._rule_of_added(change)
        if isinstance(change, Swapped):
            return self._rule_of_swap(change)
        names = about(change)
        idle = [name for name in names if self._is_idle(name)]
        if len(idle) == len(names):
            return f"No charge comes to {listed(names)} here, so nothing else notices the change."
        if isinstance(change, Removed):
            return self._rule_of_gap(names[0]) if len(names) == 1 else self._rule_of_many("down")
        if isinstance(change, Wired):
            return self._rule_of_wire(names[0]) if len(names) == 1 else self._rule_of_many("up")
        return self._rule_of_values(names)

    def _rule_of_values(self, names: tuple[str, ...]) -> str:
        whole = direction(self.whatif, Quantity("C"))
        if whole == "same":
            return "No value is another one than before, so nothing changes."
        if len(names) > 1 or whole is None:
            return self._rule_of_many(whole)
        word = "larger" if whole == "up" else "smaller"
        return f"{self._places(names[0])} So a {word} {names[0]} makes the whole {word}."

    def _rule_of_many(self, whole: Direction | None) -> str:
        if whole is None:
            return "The whole goes up with each of its capacitors and down with each."
        word = {"up": "larger", "down": "smaller", "same": "the same"}[whole]
        return (
            "The whole goes up or down with each capacitor that takes charge; here it becomes "
            f"{word}."
        )

    def _places(self, name: str) -> str:
        """Where a capacitor stands in the network, from the inside out."""
        told = []
        spoken = name
        for step in way_out(self._before(), name)[:MOST_STEPS_TOLD]:
            others = others_in_words(self._before(), step, name)
            if step.kind == "parallel":
                told.append(
                    f"{spoken} joins {listed(step.points)} beside {others}, where capacitances add"
                )
            else:
                told.append(f"{spoken} is in a chain with {others}, where 1/C adds up")
            assert step.makes is not None
            spoken, name = "that part", step.makes.name
        text = "; ".join(told) or f"{name} alone is the whole"
        return f"{text}."

    def _rule_of_gap(self, name: str) -> str:
        step = next(iter(way_out(self._before(), name)), None)
        if step is None:
            return ""
        others = others_in_words(self._before(), step, name)
        if step.kind == "parallel":
            return (
                f"{name} joined {listed(step.points)} beside {others}, where capacitances add, so "
                "without it the whole is smaller."
            )
        return (
            f"{name} was in a chain with {others}: with a gap there no charge comes along that "
            "chain, so the whole is smaller."
        )

    def _rule_of_wire(self, name: str) -> str:
        step = next(iter(way_out(self._before(), name)), None)
        if step is None:
            return ""
        others = others_in_words(self._before(), step, name)
        if step.kind == "series":
            return (
                f"{name} was in a chain with {others}, where 1/C adds up: with one term fewer "
                "1/C is less, so the whole is larger."
            )
        return (
            f"The wire joins {listed(step.points)}, so {others} beside it can have no "
            f"{self.speech.terms.difference} and {_holds(step, name)} nothing; without that part "
            "in its way the whole is larger."
        )

    def _rule_of_swap(self, change: Swapped) -> str:
        whole = direction(self.whatif, Quantity("C"))
        step = next(
            (s for s in self._before().steps if set(change) <= {c.name for c in s.parts}), None
        )
        if step is not None and step.kind == "series":
            return "Both are in one chain, and the order along a chain makes no difference."
        if step is not None and step.kind == "parallel":
            return "Both join the same two points, before and after."
        first, second = self.whatif.problem.network.named(change)
        if same(first.value, second.value):
            return "Both have the same value, so each place holds what it held before."
        word = {"up": "larger", "down": "smaller", "same": "the same", None: "another one"}[whole]
        return (
            "The places are the same, but each now has the value of the other, and places count "
            f"differently: the whole is {word}."
        )

    def _rule_of_added(self, change: Added) -> str:
        added, to = self.sides.added().name, change.to or "all the rest"
        if change.to is not None and self._is_idle(change.to):
            return f"No charge comes to {change.to} here, so nothing else notices the change."
        if change.kind == "parallel":
            return (
                f"{added} takes its own charge beside {to}, and capacitances side by side add: "
                "the whole is larger."
            )
        return (
            f"{added} is in a chain with {to}, and 1/C adds up along a chain: one term more, so "
            "the whole is smaller."
        )

    def _follows(self) -> str:
        """What the fixed p.d. or charge then does to the other of the two."""
        supply = self.whatif.problem.supply
        if supply is None:
            return ""
        if isinstance(self.whatif.change, NewSupply):
            return self._scaled()
        free = Quantity(supply.leaves)
        way = direction(self.whatif, free)
        if way is None:
            return ""
        goes = {"up": "goes up", "down": "goes down", "same": "stays"}[way]
        return f"{self.sides.held()}, so {relation(free, self.speech)} {goes}."

    def _scaled(self) -> str:
        quantity = Quantity("Q")
        if same(self.whatif.before[quantity], Fraction(0)):
            return "Before there was no charge anywhere."
        factor = tidy(self.whatif.after[quantity] / self.whatif.before[quantity])
        times = self.sides.times(factor)
        text = (
            f"{relation(quantity, self.speech)} holds for each of them, so every charge and every "
            f"{self.speech.terms.difference} becomes {times} what it was"
        )
        if self.whatif.energies:
            text += f", and every energy, a product of the two, {self.sides.times(tidy(factor**2))}"
        return f"{text}."

    def _is_floating(self) -> bool:
        """Whether series and parallel stick, and the change is inside."""
        return self.whatif.is_floating and bool(changed_names(self.whatif))

    def _given(self) -> str:
        supply = self.whatif.problem.supply
        return supply.quantity if supply is not None else "voltage"

    def _before(self) -> Solution:
        return solve(self.whatif.problem.network, self.whatif.problem.supply)

    def _is_idle(self, name: str) -> bool:
        idle = [
            c.name for step in self._before().steps
            for c in (*(step.parts if step.makes is None else ()), *step.swept)
        ]
        return name in idle


def relation(free: Quantity, speech: Speech) -> str:
    """Q = C V, or V = Q/C where the charge is given."""
    return speech.letters("Q = C V" if free.symbol == "Q" else "V = Q/C")


def others_in_words(solution: Solution, step: Step, name: str) -> str:
    """The other parts of a step, those of the text first; one that was made is named by the
    capacitors in it.
    """
    others = [_spoken(solution, c.name) for c in step.parts if c.name != name]
    return listed(sorted(others, key=lambda text: " " in text)[:MOST_TOLD])


def _spoken(solution: Solution, name: str) -> str:
    made_by = {step.makes.name: step for step in solution.steps if step.makes is not None}
    if name not in made_by:
        return name
    inside: list[str] = []
    waiting = [name]
    while waiting:
        step = made_by.get(waiting.pop(0))
        for c in step.parts if step is not None else ():
            (waiting if c.name in made_by else inside).append(c.name)
    shown = inside if len(inside) <= MOST_TOLD else [*inside[: MOST_TOLD - 1], "others"]
    return f"the part of {listed(shown)}"


def way_out(solution: Solution, name: str) -> list[Step]:
    """The steps that a capacitor, and what is made of it, takes part in, innermost first."""
    found = []
    for step in solution.steps:
        if step.makes is not None and name in {c.name for c in step.parts}:
            found.append(step)
            name = step.makes.name
    return found


def _holds(step: Step, name: str) -> str:
    return "holds" if len([c for c in step.parts if c.name != name]) == 1 else "hold"
