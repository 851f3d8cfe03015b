"""What is said where a problem in stages asks how a wrong value came about, or asks back."""

from __future__ import annotations

import re

from grammar.answers import is_plain_value
from grammar.records import Refusal
from grammar.spoken_numbers import in_figures
from tutor.teaching.messages import Message
from tutor.teaching.reading.menu_choice import entry_of
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.speech import Speech
from tutor.teaching.staged.going_on import Told, again, verdict_on
from tutor.teaching.staged.measuring import AN_AMOUNT, claims_in, said_of, stated
from tutor.teaching.staged.story import Telling
from tutor.teaching.staged.tracing import contexts_at

_BARE_NUMBER = re.compile(r"\s*[-+]?[\d.,/]+\s*")


def route_chosen(telling: Telling, line: str) -> Told | None:
    """What is said to the way that a learner picks as theirs; None where the line picks none."""
    is_value = _BARE_NUMBER.fullmatch(line) or _is_right_now(telling, line)
    chosen = None if is_value else entry_of(telling.asked_back, line)
    if chosen is None or chosen > len(telling.routes):
        return None
    cleared = answered_back(telling)
    if chosen >= len(telling.routes):
        cleared = cleared._replace(back_to=None)
        return again(cleared, [Message("say", rule_text.YOUR_OWN_WAY)])
    at, names = telling.asked_at, telling.routes[chosen]
    context = contexts_at(telling, at)[0]
    rule = next(m for m in CATALOGUE if m.name == names[0] and m.fits(context))
    speech = Speech(telling.story.powers, telling.terms)
    text = rule_text.cannot_be(rule, context, speech)
    message = verdict_on(telling.story.asks[at], at, text, "incomplete")  # it was judged before
    asked = cleared._replace(
        asked_back=rule_text.question(rule, context, speech), follow_up=rule.name
    )
    return again(asked, [message._replace(malrules=names)])


def on_its_sum(telling: Telling, line: str) -> Told | None:
    """What is said to a sum that comes to the wrong value once more, where it is asked how that
    came about; None for any other line.
    """
    if is_plain_value(line):
        return None
    try:
        (claim,) = claims_in(telling, line)
        judged = stated(telling, claim, telling.asked_at).judged
    except (Refusal, ValueError):
        return None
    if judged.value is None or judged.value != telling.last_wrong:
        return None
    speech = Speech(telling.story.powers, telling.terms)
    said = said_of(judged, telling.story.asks[telling.asked_at], speech)
    return again(telling, [Message("say", rule_text.ITS_SUM.format(said=said))])


def _is_right_now(telling: Telling, line: str) -> bool:
    """Whether a line ends in the right value for what is asked about: oops. 2e-2 m2"""
    if not re.search(r"\d", line):
        return False
    try:
        return stated(telling, claims_in(telling, line)[-1], telling.asked_at).judged.verdict == (
            "right"
        )
    except Refusal:
        return False


def right_end(telling: Telling, line: str) -> str:
    """The last of several amounts of a line, where it has its unit and is right for what was asked
    before something was asked back; else the line.
    """
    amounts = [found[0].strip() for found in AN_AMOUNT.finditer(in_figures(line))]
    if len(amounts) < 2 or not amounts[-1][-1].isalpha() or _WEIGHED.search(line):
        return line
    return amounts[-1] if _is_right_now(telling, amounts[-1]) else line


_WEIGHED = re.compile(r"(?i)\b(?:not|or|if)\b|n['’]t\b|\?")


def taken_up(telling: Telling) -> Telling:
    """With the question in hand as the one that is asked, and no other."""
    return answered_back(telling)._replace(back_to=None)


def answered_back(telling: Telling) -> Telling:
    """With nothing asked back any more."""
    return telling._replace(routes=(), asked_back="", follow_up="")
