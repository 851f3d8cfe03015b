"""All malrules of stories, from the lists beside this file."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from tutor.teaching.diagnosis import ACCEPTED, Typed, meets
from tutor.teaching.staged.rules_changing import CHANGING
from tutor.teaching.staged.rules_floating import FLOATING
from tutor.teaching.staged.rules_missing import MISSING
from tutor.teaching.staged.rules_plating import PLATING
from tutor.teaching.staged.rules_rating import RATING
from tutor.teaching.staged.star_delta import STAR_DELTA
from tutor.teaching.staged.story import Ask, Rule

# Malrules that show in a choice of a story alone: (catalogue code, skill).
BY_CHOICE: Mapping[str, tuple[str, str]] = MappingProxyType({
    "tests-the-wrong-pairs": ("E13", "S36"),
})
RULES: Final[tuple[Rule, ...]] = (
    *CHANGING, *FLOATING, *MISSING, *PLATING, *RATING, *STAR_DELTA
)


def matching(
    ask: Ask, typed: Typed, right: Fraction, facts: Mapping[str, Fraction]
) -> list[Rule]:
    """The rules of this question whose number, rounded as typed, is what was typed.

    Numbers are in the usual unit; ``facts`` are the question's own or a learner's in their place.
    """
    if typed.half is not None and typed.figures < 2 and typed.number != 0:
        return []  # too many rules reach a number of one figure
    if typed.number == 0:
        typed = typed._replace(half=None)  # a nought is meant exactly
    found = []
    for rule in RULES:
        if ask.key not in rule.at:
            continue
        numbers = [n for n in rule.numbers(facts) if n is not None]
        wrong = [n for n in numbers if abs(n - right) > ACCEPTED * abs(right)]
        if any(meets(number, typed) for number in wrong):
            found.append(rule)
    return found
