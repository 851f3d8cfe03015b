"""Values for tasks: what comes out whole, what in short decimals, what in three figures.

Plain numbers throughout, in the usual units: microfarads, volts, microcoulombs, microjoules.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import pairwise
from math import lcm
from random import Random
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.practice.shapes import Group, Layout, groups

Arithmetic: TypeAlias = Literal["whole", "terminating", "three figures"]
ARITHMETIC: Final[tuple[Arithmetic, ...]] = ("whole", "terminating", "three figures")

# Small numbers and preferred values (E12 of IEC 60063) that can be bought or are easy to say.
_SMALL: Final = tuple(Fraction(n) for n in (2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 15, 18))
_PREFERRED: Final = tuple(
    Fraction(n) for n in ("1.5", "2.2", "3.3", "4.7", "5.6", "6.8", "8.2", "22", "27", "33")
)
POOLS: Mapping[Arithmetic, tuple[Fraction, ...]] = MappingProxyType({
    "whole": tuple(map(Fraction, range(2, 91))),
    "terminating": tuple(map(Fraction, range(2, 41))),
    "three figures": (*_SMALL, *_PREFERRED),
})
# Where nothing is divided, decimals must come in with what is given.
DECIMALS: Final = (*_SMALL, *(Fraction(n) for n in (
    "1.2", "1.5", "1.6", "2.4", "2.5", "3.5", "3.6", "4.5", "4.8", "5.5", "6.4", "7.2", "7.5",
    "8.4", "9.6", "10.5", "12.5",
)))
SUPPLIES: Mapping[Arithmetic, tuple[int, ...]] = MappingProxyType({
    "whole": (*range(3, 61), *range(62, 121, 2), *range(125, 251, 5)),
    "terminating": (*range(3, 31), *range(32, 61, 2), *range(65, 121, 5)),
    "three figures": (5, 6, 8, 9, 10, 12, 15, 18, 20, 24, 25, 30, 36, 40, 45, 48, 50, 60),
})
MOST_DECIMALS: Final = 3
MOST_FIGURES: Final = 5
# Numbers with many divisors: the capacitances of a chain are taken as one of them over so much.
MANY_DIVISORS: Final = (60, 72, 84, 90, 120, 144, 168, 180, 210, 240, 252, 280, 336, 360, 420)
LARGEST: Final = 90
TRIES: Final = 60


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


class Values(NamedTuple):
    """Capacitances by number, and the p.d. between the ends."""

    capacitances: Mapping[int, Fraction]
    supply: Fraction


class Held(NamedTuple):
    """What a part comes to, and the share of the whole p.d. that it has."""

    capacitance: Fraction
    share: Fraction


def joint(kind: str, values: Iterable[Fraction]) -> Fraction:
    """What parts come to in a chain or side by side."""
    first, *others = values
    for value in others:
        first = first + value if kind == "parallel" else first * value / (first + value)
    return first


def worked_out(layout: Layout, values: Mapping[int, Fraction]) -> list[tuple[Layout, Held]]:
    """Every part of a nest with what it comes to and its share of the p.d., the whole first."""
    found: list[tuple[Layout, Held]] = []
    waiting = [(layout, Fraction(1))]
    while waiting:
        part, share = waiting.pop()
        own = come_to(part, values)
        found.append((part, Held(own, share)))
        if isinstance(part, Group):
            chain = part.kind == "series"
            waiting += [
                (member, share * own / come_to(member, values) if chain else share)
                for member in part.members
            ]
    return found


def come_to(layout: Layout, values: Mapping[int, Fraction]) -> Fraction:
    """The capacitance of a part."""
    if isinstance(layout, Group):
        return joint(layout.kind, [come_to(member, values) for member in layout.members])
    return values[layout]


def pool_for(layout: Layout, arithmetic: Arithmetic) -> tuple[Fraction, ...]:
    """Capacitances to choose from."""
    kinds = {group.kind for group in groups(layout)}
    return DECIMALS if arithmetic == "terminating" and "series" not in kinds else POOLS[arithmetic]


def draw_capacitances(
    layout: Layout, arithmetic: Arithmetic, rng: Random
) -> Mapping[int, Fraction] | None:
    """Unequal values of which every group comes to a number of this kind; None for no luck."""
    drawing = _Drawing(pool_for(layout, arithmetic), arithmetic, rng)
    values: dict[int, Fraction] = {}
    whole = drawing.draw(layout, values)
    if whole is None or len(set(values.values())) < len(values):
        return None
    return values


class _Drawing(NamedTuple):
    """What values of one network are drawn from."""

    pool: tuple[Fraction, ...]
    arithmetic: Arithmetic
    rng: Random

    def draw(self, layout: Layout, values: dict[int, Fraction]) -> Fraction | None:
        """Draw the values of a part, and say what it comes to; None where that will not do."""
        if not isinstance(layout, Group):
            values[layout] = self.rng.choice(self.pool)
            return values[layout]
        single = [member for member in layout.members if not isinstance(member, Group)]
        found: list[Fraction] = []
        for member in layout.members:
            if isinstance(member, Group):
                part = self.draw(member, values)
                if part is None:
                    return None
                found.append(part)
        drawn = self._members(layout.kind, found, len(single))
        if drawn is None:
            return None
        values.update(zip(single, drawn, strict=True))
        whole = joint(layout.kind, (*found, *drawn))
        return whole if _will_do(whole, self.arithmetic) else None

    def _members(
        self, kind: str, found: list[Fraction], missing: int
    ) -> tuple[Fraction, ...] | None:
        """Single members beside those found already, so that the group will do."""
        if not missing:
            return () if kind == "parallel" or parts_well(found) else None
        if kind == "series" and not found and missing > 2 and self.arithmetic != "three figures":
            return self._by_divisors(missing)
        if kind == "parallel" and len(found) == missing == 1:
            return self._smaller_than(found[0])
        first = tuple(self.rng.choice(self.pool) for _ in range(missing - 1))
        others = (*found, *first)
        for last in self._last_ones(kind, others):
            members = (*others, last)
            if last not in others and self._is_good(kind, members):
                return members[len(found):]
        return None

    def _smaller_than(self, branch: Fraction) -> tuple[Fraction, ...] | None:
        """One beside a chain that comes to more, or to take the largest and to leave the chain out
        would be one and the same number.
        """
        smaller = [value for value in self.pool if value < branch]
        return (self.rng.choice(smaller),) if smaller else None

    def _last_ones(self, kind: str, others: tuple[Fraction, ...]) -> Iterator[Fraction]:
        """Values for the last member, by chance; where a chain must come out whole, all that do."""
        if kind == "series" and self.arithmetic == "whole":
            beside = joint(kind, others)
            top, below = beside.numerator, beside.denominator
            found = [n for n in range(2, LARGEST + 1) if top * n % (top + below * n) == 0]
            yield from map(Fraction, self.rng.sample(found, len(found)))
            return
        for _ in range(TRIES):
            yield self.rng.choice(self.pool)

    def _is_good(self, kind: str, members: tuple[Fraction, ...]) -> bool:
        if not _will_do(joint(kind, members), self.arithmetic):
            return False
        return kind == "parallel" or parts_well(members)

    def _by_divisors(self, number: int) -> tuple[Fraction, ...] | None:
        """L/k, L/l, … come to L/(k + l + …), which must be of the ordered kind."""
        for _ in range(TRIES):
            many = self.rng.choice(MANY_DIVISORS)
            divisors = [k for k in range(1, many // 2 + 1) if many % k == 0 and many <= k * LARGEST]
            chosen = self.rng.sample(divisors, number)
            if _will_do(Fraction(many, sum(chosen)), self.arithmetic):
                return tuple(Fraction(many, k) for k in chosen)
        return None


def parts_well(members: Collection[Fraction]) -> bool:
    """Whether the commonest wrong numbers of a chain of two are apart, as far as can be told in a
    moment; of a longer chain it cannot. What passes is still looked at in full.
    """
    if len(members) != 2:
        return True
    one, two = members
    wrong = sorted((
        min(one, two), abs(one - two), one / 2, two / 2, 2 * one, 2 * two, (one + two) / 2,
        one * two,
    ))
    return all(b - a >= b / 50 for a, b in pairwise(wrong))


def _will_do(capacitance: Fraction, arithmetic: Arithmetic) -> bool:
    if capacitance == 1:
        return False
    if arithmetic == "whole":
        return is_whole(capacitance)
    return arithmetic == "three figures" or is_short(capacitance)


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
