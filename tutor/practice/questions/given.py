"""Networks for questions: drawn by chance, worked out by the engine, and put into words."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from random import Random
from typing import Literal, NamedTuple

from grammar.reading import read_network
from grammar.writing import write_number
from tutor.circuit.network import Capacitor, Problem, Supply, build
from tutor.circuit.solving import Holding, Solution, solve
from tutor.circuit.steps import Choice, Fault, Step, carry_out, examine
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.reasons import because, points_in_words
from tutor.teaching.replies import Replies
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, speech_for

PAIR_IN_A_CHAIN = "C1 = {} uF -- C2 = {} uF"
PAIR_BESIDE = "C1 = {} uF || C2 = {} uF"
THREE_IN_A_CHAIN = "C1 = {} uF -- C2 = {} uF -- C3 = {} uF"
THREE_BESIDE = "C1 = {} uF || C2 = {} uF || C3 = {} uF"
ONE_BEFORE_A_PAIR = "C1 = {} uF -- (C2 = {} uF || C3 = {} uF)"
ONE_AFTER_A_PAIR = "(C1 = {} uF || C2 = {} uF) -- C3 = {} uF"
CHAIN_BESIDE_ONE = "(C1 = {} uF -- C2 = {} uF) || C3 = {} uF"
ONE_BESIDE_CHAIN = "C1 = {} uF || (C2 = {} uF -- C3 = {} uF)"
PAIR_BETWEEN = "C1 = {} uF -- (C2 = {} uF || C3 = {} uF) -- C4 = {} uF"
TWO_CHAINS = "(C1 = {} uF -- C2 = {} uF) || (C3 = {} uF -- C4 = {} uF)"
CHAIN_IN_A_PART = "C1 = {} uF -- (C2 = {} uF || (C3 = {} uF -- C4 = {} uF))"
TWO_PAIRS = "(C1 = {} uF || C2 = {} uF) -- (C3 = {} uF || C4 = {} uF)"
TWO_LEVELS = (ONE_BEFORE_A_PAIR, ONE_AFTER_A_PAIR, CHAIN_BESIDE_ONE, ONE_BESIDE_CHAIN)
FOUR = (PAIR_BETWEEN, TWO_CHAINS, CHAIN_IN_A_PART, TWO_PAIRS)

CAPACITANCES = (2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 15, 18, 20, 21, 24, 28, 30)
SYMBOLS: tuple[Symbol, ...] = ("Q", "V", "E")
VOLTAGES = (6, 9, 10, 12, 15, 18, 20, 24, 30)


class WorkedNetwork(NamedTuple):
    """A network with its text, worked out; ``speech`` writes its values."""

    text: str
    problem: Problem
    solution: Solution
    speech: Speech

    @property
    def capacitors(self) -> tuple[Capacitor, ...]:
        """Those of the text, in its order."""
        return self.problem.network.capacitors

    @property
    def names(self) -> tuple[str, ...]:
        """Their names."""
        return tuple(c.name for c in self.capacitors)

    @property
    def difference(self) -> str:
        """What a p.d. is called."""
        return self.speech.terms.difference

    @property
    def whole(self) -> Fraction:
        """The capacitance between the ends, in farads."""
        assert self.solution.whole is not None, "what is drawn can be reduced"
        return Fraction(self.solution.whole.value)

    @property
    def supply(self) -> Fraction:
        """The p.d. of the supply in volts."""
        assert self.problem.supply is not None, "what is asked about holdings has a supply"
        return Fraction(self.problem.supply.value)

    def value(self, name: str) -> Fraction:
        """A capacitance in farads, given or made."""
        made = {step.makes.name: step.makes for step in self.solution.steps if step.makes}
        found = made.get(name) or self.problem.network.named((name,))[0]
        return Fraction(found.value)

    def held(self, name: str) -> Holding:
        """What one capacitor holds, without signs."""
        return self.solution.holdings[name].size

    def number(self, symbol: Symbol, name: str) -> Fraction:
        """Its C, Q, V or E in SI units."""
        if symbol == "C":
            return self.value(name)
        held = self.held(name)
        return Fraction({"Q": held.charge, "V": held.voltage}.get(symbol, held.energy))

    def amount(self, symbol: Symbol, name: str) -> str:
        """The same in words."""
        return self.speech.amount(self.number(symbol, name), Quantity(symbol).dimension)

    def volts(self) -> str:
        """The p.d. of the supply in words."""
        return self.speech.amount(self.supply, "voltage")

    def farads(self, value: Fraction) -> str:
        """A capacitance in words."""
        return self.speech.amount(value, "capacitance")

    def coulombs(self, value: Fraction) -> str:
        """A charge in words."""
        return self.speech.amount(value, "charge")

    def opening(self) -> tuple[str, ...]:
        """The network as it is typed, then as a list."""
        listed = points_in_words(self.problem.network, self.speech)
        return (self.text.replace(" uF", " µF"), *listed)

    # What two of them have to do with one another

    def bond(self, first: str, second: str) -> Choice | Fault:
        """Whether two share a p.d. or a charge, and if not, why not."""
        return examine(self.problem.network, (first, second))

    def pair_step(self, first: str, second: str) -> Step | None:
        """The step that would combine these two; None where they cannot be."""
        found = self.bond(first, second)
        if isinstance(found, Fault) or found.kind == "removal":
            return None
        return carry_out(self.problem.network, found)

    def way_of(self, first: str, second: str) -> Literal["parallel", "series"] | None:
        """How two can be combined straight away."""
        step = self.pair_step(first, second)
        if step is None:
            return None
        return "parallel" if step.kind == "parallel" else "series"

    def why_bound(self, first: str, second: str) -> str:
        """What two share and the points that make it so, or why they share neither."""
        found = self.bond(first, second)
        if isinstance(found, Fault):
            return Replies(self.speech).fault(found, (first, second), self.problem.network)
        return because(carry_out(self.problem.network, found), self.speech)


def read(text: str, settings: Settings) -> WorkedNetwork:
    """A text worked out."""
    problem = build(read_network(text))
    solution = solve(problem.network, problem.supply)
    return WorkedNetwork(text, problem, solution, speech_for(problem, settings))


def draw(
    chance: Random, shapes: Sequence[str], settings: Settings, supply: bool = True
) -> WorkedNetwork:
    """One of the shapes with unequal values, such that all that can be asked ends neatly."""
    shape = chance.choice(shapes)
    number = shape.count("{}")
    pattern = build(read_network(shape.format(*range(1, number + 1))))
    speech = Speech(pattern.powers, settings)
    while True:
        values = chance.sample(CAPACITANCES, number)
        volts = chance.choice(VOLTAGES) if supply else None
        problem = _with_values(pattern, values, volts)
        text = shape.format(*values) + (f", across {volts} V" if supply else "")
        given = WorkedNetwork(text, problem, solve(problem.network, problem.supply), speech)
        if is_neat(given):
            return given


def _with_values(pattern: Problem, values: Sequence[int], volts: int | None) -> Problem:
    """The same joins with these values in microfarads: reading each try would take long."""
    micro = Fraction(10) ** pattern.powers["capacitance"]
    capacitors = tuple(
        c._replace(value=value * micro)
        for c, value in zip(pattern.network.capacitors, values, strict=True)
    )
    return pattern._replace(
        network=pattern.network._replace(capacitors=capacitors),
        supply=None if volts is None else Supply("voltage", Fraction(volts)),
    )


def is_neat(given: WorkedNetwork) -> bool:
    """Whether the whole, every charge and every p.d. end after few figures, none by chance equal
    to another that has nothing to do with it.
    """
    powers = given.problem.powers
    numbers = [given.whole / Fraction(10) ** powers["capacitance"]]
    if given.solution.holdings:
        for name in given.names:
            numbers.append(given.number("Q", name) / Fraction(10) ** powers["charge"])
            numbers.append(given.number("V", name) / Fraction(10) ** powers["voltage"])
    return all(map(_ends_soon, numbers)) and not _equal_by_chance(given)


def _ends_soon(number: Fraction) -> bool:
    return write_number(number)[1] and (number * 1000).denominator == 1


def _equal_by_chance(given: WorkedNetwork) -> bool:
    if not given.solution.holdings:
        return False
    for at, first in enumerate(given.names):
        for second in given.names[at + 1 :]:
            way = given.way_of(first, second)
            equal = [s for s in SYMBOLS if given.number(s, first) == given.number(s, second)]
            if equal != {"parallel": ["V"], "series": ["Q"], None: []}[way]:
                return True
    return False
