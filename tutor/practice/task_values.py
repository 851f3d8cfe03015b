"""Values for tasks: what comes out whole, what in short decimals, what in three figures.

Plain numbers throughout, in the usual units: microfarads, volts, microcoulombs, microjoules.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from math import lcm
from random import Random
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.practice.shapes import Layout, MemberGroup, groups

Arithmetic: TypeAlias = Literal["whole", "terminating", "three figures"]


# Small numbers and preferred values (E12 of IEC 60063) that can be bought or are easy to say.
_SMALL: Final = tuple(Fraction(n) for n in (2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 15, 18))
_PREFERRED: Final = tuple(
    Fraction(n) for n in ("1.5", "2.2", "3.3", "4.7", "5.6", "6.8", "8.2", "22", "27", "33")
)
LARGEST: Final = 90
POOLS: Mapping[Arithmetic, tuple[Fraction, ...]] = MappingProxyType({
    "whole": tuple(map(Fraction, range(2, LARGEST + 1))),
    "terminating": tuple(map(Fraction, range(2, 41))),
    "three figures": (*_SMALL, *_PREFERRED),
})
# Where nothing is divided, decimals must come in with what is given.
_SHORT: Final = tuple(map(Fraction, (
    "1.2", "1.5", "1.6", "2.4", "2.5", "3.5", "3.6", "4.5", "4.8", "5.5", "6.4", "7.2", "7.5",
    "8.4", "9.6", "10.5", "12.5",
)))
DECIMALS: Final = (*_SMALL, *_SHORT)
SUPPLIES: Mapping[Arithmetic, tuple[int, ...]] = MappingProxyType({
    "whole": (*range(3, 61), *range(62, 121, 2), *range(125, 251, 5)),
    "terminating": (*range(3, 31), *range(32, 61, 2), *range(65, 121, 5)),
    "three figures": (5, 6, 8, 9, 10, 12, 15, 18, 20, 24, 25, 30, 36, 40, 45, 48, 50, 60),
})
MOST_DECIMALS: Final = 3
MOST_FIGURES: Final = 5


def is_whole(number: Fraction) -> bool:
    """Whether nothing stands after the point."""
    return number.denominator == 1


def is_short(number: Fraction) -> bool:
    """Whether it ends after a few decimals and has few figures altogether."""
    if 10**MOST_DECIMALS % number.denominator:
        return False
    return number.denominator == 1 or figures_of(number) <= MOST_FIGURES


def figures_of(number: Fraction) -> int:
    """Figures without noughts at either end; of a number without end, far too many."""
    scaled = number * 10**12
    if scaled.denominator != 1:
        return 12
    return len(str(abs(scaled.numerator)).strip("0"))


def fits(answers: Iterable[Fraction], arithmetic: Arithmetic, endless: bool) -> bool:
    """Whether answers are of this kind; ``endless`` where three figures mean no end at all.

    Whole: all are. Terminating: all are short, not all whole. Three figures: some have no end or,
    where nothing is divided, some have three figures or more.
    """
    found = list(answers)
    if arithmetic == "whole":
        return all(map(is_whole, found))
    if arithmetic == "terminating":
        return all(map(is_short, found)) and not all(map(is_whole, found))
    least = 10 if endless else 3
    return any(figures_of(number) >= least for number in found)


class PartHolding(NamedTuple):
    """What a part comes to, and the share of the whole p.d. that it has."""

    capacitance: Fraction
    share: Fraction


def joint(kind: str, values: Iterable[Fraction]) -> Fraction:
    """What parts come to in a chain or side by side."""
    first, *others = values
    for value in others:
        first = first + value if kind == "parallel" else _in_chain(first, value)
    return first


def _in_chain(one: Fraction, other: Fraction) -> Fraction:
    """Product over sum, put together in whole numbers since values are drawn by the thousand."""
    top = one.numerator * other.numerator
    return Fraction(top, one.numerator * other.denominator + other.numerator * one.denominator)


def worked_out(layout: Layout, values: Mapping[int, Fraction]) -> list[tuple[Layout, PartHolding]]:
    """Every part of a nest with what it comes to and its share of the p.d., the whole first."""
    found: list[tuple[Layout, PartHolding]] = []
    waiting = [(layout, Fraction(1))]
    while waiting:
        part, share = waiting.pop()
        own = come_to(part, values)
        found.append((part, PartHolding(own, share)))
        if isinstance(part, MemberGroup):
            chain = part.kind == "series"
            waiting += [
                (member, share * own / come_to(member, values) if chain else share)
                for member in part.members
            ]
    return found


def come_to(layout: Layout, values: Mapping[int, Fraction]) -> Fraction:
    """The capacitance of a part."""
    if isinstance(layout, MemberGroup):
        return joint(layout.kind, [come_to(member, values) for member in layout.members])
    return values[layout]


def pool_for(layout: Layout, arithmetic: Arithmetic) -> tuple[Fraction, ...]:
    """Capacitances to choose from."""
    kinds = {group.kind for group in groups(layout)}
    return DECIMALS if arithmetic == "terminating" and "series" not in kinds else POOLS[arithmetic]


def supplies(
    shares: Iterable[Fraction], arithmetic: Arithmetic, rng: Random
) -> Iterator[Fraction]:
    """P.d.s in an order by chance, all that leave the p.d.s of this kind."""
    below = lcm(*(share.denominator for share in shares))
    if arithmetic == "terminating":
        while below % 2 == 0:
            below //= 2
        while below % 5 == 0:
            below //= 5
    fitting = [v for v in SUPPLIES[arithmetic] if arithmetic == "three figures" or v % below == 0]
    rng.shuffle(fitting)
    yield from map(Fraction, fitting)
