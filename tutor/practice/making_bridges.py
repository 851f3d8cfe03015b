"""Bridges with values by chance: balanced, or far enough from it that each point has its own level.

C1 and C2 lead away from A to P and R, C3 and C4 on to B, and C5 joins P with R.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import lcm
from random import Random
from types import MappingProxyType
from typing import Final, NamedTuple, TypeAlias

from grammar.records import Asked, Charging, Description, Element, Join
from tutor.practice.making import Brief, asked_for, microfarads, volts
from tutor.practice.shapes import BALANCED
from tutor.practice.task_values import POOLS, SUPPLIES, Arithmetic, fits, is_whole, joint

Five: TypeAlias = tuple[Fraction, ...]

BETWEEN: Final = (("A", "P"), ("A", "R"), ("P", "B"), ("R", "B"), ("P", "R"))
CHOSEN: Final = 5
TRIES: Final = 200
LARGEST: Final = 120
FURTHEST: Final = Fraction(1, 18)  # the bounds are a little more than 5 % away from what is right

# Five small numbers each whose bridge comes to a fraction with a small denominator, with small
# denominators in the levels of P and R too, and a good way from both bounds: C5 left out, and C5 a
# wire. Found by going through all sets of five different numbers up to 16.
SMALL: Final[tuple[tuple[int, ...], ...]] = (
    (1, 4, 10, 2, 14), (1, 4, 12, 2, 8), (1, 7, 4, 3, 5), (1, 7, 15, 9, 4), (1, 7, 15, 9, 10),
    (1, 11, 8, 6, 2), (1, 11, 14, 4, 5), (1, 12, 4, 5, 2), (1, 12, 9, 3, 15), (1, 12, 16, 4, 6),
    (1, 13, 7, 5, 11), (1, 13, 12, 6, 4), (1, 14, 9, 6, 4), (1, 14, 11, 2, 4), (1, 15, 6, 7, 9),
    (2, 3, 15, 1, 7), (2, 6, 8, 1, 4), (2, 7, 9, 1, 5), (2, 8, 7, 1, 9), (2, 9, 3, 1, 5),
    (2, 10, 4, 1, 14), (2, 10, 8, 3, 4), (2, 11, 14, 1, 4), (2, 12, 7, 1, 4), (2, 12, 14, 6, 3),
    (2, 13, 16, 1, 5), (2, 15, 7, 6, 3), (2, 15, 10, 9, 3), (2, 15, 11, 4, 7), (3, 5, 8, 1, 7),
    (3, 6, 7, 1, 2), (3, 6, 11, 2, 4), (3, 8, 12, 1, 6), (3, 12, 16, 1, 10), (3, 13, 5, 1, 9),
    (3, 16, 6, 1, 12), (4, 9, 16, 1, 5), (4, 10, 13, 2, 14), (4, 12, 14, 3, 6), (4, 14, 6, 1, 10),
    (4, 14, 11, 1, 5), (6, 9, 15, 2, 12), (6, 15, 14, 3, 4), (6, 16, 12, 5, 9), (7, 12, 4, 1, 6),
    (7, 12, 15, 5, 9), (9, 15, 7, 1, 10), (13, 14, 1, 9, 8),
)
# Ratios of the two in each chain of a balanced bridge. The sum of the two is what is divided by,
# so that it settles what sort of number the chain comes to.
RATIOS: Mapping[Arithmetic, tuple[tuple[int, int], ...]] = MappingProxyType({
    "whole": ((1, 5), (2, 5), (3, 4), (3, 5), (1, 6), (1, 7), (2, 7)),
    "terminating": ((3, 5), (3, 7), (7, 9), (3, 13), (5, 11), (9, 11), (7, 13), (4, 21), (8, 17)),
    "three figures": ((2, 5), (3, 4), (4, 7), (5, 6), (5, 9), (4, 9), (7, 11), (6, 11), (5, 8)),
})


class BridgeLevels(NamedTuple):
    """The potentials of P and R as shares of the p.d., and what the bridge comes to."""

    p: Fraction
    r: Fraction
    whole: Fraction


def draw_bridge(brief: Brief, rng: Random) -> Description | None:
    """One bridge whose answers are as ordered."""
    draw = _balanced if brief.shape.name == BALANCED else _unbalanced
    for _ in range(TRIES):
        values = draw(brief.arithmetic, rng)
        if len(set(values)) < len(values) or max(values) > LARGEST:
            continue
        found = levels(values)
        supply = None if found.whole == 1 else _supply(brief, values, found, rng)
        if supply is not None:
            return _description(brief, values, supply)
    return None


def _balanced(arithmetic: Arithmetic, rng: Random) -> Five:
    """Two chains in one ratio, and anything between their inner points."""
    one, other = rng.sample(rng.choice(RATIOS[arithmetic]), 2)
    times = [Fraction(n) for n in rng.sample(range(1, 6), 2)]
    if arithmetic == "whole":
        times = [n * (one + other) for n in times]
    first, second = times
    across = rng.choice(POOLS[arithmetic])
    return (one * first, one * second, other * first, other * second, across)


def _unbalanced(arithmetic: Arithmetic, rng: Random) -> Five:
    """A bridge of the table, turned about and made larger; for three figures any that will do."""
    if arithmetic == "three figures":
        values = tuple(rng.sample(POOLS[arithmetic], 5))
        return values if _is_far_from_bounds(values) else (Fraction(1), Fraction(1))
    values = tuple(map(Fraction, rng.choice(SMALL)))
    if rng.randrange(2):
        values = tuple(values[at] for at in (1, 0, 3, 2, 4))
    if rng.randrange(2):
        values = tuple(values[at] for at in (2, 3, 0, 1, 4))
    times = rng.randrange(1, 4)
    if arithmetic == "whole":
        times *= levels(values).whole.denominator
    return tuple(times * value for value in values)


def _is_far_from_bounds(values: Five) -> bool:
    c1, c2, c3, c4, _ = values
    low = joint("series", (c1, c3)) + joint("series", (c2, c4))
    high = joint("series", (c1 + c2, c3 + c4))
    whole = levels(values).whole
    return min(whole - low, high - whole) > FURTHEST * whole


def levels(values: Five) -> BridgeLevels:
    """The two balances Σ C (V_P − V_j) = 0 at P and at R, solved for a p.d. of one volt."""
    c1, c2, c3, c4, c5 = values
    at_p, at_r = c1 + c3 + c5, c2 + c4 + c5
    below = at_p * at_r - c5 * c5
    p, r = (c1 * at_r + c5 * c2) / below, (c2 * at_p + c5 * c1) / below
    return BridgeLevels(p, r, c1 * (1 - p) + c2 * (1 - r))


def _supply(brief: Brief, values: Five, found: BridgeLevels, rng: Random) -> Fraction | None:
    """A p.d. with which all comes out as ordered, if any."""
    if brief.arithmetic == "whole" and not is_whole(found.whole):
        return None
    below = lcm(found.p.denominator, found.r.denominator)
    usual = SUPPLIES[brief.arithmetic]
    likely = [v for v in usual if brief.arithmetic != "whole" or v % below == 0]
    for number in rng.sample(likely, min(len(likely), 6)):
        supply = Fraction(number)
        if fits(answers(brief, values, found, supply), brief.arithmetic, endless=True):
            return supply
    return None


def answers(brief: Brief, values: Five, found: BridgeLevels, supply: Fraction) -> list[Fraction]:
    """What the bridge comes to and the levels it is found by; then what each holds, if asked."""
    numbers = [found.whole]
    if brief.shape.name == BALANCED:
        numbers += [joint("series", values[0:3:2]), joint("series", values[1:4:2])]
    else:
        numbers += [found.p * supply, found.r * supply]
    if brief.has_supply:
        level = {"A": supply, "B": Fraction(0), "P": found.p * supply, "R": found.r * supply}
        drops = [abs(level[start] - level[end]) for start, end in BETWEEN]
        numbers += [*drops, *(c * drop for c, drop in zip(values, drops, strict=True))]
        numbers.append(found.whole * supply)
        if brief.asked is not None and brief.asked.dimension == "energy":
            numbers += [c * drop * drop / 2 for c, drop in zip(values, drops, strict=True)]
    return numbers


def _description(brief: Brief, values: Five, supply: Fraction) -> Description:
    joins = tuple(
        Join(Element(f"C{number}", microfarads(value)), *between)
        for number, (value, between) in enumerate(zip(values, BETWEEN, strict=True), start=1)
    )
    asked = asked_for(brief.asked, (1, 2, 3, 4, 5), CHOSEN)
    if not brief.has_supply and brief.shape.name == BALANCED:
        return Description(joins=joins, asked=asked)
    # Where charges are balanced, potentials are asked for: better of a real p.d. than of 1 V.
    only_whole = () if brief.has_supply else (Asked("capacitance"),)
    return Description(
        joins=joins, supply=Charging("voltage", volts(supply)), asked=asked or only_whole
    )
