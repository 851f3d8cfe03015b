"""Why a potential, a p.d. or a charge goes the way it does where series and parallel stick.

A floating point stands at the mean of the potentials around it, each weighted with the
capacitance to it, V_P = Σ C_j V_j / Σ C_j, since the charges on its plates add to nought.
"""

from __future__ import annotations

from typing import NamedTuple

from tutor.circuit.changes import Added, NewSupply, Swapped
from tutor.circuit.network import Capacitor
from tutor.circuit.values import in_letters, same, tidy
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import back_text
from tutor.teaching.speech import Speech, listed
from tutor.teaching.whatif import taken_out
from tutor.teaching.whatif.before_and_after import MOST_TOLD, Sides
from tutor.teaching.whatif.change import Supposing, about, direction
from tutor.teaching.whatif.consequence import Consequence, others_in_words, relation, way_out
from tutor.teaching.whatif.floating import single
from tutor.teaching.whatif.shifted_potentials import Evidence, evidence_of
from tutor.teaching.whatif.shifts import Shift, is_between_ends, supply_is_changed


def why_point(evidence: Evidence, quantity: Quantity) -> str:
    """Why the potential of a floating point goes the way it does."""
    assert quantity.point is not None
    goes, point = evidence.sides.goes(quantity), quantity.point
    if (told := _unmoved(evidence, goes)) is not None:
        return told
    shift = single(evidence)
    if shift is not None and shift.is_ordered and point in shift.points:
        return f"{_pull(evidence, shift, point)} {goes}."
    if supply_is_changed(evidence.whatif):
        return f"{point} has the same share of the whole as before: {goes}."
    return f"{_mean(evidence, point)} {_causes(evidence, point)}{goes}."


def why_part(evidence: Evidence, quantity: Quantity, name: str) -> str:
    """Why the p.d. or the charge of one capacitor goes the way it does."""
    c, goes = evidence.sides.changed(name), evidence.sides.goes(quantity)
    after = evidence.whatif.after[quantity]
    if quantity.symbol == "V" and (told := _unmoved(evidence, goes)) is not None:
        return told
    if not in_letters(after) and after == 0:
        text = evidence.gone_quiet(c)
        return f"{text[:1].upper()}{text[1:]}: {goes}."
    own = next((shift for shift in evidence.shifts if shift.name == name), None)
    stays = not isinstance(evidence.whatif.change, Swapped)
    if own is not None and stays and evidence.loud == (own,) and own.way in ("up", "down"):
        return f"{_own(evidence, quantity, own)}: {goes}."
    voltage = evidence.speech.name(Quantity("V", name))
    drop = f"{voltage} = {_difference(evidence, c)}"
    if quantity.symbol == "V":
        return f"{drop}{_listed_causes(evidence, _levels_of(c))}. {_turned(evidence, c)}{goes}."
    causes = _listed_causes(evidence, [Quantity("C", name), *_levels_of(c)])
    relation = f"{evidence.speech.name(quantity)} = {name} × {voltage}"
    return f"{relation}, and {drop}{causes}. {_turned(evidence, c)}{goes}."


def _unmoved(evidence: Evidence, goes: str) -> str | None:
    """Where all potentials stay: nothing notices the change, or all is changed alike."""
    if evidence.shifts and not evidence.loud:
        names = listed([shift.name for shift in evidence.shifts][:MOST_TOLD])
        pd = evidence.speech.terms.difference
        return f"With no {pd} across {names} no potential moves: {goes}."
    if evidence.is_held and evidence.is_of_all:
        return f"The {evidence.speech.terms.difference} is divided as before: {goes}."
    return None


def _pull(evidence: Evidence, shift: Shift, point: str) -> str:
    other = shift.low if point == shift.high else shift.high
    level = "lower" if other == shift.low else "higher"
    if shift.way == "up":
        draws = f"With more capacitance between them {point} is drawn nearer to it:"
    else:
        draws = f"With less capacitance between them {point} is drawn less to it:"
    place = f"{shift.name} {evidence.joins} {point} and {other}"
    return f"{place}, which is at the {level} potential. {draws}"


def _mean(evidence: Evidence, point: str) -> str:
    """The balance of one point as a mean of the potentials around it."""
    meeting = [c for c in evidence.after.meeting(point) if c.start != c.end]
    name = evidence.speech.name(Quantity("V", point=point))
    outside = f"No charge comes to {point} from outside, so {name}"
    if not 1 < len(meeting) <= MOST_TOLD:
        return (
            f"{outside} is the mean of the potentials around it, each weighted with the "
            "capacitance to it."
        )
    minus = evidence.after.ends[1]
    around = [(c.name, c.end if c.start == point else c.start) for c in meeting]
    tops = [
        f"{each} × {_level_name(evidence, other)}" for each, other in around if other != minus
    ]
    over = " + ".join(tops) or "0"
    counted = f"counted from {minus}" if tops else f"since {minus} is at zero"
    return f"{outside} = ({over})/({' + '.join(each for each, _ in around)}), {counted}."


