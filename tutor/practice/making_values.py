"""Capacitances by chance, of which every group of a shape comes to numbers of the ordered sort."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from fractions import Fraction
from itertools import pairwise
from random import Random
from typing import Final, NamedTuple

from tutor.practice.shapes import Layout, MemberGroup
from tutor.practice.task_values import LARGEST, Arithmetic, is_short, is_whole, joint, pool_for

# Numbers with many divisors: the capacitances of a chain are taken as one of them over so much.
MANY_DIVISORS: Final = (60, 72, 84, 90, 120, 144, 168, 180, 210, 240, 252, 280, 336, 360, 420)
TRIES: Final = 60


def draw_capacitances(
    layout: Layout, arithmetic: Arithmetic, rng: Random
) -> Mapping[int, Fraction] | None:
    """Unequal values of which every group comes to a number of this kind; None for no luck."""
    drawing = Drawing(pool_for(layout, arithmetic), arithmetic, rng)
    values: dict[int, Fraction] = {}
    whole = drawing.draw(layout, values)
    if whole is None or len(set(values.values())) < len(values):
        return None
    return values


class Drawing(NamedTuple):
    """What values of one network are drawn from."""

    pool: tuple[Fraction, ...]
    arithmetic: Arithmetic
    rng: Random

    def draw(self, layout: Layout, values: dict[int, Fraction]) -> Fraction | None:
        """Draw the values of a part, and say what it comes to; None where that will not do."""
        if not isinstance(layout, MemberGroup):
            values[layout] = self.rng.choice(self.pool)
            return values[layout]
        single = [member for member in layout.members if not isinstance(member, MemberGroup)]
        found: list[Fraction] = []
        for member in layout.members:
            if isinstance(member, MemberGroup):
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
