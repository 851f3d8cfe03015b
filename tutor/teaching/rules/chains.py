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
        "adding {values}", LESS,
        "What is the same on all of {parts}, and what adds up along them?",
        "adding belongs to parallel", 0,
    ),
    Malrule(
        "adds-fractions-keeping-one-on-top", "C12", "S11", ("series",),
        lambda s: (total(s.parts),),
        "writing 1/C as 1 over ({plus}), and turning that over", LESS,
        "By the same rule, what would ½ + ½ be, and what is it in truth?",
        "adding fractions",
    ),
    Malrule(
        "forgets-the-last-flip", "C2", "S11", (*STACKED, "missing in a chain"), _not_turned,
        "working with reciprocals and stopping before the last turning over",
        "That number is one over a capacitance",
        "What is the unit of your number?",
        "turn over at the end", 0,
    ),
    Malrule(
        "sum-over-product", "C7", "S11", STACKED,
        lambda s: (total(s.parts) / _product(s),) if _two(s) else (),
        "dividing the sum by the product",
        "A capacitance over the square of one is not a capacitance",
        "What is the unit of {unit} over {unit}²?",
        "turn over at the end",
    ),
    Malrule(
        "turns-over-the-sum", "C3", "S11", STACKED, lambda s: (1 / total(s.parts),),
        "adding {values} first and then turning the sum over",
        "One over a capacitance is not a capacitance",
        "Which comes first, the turning over or the adding?",
        "turn over each first",
    ),
    Malrule(
        "product-over-sum-on-three", "C4", "S12", STACKED,
        lambda s: (_product(s) / total(s.parts),) if len(s.parts) > 2 else (),
        "product over sum with all {n} of them",
        "With {n} capacitances multiplied and only one sum to divide by, the unit left over is "
        "no longer {unit}",
        "For how many capacitors at a time does product over sum hold?",
        "product over sum is for two",
    ),
    Malrule(
        "takes-the-average", "C5", "S11", STACKED,
        lambda s: (total(s.parts) / len(s.parts),),
        "taking the average of {values}",
        "A chain comes out below its smallest, {least}, and no average does",
        "Where should the result lie compared with {least}?",
        "a chain is below its smallest",
    ),
    Malrule(
        "adds-fractions-top-and-bottom", "C11", "S11", STACKED,
        lambda s: (total(s.parts) / len(s.parts),),
        "adding the fractions top and bottom, {n} over ({plus}), and turning that over",
        "A chain comes out below its smallest, {least}",
        "By the same rule, what would ½ + ⅓ be, and can that be less than ½?",
        "adding fractions",
    ),
    Malrule(
        "halves-one-of-them", "C6", "S11", STACKED,
        lambda s: [n / 2 for n in s.parts] if _two(s) and not _equal(s) else [],
        "halving one of the two",
        "Halving is right only for two equal ones, which share the p.d. equally",
        "Are {values} equal?",
        "halving is for equal ones",
    ),
    Malrule(
        "product-only", "C8", "S11", STACKED,
        lambda s: (_product(s),),
        "multiplying {values}",
        "A product of {n} capacitances has {unit} in it {n} times, so it is no capacitance",
        "What would the result have to be divided by, so that one {unit} is left?",
        "divide the product",
    ),
    Malrule(
        "weakest-link", "C9", "S13", STACKED, lambda s: (min(s.parts),),
        "taking the smallest of them",
        "{least_name} would then have the whole p.d. of the chain, with none left for the others",
        "If all the p.d. were across {least_name}, what would be across the rest?",
        "a chain is below its smallest",
    ),
    Malrule(
        "subtracts-in-a-chain", "C10", "S11", STACKED,
        lambda s: (abs(s.parts[0] - s.parts[1]),) if _two(s) and not _equal(s) else (),
        "taking one of {values} from the other",
        "Nothing is taken away along a chain: the p.d.s add",
        "What adds up along the chain of {parts}?",
        "reciprocals add",
    ),
    Malrule(
        "stops-after-two-of-three", "C13", "S12", STACKED, _some_left_out,
        "combining some of them and leaving the rest out",
        "There are {n} capacitors in this chain",
        "Which of {parts} is not in your result yet?",
        "all members of the chain",
    ),
    Malrule(
        "multiplies-equal-ones-in-a-chain", "C14", "S12", ("series",),
        lambda s: (len(s.parts) * s.parts[0],) if _equal(s) else (),
        "multiplying {least} by {n}", LESS,
        "Should {n} of them in a chain be bigger or smaller than one alone?",
        "adding belongs to parallel",
    ),
    Malrule(
        "calculator-without-brackets", "C15", "S04", ("series",),
        lambda s: [2 * n for n in s.parts] if _two(s) else [],
        "typing product over sum into a calculator with no brackets round the sum",
        "Then only the first number after the division sign divides, and the other is added on",
        "What did your calculator divide by: one of them, or all of {plus}?",
        "brackets",
    ),
    Malrule(
        "mixes-prefixes-in-reciprocals", "C16", "S03", ("series",), _mixed_prefixes,
        "adding reciprocals of numbers with different prefixes",
        "The reciprocals of {parts} can be added only once all are in one unit",
        "How large is each of {parts} in one and the same unit?",
        "one prefix first",
    ),
)
