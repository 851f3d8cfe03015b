"""A learner by chance: honest answers in every form the tutor should take."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import NamedTuple

from hypothesis import strategies as st

from grammar.records import Description
from tests.circuit.routes import every_choice, number
from tests.strategies import (
    Drawn,
    as_description,
    decimals,
    joined_multigraphs,
    nests,
    supplies,
)
from tests.teaching.talking import asked, oracle_of, standing
from tutor.circuit.network import Capacitor, Network, Problem, build
from tutor.circuit.reduction import reduce
from tutor.circuit.steps import Step
from tutor.teaching.quantities import Quantity
from tutor.teaching.shared_reasons import LETTERS, reasons
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Question, Walk

MICRO = Fraction(1, 10**6)
PREFIXES = {-15: None, -12: "p", -9: "n", -6: "u", -3: "m", 0: ""}
UNITS = {"capacitance": "F", "charge": "C", "voltage": "V", "energy": "J"}


@st.composite
def problems(draw: st.DrawFn, most: int = 6, supplied: bool | None = None) -> Problem:
    """Nested networks and networks of any shape, in microfarads, with or without a supply."""
    supply = draw(supplies() if supplied else st.none() | supplies())
    worth = decimals().map(lambda count: count * MICRO)
    if draw(st.booleans()):
        nest = draw(nests(most=most))
        return build(Description(nest=nest, supply=supply))
    drawn: Drawn = draw(joined_multigraphs(worth, most=most, loops=False))
    description: Description = as_description(drawn, supply, -6)
    return build(description)


def reducible(problem: Problem) -> bool:
    return reduce(problem.network).equivalent is not None


class Pen(NamedTuple):
    """Draws what a learner writes."""

    draw: Callable[..., object]

    def pick(self, options: Sequence[str]) -> str:
        return str(self.draw(st.sampled_from(list(options))))

    def chance(self) -> bool:
        return bool(self.draw(st.booleans()))

    def cased(self, word: str) -> str:
        return word.lower() if self.chance() else word

    # Names and words

    def choice(self, network: Network) -> str:
        """A valid set in any order, case and joining."""
        options = sorted({choice.names for choice in every_choice(network)})
        names = list(self.draw(st.permutations(list(self.draw(st.sampled_from(options))))))  # type: ignore[call-overload]
        joint = self.pick([" ", ", ", " and ", ",", " & "])
        return joint.join(self.cased(name) for name in names)

    def sharing(self, kind: str) -> str:
        words = {
            "parallel": ["the p.d.", "pd", "voltage", "Potential difference", "v", "the volts",
                         "they share the p.d.", "voltge"],
            "series": ["charge", "the charge", "Q", "coulombs", "the same charge", "chareg"],
        }
        return self.pick(words[kind])

    def points(self, step: Step) -> str:
        return f" {self.pick(['and', ','])} ".join(step.points)

    def reason(self, walk: Walk, step: Step) -> str:
        """The true entry of the menu, the points or the key term."""
        menu = reasons(step, speech_of(walk), walk.seed)
        letter = LETTERS[[entry.is_true for entry in menu].index(True)]
        words = {"parallel": "they join the same two points", "series": "it is cut off between"}
        ways = [letter, f"({letter})", words[step.kind]]
        return self.pick([*ways, self.points(step)] if step.points and not step.between else ways)

    # Values

    def value(self, quantity: Quantity, value: Fraction, problem: Problem) -> str:
        """One number with or without its unit, and never with fewer than three figures."""
        power = problem.powers[quantity.dimension]
        unit = UNITS[quantity.dimension]
        own = f" {PREFIXES.get(power) or ''}{unit}" if PREFIXES.get(power) is not None else None
        scaled = value / Fraction(10) ** power
        if value == 0:
            return self.pick(["0", "0.0", f"0{own or ''}"])
        forms = ["decimal", "fraction", "bare", "comma", "tens", "prefix"]
        form = self.pick(forms if own else ["tens"])
        figures = int(self.draw(st.integers(3, 6)))  # type: ignore[call-overload]
        if form == "fraction":
            return f"{scaled.numerator}/{scaled.denominator}{own}"
        if form == "bare":
            return rounded(scaled, figures)
        if form == "comma":
            text = rounded(scaled, figures)
            whole, _, rest = text.partition(".")
            return f"{whole},{rest}{own}" if rest and len(rest) != 3 else text + str(own)
        if form == "tens":
            return scientific(value, figures, unit, self.pick(["e", "x10^"]))
        if form == "prefix":
            other = power + int(self.draw(st.sampled_from([-3, 3])))  # type: ignore[call-overload]
            if PREFIXES.get(other) is not None:
                moved = value / Fraction(10) ** other
                return f"{rounded(moved, figures)} {PREFIXES[other]}{unit}"
        return rounded(scaled, figures) + str(own)


def rounded(value: Fraction, figures: int) -> str:
    """Half up to so many figures, in plain decimals."""
    place = 0
    while value * Fraction(10) ** place < Fraction(10) ** (figures - 1):
        place += 1
    while value * Fraction(10) ** place >= Fraction(10) ** figures:
        place -= 1
    units = int(value * Fraction(10) ** place + Fraction(1, 2))
    if place <= 0:
        return str(units * 10**-place)
    text = str(units).rjust(place + 1, "0")
    return f"{text[:-place]}.{text[-place:]}"


def scientific(value: Fraction, figures: int, unit: str, style: str) -> str:
    power = 0
    while value * Fraction(10) ** -power < 1:
        power -= 1
    while value * Fraction(10) ** -power >= 10:
        power += 1
    number = rounded(value * Fraction(10) ** -power, figures)
    ten = f"e{power}" if style == "e" else f" x 10^{power}"
    return f"{number}{ten} {unit}"


def relation(walk: Walk, question: Question) -> list[str]:
    """Expressions in names that are right for the value in hand."""
    quantity = question.quantity
    if quantity is None:
        return []
    if quantity.symbol == "C" and question.step is not None and question.step.makes is not None:
        return _equivalents(question.step.kind, question.step.parts)
    part = question.part
    if part is None:
        return []
    known = {s: Quantity(s, part.name) in walk.known for s in ("Q", "V", "C")}
    q, v = (Quantity(s, part.name).name for s in ("Q", "V"))
    if quantity.symbol == "Q" and known["V"] and known["C"]:
        return [f"{part.name} * {v}", f"{v} x {part.name}"]
    if quantity.symbol == "V" and known["Q"] and known["C"]:
        return [f"{q}/{part.name}", f"{q} ÷ {part.name}"]
    return []


def _equivalents(kind: str, parts: tuple[Capacitor, ...]) -> list[str]:
    names = [c.name for c in parts]
    if kind == "parallel":
        return [" + ".join(names)]
    forms = ["1/(" + " + ".join(f"1/{name}" for name in names) + ")"]
    if len(names) == 2:
        forms.append(f"{names[0]}*{names[1]}/({names[0]} + {names[1]})")
    return forms


def answer(pen: Pen, walk: Walk) -> str:
    """A right answer to the question in hand, in some honest form."""
    question, walk = asked(walk), standing(walk)
    if question.about == "choice":
        return pen.choice(walk.network)
    if question.about in ("shares", "reason"):
        step = question.step
        assert step is not None
        if question.about == "reason":
            return pen.reason(walk, step)
        words = pen.sharing(step.kind)
        full = not question.going_back and step.points and not step.between and pen.chance()
        return f"{words}, {pen.points(step)}" if full else words
    quantity = question.quantity
    assert quantity is not None
    value = oracle_of(walk).values[quantity]
    number = pen.value(quantity, value, walk.problem)
    sums = relation(walk, question)
    form = pen.pick(["number", "named", "sum", "line"])
    target = quantity.name
    if form == "named":
        return f"{pen.cased(target)} = {number}"
    if form == "sum" and sums:
        return pen.pick(sums)
    if form == "line" and sums:
        return f"{target} = {pen.pick(sums)} = {number}"
    return number


class Notebook:
    """A learner who works on with the own rounded values, three figures each time."""

    def __init__(self, problem: Problem) -> None:
        self.values = {Quantity("C", c.name): number(c.value) for c in problem.network.capacitors}
        if problem.supply is not None:
            symbol = "V" if problem.supply.quantity == "voltage" else "Q"
            self.values[Quantity(symbol)] = number(problem.supply.value)  # type: ignore[arg-type]

    def work_out(self, walk: Walk) -> str:
        """The value in hand from the values noted, as it is written down."""
        question = asked(walk)
        quantity = question.quantity
        assert quantity is not None
        value = self._from_noted(walk, question, quantity)
        unit = UNITS[quantity.dimension]
        if value == 0:
            return f"0 {unit}"
        text = scientific(value, 3, unit, "e")
        head = text.partition(" ")[0]
        self.values[quantity] = Fraction(head)
        return text

    def _from_noted(self, walk: Walk, question: Question, quantity: Quantity) -> Fraction:
        step = question.step
        if step is not None and step.kind == "removal":
            return Fraction(0)
        if quantity.symbol == "C" and step is not None:
            parts = [self.values[Quantity("C", c.name)] for c in step.parts]
            return sum(parts, Fraction(0)) if step.kind == "parallel" else 1 / sum(
                (1 / c for c in parts), Fraction(0)
            )
        part = question.part
        assert part is not None
        own = self.values[Quantity("C", part.name)]
        if question.about == "check":
            return self.values[quantity]
        if quantity.symbol == "Q":
            return own * self._passed("V", walk, quantity.of)
        return self._passed("Q", walk, quantity.of) / own

    def _passed(self, symbol: str, walk: Walk, name: str | None) -> Fraction:
        """A p.d. or charge noted, or that of what this capacitor became part of."""
        noted = Quantity(symbol, name)  # type: ignore[arg-type]
        if noted in self.values:
            return self.values[noted]
        for step in walk.steps:
            if step.makes is not None and name in [c.name for c in step.parts]:
                return self._passed(symbol, walk, step.makes.name)
        return self.values[Quantity(symbol)]  # type: ignore[arg-type]
