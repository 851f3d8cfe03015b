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
        "the reciprocal rule, or product over sum", MORE,
        "With {least_name} put beside {most_name}: is more charge needed for each volt, or less?",
        "parallel adds", 0,
    ),
    Malrule(
        "adds-reciprocals-of-parallel", "D2", "S10", BESIDE,
        lambda s: (total(1 / n for n in s.parts),),
        "adding the reciprocals",
        "A sum of reciprocals is one over a capacitance",
        "What is across each of {parts}: one and the same p.d., or shares of one?",
        "parallel adds",
    ),
    Malrule(
        "average-of-parallel", "D3", "S10", BESIDE,
        lambda s: (total(s.parts) / len(s.parts),),
        "taking the average of {values}", MORE,
        "How much charge would each of {parts} take at one volt, and how much together?",
        "parallel adds",
    ),
    Malrule(
        "largest-only", "D4", "S10", BESIDE, lambda s: (max(s.parts),),
        "taking the largest of them",
        "{least_name} still takes charge of its own beside {most_name}",
        "Does {least_name} stop holding charge because {most_name} is beside it?",
        "all branches count",
    ),
    Malrule(
        "divides-equal-ones-in-parallel", "D5", "S10", ("parallel",),
        lambda s: (s.parts[0] / len(s.parts),) if _equal(s) else (),
        "dividing {least} by {n}", MORE,
        "Should {n} of them side by side be bigger or smaller than one alone?",
        "parallel adds",
    ),
    Malrule(
        "adds-members-of-a-series-branch", "D6", "S14", ("parallel",), _adds_members_of_branches,
        "adding the members of a chain across the set as well",
        "The members of that chain do not each join {at}",
        "Which capacitors have both their ends on {at}?",
        "reduce the branch first",
    ),
    Malrule(
        "leaves-a-branch-out", "D7", "S10", BESIDE,
        lambda s: [total(s.parts) - n for n in s.parts],
        "leaving one branch out",
        "Every branch that joins {at} takes charge of its own",
        "How many of {parts} join {at}, and how many are in your sum?",
        "all branches count",
    ),
    Malrule(
        "hangs-the-equivalent-on-wrong-points", "E10", "S15", ("parallel",), _hung_on_wrong_points,
        "putting the equivalent of the chain between the wrong points",
        "The equivalent of a chain goes between its outer ends, {at}",
        "Which inner points vanished when that chain became one capacitor, and which stayed?",
        "outer ends", 2,
    ),
)
