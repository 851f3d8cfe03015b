"""What a question can tell apart: from the right rule, and wrong rules from one another.

An answer to two figures stands for some 4.5 % either way, so that a wrong rule nearer than 5 % to
what is right may be taken for it; two wrong rules of different remedies nearer than 2 % to one
another may be taken for each other. Rules that agree for all values, by algebra, do not count as
near: nothing in the choice of values would part them, and they are told apart by asking. Nor does
a number that is right for all values, since there the rule is no wrong one.

Slips of the hand (a neighbour's value copied, a value rounded too early) are left out: they can
lead to almost any number.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import islice
from math import lcm
from types import MappingProxyType
from typing import Final, NamedTuple, TypeAlias

from grammar.records import Dimension
from tutor.circuit.beyond import balance_step
from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import Step, after
from tutor.circuit.values import Value
from tutor.teaching.rules.asked import context_of_ask, elsewhere, odd
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext, SolvedRoute, context_of, route_of
from tutor.teaching.rules.malrule import SLIP, UNLIKELY, Malrule, is_taken_as, is_within
from tutor.teaching.speech import Terms
from tutor.teaching.staged.story import Ask
from tutor.teaching.walk import Walk, look_ahead

FROM_RIGHT: Final = Fraction(1, 20)
FROM_EACH_OTHER: Final = Fraction(1, 50)
# Story rules that give one number by their nature, though they need different help.
ONE_NUMBER: Final[frozenset[frozenset[str]]] = frozenset({
    frozenset({"keeps-the-pd", "supply-off-keeps-the-pd"}),
})

GivenNumbers: TypeAlias = tuple[Fraction | None, ...]


class Separation(NamedTuple):
    """What one question can tell apart, by names of malrules.

    ``tells`` are those that give something well away from what is right and from all that malrules
    of another remedy give; ``hidden`` those that give nearly what is right; ``colliding`` pairs of
    different remedies that give nearly the same. ``right`` and ``numbers`` are what all is judged
    by, in plain numbers.
    """

    tells: tuple[str, ...] = ()
    hidden: tuple[str, ...] = ()
    colliding: tuple[tuple[str, str], ...] = ()
    right: Fraction = Fraction(0)
    numbers: Mapping[str, tuple[Fraction, ...]] = MappingProxyType({})

    @property
    def is_diagnostic(self) -> bool:
        """Whether everything that can be met here is told apart."""
        return not self.hidden and not self.colliding


class Wrong(NamedTuple):
    """What a rule gives at a question, and where to find out what it gives with other values."""

    rule: Malrule
    numbers: GivenNumbers
    beside: OtherValues

    @property
    def elsewhere(self) -> tuple[GivenNumbers, ...]:
        """Its numbers with each set of other values, in the places of ``numbers``; none where it
        applies in another way there, so that nothing can be said.
        """
        given = self.beside.numbers_of(self.rule)
        return given if all(len(each) == len(self.numbers) for each in given) else ()


class RuleNumber(NamedTuple):
    """One number of a rule, the one at this place."""

    value: Fraction
    wrong: Wrong
    at: int

    @property
    def elsewhere(self) -> tuple[Fraction | None, ...]:
        """What it is for each set of other values: none if not known."""
        return tuple(given[self.at] for given in self.wrong.elsewhere)


class OtherValues:
    """The same question with other values, worked out once it is needed: only where two numbers
    are equal does it matter whether they are so for all values.
    """

    def __init__(self, context: RuleContext, others: Sequence[SolvedRoute] | None) -> None:
        self.context = context
        self.others = others
        self.found: tuple[RuleContext, ...] | None = None
        self.given: dict[str, tuple[GivenNumbers, ...]] = {}

    @property
    def contexts(self) -> tuple[RuleContext, ...]:
        """Each set of other values."""
        if self.found is None:
            self.found = tuple(self._contexts())
        return self.found

    def _contexts(self) -> Iterator[RuleContext]:
        route, quantity = self.context.route, self.context.quantity
        if route is None or quantity is None:
            yield from elsewhere(self.context)
            return
        routes = other_values(route) if self.others is None else self.others
        found = (context_of(other, quantity) for other in routes)
        yield from (each for each in found if each is not None)

    @property
    def right(self) -> tuple[Fraction, ...]:
        """What is right with each set of other values."""
        return tuple(each.right for each in self.contexts)

    def numbers_of(self, rule: Malrule) -> tuple[GivenNumbers, ...]:
        """What a rule gives with each set of other values."""
        if rule.name not in self.given:
            self.given[rule.name] = tuple(tuple(rule.numbers(each)) for each in self.contexts)
        return self.given[rule.name]


def separation(
    context: RuleContext, others: Sequence[SolvedRoute] | None = None
) -> Separation:
    """What a question tells apart; ``others`` saves working other values of a network out again."""
    beside = OtherValues(context, others)
    rules = [
        Wrong(rule, tuple(rule.numbers(context)), beside)
        for rule in CATALOGUE if rule.rank < SLIP and rule.fits(context)
    ]
    return sort_out(rules, context.right, beside)


def separation_of_ask(ask: Ask, powers: Mapping[Dimension, int]) -> Separation:
    """The same for a question of a story with these usual prefixes (``Story.powers``).

    A question that is answered in words or in letters tells nothing here.
    """
    context = context_of_ask(ask, powers)
    return Separation() if context is None else separation(context)


def sort_out(rules: Iterable[Wrong], right: Fraction, beside: OtherValues) -> Separation:
    """Which of these rules are told apart; without other values all that is near counts."""
    found = [(wrong, _wrong_numbers(wrong, right, beside)) for wrong in rules]
    found = [(wrong, given) for wrong, given in found if given]
    if not found:
        return Separation()
    hidden = tuple(
        wrong.rule.name for wrong, given in found
        if any(is_within(n.value, right, FROM_RIGHT) for n in given)
    )
    colliding = tuple(dict.fromkeys(_collisions(given for _, given in found)))
    lost = {*hidden, *(name for pair in colliding for name in pair)}
    tells = tuple(wrong.rule.name for wrong, _ in found if wrong.rule.name not in lost)
    numbers = {wrong.rule.name: tuple(n.value for n in given) for wrong, given in found}
    return Separation(tells, hidden, colliding, right, numbers)


def _wrong_numbers(wrong: Wrong, right: Fraction, beside: OtherValues) -> list[RuleNumber]:
    """The rule's numbers but for what is right by algebra."""
    numbers = (
        RuleNumber(number, wrong, at)
        for at, number in enumerate(wrong.numbers) if number is not None
    )
    return [
        n for n in numbers
        if n.value != right or not n.elsewhere or n.elsewhere != beside.right
    ]


