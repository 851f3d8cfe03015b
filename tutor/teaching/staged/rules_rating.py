"""Family L as far as ratings go: what a chain and what a parallel set bears.

Facts: ``added`` and ``largest`` are the ratings added up and the largest of them, in the usual
unit; ``told`` names who is ``first`` at its rating and who has the ``lowest``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final

from tutor.teaching.staged.story import Rule


def _sum_or_largest(facts: Mapping[str, Fraction]) -> Iterable[Fraction | None]:
    yield facts["added"]
    yield facts["largest"]


RATING: Final[tuple[Rule, ...]] = (
    Rule(
        "adds-the-ratings-of-a-chain", "L1", "S28", ("greatest in a chain",),
        lambda facts: (facts["added"],),
        "adding the ratings",
        "They would all have to reach their ratings together, and {first} has reached its own "
        "before that",
        "With {added} between the ends, what is across {first}?",
        "one is first",
    ),
    Rule(
        "adds-or-takes-the-largest-rating", "L2", "S28", ("greatest side by side",),
        _sum_or_largest,
        "adding the ratings, or taking the largest",
        "All have the whole {difference}, {lowest} as well",
        "What {difference} does {lowest} have when {largest} is between the ends?",
        "lowest rating rules",
    ),
)
