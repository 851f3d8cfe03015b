"""Steps that the tutor takes itself, with their reasons: an example of what is new, what this task
does not ask, and what need not be asked again (pace.py decides).
"""

from __future__ import annotations

from typing import NamedTuple

from tutor.teaching import stuck_step
from tutor.teaching.evidence import skills_in
from tutor.teaching.messages import Message
from tutor.teaching.pace import WhyTold, asks_any, to_be_told, why_told
from tutor.teaching.showing import (
    show_answer,
    show_rest,
    show_step,
)
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import Turn, proceed, settle, show_choice
from tutor.teaching.twins import remember
from tutor.teaching.walk import (
    Question,
    Walk,
    at_the_end,
    given,
    is_stuck,
    next_question,
    suggested,
)

MOST_COUNTED = 12  # in a large network counting ahead would keep the learner waiting


def fade(turn: Turn) -> Turn:
    """The turn with every question answered that is to be told, up to the next one to be asked.

    Where nothing more of its own task is to be asked the walk ends with the last answer: what would
    follow may be asked another day.
    """
    answered = turn
    while turn.opens is None and (why := to_be_told(turn.task)) is not None:
        turn = _told(turn, why)
    manner = turn.task.manner
    if turn.opens is not None:
        told = turn.opens.task
        is_idle = isinstance(told, Telling) and not asks_any(told.story, manner)
        return _ended(turn) if is_idle else turn
    if turn is answered or not turn.task.over or turn.task.twins:
        return turn
    asks_few = manner.asked is not None or manner.only is not None
    is_answer = any(message.verdict for message in answered.messages)
    return _ended(answered) if asks_few and is_answer else turn


def _ended(turn: Turn) -> Turn:
    kept = [message for message in turn.messages if message.kind != "ask"]
    return Turn(turn.task._replace(over=True), (*kept, Message("close", stuck_step.ENDED)))


def _told(turn: Turn, why: WhyTold) -> Turn:
    """The question in hand answered by the tutor, and on."""
    walk, question = turn.task, next_question(turn.task)
    assert question is not None, "there is something to be told"
    said = [message for message in turn.messages if message.kind != "ask"]
    if question.about == "choice" and at_the_end(walk):
        return stuck_step.way_told(walk, said)
    if question.about == "choice" and is_stuck(walk):
        opened = stuck_step.go_on(walk, "")
        return opened._replace(messages=(*said, *opened.messages))
    shown, reveals = _answered(walk, question, why)
    return proceed(shown, [*said, *reveals])  # nothing to go back to: it was not the learner's


def _answered(walk: Walk, question: Question, why: WhyTold) -> tuple[Walk, list[Message]]:
    shown, reveals = _shown(walk, question, why)
    if why in ("example", "not of this task"):
        met = walk.manner.shown.difference(skills_in(walk, question))
        shown = shown._replace(manner=walk.manner._replace(shown=met))
        if met != walk.manner.shown:
            shown = remember(shown, question)
    return shown, reveals


class Ahead(NamedTuple):
    """How many answers are still to come: ``there`` up to the one capacitor, ``back`` from it."""

    there: int = 0
    back: int = 0


def answers_ahead(walk: Walk) -> Ahead | None:
    """How many answers are still to come if all of them are right; None where something must be
    talked through first that is not known before, or the network is large.
    """
    ahead = Ahead()
    walk = walk._replace(tries=0, rung=0, aside=None)
    if len(given(walk)) > MOST_COUNTED:
        return None
    while (question := next_question(walk)) is not None:
        if question.about == "choice" and at_the_end(walk):
            break
        if question.about == "choice" and is_stuck(walk):
            return None
        why = why_told(walk, question)
        if why is None:
            is_back = question.going_back
            ahead = Ahead(ahead.there + (not is_back), ahead.back + is_back)
            shown = _answered(walk, question, "right before")[0]
            skills = skills_in(walk, question)
            rightly = {**shown.rightly, **{s: shown.rightly.get(s, 0) + 1 for s in skills}}
            walk = settle(shown._replace(rightly=rightly))[0]
        else:
            walk = settle(_answered(walk, question, why)[0])[0]
    return ahead


def _shown(walk: Walk, question: Question, why: WhyTold) -> tuple[Walk, list[Message]]:
    if why == "forced" and question.about != "choice":
        return show_rest(walk, question)
    if question.about == "shares" and question.going_back and question.step is not None:
        shown, reveals = show_answer(walk, question)
        made = question.step.makes.name if question.step.makes is not None else ""
        lead = f"Back from {made} to its parts: "
        return shown, [told._replace(text=lead + told.text) for told in reveals]
    if question.about != "choice":
        return show_answer(walk, question)
    if why == "forced":
        return show_choice(walk, "Only {} are left, so take these two now.")
    if why in ("no result", "right before") and suggested(walk).makes is None:
        return show_step(walk, question)
    if why == "no result":
        return show_answer(walk, question)
    return show_step(walk, question) if _whole_step_is_shown(walk) else show_choice(walk)


def _whole_step_is_shown(walk: Walk) -> bool:
    """Whether nothing of the step is asked, so that it is shown in one piece."""
    if walk.manner.only is not None:
        return True
    if walk.manner.asked is None:
        return False
    step = suggested(walk)
    asks = {"S08", "S10"} if step.kind == "parallel" else {"S09", "S11", "S12"}
    return not walk.manner.asked & asks
