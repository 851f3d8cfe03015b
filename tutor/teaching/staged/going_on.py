"""From one question of a problem in stages to the next: what is asked, told, or asked again."""

from __future__ import annotations

import re
from typing import Literal

from tutor.circuit.values import Value
from tutor.teaching.conversation import TurnOf
from tutor.teaching.in_sight import of_network
from tutor.teaching.manner import is_to_be_shown
from tutor.teaching.messages import Message
from tutor.teaching.speech import Shown, Speech
from tutor.teaching.staged.moves import WHAT_ADDS
from tutor.teaching.staged.story import Ask, Telling
from tutor.teaching.staged.story_pace import is_asked_in, is_of_this_task, last_value
from tutor.teaching.staged.story_skills import skills_of
from tutor.teaching.walk import pace_of

Told = TurnOf[Telling]

STEP_BY_STEP = "Then step by step."
_NAME = re.compile(r"[A-Za-z]\w*'*")
NEXT = "Type another network, or 'start again' or 'stop'."


def in_short(telling: Telling) -> Telling:
    """The end alone of a story that is at its start, where that alone is asked for: its last value,
    with what leads to it told after it.
    """
    story = telling.story
    last = last_value(story.asks)
    is_begun = bool(telling.at or telling.found)
    if pace_of(telling.terms, telling.manner) != "the end" or is_begun or last < 1:
        return telling
    way = "\n".join(ask.reveal for ask in story.asks[: last + 1])
    after = tuple(ask.reveal for ask in story.asks[last + 1 :])
    end = story.asks[last]._replace(reveal=way)
    moments = tuple(moment._replace(since=0) for moment in story.moments[-1:])
    short = story._replace(asks=(end,), closing=(*after, *story.closing), moments=moments)
    return telling._replace(story=short, in_full=story)


def in_full(telling: Telling, said: list[Message]) -> Told:
    """The steps asked after all, where the end alone was asked for and does not come right."""
    assert telling.in_full is not None, "the end alone is a part of a story"
    manner = telling.manner._replace(stepwise=True)
    whole = unanswered(telling)._replace(story=telling.in_full, in_full=None, manner=manner)
    return go_on(whole, [*said, Message("say", STEP_BY_STEP)])


def go_on(telling: Telling, said: list[Message]) -> Told:
    """The next question; those that this learner is not asked, or has answered already, are shown
    on the way to it.
    """
    ask, story = telling.ask, telling.story
    manner, at = telling.manner, telling.at
    if ask is not None and at in telling.found:
        is_shown = any(m.kind == "reveal" and m.step == at + 1 for m in said)
        led = [] if is_shown or at != last_value(story.asks) else [revealed(telling, ask, at)]
        return go_on(telling._replace(at=at + 1), [*said, *led])
    if ask is not None and not is_asked_in(telling, at):
        rest = range(at, len(story.asks))
        if at and not any(is_of_this_task(manner, n, story.asks[n]) for n in rest):
            ended = Message("close", f"That is all that was asked here. {NEXT}")
            return TurnOf(telling._replace(over=True), (*said, ended))
        return go_on(telling._replace(at=at + 1), [*said, _told(telling, ask)])
    if ask is not None:
        return TurnOf(telling, (*said, _question(telling, ask)))
    if story.closing:
        said = [*said, Message("reveal", "\n".join(story.closing), about="check")]
    close = "\n".join([*story.cautions, NEXT])
    return TurnOf(telling._replace(over=True), (*said, Message("close", close)))


def again(telling: Telling, said: list[Message]) -> Told:
    """The question in hand once more, after what is said."""
    asked = question(telling)
    return TurnOf(telling, (*said, asked) if asked else tuple(said))


def _question(telling: Telling, ask: Ask) -> Message:
    return Message("ask", telling.asked_back or ask.text, step=telling.at + 1, about=ask.about)


def question(telling: Telling) -> Message | None:
    """The question in hand, to be asked once more."""
    if telling.ask is None or telling.over:
        return None
    return _question(telling, telling.ask)


def onward(telling: Telling, said: list[Message]) -> Told:
    """To the next question; what was asked is settled."""
    return go_on(unanswered(telling._replace(at=telling.at + 1)), said)


