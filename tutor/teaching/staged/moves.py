"""Moves from what is known to what follows, as questions with their answers and reasons.

The moves and all their values come from ``circuit.following``; here they are put into words.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.deduction import Move, Trail
from tutor.circuit.network import Network
from tutor.circuit.relations import Fact
from tutor.circuit.steps import Step, StepKind
from tutor.circuit.surds import near
from tutor.circuit.values import Value, add_up, chain_sum
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.reasons import because
from tutor.teaching.rules.plates_and_ratings import (
    BY_PLAIN,
    BY_TURNED,
    IN_A_CHAIN,
    SIDE_BY_SIDE,
)
from tutor.teaching.speech import Dimensioned, Shown, Speech, listed
from tutor.teaching.staged.by_law import ABOUT
from tutor.teaching.staged.story import PASSED_ON, Ask, Option, Valued, Way, share_options
from tutor.teaching.wording import Wording

PLAIN_WORDS = ("capacitances", "capacitance", "themselves", "c", "cs", "straight", "directly",
               "as they are", "plain", "values", "normally", "normal", "capacities", "capacity")
TURNED_WORDS = (
    "reciprocals", "reciprocal", "one over", "1 over", "one over c", "1 over c",
    "ones over c", "ones over", "1s over c",
    "one over each c", "1 c", "1 cs", "inverses", "inverse",
)
WHAT_ADDS = "what adds"
MOST_WRITTEN_OUT = 12


class Teller(NamedTuple):
    """The moves of one network as questions. ``whole`` is the capacitor that stands for all."""

    speech: Speech
    network: Network
    whole: str
    trail: Trail

    def quantity(self, fact: Fact) -> Quantity:
        """How a learner writes it: of the whole without a number, unless the whole is given."""
        given = any(c.name == fact.of for c in self.network.capacitors)
        is_whole = fact.of == self.whole and not (given and fact.dimension == "capacitance")
        return Quantity(SYMBOL[fact.dimension], None if is_whole else fact.of)

    def name(self, fact: Fact) -> str:
        """The same in the learner's own letters."""
        return self.speech.name(self.quantity(fact))

    def shown(self, fact: Fact) -> Shown:
        """Its value, a surd rounded."""
        return self.speech.shown(near(self.value(fact)), fact.dimension)

    def told(self, fact: Fact) -> str:
        """``C2 = 7 µF``."""
        return f"{self.name(fact)} {self.shown(fact).after_equals}"

    def asks(self, moves: Sequence[Move], before: Sequence[Move] = ()) -> Iterator[Ask]:
        """The questions of these moves; of each kind of step it comes first what its parts share.

        ``before`` are moves that have been asked already.
        """
        shared: set[StepKind] = {move.step.kind for move in before if move.step}
        added = {move.turned for move in before if _adds_capacitances(move)}
        done = {move.finds for move in before}
        passed_on: set[Fact] = set()
        for move in moves:
            step = move.step
            if move.finds in done:
                continue
            if step and step.kind not in shared:
                shared.add(step.kind)
                passed = [m for m in moves if _passes(m, step) and self._is_told(m, done)]
                done.update(m.finds for m in passed)
                passed_on.update(m.finds for m in passed)
                yield self._share(step, passed)
            if step and _adds_capacitances(move) and move.turned not in added:
                added.add(move.turned)
                yield self._adding(move, step)
            if move.finds not in done:
                yield self.ask(move, passed_on)
                done.add(move.finds)

    def _is_told(self, move: Move, done: Collection[Fact]) -> bool:
        """Whether all that a move uses has been given or found before."""
        return all(f in done or self.trail.moves[f].rule == "given" for f in move.uses)

    def _share(self, step: Step, moves: Sequence[Move]) -> Ask:
        """What the parts of a step share, and the values that pass on with it."""
        names = listed(_some(c.name for c in step.parts))
        difference, differences = self.speech.terms.difference, self.speech.terms.differences
        chain = step.kind == "series"
        where = "in series" if chain else "in parallel"
        passed = [self.name(move.finds) for move in moves]
        reason = because(step, self.speech)
        if moves:
            source = moves[0].uses[0]
            same = " = ".join([*passed, self.name(source)])
            reason += f" So {same} {self.shown(source).after_equals}."
        hints = (f"Look at the metal between {names}: what can get on or off it?",) if chain else (
            f"Put a meter across each of {names}: at which points would it touch?",)
        reply = (
            f"The {differences} of a chain add up; each member has its own part of the whole."
            if chain else "Each of them takes its own charge, and these add up."
        )
        shows = ("series-shares-the-pd",) if chain else ("parallel-shares-the-charge",)
        options = share_options("charge" if chain else "voltage", reply, self.speech.terms, shows)
        each = "both" if len(step.parts) == 2 else "all of them"
        question = f"What is the same on {each}, the {difference} or the charge?"
        return Ask(
            "shared", "shares", f"{names} stand {where}. {question}",
            reason, reason, options=options, hints=hints,
        )

    def _adding(self, move: Move, step: Step) -> Ask:
        """Whether capacitances add or their reciprocals."""
        made = self.name(Fact("capacitance", step.makes.name)) if step.makes else ""
        return adding_ask([made, *(c.name for c in step.parts)], move.turned, self.speech)

    # Values

    def ask(self, move: Move, passed_on: Collection[Fact] = ()) -> Ask:
        """The question for one value; ``passed_on`` have been told with what is shared."""
        quantity, dimension = self.quantity(move.finds), move.finds.dimension
        what = Wording(self.speech).quantity(quantity)
        text = f"What is {what}?"
        if move.rule == "law":
            text = f"What is {what} ({', '.join(self.told(fact) for fact in move.uses)})?"
        key = PASSED_ON if move.rule == "share" else f"by {move.rule}"
        asked = Ask(
            key, ABOUT[dimension], text, self.working(move), self._reason(move),
            quantity.name, dimension, None if move.value is None else near(move.value),
            hints=self._hints(move), exact=move.value, ways=self._ways(move, passed_on),
        )
        if move.rule == "rest" and dimension == "capacitance":
            return self._with_facts(asked, move)
        return asked

    def told_beside(self, fact: Fact) -> Ask:
        """A value that was found without being asked for, as a question that is answered."""
        quantity, move = self.quantity(fact), self.trail.moves[fact]
        return Ask(
            "by law", ABOUT[fact.dimension], f"What is {Wording(self.speech).quantity(quantity)}?",
            self.told(fact), self._reason(move), quantity.name, fact.dimension,
            near(self.value(fact)), exact=self.value(fact),
        )

    def _ways(self, move: Move, passed_on: Collection[Fact]) -> tuple[Way, ...]:
        """The relation of this move, in the names that its questions have."""
        if move.value is None or move.relation is None:
            return ()
        origins = {fact: self._origin(fact, passed_on) for fact in move.uses}
        relation = move.relation.text(lambda fact: self.quantity(origins[fact]).name)
        uses: dict[str, Valued] = {
            self.quantity(fact).name: (near(self.value(fact)), fact.dimension)
            for fact in origins.values()
        }
        is_root = relation.startswith("√")
        return (Way(relation.removeprefix("√"), uses, "square root" if is_root else ""),)

    def _origin(self, fact: Fact, passed_on: Collection[Fact]) -> Fact:
        """Where a value comes from that no question asks for, since it is only passed on."""
        while fact in passed_on:
            fact = self.trail.moves[fact].uses[0]
        return fact

    def _with_facts(self, asked: Ask, move: Move) -> Ask:
        """What the wrong rules of a missing capacitance run on, in the usual unit."""
        unit = Fraction(10) ** self.speech.powers["capacitance"]
        whole, *others = [near(self.value(fact)) / unit for fact in move.uses]
        joint = chain_sum(list(others)) if move.turned else add_up(list(others))
        return asked._replace(
            key=IN_A_CHAIN if move.turned else SIDE_BY_SIDE,
            facts={"whole": whole, "others": near(joint), "sum": near(add_up(list(others)))},
            told={
                "missing": self.name(move.finds),
                "whole": self.name(move.uses[0]),
                "others": listed(_some(self.name(fact) for fact in move.uses[1:])),
                "unit": self.speech.unit("capacitance"),
            },
        )

    def working(self, move: Move) -> str:
        """The relation in names, the numbers with their units, the result."""
        relation = move.relation
        assert relation is not None, "what is given is not worked out"
        if move.rule == "share":
            return f"{self.relation(move)} {self.shown(move.finds).after_equals}"

        def amount(fact: Fact) -> str:
            text = self.shown(fact).text
            return f"({text})" if move.turned or relation.squares(fact) else text

        worked = f"{self.relation(move)} = {self._side(move, amount)}"
        if move.turned:
            total = self.speech.per_unit(
                self._turned_total(move), [near(self.value(fact)) for fact in move.uses]
            )
            end = f", so {self._result(move)}" if move.value is not None else ""
            return f"{worked} {total}{end}"
        shown = self.shown(move.finds)
        equals = self.speech.equals(*(self.shown(fact) for fact in move.uses), shown)
        return f"{worked} {equals} {shown.text}"

    def relation(self, move: Move) -> str:
        """The relation in names alone."""
        over = "1/" if move.turned else ""
        return f"{over}{self.name(move.finds)} = {self._side(move, self.name)}"

    def _side(self, move: Move, said: Callable[[Fact], str]) -> str:
        """What stands after the equals sign; of a long sum its first terms and its last."""
        relation = move.relation
        assert relation is not None, "what is given is not worked out"
        if move.rule in ("sum", "rest"):
            return relation.joined(_some(relation.terms(said)))
        return relation.text(said)

    def _result(self, move: Move) -> str:
        value = near(self.value(move.finds))
        of: list[Dimensioned] = [(near(self.value(fact)), "capacitance") for fact in move.uses]
        return f"{self.name(move.finds)} {self.speech.result(value, 'capacitance', *of)}"

    def _turned_total(self, move: Move) -> Value:
        whole, *others = [1 / near(self.value(fact)) for fact in move.uses]
        return whole - add_up(list(others)) if move.rule == "rest" else add_up([whole, *others])

    def value(self, fact: Fact) -> Value:
        """What it comes to, exactly."""
        value = self.trail.moves[fact].value
        assert value is not None, "what has no value is not found"
        return value

    # Why, and help

    def _reason(self, move: Move) -> str:
        if move.rule == "law":
            return self._law_reason(move)
        step, dimension = move.step, move.finds.dimension
        assert step is not None
        if move.rule == "share":
            return because(step, self.speech)
        names = listed(_some(c.name for c in step.parts))
        if dimension == "energy":
            return f"All that {names} store is what they store together."
        if dimension != "capacitance":
            return (
                f"The {self.speech.terms.differences} along the chain of {names} add up."
                if step.kind == "series"
                else f"The charges of {names} side by side add up."
            )
        whole = self.name(move.uses[0] if move.rule == "rest" else move.finds)
        if step.kind == "series":
            return f"As a chain must be, {whole} is below the smallest of {names}."
        return f"As a parallel set must be, {whole} is above the largest of {names}."

    def _law_reason(self, move: Move) -> str:
        dimensions = {move.finds.dimension, *(fact.dimension for fact in move.uses)}
        if "energy" not in dimensions:
            law = f"Q = C {self.speech.letters('V')}"
            return f"{law} holds for every capacitor, whatever stands around it."
        half = self.speech.letters("½ Q V")
        if "capacitance" not in dimensions:
            return (
                f"The {self.speech.terms.difference} grew from zero with the charge, so half of "
                f"the last one counts: the energy is {half}."
            )
        law = f"Q = C {self.speech.letters('V')}"
        return f"The energy is {half}, and {law} goes in for one of them."

    def _alone(self, name: str) -> str:
        given = any(c.name == name for c in self.network.capacitors)
        return f"{name} alone" if given else f"the one capacitor, {name}, in their place"

    def _hints(self, move: Move) -> tuple[str, ...]:
        relation = self.relation(move)
        if move.rule == "law":
            kinds = {move.finds.dimension, *(fact.dimension for fact in move.uses)}
            words = {"capacitance": "capacitance", "voltage": self.speech.terms.difference,
                     "charge": "charge", "energy": "energy"}
            three = listed(word for kind, word in words.items() if kind in kinds)
            return (
                f"Look at {self._alone(move.finds.of)}: which of its quantities are known?",
                f"Which relation of one capacitor ties {three} together?",
                f"{relation}.",
            )
        step = move.step
        assert step is not None
        names = listed(_some(c.name for c in step.parts))
        where = f"the chain of {names}" if step.kind == "series" else f"{names}, side by side"
        what = {
            "capacitance": "one over each of them" if move.turned else "the capacitances",
            "voltage": f"the {self.speech.terms.differences}",
            "charge": "the charges", "energy": "the energies",
        }[move.finds.dimension]
        if move.rule == "share":
            idea = f"Which quantity is the same all over {where}?"
        elif move.rule == "sum":
            idea = f"If {what} add up, what do they come to?"
        else:
            left = f"one over {move.finds.of}" if move.turned else self.name(move.finds)
            idea = f"If {what} must add up to the whole, what is left for {left}?"
        end = ", then turn over." if move.turned else "."
        return (f"Look at {where}: what of it is known?", idea, f"{relation}{end}")


