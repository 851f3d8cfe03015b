"""A reason weighed: all that a line states, taken together, and what is answered to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.network import Network
from tutor.circuit.steps import Step
from tutor.teaching.reading.propositions import Proposition, Says, propositions_in
from tutor.teaching.reading.truth import InQuestion, Merit, worth
from tutor.teaching.speech import Speech, listed

Weight: TypeAlias = Merit | Literal["none"]


class Weighed(NamedTuple):
    """How a reason is to be taken, and the proposition that decides it; ``beside_enough`` where
    another one of the same line is enough by itself.
    """

    worth: Weight
    by: Proposition | None = None
    beside_enough: bool = False


def reason_in(line: str, network: Network, step: Step) -> Weighed:
    """How far a line explains what the parts of a step share."""
    return weigh(propositions_in(line, network), InQuestion(network, step))


def weigh(told: Sequence[Proposition], place: InQuestion) -> Weighed:
    """What is false or a wrong idea is spoken of first, whatever stands beside it."""
    told = [*told, *_taken_together(told)]
    judged = [(worth(each, place), each) for each in told]
    order: tuple[Merit, ...] = ("false", "idea", "enough", "half")
    judged.sort(key=lambda pair: pair[1].says in _CONCLUDES)  # a reason speaks before that
    for kind in order:
        for found, each in judged:
            if found == kind:
                is_enough = any(other == "enough" for other, _ in judged)
                return Weighed(kind, each, kind == "false" and is_enough)
    return Weighed("none")


_CONCLUDES: tuple[Says, ...] = ("same", "same pd", "same charge")


def _taken_together(told: Sequence[Proposition]) -> list[Proposition]:
    """The same said of one place after the other, or of one capacitor after the other."""
    found: dict[tuple[str, bool], Proposition] = {}
    for each in told:
        key = (each.says, each.holds)
        before = found.get(key)
        found[key] = each if before is None else before._replace(
            points=tuple(dict.fromkeys((*before.points, *each.points))),
            capacitors=tuple(dict.fromkeys((*before.capacitors, *each.capacitors))),
        )
    return [each for each in found.values() if each not in told]


_MALRULES: Mapping[str, str] = MappingProxyType({
    "used up": "splits-the-charge-along-a-chain", "split": "splits-the-charge-along-a-chain",
})


def malrules_of(weighed: Weighed, step: Step) -> tuple[str, ...]:
    """The malrules that a wrong idea shows, where the catalogue knows it."""
    if weighed.worth != "idea" or weighed.by is None or step.kind != "series":
        return ()
    name = _MALRULES.get(weighed.by.says)
    return (name,) if name else ()


def reply(weighed: Weighed, place: InQuestion, speech: Speech) -> str:
    """What is said to a reason that is not enough: what is so here, or what is still open."""
    said = weighed.by
    if said is None:
        return ""
    told = ReasonReplies(place, speech)
    if weighed.worth == "false":
        return told.not_so(said)
    return told.own_question(said) if weighed.worth == "idea" else told.and_why(said)


class ReasonReplies(NamedTuple):
    """Sentences about one sharing on one network; every one of them is true of it."""

    place: InQuestion
    speech: Speech

    @property
    def names(self) -> str:
        """C1 and C2."""
        return listed(self.place.names)

    @property
    def shared(self) -> str:
        """The charge or the p.d."""
        is_charge = self.place.step.kind == "series"
        return "the charge" if is_charge else f"the {self.speech.terms.difference}"

    @property
    def look(self) -> str:
        """Where the reason is to be found."""
        if self.place.step.kind == "series":
            return "Look at the metal between two of them: what else does it touch?"
        return "Look at the two points of each: where does a meter touch?"

    # What is so instead

    def not_so(self, said: Proposition) -> str:
        """What is so here, in the place of what was said."""
        step = self.place.step
        if said.says == "ground":
            return f"Nothing between them is joined to earth or held at zero. {self.look}"
        if said.says == "level":
            return (
                f"{listed(said.points)} are two points with capacitors between them and no wire, "
                f"so they need not be at one potential. {self.look}"
            )
        if said.says in ("same pd", "same charge") and said.holds:
            pd, series = self.speech.terms.difference, step.kind == "series"
            along, its_own = ("along a chain", pd) if series else ("side by side", "charge")
            return f"Not that: {along} each has its own {its_own}, and these add up. {self.look}"
        if said.says in ("supply", "on supply", "across supply") and said.holds:
            return f"The supply is joined to {listed(self.place.network.ends)}. {self.joins()}"
        if said.says in ("only", "cut off", "kept", "neutral", "count", "supply"):
            where = said.points or (step.points if step.kind == "series" else step.points[:1])
            return " ".join(self.meets(point) for point in where[:2])
        return self.joins()

    def joins(self) -> str:
        """Between which points each of them is."""
        return "; ".join(
            f"{c.name} joins {listed((c.start, c.end))}" for c in self.place.step.parts
        ) + "."

    def meets(self, point: str) -> str:
        """What is joined at a point."""
        names = self.place.meeting(point)
        if self.place.is_end(point):
            return f"At {point} there is {listed(names)}, and the supply is joined there too."
        only = "only " if len(names) < 3 else ""
        verb = "meet" if len(names) > 1 else "is"
        return f"At {point} {only}{listed(names)} {verb}: count the ends there."

    # The question that belongs to a wrong idea

    def own_question(self, said: Proposition) -> str:
        """A wrong idea about charge is answered by the question that undoes it."""
        start = f"They share {self.shared}, but"
        series = self.place.step.kind == "series"
        first = self.place.names[0]
        if said.says == "through":
            return (
                f"{start} no charge goes through a capacitor. What is between its plates? "
                f"{self.look}"
            )
        if said.says == "used up" and series:
            return (
                f"{start} nothing is used up along the way: as much as comes onto one plate of "
                f"{first} goes from its other plate. Where does that go?"
            )
        if said.says == "split" and series:
            return (
                f"{start} it is not divided among them. Charge can divide only where it has two "
                "ways to go: is there such a place between them?"
            )
        if said.says == "split":
            return f"The charge does divide there; but that does not fix {self.shared}. {self.look}"
        if said.says == "sent":
            return (
                f"{start} a supply does not deal out a charge to each: it holds a "
                f"{self.speech.terms.difference} between its ends. {self.look}"
            )
        if said.says == "equal":
            return self._of_equals()
        if said.says == "near":
            return (
                f"{start} standing near is not joining. Could two neighbours not hold different "
                f"charges, and have different {self.speech.terms.differences}? {self.look}"
            )
        return f"{start} nothing is used up. {self.look}"

    def _of_equals(self) -> str:
        parts = self.place.step.parts
        last = parts[-1].name
        if len({c.value for c in parts}) == 1:
            first = f"They are equal here, yes; but if {last} were doubled, they would still share"
        else:
            values = listed([self.speech.amount(c.value, "capacitance") for c in parts])
            first = f"They are {values}, so not equal; and whatever the values, they share"
        return f"{first} {self.shared.removesuffix('.')}. {self.look}"

    # What is still open

    def and_why(self, said: Proposition) -> str:
        """What was said is so; the step from it to the sharing is still open."""
        series = self.place.step.kind == "series"
        if said.says in ("one point", "wire", "points") and said.holds:
            other = "what else is joined there?" if series else "where are their other plates?"
            return f"They do meet there. And {other}"
        if series and said.says in ("only", "kept", "neutral", "cut off") and said.points:
            return f"True of {listed(said.points)}. And which other point matters?"
        told = _STILL_OPEN.get(said.says)
        if told is None or (said.says == "supply" and said.holds):
            return f"True; and why does that make {self.shared} the same?"
        return told.format(look=self.look)


_STILL_OPEN: Mapping[Says, str] = MappingProxyType({
    "series": "That is what is to be explained: how do you see it? {look}",
    "parallel": "That is what is to be explained: how do you see it? {look}",
    "same": "That is the thing to explain. {look}",
    "same pd": "That is the thing to explain. {look}",
    "same charge": "That is the thing to explain. {look}",
    "through": "True, nothing crosses the gap. Then what can come onto the metal between them?",
    "supply": "True, the supply is not joined there. And what else is?",
    "adds": "That follows from the sharing and does not explain it. {look}",
    "conserved": "True everywhere. On which piece of metal here, and why can none come to it?",
    "one potential": "True of any point. Which points do all of them join?",
    "on supply": "They do touch it. With which of their ends? {look}",
    "path": "There is no branch, true; but nothing goes through a capacitor. {look}",
    "cut off": "Which piece of metal is cut off, and from what?",
})