def _is_always_one_of(number: RuleNumber, wrong: Wrong) -> bool:
    """Whether a rule gives this number, at one place or another, for all values."""
    return bool(number.elsewhere) and all(
        value in given
        for value, given in zip(number.elsewhere, wrong.beside.numbers_of(wrong.rule), strict=True)
    )


def _collisions(found: Iterable[Sequence[RuleNumber]]) -> Iterator[tuple[str, str]]:
    """Pairs of rules that need different help and give nearly the same, though not by algebra.

    The numbers are gone through in order of size, so that each meets only those near to it.
    """
    numbers = [number for given in found for number in given]
    below = lcm(*(number.value.denominator for number in numbers))  # whole numbers are quick
    wholes = [n.value.numerator * (below // n.value.denominator) for n in numbers]
    in_order = sorted(range(len(numbers)), key=wholes.__getitem__)
    for place, at in enumerate(in_order):
        number = numbers[at]
        for beside in islice(in_order, place + 1, None):
            if not _meet(wholes[at], wholes[beside]):
                break
            other = numbers[beside]
            one, two = number.wrong.rule, other.wrong.rule
            if one.remedy == two.remedy or frozenset((one.name, two.name)) in ONE_NUMBER:
                continue
            agree = wholes[at] == wholes[beside] and (
                _is_always_one_of(number, other.wrong) or _is_always_one_of(other, number.wrong)
            )
            if not agree:
                yield min(one.name, two.name), max(one.name, two.name)


def _meet(one: int, other: int) -> bool:
    apart, larger = abs(one - other), max(abs(one), abs(other))
    return not apart or apart * FROM_EACH_OTHER.denominator < larger * FROM_EACH_OTHER.numerator


# The same problem with other values, to see what agrees whatever the values are


def other_values(route: SolvedRoute) -> tuple[SolvedRoute, SolvedRoute]:
    """The same route through the same shape on values that go up steeply, and that go down.

    No two are alike there, and of the parts of a step the other one is the larger each time. What
    is equal here and in both is equal by algebra.
    """
    return _with_values_of(route, 1), _with_values_of(route, -1)


def _with_values_of(route: SolvedRoute, sign: int) -> SolvedRoute:
    problem = route.problem
    unit = Fraction(10) ** problem.powers["capacitance"]
    values = {
        c.name: unit * odd(sign * at)
        for at, c in enumerate(problem.network.capacitors, start=1)
    }
    network = _with_values(problem.network, values)
    drawn = problem.drawn and _with_values(problem.drawn, values)
    supply = problem.supply and problem.supply._replace(value=problem.supply.value * odd(0))
    moved = problem._replace(network=network, drawn=drawn, supply=supply)
    steps: list[Step] = []
    for step in route.plan:
        steps.append(_redone(network, step))
        network = after(network, steps[-1])
    walk = Walk(moved, Terms(), network, {}, (), None, steps=tuple(steps))
    return route_of(look_ahead(walk))


def _with_values(network: Network, values: Mapping[str, Fraction]) -> Network:
    capacitors = (c._replace(value=values[c.name]) for c in network.capacitors)
    return Network(tuple(capacitors), network.ends)


def _redone(network: Network, step: Step) -> Step:
    """The step on the capacitors of this network."""
    here = {c.name: c for c in network.capacitors}
    if step.shares:
        solved = balance_step(network, ())
        makes = step.makes and solved.makes and step.makes._replace(value=solved.makes.value)
        return solved._replace(kind=step.kind, makes=makes)
    parts = tuple(here[c.name] for c in step.parts)
    swept = tuple(here[c.name] for c in step.swept)
    return step._replace(parts=parts, makes=_made(step, parts), swept=swept)


def _made(step: Step, parts: tuple[Capacitor, ...]) -> Capacitor | None:
    if step.makes is None:
        return None
    values: list[Value] = [c.value for c in parts]
    joint = JOININGS[step.kind].equivalent(values)
    return step.makes._replace(value=joint)


def hides_malrules(context: RuleContext) -> bool:
    """Whether a likely malrule gives here what is right, so that a right answer shows little."""
    return any(
        number is not None and is_taken_as(number, context.right)
        for malrule in CATALOGUE
        if malrule.rank < UNLIKELY and malrule.fits(context)
        for number in malrule.numbers(context)
    )
