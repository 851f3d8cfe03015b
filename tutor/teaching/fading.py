"""Steps that the tutor takes itself: shown worked where a skill is new, or is not what is asked."""

from __future__ import annotations

from tutor.teaching.beyond import ENDED
from tutor.teaching.evidence import key_of, skills_in
from tutor.teaching.manner import COLD
from tutor.teaching.messages import Message
from tutor.teaching.showing import show_answer, show_choice, show_step
from tutor.teaching.staged.story import Telling
from tutor.teaching.staged.telling import asks_any
from tutor.teaching.turn import Turn, proceed
from tutor.teaching.twins import remember
from tutor.teaching.walk import Question, Walk, is_stuck, next_question, suggested


def fade(turn: Turn) -> Turn:
    """The turn with every question answered that is to be shown, up to the next one to be asked.

    Where nothing more is to be asked the walk ends with the last answer: what would follow may be
    asked another day.
    """
    if turn.opens is not None:
        told = turn.opens.task
        is_idle = isinstance(told, Telling) and not asks_any(told.story, turn.task.manner)
        return _ended(turn) if is_idle else turn
    answered = turn
    while (question := _to_be_shown(turn.task)) is not None:
        turn = _shown(turn, question)
    if turn is answered or not turn.task.over or turn.task.twins:
        return turn
    asks_few = turn.task.manner.asked is not None or turn.task.manner.only is not None
    is_answer = any(message.verdict for message in answered.messages)
    return _ended(answered) if asks_few and is_answer else turn


def _ended(turn: Turn) -> Turn:
    kept = [message for message in turn.messages if message.kind != "ask"]
    return Turn(turn.task._replace(over=True), (*kept, Message("close", ENDED)))


def _to_be_shown(walk: Walk) -> Question | None:
    if walk.over or walk.aside is not None or walk.tries or walk.rung:
        return None
    question = next_question(walk)
    if question is None or (question.about == "choice" and is_stuck(walk)):
        return None
    return question if _is_shown(walk, question) else None


def _is_shown(walk: Walk, question: Question) -> bool:
    manner = walk.manner
    if manner.only is not None:
        return not _keys(walk, question) & manner.only
    skills = skills_in(walk, question)
    if not COLD.intersection(skills) and manner.shown.intersection(skills):
        return True
    return manner.asked is not None and not manner.asked.intersection(skills)


def _keys(walk: Walk, question: Question) -> frozenset[str]:
    """The question's key; a step that is still to be chosen counts by all that it is asked for."""
    if question.about != "choice":
        return frozenset({key_of(walk, question)})
    makes = suggested(walk).makes
    name = makes.name if makes is not None else ""
    return frozenset({key_of(walk, question), name, f"shares {name}"})


def _shown(turn: Turn, question: Question) -> Turn:
    walk = turn.task
    said = [message for message in turn.messages if message.kind != "ask"]
    if question.about == "choice" and not _whole_step_is_shown(walk):
        shown, reveals = show_choice(walk)
    elif question.about == "choice":
        shown, reveals = show_step(walk, question)
    else:
        shown, reveals = show_answer(walk, question)
    met = walk.manner.shown.difference(skills_in(walk, question))
    shown = shown._replace(manner=walk.manner._replace(shown=met))
    if met != walk.manner.shown:
        shown = remember(shown, question)
    return proceed(shown, [*said, *reveals])  # nothing to go back to: it was not the learner's


def _whole_step_is_shown(walk: Walk) -> bool:
    """Whether nothing of the step is asked, so that it is shown in one piece."""
    if walk.manner.only is not None:
        return True
    if walk.manner.asked is None:
        return False
    step = suggested(walk)
    asks = {"S08", "S10"} if step.kind == "parallel" else {"S09", "S11", "S12"}
    return not walk.manner.asked & asks
