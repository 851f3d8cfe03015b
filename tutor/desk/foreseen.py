"""The wrong answers that wrong ideas lead to at a question for a value."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final, NamedTuple

from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.rules.malrule import SLIP, Malrule

COMMONEST_FIRST: Final = tuple(sorted(
    (rule for rule in CATALOGUE if rule.rank < SLIP),
    key=lambda rule: rule.rank,
))


class ForeseenNumber(NamedTuple):
    """What a wrong idea makes of a question: the ``number`` in the context's prefix, and
    ``written`` in the unit that a bare number has there. ``why`` says the idea in one line.
    """

    rule: Malrule
    number: Fraction
    written: Fraction
    why: str


def foreseen_at(context: RuleContext) -> Iterator[ForeseenNumber]:
    """Each once for each idea, the commonest idea first, none that would be taken as right."""
    scale = Fraction(10) ** (context.power - context.usual)
    for rule in COMMONEST_FIRST:
        if rule.fits(context):
            for number in dict.fromkeys(rule.wrong(context)):
                yield ForeseenNumber(rule, number, number * scale, idea_in_words(rule.name))
