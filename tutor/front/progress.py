"""How far a chat has come and what may be typed now, in short: for a bottom line and completion."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from tutor.front.chat.stages import (
    Chat,
    Choosing,
    Deciding,
    Gathering,
    InPuzzle,
    Offered,
    Reading,
    Reflecting,
    Solving,
    Stage,
    Writing,
)
from tutor.front.opening import STANDING, TO_BEGIN
from tutor.teaching.conversation import Conversation, OpenTask
from tutor.teaching.fading import answers_ahead
from tutor.teaching.speech import counted, listed, sentence
from tutor.teaching.staged.story import Telling
from tutor.teaching.staged.story_pace import asks_ahead
from tutor.teaching.walk import Walk, at_the_end, next_question

ALWAYS = (
    "where are we", "list", "drawing", "why", "hint", "show me", "undo", "start again", "energy",
    "repeat", "help", "stop", "I don't know",
)
DONE = "Done. Type another network, or 'stop'."
NEXT_PART = "'next' goes on, 'home' leaves."
WHAT_IF = "What if: say which way it goes, up, down or the same."
LIKE_ONE_SHOWN = "A step like one that was shown."
LAST = "One answer to go."


def standing(chat: Chat) -> str:
    """One plain sentence: how far it has come, or what is wanted now."""
    stage = chat.stage
    if chat.wants_network and chat.course is not None:
        return NEXT_PART
    if isinstance(stage, Solving):
        return DONE if stage.is_done else _standing_of(stage.talk)
    if isinstance(stage, Gathering):
        return "Type the next line, or an empty one to end."
    if isinstance(stage, Deciding):
        return "Say which reading is meant."
    if isinstance(stage, Offered):
        return "Say yes or no."
    if isinstance(stage, Reading):
        return f"Reading a drawing, {counted(len(stage.guided.pieces), 'line')} so far."
    if isinstance(stage, InPuzzle):
        return f"Arrange the capacitors; {counted(stage.puzzle.tries, 'attempt')} so far."
    if isinstance(stage, Writing):
        return f"Question {stage.at + 1} of {len(stage.paper.questions)}: type your working."
    if isinstance(stage, Reflecting):
        return "Your own words, or 'next'."
    return STANDING


def _standing_of(talk: Conversation) -> str:
    task, purpose = talk.in_hand, talk.frames[-1].purpose
    if purpose == "twin":
        return LIKE_ONE_SHOWN
    if isinstance(task, Telling):
        to_go = asks_ahead(task)
        if to_go < 2 and task.ask is not None and task.ask.options:
            words = listed((option.words[0] for option in task.ask.options), "or")
            return f"Type {words}; or 'I don't know'."
        return _to_go(to_go) if purpose == "problem" else f"In this step: {_to_go(to_go).lower()}"
    return _standing_on(task) if isinstance(task, Walk) else WHAT_IF


def _to_go(count: int) -> str:
    return LAST if count < 2 else f"{sentence(counted(count, 'answer'))} to go."


def _standing_on(walk: Walk) -> str:
    ahead, of = answers_ahead(walk), len(walk.plan)
    is_there = walk.whole is not None and len(walk.network.capacitors) == 1
    if is_there or at_the_end(walk):
        return _to_go(sum(ahead or ()) + len(walk.twins))
    step = len(walk.steps) + 1
    if ahead is None:
        return f"Step {step} of {of}." if walk.whole is not None else f"Step {step}."
    then = f", then {counted(ahead.back, 'answer')} back" if ahead.back else ""
    return f"Step {step} of {of}{then}."


def may_be_typed(chat: Chat) -> tuple[str, ...]:
    """Words that make sense in the next line, the likeliest first."""
    stage = chat.stage
    if isinstance(stage, Solving) and not stage.is_done:
        return (*_of_task(stage.talk.in_hand), *ALWAYS)
    if isinstance(stage, Reading):
        return (*stage.guided.points, "new", "none", "wire", "yes", "remove", "back", "stop")
    if isinstance(stage, InPuzzle):
        names = (name for group in stage.puzzle.order.stock.groups for name in group.names)
        return (*names, "hint", "show me", "list", "why", "help", "stop")
    return _FOR_STAGE.get(type(stage), TO_BEGIN)


_FOR_STAGE: Mapping[type[Stage], tuple[str, ...]] = MappingProxyType({
    Choosing: TO_BEGIN,
    Deciding: ("a", "b", "no", "stop"),
    Offered: ("yes", "no", "stop"),
    Writing: ("next", "list", "question 1", "undo", "clear", "drawing", "hand in", "stop"),
})


def _answers(telling: Telling) -> tuple[str, ...]:
    """The words of a question in words; else the names that have a value, the one asked first."""
    ask = telling.ask
    if ask is None:
        return ()
    if ask.options:
        return tuple(option.words[0] for option in ask.options)
    names = [ask.name, *(before.name for before in telling.story.asks[: telling.at])]
    return tuple(dict.fromkeys(name for name in names if name))


def _of_task(task: OpenTask) -> tuple[str, ...]:
    if isinstance(task, Telling):
        return _answers(task)
    if isinstance(task, Walk):
        return _now(task)
    return ("up", "down", "same")


def _now(walk: Walk) -> tuple[str, ...]:
    question = next_question(walk)
    if question is None:
        return ()
    names = tuple(c.name for c in walk.network.capacitors)
    if question.about == "choice":
        return (*names, "none")
    if question.about == "shares":
        return (walk.terms.difference, "charge", *walk.network.points())
    if question.about == "reason":
        return ("a", "b", "c", "d", *walk.network.points())
    quantity = question.quantity
    parts = question.step.parts if question.step is not None else ()
    own = (quantity.name,) if quantity is not None and quantity.of is not None else ()
    return tuple(dict.fromkeys([*own, *(part.name for part in parts), *names]))
