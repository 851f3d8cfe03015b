"""What an arrangement may be made of, and which of it: groups of capacitors, and bags of them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from math import gcd
from typing import NamedTuple, TypeAlias

Pair: TypeAlias = tuple[int, int]
"""A capacitance in lowest terms, numerator and denominator, in the unit of its stock."""

Bag: TypeAlias = tuple[int, ...]
"""How many capacitors are taken from each group of a stock."""


class StockKind(NamedTuple):
    """A capacitor to be had: ``value`` in farads, the p.d. it is made for in volts if known.

    ``power`` is the power of ten of the prefix that the value is printed with.
    """

    value: Fraction
    rating: Fraction | None = None
    power: int = -6


class StockGroup(NamedTuple):
    """Kinds of which ``number`` capacitors in all may be taken, the same kind again and again.

    No two kinds of a group have the same value. ``names`` are those of its capacitors, where each
    is a single one that is at hand.
    """

    kinds: tuple[StockKind, ...]
    number: int
    names: tuple[str, ...] = ()


class Stock(NamedTuple):
    """All groups, and the fewest and the most capacitors that one arrangement may have."""

    groups: tuple[StockGroup, ...]
    most: int
    fewest: int = 1

    @property
    def kinds(self) -> tuple[StockKind, ...]:
        """Every kind once for each group it is in; places in here stand for kinds in a search."""
        return tuple(kind for group in self.groups for kind in group.kinds)

    @property
    def whole(self) -> Bag:
        """The bag that has everything."""
        return tuple(group.number for group in self.groups)

    def bags(self, size: int) -> Iterator[Bag]:
        """Every way to take ``size`` capacitors, the first groups first."""
        yield from _with_sum(self.whole, size)


def unit_of(values: list[Fraction]) -> Fraction:
    """The largest capacitance of which all of these are whole multiples."""
    unit = values[0]
    for value in values[1:]:
        denominator = unit.denominator * value.denominator
        unit = Fraction(
            gcd(unit.numerator * value.denominator, value.numerator * unit.denominator),
            denominator,
        )
    return unit


def splits(bag: Bag) -> Iterator[tuple[Bag, Bag]]:
    """Every way to part a bag in two that are not empty, the smaller first, each way once."""
    size = sum(bag)
    for part in product(*(range(count + 1) for count in bag)):
        rest = tuple(all_of - some for all_of, some in zip(bag, part, strict=True))
        taken = sum(part)
        if taken > 0 and (2 * taken < size or (2 * taken == size and part <= rest)):
            yield part, rest


def _with_sum(limits: Bag, size: int) -> Iterator[Bag]:
    if not limits:
        if size == 0:
            yield ()
        return
    beyond = sum(limits[1:])
    for count in range(min(limits[0], size), max(0, size - beyond) - 1, -1):
        for rest in _with_sum(limits[1:], size - count):
            yield (count, *rest)
