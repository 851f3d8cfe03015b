"""Values said to a question that was asked back: what it expects, and what is said to them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Final, Literal, NamedTuple

from grammar.records import Dimension
from tutor.teaching.amounts import AmountSaid, Sayable, amounts_said
from tutor.teaching.reading.because_words import WORDS
from tutor.teaching.rules.awaited_values import VALUES_BACK, Awaited
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.idea_texts import IdeaText, text_of

SO_FAR: Final = "Yes, so far. And the rest?"
_NEAR: Final = Fraction(1, 25)  # it need not be worked out to the last figure
_NOTHING = re.compile(r"(?i)\b(?:nothing|none|no(?:ught|thing)?\s+(?:at\s+all|left|charge)|nil)\b")
_REMARK = re.compile(rf"(?i)[\s,;.(–-]+(?:\b(?:which|so\s+that|as|but)\b|{WORDS})")


class AskedBack(NamedTuple):
    """The malrules that ask back, where they were met, and the value in SI units that was said
    there before.
    """

    names: Sequence[str]
    context: RuleContext | None
    wrong: Fraction


class ValuesHeard(NamedTuple):
    """What is said to the values, and whether they were all that was awaited, a part, or others."""

    text: str
    found: Literal["all", "part", "others"]


def values_heard(
    asked: AskedBack, line: str, sayable: Sayable, powers: Mapping[Dimension, int]
) -> ValuesHeard | None:
    """What the values of a line are to the question that is asked back; None where it asks for
    none, or the line says none of that kind.
    """
    awaited_of = VALUES_BACK.get(asked.names[0]) if asked.names else None
    if awaited_of is None or asked.context is None:
        return None
    wrong = asked.wrong / Fraction(10) ** asked.context.power
    text, awaited = text_of(asked.names[0]), awaited_of(asked.context, wrong)
    line = _NOTHING.sub("0", line)
    found = [
        weighed for said in (line, *_REMARK.split(line, maxsplit=1)[:1])  # with a remark or not
        if awaited and (amounts := amounts_said(sayable, said))
        and (weighed := _weighed(text, awaited, amounts, powers)) is not None
    ]
    best = min(found, key=lambda each: ("all", "part", "others").index(each.found), default=None)
    if best is not None and best.found == "others" and _answers(sayable, line):
        return None
    return best


def _answers(sayable: Sayable, line: str) -> bool:
    """Whether an amount of a line is right for the question in hand."""
    asked = sayable.asked
    return asked is not None and any(
        asked.fits(amount.written) for amount in amounts_said(sayable, line)
    )


def _weighed(
    text: IdeaText, awaited: Sequence[Awaited], amounts: Sequence[AmountSaid],
    powers: Mapping[Dimension, int],
) -> ValuesHeard | None:
    """What is said to these amounts; None where one of them is of another kind."""
    kinds = {each.symbol for each in awaited}
    if any(all(amount.plainly(powers, kind) is None for kind in kinds) for amount in amounts):
        return None
    fitting = [[each for each in awaited if _fits(each, amount, powers)] for amount in amounts]
    covered = {each.number for some in fitting for each in some}
    wanted = {each.number for each in awaited}
    if (all(fitting) and covered == wanted) or _with_signs_turned(awaited, amounts, powers):
        return ValuesHeard(f"Yes. {text.yes}", "all")
    if all(fitting) and (len(covered) > 1 or len(wanted) == 2):
        return ValuesHeard(SO_FAR, "part")
    return ValuesHeard(text.no, "others")


def _fits(awaited: Awaited, amount: AmountSaid, powers: Mapping[Dimension, int]) -> bool:
    number = amount.plainly(powers, awaited.symbol)
    if number is None or (
        amount.owners and awaited.of is not None and awaited.of not in amount.owners
    ):
        return False
    return abs(number - awaited.number) <= _NEAR * abs(awaited.number)


def _with_signs_turned(
    awaited: Sequence[Awaited], amounts: Sequence[AmountSaid], powers: Mapping[Dimension, int]
) -> bool:
    """Whether charges with signs are those of the other piece of metal."""
    if not any(each.number < 0 for each in awaited):
        return False
    numbers = [amount.plainly(powers, "Q") for amount in amounts]
    return sorted(-n for n in numbers if n is not None) == sorted(e.number for e in awaited)
