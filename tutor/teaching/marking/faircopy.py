"""The fair copy: the learner's own route written out, a line for each quantity.

Symbol, relation, numbers with units, result with its unit, as an examiner wants to see it. Only
what the learner has said or been shown stands in it, in the order in which it came.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from tutor.circuit.joining import JOININGS
from tutor.circuit.nesting import names_only, nest_of
from tutor.circuit.relations import Fact, Relation
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, in_letters
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import because, working_line
from tutor.teaching.speech import Speech
from tutor.teaching.walk import Walk
from tutor.teaching.ways_of_walk import canonical, relations_to, used_by
from tutor.teaching.wording import Wording


def fair_copy(walk: Walk, speech: Speech) -> str:
    """Everything worked out so far, written out."""
    return "\n".join(FairCopy(walk, speech).lines())


class FairCopy(NamedTuple):
    """The lines of one walk."""

    walk: Walk
    speech: Speech

    def lines(self) -> list[str]:
        """What is given first, then a line for each quantity in the order in which it came."""
        found = [line for _, line in self.entries()]
        return [*self._given(), *(found or ["Nothing has been worked out yet."])]

    def entries(self) -> Iterator[tuple[Quantity, str]]:
        """Each quantity that has been worked out, with its line; no line comes twice."""
        seen = set(self._at_the_start())
        told: set[str] = set()
        for quantity in self.walk.known:
            if quantity in seen:
                continue
            line = self._line(quantity, seen)
            seen |= {quantity, self._plain(quantity)}
            if line and line not in told:
                yield quantity, line
                told.add(line)

    def _given(self) -> list[str]:
        problem = self.walk.problem
        nest = nest_of(problem.network, problem.powers)
        values = ", ".join(
            f"{c.name} {self.speech.shown(c.value, 'capacitance').after_equals}"
            for c in problem.network.capacitors
            if not in_letters(c.value) or str(c.value) != c.name
        )
        lines = [f"Network: {names_only(problem.network, nest)}"]
        supply = problem.supply
        if supply is not None:
            amount = self.speech.shown(supply.value, supply.quantity).after_equals
            name = self.speech.letters(supply.holds)
            where = f" between {problem.network.ends[0]} and {problem.network.ends[1]}"
            whole = f"{name} {amount}" if amount != f"= {name}" else name
            values = "; ".join(filter(None, (values, whole + where)))
        return [*lines, f"Given: {values}"] if values else lines

    def _at_the_start(self) -> list[Quantity]:
        problem = self.walk.problem
        given = [Quantity("C", c.name) for c in problem.network.capacitors]
        if problem.supply is not None:
            given.append(Quantity(problem.supply.holds))
        return given

    def _line(self, quantity: Quantity, seen: set[Quantity]) -> str:
        if quantity.point is not None:
            return f"{self._name(quantity)} {self._result(quantity)}"
        idle = self._left_out(quantity.of)
        if idle is not None:
            return self._idle_line(quantity, idle)
        if quantity.symbol == "C":
            return self._capacitance(quantity, seen)
        if quantity != self._plain(quantity):
            return ""  # the last capacitor is the whole, whose line is there or comes
        if quantity.symbol == "W":
            charge, voltage = Quantity("Q"), Quantity("V")
            names, numbers = (
                " × ".join(map(said, (charge, voltage))) for said in (self._name, self._amount)
            )
            worked = self._with_numbers(names.replace(" × ", " "), numbers)
            return self._joined(quantity, worked if {charge, voltage} <= seen else "")
        if quantity.symbol == "E" or quantity.of is None:
            return self._joined(quantity, self._worked(quantity, seen))
        return self._part(quantity, seen)

    # Capacitances

    def _capacitance(self, quantity: Quantity, seen: set[Quantity]) -> str:
        step = self.walk.made_by(quantity.of)
        if step is not None and step.shares:
            return working_line(step, self.speech)
        if step is not None:
            kind = f"in {step.kind}"
            return f"{working_line(step, self.speech)} ({kind})"
        whole = self.walk.whole
        if quantity.of is None and whole is not None and Quantity("C", whole.name) in seen:
            return f"{self.speech.name(quantity)} = {whole.name} {self._result(quantity)}"
        if quantity.of is None:
            return f"{self.speech.name(quantity)} {self._result(quantity)}"
        return ""

    # Charges and p.d.s

    def _part(self, quantity: Quantity, seen: set[Quantity]) -> str:
        """Passed on unchanged, or from the part's own two other quantities."""
        step = self.walk.part_of(quantity.of)
        if step is not None and step.shares:
            own = self._worked(quantity, seen) if quantity.symbol == "Q" else ""
            return self._joined(quantity, own or self._between(step, quantity))
        passed = step is not None and quantity.symbol == JOININGS[step.kind].shares
        if step is not None and step.makes is not None and passed:
            above = self._plain(Quantity(quantity.symbol, step.makes.name))
            if above in seen:
                kind = (
                    "same charge in series"
                    if step.kind == "series"
                    else (f"same {self.speech.terms.difference} in parallel")
                )
                names = f"{self._name(quantity)} = {self._name(above)}"
                return f"{names} {self._result(quantity)} ({kind})"
        whole = Quantity(quantity.symbol)
        if self.walk.whole is not None and quantity.of == self.walk.whole.name and whole in seen:
            return f"{self._name(quantity)} = {self._name(whole)} {self._result(quantity)}"
        return self._joined(quantity, self._worked(quantity, seen))

    def _between(self, step: Step, quantity: Quantity) -> str:
        """The p.d. of a part from the potentials of its two points, the higher one first."""
        part = next(c for c in step.parts if c.name == quantity.of)
        levels = [Quantity("V", point=point) for point in (part.start, part.end)]
        if in_letters(self._value(levels[0])) or in_letters(self._value(levels[1])):
            return ""
        high, low = sorted(levels, key=self._value, reverse=True)
        return f"{self._name(high)} − {self._name(low)}"

    def _worked(self, quantity: Quantity, seen: set[Quantity]) -> str:
        """By the law of its own capacitor, or as what is left of a whole, from what stands there
        already.
        """
        told = seen | {canonical(self.walk, each) for each in seen}
        for relation in relations_to(self.walk, quantity):
            is_own = relation.kind == "multiplied" or relation.is_rest
            if is_own and told.issuperset(used_by(self.walk, relation)):
                return self._written(relation)
        return ""

    def _written(self, relation: Relation) -> str:
        """A relation in names, then in numbers."""
        used = dict(zip(relation.uses, used_by(self.walk, relation), strict=True))
        names = relation.text(lambda fact: self._name(used[fact]))
        numbers = relation.text(lambda fact: self._factor(used[fact], relation, fact))
        return self._with_numbers(names.replace(" × ", " ").replace(" / ", "/"), numbers)

    def _factor(self, quantity: Quantity, relation: Relation, fact: Fact) -> str:
        """An amount as it stands in a relation: with a square behind it, and a fraction in letters
        above or below a line of division, in brackets.
        """
        text = self._amount(quantity)
        divided = relation.kind == "multiplied" and relation.finds.dimension == "voltage"
        return f"({text})" if relation.squares(fact) or (divided and "/" in text) else text

    # What is left out

    def _idle_line(self, quantity: Quantity, step: Step) -> str:
        if quantity.symbol == "C" or quantity.of is None:
            return ""
        if step.makes is None:
            reason = because(step, self.speech)
            names = [c.name for c in step.parts]
        else:
            reason = Wording(self.speech).swept(step)
            names = [c.name for c in step.swept]
        zeros = " = ".join(self._name(Quantity("Q", name)) for name in names)
        return f"{zeros} = 0. {reason}"

    def _left_out(self, name: str | None) -> Step | None:
        for step in self.walk.steps:
            idle = (*(step.parts if step.makes is None else ()), *step.swept)
            if name in {c.name for c in idle}:
                return step
        return None

    # Small pieces

    def _joined(self, quantity: Quantity, worked: str) -> str:
        result = self._result(quantity)
        name = self._name(quantity)
        if worked.rpartition(" = ")[2] == result.removeprefix("= "):
            return f"{name} = {worked}"
        return f"{name} = {worked} {result}" if worked else f"{name} {result}"

    def _with_numbers(self, relation: str, numbers: str) -> str:
        """The relation, and the numbers where they say anything new."""
        return relation if numbers.replace(" × ", " ") == relation else f"{relation} = {numbers}"

    def _result(self, quantity: Quantity) -> str:
        return self.speech.result(self._value(quantity), quantity.dimension)

    def _value(self, quantity: Quantity) -> Value:
        truth: Mapping[Quantity, Value] = self.walk.truth
        return truth[quantity]

    def _amount(self, quantity: Quantity) -> str:
        return self.speech.amount(self._value(quantity), quantity.dimension)

    def _name(self, quantity: Quantity) -> str:
        return self.speech.name(quantity)

    def _plain(self, quantity: Quantity) -> Quantity:
        """The whole under its own name, not that of the last capacitor made."""
        whole = self.walk.whole
        made = whole is not None and self.walk.made_by(whole.name) is not None
        if made and whole is not None and quantity.of == whole.name:
            return Quantity(quantity.symbol)
        return quantity
