"""Family L, missing values: taking the parts of a whole apart by the other kind's sum."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final

from tutor.teaching.staged.story import Rule

IN_A_CHAIN: Final = "missing in a chain"
SIDE_BY_SIDE: Final = "missing side by side"
BY_PLAIN: Final = "takes-capacitances-apart-in-a-chain"
BY_TURNED: Final = "takes-reciprocals-apart-side-by-side"
Facts = Mapping[str, Fraction]


def _plain_difference(facts: Facts) -> Iterator[Fraction]:
    """The others less the whole, or the whole less the others, combined or added up."""
    for others in dict.fromkeys((facts["others"], facts["sum"])):
        yield others - facts["whole"]
        yield facts["whole"] - others


def _turned_difference(facts: Facts) -> Iterator[Fraction]:
    """One over the difference of the reciprocals, either way round."""
    left = 1 / facts["others"] - 1 / facts["whole"]
    if left != 0:
        yield 1 / left
        yield -1 / left


def _not_turned(facts: Facts) -> Iterator[Fraction]:
    yield 1 / facts["whole"] - 1 / facts["others"]


MISSING: Final[tuple[Rule, ...]] = (
    Rule(
        BY_PLAIN, "L3", "S27", (IN_A_CHAIN,), _plain_difference,
        "taking {whole} and {others} away from one another as they are",
        "Capacitances themselves do not add along a chain, so none can be taken away to leave "
        "{missing}",
        "Which sum holds along a chain: of C, or of 1/C? What is then left for 1/{missing}?",
        "reciprocals add along a chain",
    ),
    Rule(
        "forgets-the-last-flip", "C2", "S27", (IN_A_CHAIN,), _not_turned,
        "taking the reciprocals apart and stopping there",
        "That number is one over a capacitance",
        "What is the unit of your number, {unit} or one over it?",
        "turn over at the end",
    ),
    Rule(
        BY_TURNED, "L4", "S27", (SIDE_BY_SIDE,), _turned_difference,
        "taking reciprocals of {whole} and {others} apart and turning the rest over",
        "Reciprocals do not add side by side, so none can be taken away to leave {missing}",
        "How did {others} and {missing} come to {whole}: which sum holds side by side?",
        "capacitances add side by side",
    ),
)
