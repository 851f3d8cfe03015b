"""What a learner's own earlier values lead to: the right rules run on the learner's numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from grammar.measures import times_ten
from tutor.circuit.joining import JOININGS, PARTNER
from tutor.circuit.relations import Relation
from tutor.circuit.values import Value, in_letters, same, tidy
from tutor.teaching.judging import close
from tutor.teaching.marking.fitting import Fit, Gauge, power_of_sums
from tutor.teaching.marking.grading import Subject
from tutor.teaching.once import once
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.rules.context import RuleContext, SolvedRoute, context_of, route_of
from tutor.teaching.rules.diagnosis import (
    Diagnosis,
    Typed,
    contexts_of,
    diagnose_in,
    suspected,
)
from tutor.teaching.rules.skipped import diagnose_skipped
from tutor.teaching.walk import Walk
from tutor.teaching.ways_of_walk import canonical, planned, relations_to, used_by

Values: TypeAlias = Mapping[Quantity, Value]


class _Held(NamedTuple):
    """``values`` are in SI units and hold the whole under C, Q, V, E and W alone; ``led_to`` is
    what the whole capacitance comes to after a group that is none.
    """

    walk: Walk
    stated: Values
    values: Values
    led_to: tuple[Value, ...] = ()


class Own(_Held):
    """Every value as the learner has it: ``stated`` ones as they stand, the rest by right rules."""

    def get(self, symbol: Symbol, of: str | None) -> Value | None:
        """The learner's own value of a capacitor, of the whole for None."""
        return self.values.get(canonical(self.walk, Quantity(symbol, of)))

    @once
    def ways(self, quantity: Quantity) -> Sequence[Value]:
        """What each right rule makes of a quantity from the learner's other values."""
        found: list[Value] = []
        for value in self._by_rules(quantity):
            if value is not None and value not in found:
                found.append(value)
        return found

    def _by_rules(self, quantity: Quantity) -> Iterator[Value | None]:
        told = {**{canonical(self.walk, q): v for q, v in self.walk.known.items()}, **self.stated}
        if quantity in self.stated:
            yield self.stated[quantity]
        if quantity.point is not None:
            yield self.values.get(quantity)
        if quantity.symbol == "W":
            yield _work(self.values)
        if quantity == Quantity("C"):
            yield from self.led_to
        for relation in relations_to(self.walk, quantity):
            if relation.finds.dimension != "capacitance":
                yield _by(self.walk, relation, self.values)
            elif relation.kind == "multiplied":  # not from what follows from the capacitance
                yield _by(self.walk, relation, told)
            elif not relation.is_rest:
                yield _by(self.walk, relation, self.values)
        yield from self._shared_out(quantity, told)

    def _shared_out(self, quantity: Quantity, told: Values) -> Iterator[Value | None]:
        """By the whole of the step that combines its capacitor: what follows there for what all
        share, and its part of what adds up.
        """
        step = self.walk.part_of(quantity.of)
        if step is None or step.makes is None:
            return
        joining, whole = JOININGS[step.kind], canonical(
            self.walk, Quantity(quantity.symbol, step.makes.name)
        )
        if quantity.symbol == joining.shares and whole not in told:
            yield from self._by_rules(whole)
        made, own = self.get("C", step.makes.name), self.get("C", quantity.of)
        divided = self.values.get(whole) if quantity.symbol == joining.adds else None
        if own and made and divided is not None:
            yield tidy(divided * joining.share(own, made))


def _by(walk: Walk, relation: Relation, values: Values) -> Value | None:
    """What a relation makes of these values; None where one is not known."""
    used = [value for q in used_by(walk, relation) if (value := values.get(q)) is not None]
    return relation.value(used) if len(used) == len(relation.uses) else None


def _work(values: Values) -> Value | None:
    """What a supply does that moves all the charge at its full p.d."""
    charge, voltage = values.get(Quantity("Q")), values.get(Quantity("V"))
    return None if charge is None or voltage is None else tidy(charge * voltage)


@once
def gauge_of(own: Own, quantity: Quantity) -> Gauge:
    """What a value stated for this quantity is held against."""
    walk = own.walk
    power = walk.problem.powers[quantity.dimension]
    return Gauge(
        quantity.dimension,
        power,
        walk.truth[quantity],
        lambda: own.ways(quantity),
        letters_of(walk),
        power_of_sums(walk.problem.powers, quantity.dimension),
    )


@once
def letters_of(walk: Walk) -> frozenset[str]:
    """The letters that stand for values in this network."""
    return frozenset(
        str(symbol)
        for value in walk.truth.values()
        if in_letters(value)
        for symbol in value.free_symbols
    )


