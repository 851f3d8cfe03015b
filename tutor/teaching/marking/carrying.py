"""What a learner's own earlier values lead to: the right rules run on the learner's numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from tutor.circuit.joining import JOININGS, PARTNER, HeldSymbol
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, in_letters, same, tidy
from tutor.teaching.marking.fitting import Gauge
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.walk import Walk

Values: TypeAlias = Mapping[Quantity, Value]


def canonical(walk: Walk, quantity: Quantity) -> Quantity:
    """The whole network under one name: C123 of the last step is C."""
    if walk.whole is not None and quantity.of == walk.whole.name:
        return Quantity(quantity.symbol)
    return quantity


class Own(NamedTuple):
    """Every value as the learner has it: ``stated`` ones as they stand, the rest by right rules.

    ``values`` are in SI units and hold the whole under C, Q, V, E and W alone; ``led_to`` is what
    the whole capacitance comes to after a group that is none.
    """

    walk: Walk
    stated: Values
    values: Values
    led_to: tuple[Value, ...] = ()

    def get(self, symbol: Symbol, of: str | None) -> Value | None:
        """The learner's own value of a capacitor, of the whole for None."""
        return self.values.get(canonical(self.walk, Quantity(symbol, of)))

    def ways(self, quantity: Quantity) -> list[Value]:
        """What each right rule makes of a quantity from the learner's other values."""
        found: list[Value] = []
        for value in self._by_rules(quantity):
            if value is not None and value not in found:
                found.append(value)
        return found

    def _by_rules(self, quantity: Quantity) -> Iterator[Value | None]:
        if quantity in self.stated:
            yield self.stated[quantity]
        if quantity.point is not None:
            yield self.values.get(quantity)
        elif quantity.symbol == "C":
            yield from self.led_to if quantity.of is None else ()
            yield from self._capacitance(quantity)
        elif quantity.symbol == "E":
            yield from self._energy(quantity.of)
        elif quantity.symbol == "W":
            yield _times(self.get("Q", None), self.get("V", None))
        else:
            c = self.get("C", quantity.of)
            if quantity.symbol == "Q":
                yield _times(c, self.get("V", quantity.of))
            else:
                yield _over(self.get("Q", quantity.of), c)
            yield from self._beside(quantity)
            yield from self._above(quantity)

    def _capacitance(self, quantity: Quantity) -> Iterator[Value | None]:
        step = _maker(self.walk, quantity.of)
        if step is not None:
            yield _combined(step, [self.get("C", c.name) for c in step.parts])
        charge, voltage = (
            self.stated.get(
                canonical(self.walk, Quantity(s, quantity.of)),
                self.walk.known.get(Quantity(s, quantity.of)),
            )
            for s in ("Q", "V")
        )
        yield _over(charge, voltage)

    def _energy(self, of: str | None) -> Iterator[Value | None]:
        c, q, v = (self.get(symbol, of) for symbol in ("C", "Q", "V"))
        yield _half(_times(q, v))
        yield _half(_times(c, _times(v, v)))
        yield _half(_over(_times(q, q), c))
        if of is None:
            given = self.walk.problem.network.capacitors
            yield _sum([self.get("E", c.name) for c in given])

    def _beside(self, quantity: Quantity) -> Iterator[Value | None]:
        """From the step in which its capacitor is a part."""
        step = _user(self.walk, quantity.of)
        if step is None or step.makes is None:
            return
        whole = self.get(quantity.symbol, step.makes.name)
        if quantity.symbol == _shared(step):
            yield whole
            made_quantity = canonical(self.walk, Quantity(quantity.symbol, step.makes.name))
            if made_quantity not in self.stated and made_quantity not in self.walk.known:
                yield from self._by_rules(made_quantity)
            return
        others = [self.get(quantity.symbol, c.name) for c in step.parts if c.name != quantity.of]
        yield _sum([whole, *(None if v is None else -v for v in others)])
        made, own = self.get("C", step.makes.name), self.get("C", quantity.of)
        share = None if not own or not made else JOININGS[step.kind].share(own, made)
        yield _times(whole, share)

    def _above(self, quantity: Quantity) -> Iterator[Value | None]:
        """From the parts of which its capacitor was made."""
        step = _maker(self.walk, quantity.of)
        if step is None:
            return
        parts = [self.get(quantity.symbol, c.name) for c in step.parts]
        if quantity.symbol == _shared(step):
            yield from parts
        else:
            yield _sum(parts)


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
    )


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
    values: dict[Quantity, Value] = {}
    known = {**upwards(walk, stated), **stated}

    def settle(symbol: Symbol, of: str | None, derived: Value | None) -> None:
        quantity = canonical(walk, Quantity(symbol, of))
        value = known.get(quantity, derived)
        value = walk.truth.get(quantity) if value is None else value
        if value is not None:
            values[quantity] = value

    def get(symbol: Symbol, of: str | None) -> Value | None:
        return values.get(canonical(walk, Quantity(symbol, of)))

    for c in walk.problem.network.capacitors:
        settle("C", c.name, c.value)
    steps = [step for step in walk.plan if step.makes]
    for step in steps:
        assert step.makes is not None
        settle("C", step.makes.name, _combined(step, [get("C", c.name) for c in step.parts]))
    if walk.problem.supply is None or walk.whole is None:
        return Own(walk, stated, values)
    if walk.problem.supply.quantity == "voltage":
        settle("V", None, walk.problem.supply.value)
        settle("Q", None, _times(get("C", None), get("V", None)))
    else:
        settle("Q", None, walk.problem.supply.value)
        settle("V", None, _over(get("Q", None), get("C", None)))
    for step in reversed(steps):
        assert step.makes is not None
        for c in step.parts:
            shared, other = _shared(step), PARTNER[_shared(step)]
            settle(shared, c.name, get(shared, step.makes.name))
            from_shared = (
                _times(get("C", c.name), get("V", c.name))
                if other == "Q"
                else _over(get("Q", c.name), get("C", c.name))
            )
            settle(other, c.name, from_shared)
    for name in [None, *{c.name for s in steps for c in s.parts}]:
        settle("E", name, _half(_times(get("Q", name), get("V", name))))
    settle("W", None, _times(get("Q", None), get("V", None)))
    values.update({q: v for q, v in walk.truth.items() if q not in values and q.of is None})
    values.update(stated)
    return Own(walk, stated, values)


