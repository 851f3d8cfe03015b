"""Family I as far as no charge is in it, what is between the plates and their shape; and family L,
ratings and missing values.

Facts: ``empty`` is the capacitance with air, ``before`` that before a change; ``permittivity`` is
the filling's, ``ratio`` the new gap over the old; ``upside`` is the capacitance with the gap above
the line, ``slipped`` the number with an area unit read wrongly, ``added`` layers or ratings added
up, ``largest`` and ``smallest`` such a rating. Of a missing capacitance ``whole`` is the whole,
``others`` what the rest come to and ``sum`` the rest added up. Of two missing ones each fact is
what a wrong rule makes of the two totals. ``told`` names who is ``first`` at
its rating and who has the ``lowest``; where ``slipped`` is a fact, ``length`` is that whose square
the area is given in, and ``tenth`` what part of a metre that is.
"""

from __future__ import annotations

from typing import Final

from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import Malrule, Numbers, over

IN_A_CHAIN: Final = "missing in a chain"
SIDE_BY_SIDE: Final = "missing side by side"
BY_TWO: Final = "missing of two"
BY_SQUARE: Final = "missing by a square"
OF_EQUALS: Final = "missing of equals"
BY_PLAIN: Final = "takes-capacitances-apart-in-a-chain"
BY_TURNED: Final = "takes-reciprocals-apart-side-by-side"


def _divided(s: RuleContext) -> Numbers:
    return (over(s.facts.get("empty"), s.facts.get("permittivity")),)


def _without_filling(s: RuleContext) -> Numbers:
    yield s.facts.get("unfilled")
    if s.facts.get("permittivity", 1) != 1:
        yield s.facts.get("empty")


def _added_constant(s: RuleContext) -> Numbers:
    if "permittivity" in s.facts:
        yield s.facts["empty"] + s.facts["permittivity"]


def _upside(s: RuleContext) -> Numbers:
    yield s.facts.get("upside")
    if "ratio" in s.facts and "permittivity" not in s.facts:  # else it is no gap that has changed
        yield s.facts["before"] * s.facts["ratio"]


def _plain_difference(s: RuleContext) -> Numbers:
    """The others less the whole, or the whole less the others, combined or added up."""
    if "whole" in s.facts:
        for others in dict.fromkeys((s.facts["others"], s.facts["sum"])):
            yield others - s.facts["whole"]
            yield s.facts["whole"] - others


def _turned_difference(s: RuleContext) -> Numbers:
    """One over the difference of the reciprocals, either way round."""
    if "whole" in s.facts and (left := 1 / s.facts["others"] - 1 / s.facts["whole"]) != 0:
        yield 1 / left
        yield -1 / left


PLATES: Final = (
    Malrule("filling-lowers-the-capacitance", "I3", "S30", ("filled",), _divided, "filling raises"),
    Malrule(
        "gap-upside-down", "I5", "S30", ("plates", "filled", "gap"), _upside, "gap below the line",
    ),
    Malrule(
        "adds-the-permittivity", "I6", "S30", ("filled",), _added_constant,
        "permittivity multiplies",
    ),
    Malrule(
        "adds-stacked-layers", "I7", "S31", ("stacked", "C by layers"),
        lambda s: (s.facts.get("added"),), "layers are a chain",
    ),
    Malrule(
        "area-unit-slip", "I8", "S03+S30",
        ("area", "plates", "filled", "d by plates", "epsr by plates", "n by plates"),
        lambda s: (s.facts.get("slipped"),), "area unit",
    ),
    Malrule(
        "leaves-the-filling-out", "I9", "S30",
        ("d by plates", "A by plates", "r by sphere", "spheres", "cable", "C by spheres",
         "C by cable", "L by cable", "C by sphere", "C by layers", "filled"),
        _without_filling, "permittivity multiplies",
    ),
    Malrule(
        "counts-plates-for-gaps", "I10", "S30", ("plates", "filled", "d by plates", "A by plates"),
        lambda s: (s.facts.get("per plate"),), "gaps, not plates",
    ),
    Malrule(
        "field-times-for-over", "I11", "S30", ("field by even field", "V by even field"),
        lambda s: (s.facts.get("turned over"),), "volts for each metre",
    ),
    Malrule(
        "pulls-with-the-whole-field", "I12", "S30", ("force by pull",),
        lambda s: (s.facts.get("whole field"),), "half of the field",
    ),
    Malrule(
        "takes-the-logarithm-to-base-ten", "I13", "S30", ("C by cable",),
        lambda s: (s.facts.get("base ten"),), "natural logarithm",
    ),
    Malrule(
        "adds-the-two-radii", "I14", "S30", ("C by spheres",),
        lambda s: (s.facts.get("added radii"),), "difference of the radii",
    ),
    Malrule(
        "takes-the-diameter-for-the-radius", "I15", "S30", ("C by sphere", "field by round field"),
        lambda s: (s.facts.get("by diameter"),), "half of the diameter",
    ),
)

RATINGS: Final = (
    Malrule(
        "adds-the-ratings-of-a-chain", "L1", "S28", ("greatest in a chain",),
        lambda s: (s.facts.get("added"),), "one is first",
    ),
    Malrule(
        "takes-one-rating-for-the-whole-chain", "L5", "S28", ("greatest in a chain",),
        lambda s: (s.facts.get("smallest"), s.facts.get("largest")), "p.d.s of a chain add up",
    ),
    Malrule(
        "adds-or-takes-the-largest-rating", "L2", "S28", ("greatest side by side",),
        lambda s: (s.facts.get("added"), s.facts.get("largest")), "lowest rating rules",
    ),
)

MISSING: Final = (
    Malrule(
        BY_PLAIN, "L3", "S27", (IN_A_CHAIN,), _plain_difference, "reciprocals add along a chain",
    ),
    Malrule(
        BY_TURNED, "L4", "S27", (SIDE_BY_SIDE,), _turned_difference,
        "capacitances add side by side",
    ),
    Malrule(
        "takes-the-ratio-for-the-share", "L6", "S27", (BY_TWO,),
        lambda s: (s.facts.get("over the ratio"),), "one part more",
    ),
    Malrule(
        "takes-the-difference-off-once", "L7", "S27", (BY_TWO,),
        lambda s: (s.facts.get("difference once"),), "two equal ones are left",
    ),
    Malrule(
        "adds-the-pair-of-a-chain", "L8", "S27", (BY_TWO,), lambda s: (s.facts.get("as a sum"),),
        "reciprocals add along a chain",
    ),
    Malrule(
        "joins-equal-ones-the-other-way", "L11", "S27", (OF_EQUALS,),
        lambda s: (s.facts.get("the other way"),), "the number of terms",
    ),
    Malrule(
        "halves-the-sum-of-two", "L9", "S27", (BY_SQUARE,), lambda s: (s.facts.get("middle"),),
        "two unequal ones",
    ),
    Malrule(
        "takes-the-chain-for-the-product", "L10", "S27", (BY_SQUARE,),
        lambda s: (s.facts.get("small product"),), "product over sum",
    ),
)
