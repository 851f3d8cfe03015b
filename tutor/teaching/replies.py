"""What the tutor says about an answer: what is right in it, what cannot be, what to look at.

First what is right, then one consequence on this network; never the right value itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import Choice, Fault, Step
from tutor.circuit.values import in_letters
from tutor.teaching.judging import Judged
from tutor.teaching.misfit import Misfit, does_not_fit
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.reasons import because, values_of_parts
from tutor.teaching.speech import Dimensioned, Speech, counted, listed, sentence
from tutor.teaching.walk import Question, Walk
from tutor.teaching.wording import Wording

_AS_WELL: Final = "; it is not divided."
NOT_DIVIDED: Final = " it is, and it is not divided."
METAL: Final = "Look at the metal between two of them: what else does it touch?"


class Replies(NamedTuple):
    """The answers to answers of one walk."""

    speech: Speech

    @property
    def wording(self) -> Wording:
        """The tutor's own sentences, for the names of quantities."""
        return Wording(self.speech)

    def chosen(self, choice: Choice, step: Step) -> str:
        """A valid choice is taken; the reason is still to be given by the learner."""
        names = listed(choice.names)
        if choice.kind == "removal":
            be = "it" if len(choice.names) == 1 else "they"
            return f"{names}: yes, {be} can be left out."
        together = "those two can" if len(step.parts) == 2 else "they can all"
        return f"{names}: yes, {together} become one."

    def fault(self, fault: Fault, chosen: tuple[str, ...], network: Network) -> str:
        """Why a set cannot be combined, at the point that breaks it."""
        names = listed(fault.names) if fault.names else ""
        pair = listed([name for name in chosen if name in fault.names])
        if fault.kind == "one":
            return (
                f"{names} alone stays as it is; it takes two or more to make one."
                if fault.names else "Something can be combined here."
            )
        if fault.kind == "meeting":
            plates = counted(len(fault.names), "plate")
            return (
                f"{sentence(plates)} meet at {fault.point}: {names}. A charge that comes from one "
                f"of them can divide there, so {pair} need not hold the same charge; nor do they "
                "join the same two points."
            )
        if fault.kind == "ends":
            return (
                f"{pair} meet at {fault.point}, but that is an end of the network, where a supply "
                "joins too. So they need not hold the same charge, and they do not join the same "
                "two points."
            )
        if fault.kind == "apart":
            places = "; ".join(
                f"{c.name} joins {listed((c.start, c.end))}" for c in network.named(fault.names)
            )
            return f"{places}. They neither join the same two points nor need hold the same charge."
        if fault.kind == "mixed":
            first = network.named(fault.names)[0]
            others = [c for c in network.named(chosen) if c.points != first.points]
            places = "; ".join(f"{c.name} joins {listed((c.start, c.end))}" for c in others)
            return f"{names} join {listed((first.start, first.end))}, yes. But {places}."
        whom = "it" if len(fault.names) == 1 else "them"
        return f"{names}: does any charge come to {whom}? Look at where each plate is joined."

    def wrong_kind(self, step: Step, said: str) -> str:
        """The set is right, the kind that was named is not."""
        names = listed([c.name for c in step.parts])
        if said == "removal":
            return f"{names}: charge does come to them, so they cannot be left out."
        return f"{names}, yes; but look at the points. {self.joined_otherwise(step.parts, said)}"

    def joined_otherwise(self, parts: Iterable[Capacitor], said: str) -> str:
        """Where each of them is joined, and what a set of the kind that was said would need."""
        places = "; ".join(f"{c.name} joins {listed((c.start, c.end))}" for c in parts)
        wanted = (
            "For a parallel set all must join the same two points."
            if said == "parallel"
            else "For a chain two must meet where nothing else is joined."
        )
        return f"{places}. {wanted}"

    def unknown_names(self, unknown: tuple[str, ...], walk: Walk) -> str:
        """Names that are none here, or none any more."""
        left = listed([c.name for c in walk.network.capacitors])
        for step in walk.steps:
            for c in step.parts:
                if c.name.lower() == unknown[0].lower() and step.makes:
                    return f"{c.name} has become part of {step.makes.name}. Left are {left}."
                if c.name.lower() == unknown[0].lower():
                    return f"{c.name} has been left out already. Left are {left}."
        if unknown[0][0].isdigit():
            return f"No capacitor here has the value {unknown[0]}. Left are {left}."
        return f"{unknown[0]} is not in this network. Left are {left}."

    def names(self, step: Step) -> str:
        """C2 and C3."""
        return listed([c.name for c in step.parts])

    def alone(self, network: Network, name: str) -> str:
        """One capacitor named where nothing can be combined."""
        c = network.named((name,))[0]
        inner = set(network.points()) - set(network.ends)
        if c.points <= inner:
            return (
                f"{name} joins {listed(sorted(c.points))}. It could be left out only if these two "
                "are at one potential, and that is still to be found out. First: can any be "
                "combined?"
            )
        return f"{name} alone stays as it is; two or more can become one, if any can."

    def one_way(self, step: Step) -> str:
        """A step that may be done, as it is shown."""
        if step.makes is None:
            return f"{because(step, self.speech)} So {self.names(step)} can be left out."
        return f"For one, {self.names(step)} can be combined. {because(step, self.speech)}"

    def passes(self, step: Step) -> str:
        """What each part shares with the whole, as it is shown."""
        return self.passes_right(step).removeprefix("Yes: ")

    def shares_right(self, step: Step) -> str:
        """What is shared was said rightly: the reason in full."""
        return f"Yes. {because(step, self.speech)}"

    def shares_half(self, step: Step) -> str:
        """What is shared was said rightly, and a reason is still wanted."""
        shared = self.shared(step)
        return f"{sentence(shared)}, yes."

    def shared(self, step: Step) -> str:
        """The p.d. or the charge, with its article."""
        return f"the {self.speech.terms.difference}" if step.kind == "parallel" else "the charge"

    def shares_wrong(self, step: Step) -> str:
        """What is shared was taken for the other: why that cannot be; the
        reason for the other is still to be said.
        """
        difference = self.speech.terms.difference
        names = listed([c.name for c in step.parts])
        alike = len({c.value for c in step.parts}) == 1
        if step.kind == "parallel":
            if alike:
                return (
                    "The charges are equal here too, but only because the values are equal: side "
                    f"by side each takes its own. What {names} must share is the {difference}."
                )
            return (
                "Not the charge: side by side each takes its own, and these add up. So the "
                f"{difference} is what {names} share."
            )
        if alike:
            return (
                f"The {self.speech.terms.differences} are equal here too, but only because the "
                f"values are equal: along a chain each has its own. What {names} must share is "
                "the charge."
            )
        return (
            f"Not the {difference}: along a chain the {self.speech.terms.differences} add up, and "
            f"each has its own. So the charge is what {names} share."
        )

    def reason_wrong(self, step: Step, chosen: str) -> str:
        """Why an entry of the menu is no reason here."""
        if step.kind == "parallel":
            look = "Look at the two points of each: where does a meter touch?"
        else:
            look = METAL
        if "goes through" in chosen:
            return self.nothing_goes_through(step)
        return f"They share {self.shared(step)}, but not because {chosen}. {look}"

    def nothing_goes_through(self, step: Step) -> str:
        """The answer to a current through a chain as the reason of its one charge."""
        return f"They share {self.shared(step)}, but no charge goes through a capacitor. {METAL}"

    def points_half(self, step: Step, points: tuple[str, ...]) -> str | None:
        """Some of the points that make it so, and no wrong one: what they do, and what is left."""
        held = [point for point in step.points if point in points]
        own = {point for c in step.parts for point in c.points}
        if step.between or not held or len(held) == len(step.points) or not own.issuperset(points):
            return None
        if step.kind == "parallel":
            every = "both" if len(step.parts) == 2 else "all of them"
            return f"{held[0]}, yes: {every} have a plate there. And where are their other plates?"
        pairs = {
            point: [c.name for c in step.parts if point in c.points] for point in step.points
        }
        done = listed([f"{listed(pairs[point])} at {point}" for point in held])
        covered = {name for point in held for name in pairs[point]}
        missing = [c.name for c in step.parts if c.name not in covered]
        if missing:
            return f"{done}, yes. And which point makes {listed(missing)} hold it too?"
        joins = next(pairs[point] for point in step.points if point not in held)
        return f"{done}, yes. And which point makes {listed(joins)} hold the same?"

    def points_wrong(self, step: Step) -> str:
        """Where to look for the points that make it so."""
        if step.kind == "parallel":
            return "Write the two points of each: both must have the same pair."
        return "Look for the point where two of them meet and nothing else is joined."

    def passes_right(self, step: Step) -> str:
        """What each part shares with the whole, confirmed with its reason."""
        names = listed([c.name for c in step.parts])
        if step.kind == "series":
            return (
                f"Yes: {names} stand in one chain, so each holds all the charge of {step.made}; "
                "it is not divided."
            )
        return (
            f"Yes: {names} join the same two points as {step.made} did, so each has all its "
            f"{self.speech.terms.at_the_end}"
        )

    def not_divided(self, step: Step) -> str:
        """What each part shares with the whole, after it was taken for divided among them."""
        shared = sentence(self.shared(step))
        return f"{shared}{NOT_DIVIDED} {self.passes(step).replace(_AS_WELL, '.')}"

    def undivided(self, step: Step) -> str:
        """What is said of it before the step is made, after it was taken for divided."""
        among = "between" if len(step.parts) == 2 else "among"
        return f"It is not divided {among} them, though: each has all of it."

    def how_much_each(self, step: Step) -> str:
        """What is asked back where the shared quantity is said to be shared equally."""
        names = listed([c.name for c in step.parts])
        return f"How much is {self.shared(step)} of each of {names}?"

    def divided(self, step: Step) -> str:
        """What is said where that was named which is divided, not what is shared with the whole."""
        parted = "charge" if step.kind == "parallel" else self.speech.terms.difference
        among = "between" if len(step.parts) == 2 else "among"
        return f"The {parted} is divided {among} them, yes: none of them has all of it."

    def passes_wrong(self, step: Step) -> str:
        """What each part shares with the whole, after the other was named."""
        difference = self.speech.terms.difference
        names = listed([c.name for c in step.parts])
        if step.kind == "series":
            return (
                f"Not the {difference}: along a chain the {self.speech.terms.differences} add. "
                f"{names} share the charge, so each holds all the charge of {step.made}."
            )
        return (
            f"Not the charge: side by side the charges add. {names} share the {difference}, so "
            f"each has all the {difference} of {step.made}."
        )

    def value_right(self, question: Question, walk: Walk, judged: Judged) -> str:
        """The value said back with its unit."""
        quantity = question.quantity
        assert quantity is not None
        value = walk.truth[quantity]
        is_exact = self.speech.shown(value, quantity.dimension).exact
        of = () if is_exact else _led_to(question, quantity, walk)  # 64 µC is that, of 2.667 µF
        result = self.speech.result(value, quantity.dimension, *of)
        said = f"{self.speech.name(quantity)} {result}"
        named, _, amount = said.partition(" = ")
        text = f"{amount if named == amount else said}: right."
        if judged.note == "own rounding":
            text += " You rounded earlier; keep extra figures until the end."
        if judged.bare and not walk.reminded and walk.truth[quantity] != 0:
            text += " Write the unit with it."
        return text

    def value_wrong(
        self, question: Question, judged: Judged, found: Misfit, said: str
    ) -> str:
        """What does not fit about a value, as one consequence on this network."""
        quantity = question.quantity
        assert quantity is not None
        if judged.note == "unit":
            wanted = sentence(self.wording.quantity(quantity))
            return f"{wanted} is wanted, and {said} has another unit."
        if judged.note == "power of ten":
            return (
                f"The figures fit; the power of ten does not. "
                f"Which prefix belongs to {said}?"
            )
        return does_not_fit(found, said, quantity.dimension, self.speech)

    def other_unit(self, wanted: Quantity, stated: Quantity, said: str) -> str:
        """A value of something not asked, whose unit does not belong to it."""
        name = self.speech.name(stated)
        return (
            f"{sentence(self.wording.quantity(wanted))} is asked. {name} is "
            f"{self.wording.quantity(stated)}, and {said} has another unit."
        )

    def right_so_far(self, question: Question) -> str:
        """What stands already when an equivalent is wrong: what the parts share."""
        step, quantity = question.step, question.quantity
        if quantity is None or quantity.symbol != "C" or step is None:
            return ""
        shared = self.shared(step)
        return f"{self.names(step)} do share {shared}: that stands. "

    def line_before(self, said: str) -> str:
        """A request for the working behind a number."""
        return f"How did you get {said}? (Type the line you worked out, or another value.)"

    def pointer(self, question: Question) -> str:
        """A check to try, as a question, where no simple bound is broken."""
        step, quantity = question.step, question.quantity
        assert quantity is not None
        unit_charge, unit_voltage = f"1 {self.speech.unit('charge')}", "1 V"
        if step is not None and any(in_letters(c.value) for c in step.parts):
            unit_charge, unit_voltage = "the same charge", f"one {self.speech.terms.difference}"
        if quantity.symbol == "C" and step is not None and step.kind == "series":
            return (
                f"Try it with {unit_charge} on each of {listed([c.name for c in step.parts])}: "
                f"what {self.speech.terms.difference} does each need, and what do they add up to?"
            )
        if quantity.symbol == "C" and step is not None:
            return (
                f"Try it with {unit_voltage} across {listed([c.name for c in step.parts])}: what "
                "charge does each take, and how much is that together?"
            )
        if quantity.symbol == "W":
            return (
                f"The supply stood at its full {self.speech.terms.difference} all the time. "
                "Which charge did it move, and what does that take?"
            )
        if quantity.symbol == "E":
            return (
                f"The {self.speech.terms.difference} grew from zero while it charged. "
                "What was it on average, and how much charge moved?"
            )
        difference = self.speech.terms.difference
        return f"Which capacitance, charge and {difference} belong to the same capacitor here?"


def _led_to(question: Question, quantity: Quantity, walk: Walk) -> tuple[Dimensioned, ...]:
    """The printed values that a value follows from: of rounded ones only ≈ is true."""
    if quantity.symbol == "C":
        return values_of_parts(question.step) if question.step is not None else ()
    used = [Quantity(symbol, quantity.of) for symbol in _FOLLOWS_FROM[quantity.symbol]]
    return tuple((walk.truth[each], each.dimension) for each in used if each in walk.truth)


_FOLLOWS_FROM: Final[Mapping[str, tuple[Symbol, ...]]] = MappingProxyType(
    {"Q": ("C", "V"), "V": ("Q", "C"), "E": ("Q", "V"), "W": ("Q", "V")}
)