def _level_name(evidence: Evidence, point: str) -> str:
    is_plus = point == evidence.after.ends[0]
    return evidence.speech.name(Quantity("V") if is_plus else Quantity("V", point=point))


def _causes(evidence: Evidence, point: str) -> str:
    """What in that mean is another one than before."""
    near = evidence.after.meeting(point)
    around = dict.fromkeys(p for c in near for p in (c.start, c.end) if p != point)
    quantities = [Quantity("C", c.name) for c in near]
    quantities += [Quantity("V", point=p) for p in around]
    if evidence.after.ends[0] in around:
        quantities.append(Quantity("V"))
    told = _changing(evidence, quantities)
    return f"{listed(told[:MOST_TOLD])}, so " if told else ""


def _levels_of(c: Capacitor) -> list[Quantity]:
    return [Quantity("V", point=c.start), Quantity("V", point=c.end), Quantity("V")]


def _listed_causes(evidence: Evidence, quantities: list[Quantity]) -> str:
    told = _changing(evidence, quantities)
    return f": {listed(told)}" if told else ""


def _changing(evidence: Evidence, quantities: list[Quantity]) -> list[str]:
    return [
        evidence.sides.goes(q) for q in dict.fromkeys(quantities)
        if evidence.has_both(q) and direction(evidence.whatif, q) != "same"
    ]


def _turned(evidence: Evidence, c: Capacitor) -> str:
    if not evidence.is_turned(c):
        return ""
    return f"The + plate of {c.name} is now at {evidence.plus(c)}. "


def _difference(evidence: Evidence, c: Capacitor) -> str:
    """Its p.d. as one potential less the other, the higher one first."""
    top = evidence.plus(c) or c.start
    bottom = c.end if top == c.start else c.start
    if bottom == evidence.after.ends[1]:
        return _level_name(evidence, top)
    return f"{_level_name(evidence, top)} − {_level_name(evidence, bottom)}"


def _own(evidence: Evidence, quantity: Quantity, own: Shift) -> str:
    """The changed capacitor itself: with more capacitance less p.d., and yet more charge.

    With C of the rest as seen from its points, V = V0 C/(C + C1): V falls as C1 grows, and
    Q = C1 V rises (the theorem of Thevenin, common practice, cited from memory).
    """
    more, less = ("more", "less") if own.way == "up" else ("less", "more")
    change = evidence.whatif.change
    voltage, charge = Quantity("V", own.name), Quantity("Q", own.name)
    if isinstance(change, Added) and change.kind == "series":
        added = evidence.sides.added()
        shared = (
            f"At {added.start} only {own.name} and {added.name} meet, so they share one charge, "
            f"and with less capacitance between {listed(own.points)} it is less"
        )
        if quantity.symbol == "Q":
            return shared
        pd = f"{evidence.speech.name(voltage)} = {evidence.speech.name(charge)}/{own.name}"
        return f"{shared}; {pd}"
    if evidence.is_held and is_between_ends(own, evidence.before.ends):
        if quantity.symbol == "V" or isinstance(change, Added):
            return f"{own.name} joins the ends, and the supply holds them as before"
        return f"{own.name} joins the ends, which are held as before, so {more} of it holds {more}"
    if quantity.symbol == "Q" and direction(evidence.whatif, quantity) == "same":
        return f"No way leads round {own.name}, so it holds all the charge given, before and after"
    joins = f"{own.name} joins {listed(own.points)}. With {more} capacitance between them"
    if quantity.symbol == "V":
        return f"{joins} they differ {less} in potential"
    if isinstance(change, Added):
        name, pd = evidence.speech.name(charge), evidence.speech.name(voltage)
        return f"{joins} they differ {less} in potential, and {name} = {own.name} × {pd}"
    pd = evidence.speech.terms.difference
    return f"{joins} there is {more} charge on it, though its {pd} is {less}"


# Why one quantity goes the way it does after a change, with its numbers.


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
        if quantity in self.whatif.hidden:
            return self._in_names(quantity, name)
        before = self.sides.amount(quantity)
        return f"{back_text(step, part, holding, self.speech)}; it was {before}."

    def _in_names(self, quantity: Quantity, name: str) -> str:
        """``V1 = Q1/C1: Q1 goes up``, for a value that is still to be found."""
        other = Quantity("Q" if quantity.symbol == "V" else "V", name)
        given = self.speech.name(other)
        formula = f"{given}/{name}" if quantity.symbol == "V" else f"{name} × {given}"
        causes = [self.sides.goes(other)]
        if name in about(self.whatif.change):
            causes.append(self.sides.goes(Quantity("C", name)))
        return f"{self.speech.name(quantity)} = {formula}: {listed(causes)}."

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
