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
    Malrule(
        "filling-lowers-the-capacitance", "I3", "S30", ("filled",), _divided,
        "dividing by the relative permittivity",
        "The filling weakens the field of the same charge, so the p.d. falls and more "
        "charge fits for each volt",
        "Less p.d. for the same charge: is Q over V then larger or smaller?",
        "filling raises",
    ),
    Malrule(
        "gap-upside-down", "I5", "S30", ("plates", "filled", "gap"), _upside,
        "multiplying by the gap",
        "The same charge across a wider gap needs more p.d., so a wider gap holds less "
        "charge for each volt",
        "Same charge, wider gap: does the p.d. rise or fall?",
        "gap below the line",
    ),
    Malrule(
        "adds-the-permittivity", "I6", "S30", ("filled",), _added_constant,
        "adding the relative permittivity",
        "A capacitance has a unit and the relative permittivity has none, so the two cannot be "
        "added",
        "How many times the capacitance with air does the filling give?",
        "permittivity multiplies",
    ),
    Malrule(
        "adds-stacked-layers", "I7", "S31", ("stacked", "C by layers"),
        lambda s: (s.facts.get("added"),),
        "adding the layers",
        "Layers on one another carry one charge, and their p.d.s add up, so together "
        "they are below the smallest of them",
        "Does a line from plate to plate cross one layer or all of them?",
        "layers are a chain",
    ),
    Malrule(
        "area-unit-slip", "I8", "S03+S30",
        ("area", "plates", "filled", "d by plates", "epsr by plates", "n by plates"),
        lambda s: (s.facts.get("slipped"),),
        "taking 1 {length}² as {tenth} m²",
        "A square metre is many {length} long and as many wide",
        "How many squares of 1 {length} by 1 {length} cover a square metre?",
        "area unit",
    ),
    Malrule(
        "leaves-the-filling-out", "I9", "S30",
        ("d by plates", "A by plates", "r by sphere", "spheres", "cable", "C by spheres",
         "C by cable", "L by cable", "C by sphere", "C by layers", "filled"),
        _without_filling,
        "leaving the relative permittivity out",
        "What is between takes part: it multiplies the capacitance that air would give",
        "How many times the capacitance with air is there with the filling?",
        "permittivity multiplies",
    ),
    Malrule(
        "counts-plates-for-gaps", "I10", "S30", ("plates", "filled", "d by plates", "A by plates"),
        lambda s: (s.facts.get("per plate"),),
        "counting the plates instead of the gaps between them",
        "A capacitor is a gap with a plate on either side, and the outermost plates have a gap on "
        "one side alone",
        "How many gaps do three plates in a row leave between them?",
        "gaps, not plates",
    ),
    Malrule(
        "field-times-for-over", "I11", "S30", ("field by even field", "V by even field"),
        lambda s: (s.facts.get("turned over"),),
        "multiplying where the other divides",
        "A field is told in volts for each metre: the p.d. over the gap",
        "Which sum gives volts for each metre: volts times metres, or volts over metres?",
        "volts for each metre",
    ),
    Malrule(
        "pulls-with-the-whole-field", "I12", "S30", ("force by pull",),
        lambda s: (s.facts.get("whole field"),),
        "taking the whole field",
        "Half of the field between the plates is a plate's own, and nothing pulls on itself",
        "Which part of the field comes from the other plate?",
        "half of the field",
    ),
    Malrule(
        "takes-the-logarithm-to-base-ten", "I13", "S30", ("C by cable",),
        lambda s: (s.facts.get("base ten"),),
        "taking the logarithm to base ten",
        "The logarithm that comes of adding up one over a distance is the natural one, to base e",
        "Which key of the calculator is the logarithm to base e?",
        "natural logarithm",
    ),
    Malrule(
        "adds-the-two-radii", "I14", "S30", ("C by spheres",),
        lambda s: (s.facts.get("added radii"),),
        "putting the sum of the radii below the line",
        "It is the gap between the two that counts: the closer they are, the larger it comes out",
        "How wide is the gap between the two spheres?",
        "difference of the radii",
    ),
    Malrule(
        "takes-the-diameter-for-the-radius", "I15", "S30", ("C by sphere", "field by round field"),
        lambda s: (s.facts.get("by diameter"),),
        "taking the diameter for the radius",
        "From the middle to the surface it is half of the diameter",
        "How far is it from the middle of the sphere to its surface?",
        "half of the diameter",
    ),
)