def own_of(walk: Walk, stated: Values) -> Own:
    """Work out the learner's own values from what was stated so far."""
    plan = planned(walk)
    given, supply = walk.problem.network.capacitors, walk.problem.supply
    settled = {canonical(walk, Quantity("C", c.name)): c.value for c in given}
    if supply is not None and walk.whole is not None:
        settled[Quantity(supply.holds)] = supply.value
    settled |= {**upwards(walk, stated), **stated}
    for quantity in plan:
        _settle(walk, quantity, plan, settled)
    if supply is not None and walk.whole is not None and (work := _work(settled)) is not None:
        settled.setdefault(Quantity("W"), work)
        settled = {**{q: v for q, v in walk.truth.items() if q.of is None}, **settled}
    return Own(walk, stated, settled)


def _settle(
    walk: Walk, quantity: Quantity, plan: Mapping[Quantity, Relation], values: dict[Quantity, Value]
) -> None:
    """Work a quantity out by its own relation, after what that uses; the true value where it
    leads to none.
    """
    if quantity in values:
        return
    for used in used_by(walk, plan[quantity]):
        if used in plan:
            _settle(walk, used, plan, values)
    value = _by(walk, plan[quantity], values)
    value = walk.truth.get(quantity) if value is None else value
    if value is not None:
        values[quantity] = value


def shared_before(walk: Walk, stated: Values, quantity: Quantity) -> Value | None:
    """The value that was stated of another capacitor which shares this quantity with this one, or
    of both together.
    """
    step = walk.part_of(quantity.of)
    if quantity.of is None or step is None or step.makes is None:
        return None
    if quantity.symbol != JOININGS[step.kind].shares:
        return None
    names = (step.makes.name, *(c.name for c in step.parts if c.name != quantity.of))
    with_it = (stated.get(canonical(walk, Quantity(quantity.symbol, name))) for name in names)
    return next((value for value in with_it if value is not None), None)


def left_for(own: Own, quantity: Quantity) -> list[Value]:
    """What the other parts of a step leave of its whole for this one, by the learner's values."""
    rests = (r for r in relations_to(own.walk, quantity) if r.is_rest)
    return [value for r in rests if (value := _by(own.walk, r, own.values)) is not None]


def is_of_unlike(own: Own, quantity: Quantity, value: Value | None) -> bool:
    """Whether it is by the law of its own capacitor from a value stated for that, where what is
    stated beside it gives others another value of what they all share: the p.d.s 20 V and 13 V of
    two side by side that were given one charge.
    """
    step = own.walk.part_of(quantity.of)
    if step is None or step.makes is None or quantity.symbol != JOININGS[step.kind].shares:
        return False
    if value is None or in_letters(value):
        return False
    alike = {Quantity(quantity.symbol, part.name) for part in step.parts}
    mine = _by_stated(own, quantity)
    beside = [_by_stated(own, each) for each in alike - {quantity}]
    is_mine = mine is not None and close(value, mine)
    return is_mine and any(each is not None and not close(each, value) for each in beside)


def _by_stated(own: Own, quantity: Quantity) -> Value | None:
    """The charge of a capacitor by its stated p.d., or the p.d. by its stated charge."""
    other = Quantity(PARTNER[quantity.symbol], quantity.of)
    capacitance, held = own.get("C", quantity.of), own.stated.get(canonical(own.walk, other))
    if not capacitance or held is None or in_letters(held) or in_letters(capacitance):
        return None
    return held / capacitance if quantity.symbol == "V" else held * capacitance


def is_whole_for_part(own: Own, quantity: Quantity, value: Value | None) -> bool:
    """Whether a part is given all of what divides: the p.d. of a chain, or a charge."""
    walk = own.walk
    step = walk.part_of(quantity.of)
    if step is None or step.makes is None or value is None:
        return False
    whole = own.get(quantity.symbol, step.makes.name) if quantity.symbol in ("Q", "V") else None
    divides = quantity.symbol == JOININGS[step.kind].adds
    return divides and whole is not None and same(whole, value)


def is_swapped(own: Own, quantity: Quantity, value: Value | None) -> bool:
    """Whether a part is given what belongs to another, which was given this one's."""
    step = own.walk.part_of(quantity.of)
    truth = own.walk.truth.get(quantity)
    if step is None or value is None or truth is None:
        return False
    others = (Quantity(quantity.symbol, part.name) for part in step.parts)
    return any(
        other != quantity
        and other in own.stated
        and own.walk.truth.get(other) == value
        and same(own.stated[other], truth)
        for other in others
    )


