"""What a malrule is. Adding one is adding a record to one of the lists beside this file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from math import prod
from typing import Final, NamedTuple, TypeAlias

from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.idea_texts import IdeaText, text_of

Numbers: TypeAlias = Iterable[Fraction | None]

ACCEPTED: Final = Fraction(1, 200)
HALF: Final = Fraction(1, 2)
UNLIKELY: Final = 2  # the rank from which on a rule is rare
SLIP: Final = 3  # and from which on it is a slip of the hand, and no wrong idea
MOST_LISTED: Final = 12  # of a longer chain or wider set no one tries every part in turn by hand


class Malrule(NamedTuple):
    """A wrong rule that learners are known to use, in a walk or in a problem in stages.

    ``name`` is for records, never for the screen; ``code`` its place in the catalogue; ``skill``
    what it belongs to, more than one as S29+S30. ``places`` are the kinds of question where it can
    be met (a context's ``place`` or ``key``) and ``numbers`` what it gives there, in plain numbers;
    None where it does not apply. Malrules with one ``remedy`` share what helps, so that they need
    not be told apart. ``rank`` orders likely before rare. What is said of it stands in
    ``wrong_ideas.toml`` under its name, or ``told_as`` another where one name has two texts.
    """

    name: str
    code: str
    skill: str
    places: tuple[str, ...]
    numbers: Callable[[RuleContext], Numbers]
    remedy: str
    rank: int = 1
    told_as: str = ""

    @property
    def text(self) -> IdeaText:
        """What is said of it."""
        return text_of(self.told_as or self.name)

    def fits(self, context: RuleContext) -> bool:
        """Whether it can be met at this question."""
        return context.place in self.places or context.key in self.places

    def wrong(self, context: RuleContext) -> Iterator[Fraction]:
        """What it gives here, without what would be taken as right."""
        for number in self.numbers(context):
            if number is not None and not is_taken_as(number, context.right):
                yield number


def is_taken_as(number: Fraction, right: Fraction) -> bool:
    """Whether a number is near enough to be taken as right."""
    return is_within(number, right, ACCEPTED)


def is_within(number: Fraction, other: Fraction, share: Fraction) -> bool:
    """Whether a number is within this share of another. In whole numbers, which makes no new
    fraction, since the numbers of tasks that are made to order are compared by the thousand.
    """
    one, two = number.numerator * other.denominator, other.numerator * number.denominator
    return abs(one - two) * share.denominator <= abs(two) * share.numerator


# The sums that wrong rules misuse, with nothing where something in them is not known


def total(numbers: Iterable[Fraction]) -> Fraction:
    """Their sum, as in a parallel set."""
    return sum(numbers, Fraction(0))


def turned(numbers: Iterable[Fraction]) -> Fraction:
    """One over the sum of their reciprocals, as in a chain."""
    return 1 / total(1 / number for number in numbers)


def times(*factors: Fraction | None) -> Fraction | None:
    """Their product."""
    known = [factor for factor in factors if factor is not None]
    return prod(known, start=Fraction(1)) if len(known) == len(factors) else None


def over(top: Fraction | None, bottom: Fraction | None) -> Fraction | None:
    """Their ratio."""
    return None if top is None or not bottom else top / bottom
