"""Families J and E11, E12: floating points, bridges and the balance of charges.

E13 is an answer in words, so it stands beside the question in floating.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final

from tutor.teaching.staged.story import Rule

Facts = Mapping[str, Fraction]


def _half(facts: Facts) -> Iterable[Fraction | None]:
    if "voltage" in facts:
        yield facts["voltage"] / 2


def _upside(facts: Facts) -> Iterable[Fraction | None]:
    yield facts.get("upside")


def _slips(facts: Facts) -> Iterable[Fraction | None]:
    for key, value in facts.items():
        if key.startswith("slip"):
            yield value


def _with_total(facts: Facts) -> Iterable[Fraction | None]:
    if "own" in facts:
        yield (facts["pull"] + facts["total"]) / facts["own"]


def _one_way(facts: Facts) -> Iterable[Fraction | None]:
    for key, value in facts.items():
        if key.startswith("way"):
            yield value


FLOATING: Final[tuple[Rule, ...]] = (
    Rule(
        "midpoint-at-half-the-supply", "J1", "S37", ("potential",), _half,
        "taking half of what is between the ends",
        "Half comes out only where both sides pull {point} alike",
        "With half there, do the charges of the plates at {point} add to nought?",
        "balance, not half",
    ),
    Rule(
        "weights-the-wrong-way", "J2", "S37", ("potential",), _upside,
        "weighting the neighbours by one over the capacitance",
        "The larger the capacitance to a neighbour, the nearer {point} comes to its potential",
        "Which of {neighbours} is joined to {point} by the largest capacitance?",
        "weights are capacitances",
    ),
    Rule(
        "slips-on-a-sign-in-the-balance", "J3", "S37", ("potential",), _slips,
        "writing one neighbour of {point} with the other sign",
        "Every term is a capacitance times ({point} less a neighbour), so that all of them add up "
        "to nought",
        "Does your potential of {point} lie between those of {neighbours}?",
        "one sign for all",
    ),
    Rule(
        "puts-the-total-charge-on-a-floating-point", "J4", "S37", ("potential",), _with_total,
        "letting the plates at {point} add to the whole charge",
        "No charge can reach {point} from outside: its plates started empty and add to nought",
        "Was the metal at {point} charged before the supply was joined?",
        "the sum is nought",
    ),
    Rule(
        "counts-one-way-out-of-the-terminal", "J6", "S38", ("whole by balance",), _one_way,
        "counting only one of the ways that lead away from {plus}",
        "The charge that the supply gives is on all the plates at {plus}",
        "Which capacitors have a plate at {plus}?",
        "all ways out",
    ),
    Rule(
        "drops-the-bridging-capacitor", "E11", "S35", ("whole by balance",),
        lambda facts: (facts.get("dropped"),),
        "leaving out what joins the inner points",
        "That is right only where the points it joins are at one potential, and here they are not",
        "Without it, at which potentials would its two points be?",
        "joined points differ",
    ),
    Rule(
        "treats-the-bridging-capacitor-as-a-wire", "E12", "S35", ("whole by balance",),
        lambda facts: (facts.get("wired"),),
        "making the inner points one",
        "That is right only where no p.d. is between them, and here there is one",
        "What would the charge of the capacitor between them be if they were one point?",
        "joined points differ",
    ),
)