def upwards(walk: Walk, stated: Values) -> dict[Quantity, Value]:
    """What is stated of one part is stated of all that share it with that part."""
    found: dict[Quantity, Value] = {}
    for step in walk.plan:
        if step.makes is None:
            continue
        symbol = JOININGS[step.kind].shares
        parts = [canonical(walk, Quantity(symbol, c.name)) for c in step.parts]
        said = [v for q in parts if (v := stated.get(q, found.get(q))) is not None]
        if said:
            found.setdefault(canonical(walk, Quantity(symbol, step.makes.name)), said[0])
    supply = walk.problem.supply
    if supply is not None:
        found.pop(Quantity(supply.holds), None)
    return found


# What a statement about a quantity of a walk is judged by, and the wrong rules behind a number


MOST_STEPS_TRIED = 12  # in a longer script too many wrong numbers would seem to come from somewhere


def subject_of(own: Own, quantity: Quantity) -> Subject[Quantity]:
    """A quantity as the subject of a statement."""

    def recognise(side: Fit) -> tuple[tuple[str, ...], Diagnosis | None]:
        diagnosis = _diagnosed(own, quantity, side)
        return (diagnosis.names if diagnosis else ()), diagnosis

    return Subject(
        quantity,
        gauge_of(own, quantity),
        gauge_of(own._replace(led_to=()) if own.led_to else own, quantity),
        lambda: _others(own, quantity),
        recognise,
        lambda shift: _of_shift(own, quantity, shift),
        lambda side: _suspected(own, quantity, side),
    )


def _others(own: Own, quantity: Quantity) -> Iterator[Fraction]:
    """The learner's values of other quantities, in the usual units."""
    powers = own.walk.problem.powers
    for q, value in own.values.items():
        if q.symbol in ("C", "Q", "V") and q != quantity and isinstance(value, Fraction):
            yield value / Fraction(10) ** powers[q.dimension]


def of_shift(shift: int) -> tuple[str, ...]:
    """The slip of a prefix that a missing power of ten shows."""
    return ("prefix-slip-of-a-thousand" if abs(shift) == 3 else "prefix-slip-of-a-million-or-more",)


def _of_shift(own: Own, quantity: Quantity, shift: int) -> tuple[str, ...]:
    thousand = abs(shift) == 3
    if quantity.symbol == "E" and thousand and own.walk.problem.powers["voltage"] in (-3, 3):
        return ("squares-the-number-not-the-prefix",)
    return of_shift(shift)


@once
def _diagnosed(own: Own, quantity: Quantity, side: Fit) -> Diagnosis | None:
    """The wrong rules that give a side: on the true values, on the learner's, at a skipped step."""
    if side.number is None or quantity.point is not None:
        return None
    walk = own.walk
    route = _route(walk)
    stated = own.stated.get(quantity)
    figures = side.figures
    if stated is not None and _are_reciprocal(own, quantity, stated, side):
        figures = max(figures, 2)  # the line before shows where even one figure comes from
    typed = Typed(side.number, side.half, figures)
    found = diagnose_in(_contexts(own, quantity), quantity, typed)
    if found.groups:
        return found
    if len(walk.plan) > MOST_STEPS_TRIED:
        return None
    return diagnose_skipped(
        route, quantity, typed, lambda earlier: canonical(walk, earlier) not in own.stated
    )


def _suspected(own: Own, quantity: Quantity, side: Fit) -> Diagnosis | None:
    """The wrong rule that gives a value of one figure exactly on the true values."""
    if side.number is None or quantity.point is not None:
        return None
    true = context_of(_route(own.walk), quantity)
    return suspected(true, Typed(side.number, side.half, side.figures))


@once
def _route(walk: Walk) -> SolvedRoute:
    return route_of(walk)


@once
def _contexts(own: Own, quantity: Quantity) -> Sequence[RuleContext]:
    """What wrong rules run on: the true values, and the learner's own."""
    walk = own.walk
    mine = {q: v for q, v in own.values.items() if in_letters(v) or v > 0}  # rules divide by them
    if walk.whole is not None:
        for whole in [q for q in mine if q.of is None and q.point is None]:
            mine[Quantity(whole.symbol, walk.whole.name)] = mine[whole]
    return contexts_of(_route(walk), quantity, mine)


def _are_reciprocal(own: Own, quantity: Quantity, stated: Value, side: Fit) -> bool:
    """Whether a number is one over the number stated before for the same quantity."""
    number = times_ten(stated, -own.walk.problem.powers[quantity.dimension])
    return side.number is not None and number * side.number == 1
