"""What a walk asks and what it tells: the steps that the tutor takes itself, with their reasons.

A lesson or a practice says itself what it asks (`Manner`). Of anything else the learner's setting
decides, and of what is open only: what is forced, or was said rightly often enough, is told with
its reason, since asking it again teaches nothing and costs an answer (three for a chain, where one
tells whether it is understood).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.steps import choices
from tutor.teaching import stuck_step
from tutor.teaching.evidence import key_of, skills_in
from tutor.teaching.manner import COLD
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.showing import (
    show_answer,
    show_rest,
    show_step,
)
from tutor.teaching.staged.story import Telling
from tutor.teaching.staged.story_pace import asks_any
from tutor.teaching.turn import Turn, proceed, settle, show_choice
from tutor.teaching.twins import remember
from tutor.teaching.walk import (
    SHARING,
    STEADY,
    Question,
    Walk,
    at_the_end,
    given,
    is_stuck,
    next_question,
    pace_of,
    step_with,
    suggested,
)

# Why a question is answered by the tutor: an example of what is new; it is not what this task
# asks; it follows from what was said; it was right often enough; it is no result.
WhyTold: TypeAlias = Literal["example", "not of this task", "forced", "right before", "no result"]
_PARTNER: Mapping[Symbol, Symbol] = MappingProxyType({"V": "Q", "Q": "V"})
MOST_COUNTED = 12  # in a large network counting ahead would keep the learner waiting


# Which questions are told


def to_be_told(walk: Walk) -> tuple[Question, WhyTold] | None:
    """The question in hand with why it is told and not asked; None where it is asked."""
    if walk.aside is not None or walk.tries or walk.rung:
        return None
    question = next_question(walk)
    why = why_told(walk, question) if question is not None else None
    return (question, why) if question is not None and why is not None else None


def why_told(walk: Walk, question: Question) -> WhyTold | None:
    """Why a question of a walk is not asked; None where it is."""
    manner = walk.manner
    is_open_end = question.about == "choice" and is_stuck(walk)
    if manner.only is not None:
        is_meant = is_open_end or _keys(walk, question) & manner.only
        return None if is_meant else "not of this task"
    skills = frozenset(skills_in(walk, question))
    if not is_open_end and not COLD & skills and manner.shown & skills:
        return "example"
    if manner.asked is not None:
        return None if is_open_end or manner.asked & skills else "not of this task"
    return _by_pace(walk, question, skills)


def _by_pace(walk: Walk, question: Question, skills: frozenset[str]) -> WhyTold | None:
    pace = pace_of(walk.terms, walk.manner)
    if pace == "everything":
        return None
    if is_forced(walk, question):
        return "forced"
    if _was_right_before(walk, question, skills):
        return "right before"
    is_result = question.quantity is not None and question.about != "check" and (
        question.step is None or question.step.makes is not None
    )
    if pace == "results" and not is_result:
        return "no result"
    return "no result" if pace == "the end" and not _is_wanted(walk, question) else None


def _is_wanted(walk: Walk, question: Question) -> bool:
    return question.about != "choice" and walk.pending is None and not walk.skipped


def is_forced(walk: Walk, question: Question) -> bool:
    """Whether the answer follows from what has been said: the last two that are left, what is left
    of a sum, a sum that has been told.
    """
    if question.about == "choice":
        return bool(walk.steps) and len(walk.network.capacitors) == 2 and not is_stuck(walk) and (
            choices(walk.network)[0].kind != "removal"
        )
    if question.about == "check":
        return walk.summed
    quantity = question.quantity
    if quantity is None:
        return False
    if at_the_end(walk) and quantity.symbol in _PARTNER:
        partner = quantity._replace(symbol=_PARTNER[quantity.symbol])
        return partner in walk.known or is_rest(walk, question)
    if quantity.symbol == "E" and quantity.of is None:
        return all(Quantity("E", c.name) in walk.known for c in given(walk))
    return is_rest(walk, question)


def is_rest(walk: Walk, question: Question) -> bool:
    """Whether a p.d. or a charge is what is left of a sum, all others being known."""
    quantity = question.quantity
    step = question.step or step_with(walk, quantity)
    if not question.going_back or quantity is None or step is None or step.makes is None:
        return False
    if step.joining is None or quantity.symbol != step.joining.adds:
        return False
    others = {c.name for c in step.parts} - {quantity.of} | {step.makes.name}
    is_whole = walk.whole is not None and walk.whole.name == step.makes.name
    names = [None if is_whole and name == step.makes.name else name for name in others]
    return all(Quantity(quantity.symbol, name) in walk.known for name in names)


def _was_right_before(walk: Walk, question: Question, skills: frozenset[str]) -> bool:
    """Whether this was right on this walk often enough: once for who has mastered it; for energies
    twice in a row; for what the parts get of the whole once, where what they share was said rightly
    as well, and else twice.
    """
    if question.about == "choice" and is_stuck(walk):
        return False
    times = min((walk.rightly.get(skill, 0) for skill in skills), default=0)
    if skills <= walk.manner.mastered:
        return times > 0
    if question.about == "shares" and question.going_back:
        kind = question.step is not None and question.step.kind == "parallel"
        return times > 0 and times + walk.rightly.get(SHARING[kind, False], 0) >= STEADY
    return question.about == "energy" and times >= STEADY


def _keys(walk: Walk, question: Question) -> frozenset[str]:
    """The question's key; a step that is still to be chosen counts by all that it is asked for."""
    if question.about != "choice":
        return frozenset({key_of(walk, question)})
    name = suggested(walk).made
    return frozenset({key_of(walk, question), name, f"shares {name}"})


# The telling


def fade(turn: Turn) -> Turn:
    """The turn with every question answered that is to be told, up to the next one to be asked.

    Where nothing more of its own task is to be asked the walk ends with the last answer, the
    learner's or one shown on request: what would follow may be asked another day.
    """
    answered = turn
    while turn.opens is None and (told := to_be_told(turn.task)) is not None:
        turn = _told(turn, *told)
    manner = turn.task.manner
    if turn.opens is not None:
        opened = turn.opens.task
        is_idle = isinstance(opened, Telling) and not asks_any(opened.story, manner)
        return _ended(turn) if is_idle else turn
    if turn is answered or not turn.task.over or turn.task.twins:
        return turn
    asks_few = manner.asked is not None or manner.only is not None
    is_answer = any(message.verdict for message in answered.messages)
    return _ended(answered) if asks_few and (is_answer or answered.task.shown) else turn


def _ended(turn: Turn) -> Turn:
    kept = [message for message in turn.messages if message.kind != "ask"]
    return Turn(turn.task._replace(over=True), (*kept, Message("close", stuck_step.ENDED)))


def _told(turn: Turn, question: Question, why: WhyTold) -> Turn:
    """The question in hand answered by the tutor, and on."""
    walk = turn.task
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
        lead = f"Back from {question.step.made} to its parts: "
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
