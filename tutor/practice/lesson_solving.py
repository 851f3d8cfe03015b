"""A task taken to its end by one who answers every question rightly, and what that shows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from grammar.lengths import SIZE_SYMBOL
from grammar.quantity import SYMBOL
from grammar.records import Refusal
from tutor.circuit.network import Problem
from tutor.circuit.values import Value, in_letters
from tutor.teaching import exchange
from tutor.teaching.conversation import Conversation, Replied
from tutor.teaching.manner import Manner
from tutor.teaching.messages import Message
from tutor.teaching.observation import Observation
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.shared_reasons import LETTERS, reasons
from tutor.teaching.staged.story import Ask, Story, Telling
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Question, Walk, is_stuck, next_question, suggested

MOST_ANSWERS: Final = 400


def walked(problem: Problem, asked: tuple[str, ...] = ()) -> tuple[Observation, ...]:
    """What the right answers to all questions of a walk show, in order.

    ``asked`` are codes of skills: where there are any, questions of these alone are asked.
    Errors: ``Refusal`` where right answers do not lead to the end.
    """
    return _to_the_end(exchange.begin(problem, DEFAULTS, 0, _manner(asked)))


def told(story: Story, asked: tuple[str, ...] = ()) -> tuple[Observation, ...]:
    """The same for a problem in stages."""
    return _to_the_end(exchange.begin_story(story, DEFAULTS, _manner(asked)))


def _to_the_end(reply: Replied) -> tuple[Observation, ...]:
    seen = [*_seen(reply.messages)]
    for _ in range(MOST_ANSWERS):
        if reply.talk.over or (answer := right_answer(reply.talk)) is None:
            return tuple(seen)
        reply = exchange.hear(reply.talk, answer)
        seen += _seen(reply.messages)
    raise _endless()


def _manner(asked: tuple[str, ...]) -> Manner:
    return Manner(asked=frozenset(asked) if asked else None)


def _endless() -> Refusal:
    return Refusal(
        "Right answers do not lead to the end of this task.", "Make it shorter, or part it in two."
    )


def _seen(messages: tuple[Message, ...]) -> Iterator[Observation]:
    return (message.seen for message in messages if message.seen is not None)


def right_answer(talk: Conversation) -> str | None:
    """A right answer to the question in hand; None where nothing is asked any more."""
    walk = talk.in_hand
    if isinstance(walk, Telling):
        return _to_ask(walk.ask) if walk.ask is not None else None
    assert isinstance(walk, Walk), "nothing is supposed here"
    question = next_question(walk)
    if question is None:
        return None
    if question.about == "choice":
        if is_stuck(walk):
            return "none"
        return " ".join(c.name for c in suggested(walk).parts)
    if question.about in ("shares", "reason"):
        return _to_sharing(walk, question)
    quantity = question.quantity
    assert quantity is not None, "all else asks for a value"
    value = walk.truth[quantity]
    power = speech_of(walk).powers[quantity.dimension]
    return _written(value, power, speech_of(walk).unit(quantity.dimension))


def _to_sharing(walk: Walk, question: Question) -> str:
    step = question.step
    assert step is not None, "sharing is that of a step"
    if question.about == "reason":
        menu = reasons(step, speech_of(walk), walk.seed)
        return LETTERS[[entry.is_true for entry in menu].index(True)]
    return "the p.d." if step.kind == "parallel" else "the charge"


def _to_ask(ask: Ask) -> str:
    if ask.options:
        return next(option for option in ask.options if option.is_right).words[0]
    assert ask.right is not None, "a question without options asks for a value"
    if ask.pure or ask.dimension is None:
        return _written(ask.right, 0, "")
    return _written(ask.right, 0, {**SYMBOL, **SIZE_SYMBOL}[ask.dimension])


def _written(value: Value, power: int, unit: str) -> str:
    """A value exactly, as a fraction of this unit or as an expression in letters."""
    if in_letters(value):
        return str(value).replace("**", "^")
    scaled = value / 10**power if power > 0 else value * 10**-power
    return f"{scaled.numerator}/{scaled.denominator} {unit}".replace("/1 ", " ").strip()
