"""Family C: the equivalent of a chain, and of layers that are stacked between two plates."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from math import prod
from typing import Final

from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import MOST_LISTED, Malrule, Numbers, total, turned

STACKED: Final = ("series", "stacked")


def _product(s: RuleContext) -> Fraction:
    return prod(s.parts, start=Fraction(1))


def _two(s: RuleContext) -> bool:
    return len(s.parts) == 2


def _equal(s: RuleContext) -> bool:
    return len(set(s.parts)) == 1


def _not_turned(s: RuleContext) -> Numbers:
    if s.parts:
        yield total(1 / n for n in s.parts)
    if "others" in s.facts:
        yield 1 / s.facts["whole"] - 1 / s.facts["others"]


def _mixed_prefixes(s: RuleContext) -> Numbers:
    """The numbers as typed, as if all had the unit of one of them; a made part has the usual."""
    if s.step is None or s.route is None:
        return
    written = s.route.problem.typed
    powers = [written.get(c.name, s.usual) for c in s.step.parts]
    if len(set(powers)) < 2:
        return
    typed = [
        number * Fraction(10) ** (s.usual - power)
        for number, power in zip(s.parts, powers, strict=True)
    ]
    for power in sorted(set(powers)):
        yield turned(typed) * Fraction(10) ** (power - s.usual)


def _some_left_out(s: RuleContext) -> Numbers:
    """A chain of three or more with only two of its members combined, or all but one."""
    if 2 < len(s.parts) <= MOST_LISTED:
        for size in sorted({2, len(s.parts) - 1}):
            yield from (turned(some) for some in combinations(s.parts, size))


LESS = (
    "Then the chain would be at least as large as {least}, its smallest, although {least_name} "
    "gets only part of the p.d. there"
)

CHAIN: Final = (
    Malrule(
        "adds-a-series-pair", "C1", "S11", ("series",), lambda s: (total(s.parts),),
        "adding belongs to parallel", 0,
    ),
    Malrule(
        "adds-fractions-keeping-one-on-top", "C12", "S11", ("series",), lambda s: (total(s.parts),),
        "adding fractions",
    ),
    Malrule(
        "forgets-the-last-flip", "C2", "S11", (*STACKED, "missing in a chain"), _not_turned,
        "turn over at the end", 0,
    ),
    Malrule(
        "sum-over-product", "C7", "S11", STACKED,
        lambda s: (total(s.parts) / _product(s),) if _two(s) else (), "turn over at the end",
    ),
    Malrule(
        "turns-over-the-sum", "C3", "S11", STACKED, lambda s: (1 / total(s.parts),),
        "turn over each first",
    ),
    Malrule(
        "product-over-sum-on-three", "C4", "S12", STACKED,
        lambda s: (_product(s) / total(s.parts),) if len(s.parts) > 2 else (),
        "product over sum is for two",
    ),
    Malrule(
        "takes-the-average", "C5", "S11", STACKED, lambda s: (total(s.parts) / len(s.parts),),
        "a chain is below its smallest",
    ),
    Malrule(
        "adds-fractions-top-and-bottom", "C11", "S11", STACKED,
        lambda s: (total(s.parts) / len(s.parts),), "adding fractions",
    ),
    Malrule(
        "halves-one-of-them", "C6", "S11", STACKED,
        lambda s: [n / 2 for n in s.parts] if _two(s) and not _equal(s) else [],
        "halving is for equal ones",
    ),
    Malrule("product-only", "C8", "S11", STACKED, lambda s: (_product(s),), "divide the product"),
    Malrule(
        "weakest-link", "C9", "S13", STACKED, lambda s: (min(s.parts),),
        "a chain is below its smallest",
    ),
    Malrule(
        "subtracts-in-a-chain", "C10", "S11", STACKED,
        lambda s: (abs(s.parts[0] - s.parts[1]),) if _two(s) and not _equal(s) else (),
        "reciprocals add",
    ),
    Malrule(
        "stops-after-two-of-three", "C13", "S12", STACKED, _some_left_out,
        "all members of the chain",
    ),
    Malrule(
        "multiplies-equal-ones-in-a-chain", "C14", "S12", ("series",),
        lambda s: (len(s.parts) * s.parts[0],) if _equal(s) else (), "adding belongs to parallel",
    ),
    Malrule(
        "calculator-without-brackets", "C15", "S04", ("series",),
        lambda s: [2 * n for n in s.parts] if _two(s) else [], "brackets",
    ),
    Malrule(
        "mixes-prefixes-in-reciprocals", "C16", "S03", ("series",), _mixed_prefixes,
        "one prefix first",
    ),
)
