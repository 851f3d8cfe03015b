"""What the tutor says of its own accord: the opening, questions, lists, steps and checks.

Every sentence is about the network in hand, and nothing is worked out here. What it says about
an answer stands in replies.py, why a step is so in reasons.py.
"""

from __future__ import annotations

from typing import NamedTuple

from tutor.circuit.derivation import derive
from tutor.circuit.joining import PARTNER
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import BEYOND, Step
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.reasons import (
    back_reason,
    because,
    derivation_lines,
    meetings,
    points_in_words,
    working_line,
)
from tutor.teaching.shared_reasons import menu
from tutor.teaching.speech import Speech, counted, listed, sentence, some_names
from tutor.teaching.walk import (
    Question,
    Walk,
    check_of,
    given,
    is_steady,
    is_stuck,
)

SAME_LINE = (
    " You may add what they share, that is, what is the same for each of them, which points make "
    "it so, and the value."
)
VALUES_TOO = "The values may follow in the same line."


class Wording(NamedTuple):
    """The sentences of one walk."""

    speech: Speech

    # Opening

    def opening(self, walk: Walk) -> str:
        """The network in words, what is joined to it, and what is wanted."""
        problem = walk.problem
        lines = ["Here is the network."]
        for group in problem.joined:
            wires = "A wire joins" if len(group) == 2 else "Wires join"
            lines.append(f"{wires} {listed(group)}, so they are one point, called {group[0]} here.")
        lines += points_in_words(problem.network, self.speech)
        lines.append(self.goal(walk))
        return "\n".join(lines)

    def goal(self, walk: Walk) -> str:
        """The supply and what is wanted."""
        problem, ends = walk.problem, walk.problem.network.ends
        if problem.supply is None:
            setting = f"No supply is named. The ends are {listed(ends)}."
        elif problem.supply.quantity == "voltage":
            amount = self.speech.amount(problem.supply.value, "voltage")
            setting = f"A supply holds {amount} between {listed(ends)}, with + at {ends[0]}."
        else:
            amount = self.speech.amount(problem.supply.value, "charge")
            setting = f"A charge of {amount} has been moved from {ends[1]} to {ends[0]}, the + end."
        return f"{setting} {self._wanted(walk)}"

    def _wanted(self, walk: Walk) -> str:
        asked = walk.problem.asked
        if asked:
            names = listed(
                self.quantity(Quantity(SYMBOL[a.quantity], a.of)) for a in asked
            )
            return f"Wanted: {names}.{self._without_value(walk)}"
        if walk.manner.asked is not None or walk.manner.only is not None:
            return "Wanted: what is asked below, and no more."
        if walk.problem.supply is None:
            return "Wanted: the capacitance of the whole network."
        both = f"the {self.speech.terms.difference} and the charge"
        if len(given(walk)) == 1:
            return f"Wanted: {both}."
        return f"Wanted: the capacitance of the whole network, then {both} of each."

    def _without_value(self, walk: Walk) -> str:
        """What of that has no value, since nothing says what the network holds."""
        named = [
            self.quantity(Quantity(SYMBOL[a.quantity], a.of))
            for a in walk.problem.asked if a.quantity != "capacitance"
        ]
        if walk.problem.supply is not None or not named:
            return ""
        has = "has" if len(named) == 1 else "have"
        return (
            f" But {listed(named)} {has} no value until a {self.speech.terms.difference} or a "
            "charge is given; what can be found is the capacitance of the whole network."
        )

    # Questions

    def ask(self, walk: Walk, question: Question) -> str:
        """The question in hand, in one sentence where it can be."""
        if question.about == "choice":
            return self._ask_choice(walk)
        if question.about == "shares":
            return self._ask_shares(walk, question)
        if question.about == "reason":
            return menu(step_of(question), self.speech, walk.seed)
        if question.about == "check":
            return self._ask_check(walk)
        return self._ask_quantity(walk, question)

    def _ask_choice(self, walk: Walk) -> str:
        if not walk.steps:
            return (
                "Which capacitors can be combined into one, or left out, now? (Give their names, "
                f"or say none.{SAME_LINE})"
            )
        return "Which can be combined into one, or left out, now?"

    def _ask_shares(self, walk: Walk, question: Question) -> str:
        step = step_of(question)
        difference = self.speech.terms.difference
        names = listed([c.name for c in step.parts])
        if not question.going_back:
            is_told = ("reason", step.made) in walk.settled
            simple = step.between or is_told or is_steady(walk, step)
            ending = "" if simple else ", and which points make it so"
            return f"What do {names} share, the {difference} or the charge{ending}?"
        have = self._have(walk, step.made)
        is_first = not any(about == "back" for about, _ in walk.settled)
        return (
            f"Now back from {step.made} to its parts, {names}. {have}"
            f"Which of the two is the same for each of them as for {step.made}, the {difference} "
            f"or the charge?{f' ({VALUES_TOO})' if is_first else ''}"
        )

    def _have(self, walk: Walk, name: str) -> str:
        charge = walk.known.get(Quantity("Q", name))
        voltage = walk.known.get(Quantity("V", name))
        if charge is None or voltage is None:
            return ""
        return (
            f"{name} holds {self.speech.amount(charge, 'charge')} at "
            f"{self.speech.amount(voltage, 'voltage')}. "
        )

    def _ask_check(self, walk: Walk) -> str:
        if check := check_of(walk):
            symbol, parts = check
            names = [self.speech.name(Quantity(symbol, c.name)) for c in parts]
            if symbol == "V":
                way = listed([c.name for c in parts])
                return (
                    f"A check to end with. Going from {walk.network.ends[0]} to "
                    f"{walk.network.ends[1]} through {way}: what must {' + '.join(names)} come to?"
                )
            return f"A check to end with. What must {' + '.join(names)} come to?"
        return ""

    def _ask_quantity(self, walk: Walk, question: Question) -> str:
        quantity, step, part = question.quantity, question.step, question.part
        assert quantity is not None
        difference = self.speech.terms.difference
        if step is not None and step.kind == "removal":
            return f"What is {self.quantity(quantity)}?"
        if quantity.symbol == "C" and step is not None:
            names = listed([c.name for c in step.parts])
            return f"What is {quantity.of}, the one capacitor that can take the place of {names}?"
        if quantity.symbol == "C":
            return "What is C, the capacitance of the whole network?"
        if quantity.symbol == "W":
            return "What energy did the supply give while it charged the network from empty?"
        if quantity.of is None and quantity.symbol != "E" and part is not None:
            return self._ask_whole(walk, quantity, part)
        if quantity.symbol == "E" and quantity.of is None:
            return "What energy is stored in the whole network?"
        assert part is not None
        value = self.speech.amount(part.value, "capacitance")
        partner = walk.known.get(Quantity(PARTNER.get(quantity.symbol, "V"), part.name))
        if quantity.symbol == "E":
            charge, voltage = (walk.known.get(Quantity(s, part.name)) for s in ("Q", "V"))
            told = f" ({value}" + (
                f", {self.speech.amount(charge, 'charge')}" if charge is not None else ""
            ) + (f", {self.speech.amount(voltage, 'voltage')})" if voltage is not None else ")")
            return f"What energy is stored in {part.name}{told}?"
        kind = "charge" if quantity.symbol == "V" else "voltage"
        told = f"{value}, {self.speech.amount(partner, kind)}" if partner is not None else value  # type: ignore[arg-type]
        if quantity.symbol == "V":
            return f"What is the {difference} across {part.name} ({told})?"
        return f"What charge does {part.name} hold ({told})?"

    def _ask_whole(self, walk: Walk, quantity: Quantity, whole: Capacitor) -> str:
        value = self.speech.amount(whole.value, "capacitance")
        if quantity.symbol == "Q":
            across = self.speech.amount(walk.known[Quantity("V")], "voltage")
            if walk.steps:
                return (
                    f"One capacitor is left: {whole.name}, {value}, with {across} across it. "
                    "What charge has the supply moved?"
                )
            return f"{whole.name} is {value} across {across}. What charge does it hold?"
        held = self.speech.amount(walk.known[Quantity("Q")], "charge")
        return (
            f"{whole.name} is {value} and holds {held}. "
            f"What is the {self.speech.terms.difference} between the ends?"
        )

    def quantity(self, quantity: Quantity) -> str:
        """A quantity in words: the charge of C3."""
        difference = self.speech.terms.difference
        of = quantity.of
        if quantity.point is not None:
            return f"the potential of {quantity.point}"
        if quantity.symbol == "C" and of is None:
            return "the equivalent capacitance"
        if of is None:
            return {
                "Q": "the charge moved in all",
                "V": f"the {difference} between the ends",
                "E": "the energy stored in all",
                "W": "the energy given by the supply",
            }[quantity.symbol]
        return {
            "C": f"the value of {of}",
            "Q": f"the charge of {of}",
            "V": f"the {difference} across {of}",
            "E": f"the energy stored in {of}",
        }[quantity.symbol]

    def left_now(self, network: Network) -> str:
        """What the network is after a step."""
        parts = network.capacitors
        if len(parts) > 8:
            return f"{len(parts)} capacitors are left."
        return "Left now: " + "; ".join(
            f"{c.name}, {self.speech.amount(c.value, 'capacitance')}, {c.start} to {c.end}"
            for c in parts
        ) + "."

    def worked_step(self, step: Step, said: bool) -> str:
        """A whole step, as it is revealed; without its reason where that was ``said`` already."""
        if step.makes is None:
            return f"{because(step, self.speech)} So {listed([c.name for c in step.parts])} " + (
                "is left out." if len(step.parts) == 1 else "are left out."
            )
        reason = "" if said else f"{because(step, self.speech)}\n"
        is_named = self.speech.terms.beside == "in series" and step.joining is not None
        kind = f" (in {step.kind})" if is_named else ""
        return reason + working_line(step, self.speech) + kind

    # Checks

    def listing(self, walk: Walk) -> str:
        """What is left, in words; on the way back, the whole network and what was made of it."""
        if len(walk.network.capacitors) > 1 or not walk.steps:
            return "\n".join(points_in_words(walk.network, self.speech))
        lines = points_in_words(walk.problem.network, self.speech)
        for step in walk.steps:
            names = listed([c.name for c in step.parts])
            if step.makes is not None:
                value = self.speech.amount(step.makes.value, "capacitance")
                lines.append(f"{step.makes.name}, {value}, in the place of {names}")
        return "\n".join(lines)

    def on_the_way(self, steps: tuple[Step, ...]) -> str:
        """The steps that a learner jumped over, a line each."""
        return "\n".join(["On the way:", *(working_line(step, self.speech) for step in steps)])

    def twin(self, walk: Walk, is_first: bool) -> str:
        """The opening of a twin of a step that was shown, perhaps the first thing asked."""
        opening = (
            "Now the same step on other values." if is_first
            else "Before the end, a step like one that was shown, with other values."
        )
        lines = [opening]
        lines += points_in_words(walk.problem.network, self.speech)[:-1]
        held, across = walk.known.get(Quantity("Q")), walk.known.get(Quantity("V"))
        if walk.whole is not None and held is not None and across is not None:
            charge, difference = (
                self.speech.amount(held, "charge"), self.speech.amount(across, "voltage")
            )
            lines.append(f"Together, as {walk.whole.name}, they hold {charge} at {difference}.")
        return "\n".join(lines)

    def where(self, walk: Walk) -> str:
        """How far the walk is, and what is known."""
        done = len(walk.steps)
        ahead = len(walk.plan) - done
        end = "one capacitor is left" if walk.whole else "nothing more can be combined"
        lines = [
            f"{sentence(counted(done, 'step'))} done, "
            f"{counted(ahead, 'step').split()[0] if ahead else 'none'} still to come before {end}."
        ]
        if walk.pending is not None and walk.pending.makes is not None:
            lines.append(f"In hand: {listed([c.name for c in walk.pending.parts])}.")
        told = [
            f"{self.speech.name(quantity)} = {self.speech.amount(value, quantity.dimension)}"
            for quantity, value in walk.known.items()
            if quantity.point is None and not self._is_doubled(quantity, walk)
        ]
        lines.append(f"Known: {'; '.join(told)}.")
        return "\n".join(lines)

    def _is_doubled(self, quantity: Quantity, walk: Walk) -> bool:
        """Whether the same value stands in the list under the name of the whole."""
        return walk.whole is not None and quantity.of == walk.whole.name and (
            Quantity(quantity.symbol) in walk.known
        )

    def why(self, walk: Walk) -> str:
        """The reason of the last thing that was settled, or of coming no further."""
        if is_stuck(walk):
            return (
                f"Two can be combined if they share one {self.speech.terms.difference} or one "
                "charge. Here no two join the same two points, and at every inner point three or "
                "more plates meet, so that a charge can divide there."
            )
        if len(given(walk)) == 1:
            return (
                f"{given(walk)[0].name} alone joins the two ends, so it is the whole: what is "
                "between the ends is across it, and Q = C V."
            )
        back = [
            step for step in walk.steps
            if step.makes and ("back", step.makes.name) in walk.settled
        ]
        if back:
            return back_reason(back[0], self.speech)
        combined = [s for s in walk.steps if s.makes and s.kind not in BEYOND]
        if walk.steps and walk.steps[-1].kind in BEYOND:
            return because(walk.steps[-1], self.speech)
        if combined:
            step = combined[-1]
            return "\n".join(derivation_lines(step, derive(step), self.speech))
        if walk.steps:
            return because(walk.steps[-1], self.speech)
        return (
            "Two capacitors can be replaced by one that takes the same charge at the same "
            f"{self.speech.terms.difference}, if they share one of the two. So the first thing to "
            "find is which share what; step by step one capacitor is left."
        )

    def what_can_be_typed(self, question: Question) -> str:
        """The kinds of line that are understood now and always."""
        now = {
            "choice": "the names of the capacitors, like C1 C2, or none; a whole line, like "
                      "C12 = C1 + C2 = 5 uF; balance; star A P R for a triangle, delta at P "
                      "for a star",
            "shares": f"{self.speech.terms.difference} or charge, and the points",
            "reason": "a letter, the points, or your own words",
        }.get(question.about, "a value with its unit, like 4 uF or 8 V; sums and fractions too")
        return (
            f"Now: {now}; or 'I don't know'.\n"
            "At any time: where are we, list, drawing, why, hint, show me, undo, start again, "
            "energy, repeat, what if (like: what if C1 is doubled), fair copy (like: save it as "
            "copy.txt), working, settings, stop."
        )

    def wired(self, step: Step) -> str:
        """Where the new capacitor stands when its parts were not neighbours."""
        first, *others = [c.name for c in step.parts]
        places = listed(f"{gone} is now {kept}" for gone, kept in step.renamed)
        return (
            f"{step.made} stands where {first} was; a wire takes the place of {listed(others)}, "
            f"so {places}."
        )

    def swept(self, step: Step) -> str:
        """What goes with a point that vanishes."""
        names = listed([c.name for c in step.swept])
        hang, go = ("hung", "goes") if len(step.swept) == 1 else ("hung", "go")
        return f"{names} {hang} at {listed(step.gone, 'or')} without charge and {go} with it."

    # The end

    def stuck(self, walk: Walk) -> str:
        """Series and parallel lead no further; where, and why."""
        left = walk.network
        names = some_names([c.name for c in left.capacitors])
        after_steps = f"After {counted(len(walk.steps), 'step')} " if walk.steps else "Here "
        return (
            f"{after_steps}nothing more can be combined: {names} are left. No two of them join the "
            "same two points, and no two need carry the same charge, since at every inner point "
            f"three or more plates meet ({meetings(left)})."
        )

    def topic(self, question: Question) -> str:
        """What a question is about, for the words at the end."""
        if question.quantity is not None:
            return self.quantity(question.quantity)
        if question.step is not None and question.about in ("shares", "reason"):
            return f"what {listed([c.name for c in question.step.parts])} share"
        return "which capacitors can be combined"


def step_of(question: Question) -> Step:
    """The step a question is about; it must have one."""
    if question.step is None:
        raise ValueError("this question is not about a step")
    return question.step