def adding_ask(names: Sequence[str], chain: bool, speech: Speech) -> Ask:
    """Whether capacitances add or their reciprocals; ``names`` begin with that of the whole."""
    parts = listed(_some(names[1:]))
    volts, differences = speech.letters("V"), speech.terms.differences
    relation = _sum([names[0], *_some(names[1:])], chain)
    reason = (
        f"One charge Q is on each, and the {differences} Q/C add up to {volts}, so {relation}."
        if chain else
        f"One {volts} is across each, and the charges C {volts} add up, so {relation}."
    )
    wrong = (
        f"Capacitances add where the charges do; along a chain it is the {differences} that "
        "add, and each is the charge over a capacitance."
        if chain else
        f"Reciprocals add where {differences} do; side by side it is the charges that add, "
        f"and each is a capacitance times the one {speech.terms.at_the_end}"
    )
    plain = Option(PLAIN_WORDS, not chain, wrong, (BY_PLAIN,) if chain else ())
    turned = Option(TURNED_WORDS, chain, wrong, () if chain else (BY_TURNED,))
    return Ask(
        WHAT_ADDS, "reason",
        f"Then what adds up over {parts}: the capacitances, or their reciprocals, one over "
        "each?",
        reason, reason, options=(plain, turned),
        hints=(f"Which adds up here, the {speech.terms.difference} or the charge? "
               "How does it depend on the capacitance?",),
    )


def _adds_capacitances(move: Move) -> bool:
    return move.rule in ("sum", "rest") and move.finds.dimension == "capacitance"


def _passes(move: Move, step: Step) -> bool:
    """Whether a move passes on what the parts of this step share."""
    return move.rule == "share" and move.step is not None and move.step.points == step.points


def _sum(names: Sequence[str], turned: bool) -> str:
    over = [f"1/{name}" for name in names] if turned else list(names)
    return f"{over[0]} = {' + '.join(over[1:])}"


def _some(names: Iterable[str]) -> list[str]:
    every = list(names)
    return every if len(every) <= MOST_WRITTEN_OUT else [*every[:3], "…", every[-1]]
