"""What of E, K and Z touches an equivalent of either kind, a part's or the whole one."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from tutor.teaching.rules.chains import STACKED
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import MOST_LISTED, Malrule, Numbers, total, turned
from tutor.teaching.rules.side_by_side import BESIDE


def _counts_twice(s: RuleContext) -> Numbers:
    for _, inner in (*s.inside("parallel"), *s.inside("series")):
        for again in inner:
            yield (
                total(s.parts) + again if s.place == "parallel" else turned((*s.parts, again))
            )


def _copied(s: RuleContext) -> Numbers:
    """The right rule with the value of a neighbour, given or merged, in place of one part's."""
    if s.place == "whole" or len(s.parts) > MOST_LISTED:
        return
    by_chain = s.place in STACKED
    # One of two in a chain taken for both is half of it: that is halving, a rule of its own.
    partners = set() if by_chain and len(s.parts) == 2 else set(s.parts)
    near = {*s.given, *s.merged} - {*s.parts}
    taken = [1 / n for n in s.parts] if by_chain else list(s.parts)
    whole = total(taken)
    for at, number in enumerate(s.parts):
        for other in sorted(near | partners)[: 2 * MOST_LISTED]:
            if other != number:
                changed = whole - taken[at] + (1 / other if by_chain else other)
                yield 1 / changed if by_chain else changed


def resistor_rules(s: RuleContext) -> Numbers:
    """The whole with the two rules exchanged at every step, where steps of both kinds are there.

    On steps of one kind alone this is no more than that kind's own wrong rule.
    """
    if s.quantity is None or s.quantity.of is not None or s.route is None:
        return
    steps = s.route.makers
    if len({step.kind for step in steps}) < 2:
        return
    values = {c.name: s.number("C", c.name) for c in s.route.problem.network.capacitors}
    last: Fraction | None = None
    for step in steps:
        numbers = [n for c in step.parts if (n := values[c.name]) is not None]
        last = total(numbers) if step.kind == "series" else turned(numbers)
        if step.makes is not None:
            values[step.makes.name] = last
    yield last


def _blocks(s: RuleContext) -> Numbers:
    """The value of one block, given for the whole."""
    if s.quantity is not None and s.quantity.of is None:
        yield from s.merged


EITHER: Final = (
    Malrule(
        "blocks-so-nothing-counts", "E14", "S01", ("series", "parallel", "whole"),
        lambda _: (Fraction(0),),
        "taking it that a capacitor lets nothing through, so that nothing counts there",
        "No steady current remains, but charge did move while the p.d. grew",
        "How did the plates become charged?",
        "charge moved",
    ),
    Malrule(
        "counts-a-capacitor-twice", "E9", "S15", ("series", "parallel"), _counts_twice,
        "using a capacitor again that has been combined already",
        "What has been combined has left the drawing",
        "With all that you have combined crossed out, which are left?",
        "old ones gone", 2,
    ),
    Malrule(
        "copies-a-neighbours-value", "K8", "S05", (*STACKED, *BESIDE), _copied,
        "the right rule with the value of another capacitor",
        "The values of {parts} are {values}",
        "Reading back what you put in, which values were they?",
        "copied value", 3,
    ),
    Malrule(
        "resistor-rules-throughout", "Z1", "S11", ("series", "parallel"), resistor_rules,
        "the rules for resistors: adding in a chain, reciprocals side by side",
        "By those rules a chain comes out above its largest member and a set side by side below "
        "its smallest, and with capacitors it is the other way round",
        "Which quantity is the same all along a chain of capacitors?",
        "capacitor rules", 0,
    ),
    Malrule(
        "stops-at-a-part", "Z2", "S14", ("series", "parallel"), _blocks,
        "giving the value of one block",
        "That block is only part of what is between the ends",
        "How many capacitors are still between the ends once that block is one?",
        "the whole network",
    ),
)
