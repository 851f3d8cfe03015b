"""A simulated learner who is right, in any honest form, and who may work on from rounded values."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import NamedTuple

from tests.conversing import about
from tests.misled import (
    PREFIXES,
    UNITS,
    at_figures,
    right_line,
    value_of,
    verdict_of,
    written,
)
from tutor.circuit.steps import Step
from tutor.teaching.exchange import hear
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.walk import Question, Walk, next_question

MOST_LINES = 80


class Heard(NamedTuple):
    """A right answer as it was typed, and what the dialogue made of it."""

    line: str
    verdict: str | None
    malrules: tuple[str, ...]


def honest(walk: Walk, quantity: Quantity, rng: Random) -> str:
    """The right value of a quantity: a fraction, or three to six figures, in any unit."""
    right = value_of(walk, quantity)
    power, unit = walk.problem.powers[quantity.dimension], UNITS[quantity.dimension]
    if rng.random() < 0.25:
        text = f"{right.numerator}/{right.denominator} {PREFIXES[power]}{unit}"
    else:
        typed = at_figures(right, rng.randint(3, 6))
        text = written(typed, quantity, walk.problem, rng)
    return f"{quantity.name} = {text}"


def told_right(walk: Walk, quantity: Quantity, rng: Random) -> Heard:
    """Give the right value of a quantity and see how it is taken."""
    return _heard(walk, honest(walk, quantity, rng))[1]


def _heard(walk: Walk, line: str) -> tuple[Walk, Heard]:
    turn = hear(about(walk), line)
    verdict = verdict_of(turn)
    named = tuple(name for m in turn.messages for name in m.malrules)
    return turn.walk, Heard(line, verdict.verdict, named)


def all_the_way(walk: Walk, figures: int, rng: Random) -> list[Heard]:
    """Answer to the end, each value worked out from the values typed so far, then rounded.

    Sums are given now and then in names, such as C1 + C2 or Q1/C1. The first answer that is called
    wrong ends it.
    """
    own: dict[Quantity, Fraction] = {}
    heard: list[Heard] = []
    for _ in range(MOST_LINES):
        question = next_question(walk)
        if question is None or walk.over:
            return heard
        line = _line(walk, question, own, (figures, rng))
        walk, answer = _heard(walk, line)
        heard.append(answer)
        if answer.verdict == "wrong":
            return heard
    raise AssertionError("the walk has no end")


def _line(
    walk: Walk, question: Question, own: dict[Quantity, Fraction], hand: tuple[int, Random]
) -> str:
    quantity, (figures, rng) = question.quantity, hand
    if quantity is None:
        return right_line(walk, question, rng)
    sums = _in_names(question, walk)
    if sums and rng.random() < 0.2:
        # The tutor says the value back, and that is what the learner works on with.
        own[_one_name(walk, quantity)] = Fraction(walk.truth[quantity])
        return rng.choice(sums)
    power = Fraction(10) ** walk.problem.powers[quantity.dimension]
    typed = at_figures(_Own(walk, own).value(quantity) / power, figures)
    if question.about != "check":
        own[_one_name(walk, quantity)] = typed.number * power
    return written(typed, quantity, walk.problem, rng)


def _one_name(walk: Walk, quantity: Quantity) -> Quantity:
    is_whole = walk.whole is not None and quantity.of == walk.whole.name
    return quantity._replace(of=None) if is_whole else quantity


def _in_names(question: Question, walk: Walk) -> list[str]:
    quantity, step, part = question.quantity, question.step, question.part
    if quantity is None or part is None or question.about == "check":
        return []
    if quantity.symbol == "C" and step is not None and step.makes is not None:
        names = [c.name for c in step.parts]
        if step.kind == "parallel":
            return [" + ".join(names), f"{part.name} = {' + '.join(names)}"]
        return ["1/(" + " + ".join(f"1/{name}" for name in names) + ")"]
    charge, across = (Quantity(s, part.name) for s in ("Q", "V"))
    if quantity.symbol == "Q" and across in walk.known:
        return [f"{part.name} * {across.name}"]
    if quantity.symbol == "V" and charge in walk.known:
        return [f"{charge.name}/{part.name}"]
    return []


class _Own(NamedTuple):
    """What right rules make of the values a learner has typed so far, in SI units."""

    walk: Walk
    typed: dict[Quantity, Fraction]

    def value(self, quantity: Quantity) -> Fraction:
        quantity = _one_name(self.walk, quantity)
        if quantity in self.typed:
            return self.typed[quantity]
        if quantity.symbol == "C":
            return self._capacitance(quantity.of)
        if quantity.symbol == "E":
            return self._of("Q", quantity.of) * self._of("V", quantity.of) / 2
        if quantity.of is None:
            return self._of_whole(quantity.symbol)
        return self._of_part(quantity)

    def _of(self, symbol: Symbol, of: str | None) -> Fraction:
        return self.value(Quantity(symbol, of))

    def _steps(self) -> list[Step]:
        return [step for step in self.walk.plan if step.makes is not None]

    def _capacitance(self, of: str | None) -> Fraction:
        name = of or (self.walk.whole.name if self.walk.whole else None)
        made_by = next((s for s in self._steps() if s.makes and s.makes.name == name), None)
        if made_by is None:
            given = self.walk.problem.network.named({name or ""})
            return Fraction(given[0].value)
        parts = [self._of("C", c.name) for c in made_by.parts]
        if made_by.kind == "parallel":
            return sum(parts, Fraction(0))
        return 1 / sum((1 / c for c in parts), Fraction(0))

    def _of_whole(self, symbol: Symbol) -> Fraction:
        supply = self.walk.problem.supply
        assert supply is not None
        given: Symbol = "V" if supply.quantity == "voltage" else "Q"
        if symbol == given:
            return Fraction(supply.value)
        c = self._of("C", None)
        return c * self._of("V", None) if symbol == "Q" else self._of("Q", None) / c

    def _of_part(self, quantity: Quantity) -> Fraction:
        step = next(
            (s for s in self._steps() if quantity.of in {c.name for c in s.parts}), None
        )
        if step is None or step.makes is None:
            return Fraction(0)
        shared: Symbol = "Q" if step.kind == "series" else "V"
        if quantity.symbol == shared:
            return self._of(shared, step.makes.name)
        c = self._of("C", quantity.of)
        if quantity.symbol == "Q":
            return c * self._of("V", quantity.of)
        return self._of("Q", quantity.of) / c