def unanswered(telling: Telling) -> Telling:
    """Nothing said yet to the question in hand."""
    return telling._replace(
        tries=0, rung=0, unsure=False, last_wrong=None, routes=(), asked_back="", back_to=None,
        follow_up="",
    )


def revealed(telling: Telling, ask: Ask, at: int) -> Message:
    """The worked answer to the question at a place, as far as it may be told."""
    drawn = of_network(ask.network, telling.story, telling.terms) if ask.network else None
    text = worked(telling, at)
    return Message("reveal", text, step=at + 1, about=ask.about, drawn=drawn)


# Capacitances that are added up or taken from one another, or one over each.
_ADDED_UP = re.compile(r"(?:^|[^\w])C\w*\)? [+−] (?:1/)?C")


def _tells(working: str, ask: Ask, speech: Speech) -> bool:
    """Whether a working has the name or the value of a question in it, or shows the answer to a
    question in words: which of them, or what adds up.
    """
    if ask.key == WHAT_ADDS:
        return _ADDED_UP.search(working) is not None
    if ask.options:
        return any(o.words[0] in _NAME.findall(working) for o in ask.options if o.is_right)
    shown = _shown(ask, speech)
    if shown is None:
        return False
    is_told = re.search(rf"(?<![\w.,]){re.escape(shown.text)}(?!\w)", working) is not None
    return is_told or ask.name in _NAME.findall(working)


def _shown(ask: Ask, speech: Speech) -> Shown | None:
    """The right value as it is written; None for a choice."""
    if ask.right is None:
        return None
    return speech.shown(ask.right, ask.dimension) if ask.dimension else speech.plain(ask.right)


def worked(telling: Telling, at: int) -> str:
    """How the value at a place comes about; the value alone where its working holds values that
    are still to be asked for.
    """
    ask, speech = telling.story.asks[at], Speech(telling.story.powers, telling.terms)
    to_come = [each for n, each in enumerate(telling.story.asks[:at]) if not telling.is_known(n)]
    head, *_ = ask.reveal.split(" = ")
    shown = _shown(ask, speech)
    if shown is None or not any(_tells(ask.reveal, each, speech) for each in to_come):
        return ask.reveal
    return f"{head if _NAME.fullmatch(head) else ask.name} {shown.after_equals}"


def _told(telling: Telling, ask: Ask) -> Message:
    """An answer that is told and not asked; with its reason where it is one of this task."""
    told = revealed(telling, ask, telling.at)
    if not is_of_this_task(telling.manner, telling.at, ask) or ask.because[1:] in ask.reveal:
        return told
    return told._replace(text=f"{ask.because}\n{ask.reveal}")


def show_answer(telling: Telling, said: list[Message]) -> Told:
    """The answer to the question in hand, after what is said, and the next question."""
    assert telling.ask is not None
    if telling.in_full is not None:
        return in_full(telling, said)
    return onward(telling, [*said, revealed(telling, telling.ask, telling.at)])


def verdict_on(
    ask: Ask, at: int, text: str, word: Literal["right", "wrong", "incomplete", "unread"]
) -> Message:
    """A verdict on an answer to the question at a place."""
    return Message("verdict", text, step=at + 1, about=ask.about, verdict=word)


def after_wrong(
    telling: Telling, ask: Ask, said: list[Message], value: Value | str | None
) -> Told:
    """The question again after a wrong answer, or the answer where its tries are used up; the same
    wrong value said again spends none.
    """
    counts = value is None or value != telling.last_wrong
    rightly = {**telling.rightly, ask.key: 0}
    tried = telling._replace(tries=telling.tries + counts, last_wrong=value, rightly=rightly)
    if tried.in_full is not None and not (tried.asked_back or tried.routes):
        return in_full(tried, said)
    is_put = bool(tried.asked_back) and counts
    if is_to_be_shown(tried.tries, most_tries(tried, ask), is_put):
        return show_answer(tried, said)
    return again(tried, said)


def most_tries(telling: Telling, ask: Ask) -> int:
    """How many tries a question has."""
    return telling.manner.tries(ask.skills or skills_of(ask))
