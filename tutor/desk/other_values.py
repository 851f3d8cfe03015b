"""The same network with other values, as easy to work with as those it had."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from random import Random
from typing import Final

from grammar.outline import elements_of
from grammar.reading import read_network
from grammar.records import Amount, Chain, Charging, Description, Dimension, Element, Parallel, Part
from grammar.writing import write_network
from tutor.circuit.network import build
from tutor.circuit.solving import solve
from tutor.circuit.values import Value, in_letters
from tutor.practice.task_values import is_short

TRIES: Final = 150
POOL: Final = tuple(map(Fraction, (
    2, 3, 4, 5, 6, 8, 9, 10, 12, 14, 15, 16, 18, 20, 21, 24, 28, 30, 35, 36, 40, 42, 45, 48, 56, 60,
)))
SUPPLIES: Final = tuple(map(Fraction, (
    5, 6, 8, 9, 10, 12, 14, 15, 16, 18, 20, 21, 24, 25, 28, 30, 32, 35, 36, 40, 42, 45, 48, 50, 54,
    60, 63, 64, 70, 72, 75, 80, 84, 90, 96, 100,
)))
FACTORS: Final = tuple(map(Fraction, ("1/2", "3/2", "2", "5/2", "3", "4", "5")))


def with_other_values(text: str, by_chance: Random) -> str:
    """A text of the same network with other capacitances and another supply.

    Where the results were short decimals they are so again. What is charged beforehand or rated
    is given values larger or smaller all alike; where values hang together with a text's own data
    (plates, a missing value), it stays as it is.
    """
    description = read_network(text)
    capacitors = elements_of(description)
    plain = all(isinstance(c.worth, Amount) for c in capacitors)
    if not plain or not capacitors or description.givens or description.ladder:
        return text
    if description.changes or any(c.rating or c.start for c in capacitors):
        return _scaled(description, by_chance)
    wanted = _is_easy(description)
    for tried in _drawn(description, by_chance):
        if not wanted or _is_easy(tried):
            return write_network(tried, ascii=True)
    return _scaled(description, by_chance)


def _drawn(description: Description, by_chance: Random) -> Iterator[Description]:
    """Values by chance, those that were equal equal again, and no others."""
    capacitors = elements_of(description)
    old = list(dict.fromkeys(c.worth for c in capacitors))
    for _ in range(TRIES):
        new = dict(zip(old, by_chance.sample(POOL, min(len(old), len(POOL))), strict=False))
        changed = {c.name: _of(new.get(c.worth, Fraction(7)), c.worth) for c in capacitors}
        supply = description.supply
        if supply is not None and isinstance(supply.worth, Amount):
            supply = supply._replace(worth=_of(by_chance.choice(SUPPLIES), supply.worth))
        yield _with(description, changed, supply)


def _of(number: Fraction, worth: object) -> Amount:
    power = worth.power if isinstance(worth, Amount) else 0
    return Amount(number * Fraction(10) ** power, power)


def _scaled(description: Description, by_chance: Random) -> str:
    """All capacitances times one factor, all p.d.s times another: nothing gets harder."""
    wide, high = by_chance.choice(FACTORS), by_chance.choice(FACTORS)
    changed = {
        c.name: c.worth._replace(value=c.worth.value * wide)
        for c in elements_of(description) if isinstance(c.worth, Amount)
    }
    raised = {c.name: _raised(c, wide, high) for c in elements_of(description)}
    supply = description.supply and _times(description.supply, wide, high)
    return write_network(_with(description, changed, supply, raised), ascii=True)


def _raised(c: Element, wide: Fraction, high: Fraction) -> Element:
    rating = c.rating and c.rating._replace(value=c.rating.value * high)
    return c._replace(rating=rating, start=c.start and _times(c.start, wide, high))


def _times(supply: Charging, wide: Fraction, high: Fraction) -> Charging:
    worth = supply.worth
    if not isinstance(worth, Amount):
        return supply
    factor = high if supply.quantity == "voltage" else wide * high
    return supply._replace(worth=worth._replace(value=worth.value * factor))


def _with(
    description: Description, values: Mapping[str, Amount], supply: Charging | None,
    raised: Mapping[str, Element] | None = None,
) -> Description:
    def changed(c: Element) -> Element:
        return (raised or {}).get(c.name, c)._replace(worth=values.get(c.name, c.worth))

    joins = tuple(j._replace(capacitor=changed(j.capacitor)) for j in description.joins)
    nest = None if description.nest is None else _nest(description.nest, changed)
    return description._replace(nest=nest, joins=joins, supply=supply)


def _nest(part: Part, changed: Callable[[Element], Element]) -> Part:
    if isinstance(part, Element):
        return changed(part)
    members = tuple(_nest(member, changed) for member in part.members)
    return Chain(members) if isinstance(part, Chain) else Parallel(members)


def _is_easy(description: Description) -> bool:
    """Whether whatever is found on the way comes out in short decimals."""
    problem = build(description)
    solution = solve(problem.network, problem.supply)
    found: list[tuple[Value, Dimension]] = [
        (step.makes.value, "capacitance") for step in solution.steps if step.makes
    ]
    for held in solution.holdings.values():
        found += [(held.voltage, "voltage"), (held.charge, "charge")]
    return all(
        not in_letters(value)
        and is_short(abs(Fraction(value)) / Fraction(10) ** problem.powers[dimension])
        for value, dimension in found
    )
