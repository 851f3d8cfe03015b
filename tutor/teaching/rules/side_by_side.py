"""Family D, and E10: the equivalent of a set side by side, and of slabs between two plates."""

from __future__ import annotations

from typing import Final

from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import Malrule, Numbers, total, turned

BESIDE: Final = ("parallel", "side by side")


def _equal(s: RuleContext) -> bool:
    return len(set(s.parts)) == 1


def _adds_members_of_branches(s: RuleContext) -> Numbers:
    branches = s.inside("series")
    for number, inner in branches:
        yield total(s.parts) - number + total(inner)
    if len(branches) > 1:
        yield total(s.parts) + total(total(inner) - number for number, inner in branches)


def _hung_on_wrong_points(s: RuleContext) -> Numbers:
    """A chain's equivalent is left on a dead end, or in a chain with the rest of the set."""
    for number, _ in s.inside("series"):
        rest = total(s.parts) - number
        yield rest
        yield turned((number, rest))


MORE: Final = (
    "Side by side each still takes all its own charge, so the result must be more than {most}"
)


SIDE_BY_SIDE: Final = (
    Malrule(
        "reciprocal-rule-on-parallel", "D1", "S10", BESIDE, lambda s: (turned(s.parts),),
        "parallel adds", 0,
    ),
    Malrule(
        "adds-reciprocals-of-parallel", "D2", "S10", BESIDE,
        lambda s: (total(1 / n for n in s.parts),), "parallel adds",
    ),
    Malrule(
        "average-of-parallel", "D3", "S10", BESIDE, lambda s: (total(s.parts) / len(s.parts),),
        "parallel adds",
    ),
    Malrule("largest-only", "D4", "S10", BESIDE, lambda s: (max(s.parts),), "all branches count"),
    Malrule(
        "divides-equal-ones-in-parallel", "D5", "S10", ("parallel",),
        lambda s: (s.parts[0] / len(s.parts),) if _equal(s) else (), "parallel adds",
    ),
    Malrule(
        "adds-members-of-a-series-branch", "D6", "S14", ("parallel",), _adds_members_of_branches,
        "reduce the branch first",
    ),
    Malrule(
        "leaves-a-branch-out", "D7", "S10", BESIDE, lambda s: [total(s.parts) - n for n in s.parts],
        "all branches count",
    ),
    Malrule(
        "hangs-the-equivalent-on-wrong-points", "E10", "S15", ("parallel",), _hung_on_wrong_points,
        "outer ends", 2,
    ),
)
