"""What right and wrong rules run on at one question: what surrounds its value, in plain numbers.

Plain numbers are those a learner works with, in units that fit together: those of capacitance and
p.d. are the usual ones of the problem (µF, V), those of charge and energy follow from them (µC,
µJ). They may be the exact ones or a learner's own: a wrong rule run on an earlier wrong value is
recognised as well.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import takewhile
from types import MappingProxyType
from typing import NamedTuple

from grammar.records import Dimension
from tutor.circuit.network import Capacitor, Network, Problem
from tutor.circuit.steps import Step, StepKind
from tutor.circuit.values import Value, in_letters
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.walk import Walk


def plain_power(powers: Mapping[Dimension, int], dimension: Dimension) -> int:
    """The power of ten of the unit of plain numbers; in tiny units no prefix need exist for it."""
    times_voltage = {"capacitance": 0, "charge": 1, "energy": 2}
    if dimension not in times_voltage:
        return powers[dimension]
    return powers["capacitance"] + times_voltage[dimension] * powers["voltage"]


class _Solved(NamedTuple):
    """What is true on one route through a network: its steps and every value, and whether
    letters stand for some of them.
    """

    problem: Problem
    plan: tuple[Step, ...]
    whole: Capacitor | None
    truth: Mapping[Quantity, Value]
    is_lettered: bool


class SolvedRoute(_Solved):
    """A solved route with its parts by name. It never changes, so that what wrong rules come to on
    it is worked out once.
    """

    @property
    def makers(self) -> tuple[Step, ...]:
        """The steps that make a capacitor."""
        return tuple(step for step in self.plan if step.makes is not None)

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

    def run(self, step: Step) -> tuple[tuple[str, ...], str | None]:
        """The whole chain or parallel set that a step is a part of, however it is taken: the names
        of all its members, and of the one capacitor that stands for them.
        """
        outer = step
        while outer.makes and (above := self.part_of(outer.makes.name)) is not None:
            if above.kind != step.kind:
                break
            outer = above
        return tuple(self._members(outer)), outer.makes.name if outer.makes else None

    def _members(self, step: Step) -> Iterator[str]:
        for c in step.parts:
            made_by = self.made_by(c.name)
            if made_by is not None and made_by.kind == step.kind:
                yield from self._members(made_by)
            else:
                yield c.name


class Held(NamedTuple):
    """Capacitance, charge and p.d. of one capacitor; None for what is not known of it."""

    c: Fraction | None = None
    q: Fraction | None = None
    v: Fraction | None = None


class _Asked(NamedTuple):
    """``place`` is the kind of question and ``right`` its value, in a unit of 10**``power``;
    ``usual`` is the power of ten that a bare number has there. ``parts`` are the capacitances that
    are combined, or those of the step in which its capacitor stands, ``names`` their names and
    ``at`` its place among them; ``held`` is what the capacitors asked about hold. In a walk
    ``route``, ``quantity``, ``values`` and ``step`` say where in the network that is. In a problem
    in stages ``key`` is the question's own kind, ``facts`` and ``told`` what its own rules run on
    and speak of, ``others`` the capacitances beside it.
    """

    place: str
    right: Fraction
    power: int = 0
    usual: int = 0
    parts: tuple[Fraction, ...] = ()
    names: tuple[str, ...] = ()
    at: int = 0
    held: tuple[Held, ...] = ()
    of: str = ""
    route: SolvedRoute | None = None
    quantity: Quantity | None = None
    values: Mapping[Quantity, Value] = MappingProxyType({})
    step: Step | None = None
    key: str = ""
    facts: Mapping[str, Fraction] = MappingProxyType({})
    told: Mapping[str, str] = MappingProxyType({})
    others: tuple[Fraction, ...] = ()


class RuleContext(_Asked):
    """One asked value with what surrounds it. It never changes, so that what wrong rules give there
    is worked out once.
    """

    @property
    def scale(self) -> Fraction:
        """What turns a number in the usual unit into a plain one."""
        return Fraction(10) ** (self.usual - self.power)

    def number(self, symbol: Symbol, of: str | None = None) -> Fraction | None:
        """A value of this network as a plain number; None if there is none, or it has letters."""
        value = self.values.get(Quantity(symbol, of))
        if value is None or in_letters(value) or self.route is None:
            return None
        return _plain(value, Quantity(symbol, of).dimension, self.route.problem.powers)

    def numbers(self, symbol: Symbol, names: tuple[str, ...]) -> tuple[Fraction, ...]:
        """The same of several, as far as there are any."""
        found = (self.number(symbol, name) for name in names)
        return tuple(number for number in found if number is not None)

    def listed(self, prefix: str) -> tuple[Fraction, ...]:
        """The facts of one sort: for ``v`` all of v0, v1, …"""
        named = ((key.removeprefix(prefix), fact) for key, fact in self.facts.items())
        return tuple(fact for number, fact in named if number.isdigit())

    @property
    def one(self) -> Held:
        """What the one capacitor asked about holds."""
        return self.held[0] if self.held else Held()

    @property
    def c(self) -> Fraction | None:
        """The capacitance of what is asked about."""
        return self.one.c

    @property
    def v(self) -> Fraction | None:
        """Its p.d."""
        return self.one.v

    @property
    def q(self) -> Fraction | None:
        """Its charge."""
        return self.one.q

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
    def network(self) -> Network | None:
        """The network as given, wires made points."""
        return self.route.problem.network if self.route else None

    @property
    def given(self) -> tuple[Fraction, ...]:
        """All capacitances of the text that take part."""
        if self.route is None:
            return self.others
        idle = {c.name for s in self.route.plan if s.makes is None for c in s.parts}
        idle |= {c.name for s in self.route.plan for c in s.swept}
        names = (c.name for c in self.route.problem.network.capacitors)
        return self.numbers("C", tuple(name for name in names if name not in idle))

    @property
    def merged(self) -> tuple[Fraction, ...]:
        """The capacitances that steps have made by then, but for that of what is asked about and
        of the block that it stands in: to take this one is a wrong idea of its own.
        """
        if self.route is None or self.quantity is None:
            return ()
        names = [step.makes.name for step in self.route.makers if step.makes]
        if self.quantity.symbol == "C":
            names = [*takewhile(lambda name: name != self.made, names)]
        return self.numbers("C", tuple(n for n in names if n not in (self.quantity.of, self.made)))

    def run(self) -> tuple[tuple[Fraction, ...], str | None]:
        """The capacitances of the whole chain or set that the parts belong to, and its name."""
        if self.step is None or self.route is None:
            return (), None
        names, made = self.route.run(self.step)
        return self.numbers("C", names), made

    def inside(self, kind: StepKind) -> list[tuple[Fraction, tuple[Fraction, ...]]]:
        """For each part that such a step made: its number, and the numbers it was made of."""
        if self.step is None or self.route is None:
            return []
        found = []
        for part, number in zip(self.step.parts, self.parts, strict=True):
            made_by = self.route.made_by(part.name)
            if made_by is not None and made_by.kind == kind:
                found.append((number, self.numbers("C", tuple(c.name for c in made_by.parts))))
        return found

    @property
    def is_whole(self) -> bool:
        """Whether the parts make up the whole network."""
        whole = self.route.whole if self.route else None
        return whole is not None and self.made == whole.name


def context_of(
    route: SolvedRoute, quantity: Quantity, own: Mapping[Quantity, Value] | None = None
) -> RuleContext | None:
    """The context of a quantity of a network; None where letters stand for values, where nothing
    is known of it, and for what no rule makes: the potential of a point, a capacitance of the text.
    """
    problem = route.problem
    given = {c.name for c in problem.network.capacitors}
    if quantity.point is not None or (quantity.symbol == "C" and quantity.of in given):
        return None
    values = route.truth if own is None else {**route.truth, **_both_names(route, own)}
    right = route.truth.get(quantity)
    if right is None or route.is_lettered or any(map(in_letters, (own or {}).values())):
        return None
    whole = route.whole.name if route.whole else None
    name, place = quantity.of or whole, _place(route, quantity, whole)
    step = route.made_by(name) if quantity.symbol == "C" else route.part_of(name)
    parts: tuple[Capacitor, ...] = step.parts if step else ()
    if place == "whole" and step is None:
        parts = problem.network.capacitors
    context = RuleContext(
        place, _plain(right, quantity.dimension, problem.powers),
        plain_power(problem.powers, quantity.dimension), problem.powers[quantity.dimension],
        tuple(_plain(values[Quantity("C", c.name)], "capacitance", problem.powers) for c in parts),
        tuple(c.name for c in parts), next((i for i, c in enumerate(parts) if c.name == name), 0),
        (), name or "it", route, quantity, values, step,
    )
    symbols: list[Symbol] = ["C", "Q", "V"]
    return context._replace(held=(Held(*(context.number(s, quantity.of) for s in symbols)),))


def _both_names(
    route: SolvedRoute, own: Mapping[Quantity, Value]
) -> Mapping[Quantity, Value]:
    """A learner's own values, those of the whole under its own name and the last step's."""
    if route.whole is None:
        return own
    found = dict(own)
    for quantity, value in own.items():
        if quantity.of == route.whole.name:
            found.setdefault(Quantity(quantity.symbol), value)
        elif quantity.of is None and quantity.point is None:
            found.setdefault(Quantity(quantity.symbol, route.whole.name), value)
    return found


def _place(route: SolvedRoute, quantity: Quantity, whole: str | None) -> str:
    is_whole = quantity.of in (None, whole)
    if quantity.symbol == "C":
        step = route.made_by(quantity.of or whole)
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


def _plain(value: Value, dimension: Dimension, powers: Mapping[Dimension, int]) -> Fraction:
    power = plain_power(powers, dimension)
    exact = value if isinstance(value, Fraction) else Fraction(value)
    if power > 0:
        return Fraction(exact.numerator, exact.denominator * 10**power)
    return Fraction(exact.numerator * 10**-power, exact.denominator)


# What rules run on where a walk stands: its route, and the context of one of its values.


def route_of(walk: Walk) -> SolvedRoute:
    """What is true on this walk."""
    lettered = any(map(in_letters, walk.truth.values()))
    return SolvedRoute(walk.problem, walk.plan, walk.whole, walk.truth, lettered)


def context_on(
    walk: Walk, quantity: Quantity | None, own: Mapping[Quantity, Value] | None = None
) -> RuleContext | None:
    """The context of a value of this walk, on true or on the learner's own values."""
    return context_of(route_of(walk), quantity, own) if quantity is not None else None
