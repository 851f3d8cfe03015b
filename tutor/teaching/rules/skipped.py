"""Wrong rules at steps that were skipped, behind an end value that was given at once.

Everything but the wrong rule is done rightly. Two wrong rules are looked for only where one does
not lead there, and only those that learners use often, or one of them twice: more would meet
almost any number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from typing import Final, TypeAlias

from tutor.circuit.joining import JOININGS
from tutor.circuit.relations import Fact, complete, worked_back
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, in_letters
from tutor.teaching.once import once
from tutor.teaching.quantities import SYMBOL, Quantity, Symbol
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext, SolvedRoute, context_of
from tutor.teaching.rules.diagnosis import Diagnosis, Typed, grouped
from tutor.teaching.rules.malrule import SLIP, Malrule

MOST_SKIPPED: Final = 20  # no one skips more steps than these and can still be asked about one
MOST_TWICE: Final = 4
FIGURES_FOR_TWO: Final = 3
WHOLE: Final[tuple[Symbol, ...]] = ("V", "Q", "E")

Replaced: TypeAlias = Mapping[Quantity, Value]


def diagnose_skipped(
    route: SolvedRoute, quantity: Quantity, typed: Typed,
    is_open: Callable[[Quantity], bool] = lambda _: True,
) -> Diagnosis | None:
    """One malrule at one earlier step that gives the number, or two where none does.

    The latest such step is taken, of those that are open still; None if there is none, or the
    number has one figure only.
    """
    if typed.is_one_figure or quantity not in route.truth or len(route.makers) > MOST_SKIPPED:
        return None
    if any(step.shares for step in route.makers):
        return None
    earlier = [q for q in _earlier(route, quantity) if is_open(q)]
    for at in reversed(earlier):
        led = _led_from(route, quantity, at)
        found = [malrule for malrule, number in led if typed.is_met(number)]
        if found:
            return Diagnosis(grouped(list(dict.fromkeys(found))), context_of(route, at), at)
    return _twice(route, quantity, typed, earlier)


@once
def _led_from(
    route: SolvedRoute, quantity: Quantity, at: Quantity
) -> Sequence[tuple[Malrule, Fraction]]:
    """Every malrule at an earlier step with what it leads to, in the usual unit."""
    context, back = context_of(route, at), _back(route, quantity)
    return [
        (malrule, number)
        for malrule, wrong in (wrong_numbers(context) if context else ())
        if (number := _led_to(route, back, {at: wrong}, quantity)) is not None
    ]


def _twice(
    route: SolvedRoute, quantity: Quantity, typed: Typed, earlier: list[Quantity]
) -> Diagnosis | None:
    """Two wrong rules, the second on what the first has led to; None where another two do too."""
    places = [q for q in (*earlier, _named(route, quantity)) if q.symbol == "C"]
    if (typed.half is not None and typed.figures < FIGURES_FOR_TWO) or len(places) > MOST_TWICE:
        return None
    found: dict[frozenset[str], Diagnosis] = {}
    for at, first in enumerate(places[:-1]):
        context = context_of(route, first)
        for one, other, number in _led_from_two(route, quantity, first, tuple(places[at + 1 :])):
            if typed.is_met(number):
                groups = tuple((rule,) for rule in dict.fromkeys((one, other)))
                remedies = frozenset((one.remedy, other.remedy))
                found.setdefault(remedies, Diagnosis(groups, context, first))
    return next(iter(found.values())) if len(found) == 1 else None


@once
def _led_from_two(
    route: SolvedRoute, quantity: Quantity, first: Quantity, later: tuple[Quantity, ...]
) -> Sequence[tuple[Malrule, Malrule, Fraction]]:
    """Every malrule at one step, and every one at a later step on its values, with what both lead
    to, in the usual unit.
    """
    context, back = context_of(route, first), _back(route, quantity)
    led = [
        (one, wrong, worked_out(route, {first: wrong}))
        for one, wrong in (wrong_numbers(context) if context else ())
    ]
    thens = (
        (one, wrong, second, context_of(route, second, values))
        for second, (one, wrong, values) in product(later, led)
    )
    return [
        (one, other, number)
        for one, wrong, second, then in thens
        for other, again in (wrong_numbers(then, one) if then else ())
        if (number := _led_to(route, back, {first: wrong, second: again}, quantity)) is not None
    ]


def _named(route: SolvedRoute, quantity: Quantity) -> Quantity:
    """The whole under the name of the last capacitor made."""
    if quantity.of is None and route.whole is not None:
        return Quantity(quantity.symbol, route.whole.name)
    return quantity


def _earlier(route: SolvedRoute, quantity: Quantity) -> Iterator[Quantity]:
    """What has to be worked out before a quantity is, in order: the capacitances that steps make,
    then charge and p.d. on the way back to it.
    """
    asked = _named(route, quantity)
    for step in route.makers:
        assert step.makes is not None
        made = Quantity("C", step.makes.name)
        if made == asked:
            return
        yield made
    supply, whole = route.problem.supply, route.whole
    if supply is None or whole is None or asked.symbol == "C" or asked.of is None:
        return
    yield from _on_the_way_back(route, asked)


def _on_the_way_back(route: SolvedRoute, asked: Quantity) -> Iterator[Quantity]:
    supply, whole = route.problem.supply, route.whole
    assert supply is not None
    assert whole is not None
    way, name = [], asked.of
    while (step := route.part_of(name)) is not None and step.makes is not None:
        way.append((step, name))
        name = step.makes.name
    if Quantity(supply.leaves, whole.name) != asked:
        yield Quantity(supply.leaves)
    own = (Quantity(JOININGS[step.kind].adds, part) for step, part in reversed(way))
    yield from (quantity for quantity in own if quantity != asked)


def wrong_numbers(
    context: RuleContext, after: Malrule | None = None
) -> Iterator[tuple[Malrule, Value]]:
    """Every malrule with what it gives here, in SI units; after another one only the same again,
    or a likely one after a likely one.
    """
    unit = Fraction(10) ** context.power
    for malrule in CATALOGUE:
        is_likely = after is None or (after == malrule and malrule.rank < SLIP)
        is_likely = is_likely or (after is not None and after.rank == malrule.rank == 0)
        if is_likely and malrule.fits(context):
            yield from ((malrule, n * unit) for n in malrule.wrong(context) if n > 0)


def _back(route: SolvedRoute, quantity: Quantity) -> tuple[Step, ...]:
    """The steps to be undone on the way back to a quantity, each with the one part that is on that
    way: what other parts hold does not bear on it. None for a capacitance.
    """
    if quantity.symbol == "C":
        return ()
    way, name = [], quantity.of
    while (step := route.part_of(name)) is not None and step.makes is not None:
        way.append(step._replace(parts=tuple(c for c in step.parts if c.name == name)))
        name = step.makes.name
    return tuple(way)


def _led_to(
    route: SolvedRoute, back: Sequence[Step], wrong: Replaced, quantity: Quantity
) -> Fraction | None:
    """The number, in the usual unit, to which these values in the place of right ones lead."""
    reached = worked_out(route, wrong, back).get(quantity)
    if reached is None or in_letters(reached):
        return None
    return Fraction(reached) / Fraction(10) ** route.problem.powers[quantity.dimension]


def worked_out(
    route: SolvedRoute, wrong: Replaced, back: Sequence[Step] | None = None
) -> dict[Quantity, Value]:
    """All values of a network where these stand in the place of the right ones, in SI units; or
    of the capacitances and the whole, and of the parts of the steps that lead ``back`` alone.
    """
    values: dict[str, Value] = {c.name: c.value for c in route.problem.network.capacitors}
    for step in route.makers:
        assert step.makes is not None
        parts = [values[c.name] for c in step.parts]
        worth = JOININGS[step.kind].equivalent(parts)
        values[step.makes.name] = wrong.get(Quantity("C", step.makes.name), worth)
    found: dict[Quantity, Value] = {Quantity("C", name): v for name, v in values.items()}
    whole, supply = route.whole, route.problem.supply
    if whole is None:
        return found
    found[Quantity("C")] = values[whole.name]
    if supply is None:
        return found
    held = {
        Fact("capacitance", whole.name): values[whole.name],
        Fact(supply.quantity, whole.name): supply.value,
        **{Fact(q.dimension, q.of or whole.name): v for q, v in wrong.items()},
    }
    complete(held, whole.name)
    for fact, value in worked_back(route.plan if back is None else back, values, held).items():
        found[Quantity(SYMBOL[fact.dimension], fact.of)] = value
    found |= {Quantity(symbol): found[Quantity(symbol, whole.name)] for symbol in WHOLE}
    return found
