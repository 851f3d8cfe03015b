"""Replies to what the tutor asked back: which route it was, or a thought in words."""

from __future__ import annotations

import re

from tutor.circuit.joining import JOININGS
from tutor.teaching.hearing import sharing_in
from tutor.teaching.messages import Message
from tutor.teaching.replies import Replies
from tutor.teaching.rules.on_walk import route_of
from tutor.teaching.rules.rule_text import LETTERS
from tutor.teaching.turn import Turn, ask_again, speech_of
from tutor.teaching.walk import Aside, Question, Walk
from tutor.teaching.wrong_values import routes_chosen


def reply(walk: Walk, question: Question, aside: Aside, line: str) -> Turn | None:
    """The turn after a letter of a menu; None for any other line, which is read as an answer."""
    if aside.kind != "routes":
        return None
    chosen = _letter(line, len(aside.options) + 1)
    if chosen is None:
        return None
    response = routes_chosen(walk, aside, chosen)
    said = Message(
        "verdict", response.text, about=question.about, verdict="wrong",
        malrules=response.malrules or _named(aside, chosen),
    )
    return ask_again(walk._replace(aside=response.aside), [said])


def _named(aside: Aside, letter: str) -> tuple[str, ...]:
    at = LETTERS.index(letter)
    return aside.options[at] if at < len(aside.options) else ()


def _letter(line: str, most: int) -> str | None:
    text = line.strip().lower()
    if re.search(r"\b(?:something else|other|another way|none)\b", text):
        return LETTERS[most - 1]
    found = re.fullmatch(r"(?:it was |that was |i think )?\(?([a-d])\)?[.)]?", text)
    if found and LETTERS.index(found[1]) < most:
        return found[1]
    return None


def is_a_thought(walk: Walk, line: str) -> bool:
    """Whether a line speaks of sharing in words alone, with no value in it."""
    shared = sharing_in(line, walk.problem.network)
    return shared is not None and shared.quantity is not None and not re.search(r"[\d=]", line)


def in_words(walk: Walk, aside: Aside, line: str) -> Turn:
    """A thought in words: what it says of sharing is judged, anything else is taken along."""
    replies = Replies(speech_of(walk))
    shared = sharing_in(line, walk.problem.network)
    route = route_of(walk)
    step = route.made_by(aside.about.of) or route.part_of(aside.about.of)
    if shared is not None and shared.quantity in ("voltage", "charge") and step is not None:
        is_right = shared.quantity == JOININGS[step.kind].shared
        text = replies.shares_half(step) if is_right else replies.shares_wrong(step)
        return ask_again(walk, [Message("say", f"{text} Now with that in mind:")])
    text = "Take that thought along:" if aside.kind == "ask" else "No line of working there; then:"
    return ask_again(walk, [Message("say", text)])
