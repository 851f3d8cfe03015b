"""From what a text wishes for to the stock and the window that are searched."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grammar import records
from grammar.records import Amount, Chain, Parallel, Part, Refusal
from grammar.wishes import PreferredSeries, WishedFor
from tutor.circuit.arranging import Order
from tutor.circuit.preferred import preferred_values
from tutor.circuit.stock import Stock, StockGroup, StockKind
from tutor.circuit.trees import Joined, Tree

USUAL_PARTS = 3
"""How many capacitors of a series an arrangement may have unless the text says it."""

USUAL_RANGE = 100
"""Unless the text says it, values of a series are taken up to so many times more or less than the
target: beyond, a capacitor changes the whole by less than a hundredth.
"""


def stock_of(wish: WishedFor) -> Stock:
    """Everything there is to choose from; capacitors that are alike make one group.

    Errors: ``Refusal`` where the range that is named has no value of the series.
    """
    groups: dict[StockKind, StockGroup] = {}
    series: list[StockGroup] = []
    most = wish.most_parts
    number = 0
    for item in wish.items:
        if isinstance(item, PreferredSeries):
            series.append(StockGroup(tuple(_kinds_of_series(item, wish)), most or USUAL_PARTS))
            continue
        kind = _kind(item.worth, item.rating)
        names = tuple(f"C{number + place}" for place in range(1, item.number + 1))
        number += item.number
        before = groups.get(kind, StockGroup((kind,), 0))
        groups[kind] = StockGroup((kind,), before.number + item.number, before.names + names)
    if not all(group.kinds for group in series):
        raise Refusal("The series has no value in that range.", "Name a wider range.")
    everything = (*groups.values(), *series)
    in_all = sum(group.number for group in everything)
    limit = most or (USUAL_PARTS if series else in_all)
    return Stock(everything, min(limit, in_all), in_all if wish.all_of else 1)


def order_of(wish: WishedFor, stock: Stock) -> Order:
    """What to search for; the wish must name a target."""
    if wish.target is None:
        raise ValueError("a wish for every value is no order for one")
    target = wish.target.value
    off = Fraction(0)
    if isinstance(wish.within, Amount):
        off = wish.within.value
    elif wish.within is not None:
        off = wish.within * target
    across = wish.across.value if wish.across is not None else None
    return Order(stock, target, max(target - off, Fraction(0)), target + off, across)


def nest_of_tree(stock: Stock, tree: Tree) -> Part:
    """An arrangement as a nest of named capacitors: by their own names, else C1, C2 … in order."""
    kinds = stock.kinds
    names = [list(group.names) for group in stock.groups for _ in group.kinds]
    fresh = _fresh_names(stock)

    def part(each: Tree) -> Part:
        if isinstance(each, Joined):
            members = tuple(part(member) for member in each.members)
            return Chain(members) if each.way == "series" else Parallel(members)
        name = names[each].pop(0) if names[each] else next(fresh)
        return records.Element(name, Amount(kinds[each].value, kinds[each].power))

    return part(tree)


def _fresh_names(stock: Stock) -> Iterator[str]:
    number = sum(len(group.names) for group in stock.groups)
    while True:
        number += 1
        yield f"C{number}"


def _kind(worth: Amount, rating: Amount | None) -> StockKind:
    return StockKind(worth.value, rating.value if rating is not None else None, worth.power)


def _kinds_of_series(item: PreferredSeries, wish: WishedFor) -> Iterator[StockKind]:
    if wish.between is not None:
        low, high = (each.value for each in wish.between)
        power = wish.between[0].power
    elif wish.target is not None:
        low, high = wish.target.value / USUAL_RANGE, wish.target.value * USUAL_RANGE
        power = wish.target.power
    else:
        raise ValueError("a series with neither range nor target is without end")
    rating = item.rating.value if item.rating is not None else None
    for value in preferred_values(item.series, low, high):
        yield StockKind(value, rating, _usual_power(value, power))


def _usual_power(value: Fraction, power: int) -> int:
    """The prefix that leaves one to three figures before the point; else the one of the text."""
    fitting = [tens for tens in (-12, -9, -6, -3, 0) if 1 <= value / Fraction(10) ** tens < 1000]
    return fitting[0] if fitting else power
