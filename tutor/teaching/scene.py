"""The scene of one asked value: everything right and wrong rules draw on, in plain numbers.

Numbers are those a learner works with, in units that fit together: those of capacitance and p.d.
are the usual ones of the problem (µF, V), those of charge and energy follow from them (µC, µJ).
``values`` may be the exact ones or a learner's own: a wrong rule run on an earlier wrong value is
recognised as well.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal, NamedTuple, TypeAlias

from grammar.records import Dimension
from tutor.circuit.network import Capacitor, Network, Problem
from tutor.circuit.steps import Step, StepKind
from tutor.circuit.values import Value, in_letters
from tutor.teaching.quantities import Quantity, Symbol

Place: TypeAlias = Literal[
    "series", "parallel", "whole", "charge", "total charge", "voltage", "energy",
    "total energy", "work",
]


def plain_power(problem: Problem, dimension: Dimension) -> int:
    """The power of ten of the unit of plain numbers; in tiny units no prefix need exist for it."""
    capacitance, voltage = problem.powers["capacitance"], problem.powers["voltage"]
    times_voltage = {"capacitance": 0, "charge": 1, "energy": 2}
    return voltage if dimension == "voltage" else capacitance + times_voltage[dimension] * voltage


class Scenery(NamedTuple):
    """What is true on one route through a problem: its steps and every value."""

    problem: Problem
    plan: tuple[Step, ...]
    whole: Capacitor | None
    truth: Mapping[Quantity, Value]

    def made_by(self, name: str | None) -> Step | None:
        """The step that made a capacitor; None for a given one."""
        return next((s for s in self.plan if s.makes and s.makes.name == name), None)

    def part_of(self, name: str | None) -> Step | None:
        """The step that used a capacitor up; None for the last one and for idle ones."""
        return next((s for s in self.plan if s.makes and name in {c.name for c in s.parts}), None)

    def capacitor(self, name: str | None) -> Capacitor | None:
        """A capacitor by name, given or made."""
        made = [s.makes for s in self.plan if s.makes]
        return next((c for c in (*self.problem.network.capacitors, *made) if c.name == name), None)


class Scene(NamedTuple):
    """One asked quantity with what surrounds it.

    ``parts`` are the capacitances of the step that makes it (for a capacitance, the last step for
    the whole one) or of the step in which its capacitor stands (for a charge, p.d. or energy);
    ``at`` is its place there. ``step`` is that step, None where there is none. ``place`` is
    "whole" only for a capacitance that no step makes.
    """

    scenery: Scenery
    quantity: Quantity
    place: Place
    values: Mapping[Quantity, Value]
    right: Fraction
    step: Step | None
    parts: tuple[Fraction, ...]
    at: int = 0

    def number(self, symbol: Symbol, of: str | None = None) -> Fraction | None:
        """A value of this scene as a plain number; None if there is none, or it has letters."""
        value = self.values.get(Quantity(symbol, of))
        if value is None or in_letters(value):
            return None
        return _plain(value, Quantity(symbol, of).dimension, self.scenery.problem)

    @property
    def c(self) -> Fraction | None:
        """The capacitance of what is asked about."""
        return self.number("C", self.quantity.of)

    @property
    def v(self) -> Fraction | None:
        """Its p.d."""
        return self.number("V", self.quantity.of)

    @property
    def q(self) -> Fraction | None:
        """Its charge."""
        return self.number("Q", self.quantity.of)

    @property
    def supply(self) -> Fraction | None:
        """The p.d. between the ends."""
        return self.number("V")

    @property
    def total(self) -> Fraction | None:
        """The charge of the whole network."""
        return self.number("Q")

    @property
    def whole(self) -> Fraction | None:
        """The capacitance of the whole network."""
        return self.number("C")

    @property
    def made(self) -> str | None:
        """The name of what the parts are combined into."""
        return self.step.makes.name if self.step and self.step.makes else None

    @property
    def given(self) -> tuple[Fraction, ...]:
        """All capacitances of the text that take part."""
        idle = {c.name for s in self.scenery.plan if s.makes is None for c in s.parts}
        idle |= {c.name for s in self.scenery.plan for c in s.swept}
        names = [c.name for c in self.network.capacitors if c.name not in idle]
        found = [self.number("C", name) for name in names]
        return tuple(number for number in found if number is not None)

    @property
    def network(self) -> Network:
        """The network as given, wires made points."""
        return self.scenery.problem.network

    def inside(self, kind: StepKind) -> list[tuple[Fraction, tuple[Fraction, ...]]]:
        """For each part that such a step made: its number, and the numbers it was made of."""
        if self.step is None:
            return []
        found = []
        for part, number in zip(self.step.parts, self.parts, strict=True):
            made_by = self.scenery.made_by(part.name)
            if made_by is not None and made_by.kind == kind:
                inner = (self.number("C", c.name) for c in made_by.parts)
                found.append((number, tuple(n for n in inner if n is not None)))
        return found

    @property
    def is_whole(self) -> bool:
        """Whether the parts make up the whole network."""
        return self.scenery.whole is not None and self.made == self.scenery.whole.name


def scene_of(
    scenery: Scenery, quantity: Quantity, values: Mapping[Quantity, Value] | None = None
) -> Scene | None:
    """The scene of a quantity; None where letters stand for values, where nothing is known of it,
    and for what no rule here makes: the potential of a point, a capacitance of the text.
    """
    given = {c.name for c in scenery.problem.network.capacitors}
    if quantity.point is not None or (quantity.symbol == "C" and quantity.of in given):
        return None
    values = scenery.truth if values is None else {**scenery.truth, **_both_names(scenery, values)}
    right = scenery.truth.get(quantity)
    if right is None or any(in_letters(value) for value in values.values()):
        return None
    plain = _plain(right, quantity.dimension, scenery.problem)
    whole = scenery.whole.name if scenery.whole else None
    name = quantity.of or whole
    place = _place(scenery, quantity, whole)
    if quantity.symbol == "C":
        step = scenery.made_by(name)
    else:
        step = scenery.part_of(name) if quantity.of and quantity.of != whole else None
    parts: tuple[Capacitor, ...] = step.parts if step else ()
    if place == "whole" and step is None:
        parts = scenery.problem.network.capacitors
    numbers = tuple(
        _plain(values[Quantity("C", c.name)], "capacitance", scenery.problem) for c in parts
    )
    at = next((i for i, c in enumerate(parts) if c.name == name), 0)
    return Scene(scenery, quantity, place, values, plain, step, numbers, at)


def _both_names(
    scenery: Scenery, own: Mapping[Quantity, Value]
) -> Mapping[Quantity, Value]:
    """A learner's own values, those of the whole under its own name and the last step's."""
    if scenery.whole is None:
        return own
    found = dict(own)
    for quantity, value in own.items():
        if quantity.of == scenery.whole.name:
            found.setdefault(Quantity(quantity.symbol), value)
        elif quantity.of is None and quantity.point is None:
            found.setdefault(Quantity(quantity.symbol, scenery.whole.name), value)
    return found


def _place(scenery: Scenery, quantity: Quantity, whole: str | None) -> Place:
    is_whole = quantity.of in (None, whole)
    if quantity.symbol == "C":
        step = scenery.made_by(quantity.of or whole)
        if step is None or step.shares:
            return "whole"
        return "parallel" if step.kind == "parallel" else "series"
    if quantity.symbol == "W":
        return "work"
    if quantity.symbol == "Q":
        return "total charge" if is_whole else "charge"
    if quantity.symbol == "E":
        return "total energy" if is_whole else "energy"
    return "voltage"


def _plain(value: Value, dimension: Dimension, problem: Problem) -> Fraction:
    return Fraction(value) / Fraction(10) ** plain_power(problem, dimension)
