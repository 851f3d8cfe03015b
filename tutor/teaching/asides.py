"""Replies to what the tutor asked back: which route it was, or a thought in words."""

from __future__ import annotations

import re

from grammar.answers import is_plain_value
from grammar.records import Refusal
from tutor.circuit.joining import JOININGS
from tutor.teaching.claims import read, state
from tutor.teaching.evidence import with_evidence
from tutor.teaching.hearing import sharing_in
from tutor.teaching.messages import Message
from tutor.teaching.reading.menu_choice import entry_of, speaks_to_the_point
from tutor.teaching.rules.context import route_of
from tutor.teaching.rules.rule_text import ITS_SUM, LETTERS, in_terms
from tutor.teaching.turn import Turn, ask_again, replies_of, speech_of
from tutor.teaching.walk import Aside, Question, Walk
from tutor.teaching.wrong_values import diagnosed, routes_chosen


def reply(walk: Walk, question: Question, aside: Aside, line: str) -> Turn | None:
    """The turn after an entry of a menu; None for any other line, which is read as an answer.

    The number was judged before; what shows now is the idea behind it, and no new wrong answer.
    """
    if aside.kind in ("routes", "line") and _GUESSED.fullmatch(line):
        return ask_again(walk, [Message("say", ONLY_A_GUESS)])
    if aside.kind != "routes":
        return None
    at = entry_of(aside.text, line)
    if at is None:
        return None
    response = routes_chosen(walk, aside, LETTERS[at])
    malrules = response.malrules or (aside.options[at] if at < len(aside.options) else ())
    said = Message(
        "verdict", response.text, about=question.about, verdict="wrong", malrules=malrules
    )
    turn = with_evidence(walk, question, ask_again(walk._replace(aside=response.aside), [said]))
    first, *others = turn.messages
    return turn._replace(messages=(first._replace(verdict="incomplete"), *others))


_GUESSED = re.compile(
    r"(?i)\W*(?:honestly\s+|c\)?\W+)?(?:i\s+|it\s+was\s+|just\s+|a\s+)*guess(?:ed|ing|work)?"
    r"(?:\s+(?:really|tbh|lol|honestly|it))*\W*"
)
ONLY_A_GUESS = "No harm in a guess. Ask yourself first what they share, and what then adds up."


def on_its_sum(walk: Walk, question: Question, aside: Aside, line: str) -> Turn | None:
    """What is said to a sum in figures that comes to the wrong value once more, where it was asked
    how that came about; None for any other line.
    """
    if aside.kind not in ("line", "routes") or is_plain_value(line):
        return None
    try:
        (claim,) = read(walk, line)
        stated = state(walk, question, claim)
    except (Refusal, ValueError):
        return None
    if stated is None or not stated.ruled or stated.judged.value is None:
        return None
    if stated.judged.value != walk.last_wrong:
        return None
    found = diagnosed(walk, stated)
    for letter, names in zip(LETTERS, aside.options, strict=False):
        if found.is_written and not {*found.names}.isdisjoint(names):
            return reply(walk, question, aside, letter)  # the sum says which
    said = speech_of(walk).amount(stated.judged.value, stated.quantity.dimension)
    return ask_again(walk, [Message("say", ITS_SUM.format(said=said))])


_BY_SIZE = re.compile(
    r"(?i)\W*(?:so\s+|but\s+)?(?:the\s+)?(?P<size>small|little|bigg?|larg)\w*(?:\s+(?:one|cap\w*|c))*\s+"
    r"(?:must\s+|should\s+)?(?:gets?|needs?|takes?|has|have|holds?)\s+(?:the\s+|a\s+)?"
    r"(?P<part>more|most|bigg\w*|larg\w*|great\w*|high\w*|less|least|small\w*|low\w*)\b(?P<what>[^,;.]*)\W*"
)
OF_ONE_CHARGE = "at one charge the smaller capacitance needs more p.d."
OF_ONE_PD = "at one p.d. the larger capacitance takes more charge."


def on_sizes(walk: Walk, aside: Aside, line: str) -> Turn | None:
    """What is said to which of them gets more, where it was asked how a value came about; None for
    any other line.
    """
    found = _BY_SIZE.fullmatch(line)
    route = route_of(walk)
    step = route.made_by(aside.about.of) or route.part_of(aside.about.of)
    if found is None or step is None or step.joining is None:
        return None
    said = sharing_in(f"the same {found['what']}", walk.problem.network)
    if said is not None and said.quantity == step.joining.shared:
        return None  # that is the same on all, and is said as such
    is_small = found["size"].lower() in ("small", "little")
    gets_more = found["part"].lower()[0] in "mbgh" or found["part"].lower().startswith("larg")
    is_chain = step.kind == "series"
    lead = "Yes" if (is_small is gets_more) is is_chain else "No"
    text = f"{lead}: {OF_ONE_CHARGE if is_chain else OF_ONE_PD} Now with that in mind:"
    return ask_again(walk, [Message("say", in_terms(text, speech_of(walk)))])


def is_a_thought(walk: Walk, line: str) -> bool:
    """Whether a line speaks of sharing in words alone, with no value in it."""
    shared = sharing_in(line, walk.problem.network)
    return shared is not None and shared.quantity is not None and not re.search(r"[\d=]", line)


NOT_READ = "I could not read an answer in that. A new value will do as well."
LEFT_OPEN = "I could not read a way to that number in this, so let us leave it open."


def in_words(walk: Walk, question: Question, aside: Aside, line: str) -> Turn:
    """A thought in words: what it says of sharing is judged; what says nothing is asked again."""
    replies = replies_of(walk)
    shared = sharing_in(line, walk.problem.network)
    route = route_of(walk)
    step = route.made_by(aside.about.of) or route.part_of(aside.about.of)
    if shared is not None and shared.quantity in ("voltage", "charge") and step is not None:
        is_right = shared.quantity == JOININGS[step.kind].shared
        text = replies.shares_half(step) if is_right else replies.shares_wrong(step)
        return ask_again(walk, [Message("say", f"{text} Now with that in mind:")])
    if speaks_to_the_point(line):
        text = "I cannot tell yet whether that is so. Try it on the numbers:"
        return ask_again(walk, [Message("say", text)])
    stays = aside.kind != "line"  # who does not say how it came about is not asked for ever
    told = NOT_READ if stays else LEFT_OPEN
    said = Message("verdict", told, about=question.about, verdict="unread")
    return ask_again(walk._replace(aside=aside if stays else None), [said])
