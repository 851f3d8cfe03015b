"""What is held through a change, told by its value afterwards: new Q = 500 µC, where Q stays."""

from __future__ import annotations

import re
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal

from grammar.records import Dimension
from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.judging import close
from tutor.teaching.marking.grading import Judgement
from tutor.teaching.marking.stories.following import Link
from tutor.teaching.marking.stories.paper import Paper, capacitances_given, given_named
from tutor.teaching.marking.stories.story_remarks import of_choice
from tutor.teaching.marking.true_in_numbers import ROUGHLY
from tutor.teaching.staged.story import is_called

NO_QUESTION: Final = -1
HELD_WORDS: Final = MappingProxyType({"Q": "the charge", "V": "the p.d."})
OF_WHAT_WAS_SAID: Final = "{} is what that would give."
AS_BEFORE: Final = "This is {} as it was before. What has changed, and what does that do to it?"
OF_WORDS: Final = 0  # the line of a value that a choice in words leads to
FOLLOWS_AFTER: Final = "This {} follows from what stands above; but is {} not held here?"
STAYS: Final = "Right: it stays as it was."
_TIME = r"(?:after(?:wards)?|now|later|finally|(?:in|at)\s+the\s+end)"
_AFTERWARDS: Final = re.compile(
    rf"^\s*(?:the\s+)?(?:(?:new|final)\s+([QV]\d?)|([QV]\d?)\s+{_TIME}|{_TIME}[\s,:]+([QV]\d?))"
    rf"(?=\s*(?:=|:|is\b))|^\s*([QV]\d)(?=\s*=[^=;]+\s{_TIME}\s*$)"
)


def with_prime_for_after(paper: Paper, piece: str) -> str:
    """A piece with a prime for words that say of what is held that it is meant afterwards, or of
    what the text gives under a name that no question has.
    """

    def primed(found: re.Match[str]) -> str:
        name = next(each for each in found.groups() if each)
        is_asked = any(is_called(ask, name) for ask in paper.asks)
        is_before = bool(name[1:] and given_named(paper, name)) and not is_asked
        return f"{name}'" if is_before or held_at(paper, f"{name}'") is not None else found[0]

    return _AFTERWARDS.sub(primed, piece)


def held_at(paper: Paper, name: str) -> int | None:
    """The question of what is held, where a name with a prime is the charge or the p.d. that is:
    no question asks for it a second time. None once that is answered.
    """
    letter = name.removesuffix("'")
    if letter == name or letter not in HELD_WORDS:
        return None
    held = [at for at, ask in enumerate(paper.asks) if ask.key == "held"][-1:]
    for at in held:
        right = next(option for option in paper.asks[at].options if option.is_right)
        again = any(is_called(ask, each) for ask in paper.asks[at:] for each in (letter, name))
        is_open = at not in paper.said and not again
        if is_open and HELD_WORDS[letter] in right.words and _before(paper, letter, at):
            return at
    return None


def _before(paper: Paper, letter: str, held: int) -> Value | None:
    """The value that the pupil has for what is held, from before the change."""
    own = (paper.own[at] for at in paper.own if at < held and is_called(paper.asks[at], letter))
    given = (link.value[0] for link in given_named(paper, letter))
    return next(own, None) or next(given, None)


def judged_held(paper: Paper, at: int, letter: str, value: Value) -> Judgement[int] | None:
    """What is held judged by its value afterwards; None where that cannot be told."""
    before, ask = _before(paper, letter, at), paper.asks[at]
    if before is None:
        return None
    stays = close(value, before)
    if paper.wrong:  # another value may have come of it
        follows = not stays and _follows_after(paper, at, letter, value)
        told = FOLLOWS_AFTER.format(letter, HELD_WORDS[letter]) if follows else STAYS
        verdict: Literal["right", "carried"] = "carried" if follows else "right"
        return Judgement(NO_QUESTION, verdict, given=True, told=told) if stays or follows else None
    option = next(each for each in ask.options if each.is_right == stays)
    if stays:
        return Judgement(at, "right", method=True, told=STAYS)
    told = of_choice(option, ask)
    wrong = Judgement(at, "wrong", malrules=option.malrules, told=told, is_certain=True)
    return wrong._replace(fault="malrule" if option.malrules else None)


def _follows_after(paper: Paper, held: int, letter: str, value: Value) -> bool:
    """Whether a value is what the pupil's own values after a change lead to by Q = C V, though it
    is one that stays.
    """
    after: dict[Dimension | None, list[Value]] = {}
    for at, own in paper.stated.items():
        if at > held:
            after.setdefault(paper.asks[at].dimension, []).append(own)
    for c in after.get("capacitance", []):
        volts = after.get("voltage", []) if letter == "Q" else [value]
        charges = [value] if letter == "Q" else after.get("charge", [])
        if any(close(tidy(c * v), q) for v in volts for q in charges):
            return True
    return False


def as_kept(paper: Paper, each: Judgement[int]) -> Judgement[int]:
    """A wrong value as what comes of a wrong choice in words, where it is what that leads to; else
    as kept where it is the one that the pupil has from before, and as nothing else.
    """
    at, own = each.quantity, each.value
    if each.verdict != "wrong" or own is None:
        return each
    led = (p for p in paper.passing if p.line == OF_WORDS and p.first.value == paper.right(at))
    is_said = any(close(passed.measure.value, own) for passed in led)
    kept = {m for ask in paper.asks if ask.key == "held" for o in ask.options for m in o.malrules}
    named = tuple(name for name in each.malrules if name in kept)
    is_stated = any(
        close(value, own)
        for place, value in paper.stated.items()
        if place < at and paper.asks[place].name == paper.asks[at].name
    )
    if not is_said and not is_stated:
        return each
    each = each._replace(malrules=named or each.malrules)
    kind = paper.asks[at].dimension
    if is_said and kind:
        return each._replace(told=OF_WHAT_WAS_SAID.format(paper.speech.amount(own, kind)))
    return each if each.malrules else each._replace(told=AS_BEFORE.format(paper.asks[at].name))


def is_led_to(paper: Paper, link: Link, value: Value) -> bool:
    """Whether what is given for before follows, with another value, from a charge of the pupil's:
    V1 = 100/6, said of the time after.
    """
    if link.value[1] != "voltage" or in_letters(value) or not value:
        return False
    own = "C" + link.name[1:]
    given = [c for name, c in capacitances_given(paper).items() if own in ("C", name)]
    stated = [v for at, v in paper.stated.items() if paper.asks[at].dimension == "capacitance"]
    charges = [v for at, v in paper.stated.items() if paper.asks[at].dimension == "charge"]
    return any(
        abs(Fraction(charge) / Fraction(one) - Fraction(value)) <= ROUGHLY * abs(Fraction(value))
        for charge in charges
        for one in (*given, *stated)
        if not in_letters(charge) and not in_letters(one) and one
    )