RATINGS: Final = (
    Malrule(
        "adds-the-ratings-of-a-chain", "L1", "S28", ("greatest in a chain",),
        lambda s: (s.facts.get("added"),),
        "adding the ratings",
        "They would all have to reach their ratings together, and {first} has reached its own "
        "before that",
        "With {added} between the ends, what is across {first}?",
        "one is first",
    ),
    Malrule(
        "takes-one-rating-for-the-whole-chain", "L5", "S28", ("greatest in a chain",),
        lambda s: (s.facts.get("smallest"), s.facts.get("largest")),
        "taking one rating for the whole chain",
        "Each member has only a part of the p.d. between the ends, so the ends may have more than "
        "any rating",
        "With {first} at its rating, what is across the others, and what do all come to?",
        "p.d.s of a chain add up",
    ),
    Malrule(
        "adds-or-takes-the-largest-rating", "L2", "S28", ("greatest side by side",),
        lambda s: (s.facts.get("added"), s.facts.get("largest")),
        "adding the ratings, or taking the largest",
        "All have the whole p.d., {lowest} as well",
        "What p.d. does {lowest} have when {largest} is between the ends?",
        "lowest rating rules",
    ),
)

MISSING: Final = (
    Malrule(
        BY_PLAIN, "L3", "S27", (IN_A_CHAIN,), _plain_difference,
        "taking {whole} and {others} away from one another as they are",
        "Capacitances themselves do not add along a chain, so none can be taken away to leave "
        "{missing}",
        "Which sum holds along a chain: of C, or of 1/C? What is then left for 1/{missing}?",
        "reciprocals add along a chain",
    ),
    Malrule(
        BY_TURNED, "L4", "S27", (SIDE_BY_SIDE,), _turned_difference,
        "taking reciprocals of {whole} and {others} apart and turning the rest over",
        "Reciprocals do not add side by side, so none can be taken away to leave {missing}",
        "How did {others} and {missing} come to {whole}: which sum holds side by side?",
        "capacitances add side by side",
    ),
    Malrule(
        "takes-the-ratio-for-the-share", "L6", "S27", (BY_TWO,),
        lambda s: (s.facts.get("over the ratio"),),
        "dividing {whole} by {first}",
        "{one} alone is {first} times {other}, and {other} itself is there beside it",
        "How many times {other} do the two make together?",
        "one part more",
    ),
    Malrule(
        "takes-the-difference-off-once", "L7", "S27", (BY_TWO,),
        lambda s: (s.facts.get("difference once"),),
        "taking {first} away from {whole}",
        "With the difference gone two equal ones are left, not one",
        "Two of what are left once {first} is taken away?",
        "two equal ones are left",
    ),
    Malrule(
        "adds-the-pair-of-a-chain", "L8", "S27", (BY_TWO,),
        lambda s: (s.facts.get("as a sum"),),
        "taking {whole} for the sum of the two",
        "A chain is below its smallest member, so neither of them can be below {whole}",
        "What adds up along a chain: C, or 1/C?",
        "reciprocals add along a chain",
    ),
    Malrule(
        "halves-the-sum-of-two", "L9", "S27", (BY_SQUARE,), lambda s: (s.facts.get("middle"),),
        "halving {first}",
        "Two equal ones would make a quarter of their sum in series",
        "What are these two to make in series?",
        "two unequal ones",
    ),
    Malrule(
        "takes-the-chain-for-the-product", "L10", "S27", (BY_SQUARE,),
        lambda s: (s.facts.get("small product"),),
        "taking {whole} for the product",
        "A product of two capacitances is no capacitance: the chain is their product over their "
        "sum",
        "What stands below the line in 1/{one} + 1/{other} as one fraction, and what above?",
        "product over sum",
    ),
)