def shared_before(walk: Walk, stated: Values, quantity: Quantity) -> Value | None:
    """The value that was stated of another capacitor which shares this quantity with this one, or
    of both together.
    """
    step = _user(walk, quantity.of)
    if quantity.of is None or step is None or step.makes is None:
        return None
    if quantity.symbol != _shared(step):
        return None
    names = (step.makes.name, *(c.name for c in step.parts if c.name != quantity.of))
    with_it = (stated.get(canonical(walk, Quantity(quantity.symbol, name))) for name in names)
    return next((value for value in with_it if value is not None), None)


def is_whole_for_part(own: Own, quantity: Quantity, value: Value | None) -> bool:
    """Whether a part is given all of what divides: the p.d. of a chain, or a charge."""
    walk = own.walk
    step = _user(walk, quantity.of)
    if step is None or step.makes is None or value is None:
        return False
    whole = own.get(quantity.symbol, step.makes.name) if quantity.symbol in ("Q", "V") else None
    divides = quantity.symbol == JOININGS[step.kind].adds
    return divides and whole is not None and same(whole, value)


def is_swapped(own: Own, quantity: Quantity, value: Value | None) -> bool:
    """Whether a part is given what belongs to another, which was given this one's."""
    step = _user(own.walk, quantity.of)
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
        symbol = _shared(step)
        parts = [canonical(walk, Quantity(symbol, c.name)) for c in step.parts]
        said = [v for q in parts if (v := stated.get(q, found.get(q))) is not None]
        if said:
            found.setdefault(canonical(walk, Quantity(symbol, step.makes.name)), said[0])
    supply = walk.problem.supply
    if supply is not None:
        found.pop(Quantity(supply.holds), None)
    return found


def _shared(step: Step) -> HeldSymbol:
    return JOININGS[step.kind].shares


def _maker(walk: Walk, name: str | None) -> Step | None:
    wanted = name or (walk.whole.name if walk.whole else None)
    return next((s for s in walk.plan if s.makes and s.makes.name == wanted), None)


def _user(walk: Walk, name: str | None) -> Step | None:
    """The step that combines a capacitor with others."""
    return next((s for s in walk.plan if s.makes and name in {c.name for c in s.parts}), None)


def _combined(step: Step, values: list[Value | None]) -> Value | None:
    if step.kind == "parallel":
        return _sum(values)
    return _over(Fraction(1), _sum([_over(Fraction(1), value) for value in values]))


def _sum(values: list[Value | None]) -> Value | None:
    total: Value = Fraction(0)
    for value in values:
        if value is None:
            return None
        total = total + value
    return tidy(total)


def _times(first: Value | None, second: Value | None) -> Value | None:
    return None if first is None or second is None else tidy(first * second)


def _over(first: Value | None, second: Value | None) -> Value | None:
    if first is None or second is None or second == 0:
        return None
    return tidy(first / second)


def _half(value: Value | None) -> Value | None:
    return None if value is None else tidy(value / 2)
