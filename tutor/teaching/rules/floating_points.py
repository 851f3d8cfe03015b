"""Families J and E11, E12: floating points, bridges, and a star for a triangle.

E13 is an answer in words, so it stands beside its question in staged/floating_story.py.
"""

from __future__ import annotations

from typing import Final

from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import Malrule, Numbers


def _half(s: RuleContext) -> Numbers:
    if "voltage" in s.facts:
        yield s.facts["voltage"] / 2


def _with_total(s: RuleContext) -> Numbers:
    if "own" in s.facts:
        yield (s.facts["pull"] + s.facts["total"]) / s.facts["own"]


FLOATING: Final = (
    Malrule(
        "midpoint-at-half-the-supply", "J1", "S37", ("potential",), _half,
        "taking half of what is between the ends",
        "Half comes out only where both sides pull {point} alike",
        "With half there, do the charges of the plates at {point} add up to zero?",
        "balance, not half",
    ),
    Malrule(
        "weights-the-wrong-way", "J2", "S37", ("potential",), lambda s: (s.facts.get("upside"),),
        "weighting the neighbours by one over the capacitance",
        "The larger the capacitance to a neighbour, the nearer {point} comes to its potential",
        "Which of {neighbours} is joined to {point} by the largest capacitance?",
        "weights are capacitances",
    ),
    Malrule(
        "slips-on-a-sign-in-the-balance", "J3", "S37", ("potential",), lambda s: s.listed("slip"),
        "writing one neighbour of {point} with the other sign",
        "Every term is a capacitance times ({point} less a neighbour), so that all of them add up "
        "to zero",
        "Does your potential of {point} lie between those of {neighbours}?",
        "one sign for all",
    ),
    Malrule(
        "puts-the-total-charge-on-a-floating-point", "J4", "S37", ("potential",), _with_total,
        "letting the plates at {point} add to the whole charge",
        "No charge can reach {point} from outside: its plates started empty and add up to zero",
        "Was the metal at {point} charged before the supply was joined?",
        "the sum is zero",
    ),
    Malrule(
        "counts-one-way-out-of-the-terminal", "J6", "S38", ("whole by balance",),
        lambda s: s.listed("way"),
        "counting only one of the ways that lead away from {plus}",
        "The charge that the supply gives is on all the plates at {plus}",
        "Which capacitors have a plate at {plus}?",
        "all ways out",
    ),
    Malrule(
        "drops-the-bridging-capacitor", "E11", "S35", ("whole by balance",),
        lambda s: (s.facts.get("dropped"),),
        "leaving out what joins the inner points",
        "That is right only where the points it joins are at one potential, and here they are not",
        "Without it, at which potentials would its two points be?",
        "joined points differ",
    ),
    Malrule(
        "treats-the-bridging-capacitor-as-a-wire", "E12", "S35", ("whole by balance",),
        lambda s: (s.facts.get("wired"),),
        "making the inner points one",
        "That is right only where no p.d. is between them, and here there is one",
        "What would the charge of the capacitor between them be if they were one point?",
        "joined points differ",
    ),
    Malrule(
        "star-and-triangle-as-for-resistors", "J5", "S39", ("star arm", "delta side"),
        lambda s: (s.facts.get("resistors"),),
        "the rule for resistors",
        "Capacitance goes with what a p.d. moves, as one over a resistance does, so the two rules "
        "change places",
        "For three equal sides, would the arms be larger or smaller than the sides?",
        "capacitances like conductances",
    ),
)
