"""What is held through a change, told by its value afterwards: new Q = 500 µC, where Q stays."""

from __future__ import annotations

import re
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.grading import Judgement
from tutor.teaching.marking.stories.following import Link
from tutor.teaching.marking.stories.paper import Paper, capacitances_given, given_named
from tutor.teaching.marking.stories.story_remarks import of_choice
from tutor.teaching.marking.true_in_numbers import ROUGHLY
from tutor.teaching.staged.story import is_called

HELD_WORDS: Final = MappingProxyType({"Q": "the charge", "V": "the p.d."})
STAYS: Final = "Right: it stays as it was."
_TIME = r"(?:after(?:wards)?|now|later|finally|(?:in|at)\s+the\s+end)"
_AFTERWARDS: Final = re.compile(
    rf"^\s*(?:the\s+)?(?:(?:new|final)\s+([QV])|([QV])\s+{_TIME}|{_TIME}[\s,:]+([QV]))(?=\s*(?:=|:|is\b))"
)


def with_prime_for_after(paper: Paper, piece: str) -> str:
    """A piece with a prime for words that say of what is held that it is meant afterwards."""

    def primed(found: re.Match[str]) -> str:
        letter = next(each for each in found.groups() if each)
        return f"{letter}'" if held_at(paper, f"{letter}'") is not None else found[0]

    return _AFTERWARDS.sub(primed, piece)


def held_at(paper: Paper, name: str) -> int | None:
    """The question of what is held, where a name with a prime is the charge or the p.d. that is:
    no question asks for it a second time. None once that is answered, or another value came of it.
    """
    letter = name.removesuffix("'")
    if letter == name or letter not in HELD_WORDS or paper.wrong:
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
    if before is None or in_letters(before) or in_letters(value):
        return None
    stays = close(value, before)
    option = next(each for each in ask.options if each.is_right == stays)
    if stays:
        return Judgement(at, "right", method=True, told=STAYS)
    told = of_choice(option, ask)
    wrong = Judgement(at, "wrong", malrules=option.malrules, told=told, is_certain=True)
    return wrong._replace(fault="malrule" if option.malrules else None)


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
