"""What is asked and what is told: the one place where that is decided, for walks and for stories.

A lesson or a practice says itself what it asks (`Manner`). Of anything else the learner's setting
decides, and of what is open only: what is forced, or was said rightly often enough, is told with
its reason, since asking it again teaches nothing and costs an answer (three for a chain, where one
tells whether it is understood).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, TypeAlias

from tutor.circuit.steps import choices
from tutor.teaching.evidence import key_of, skills_in
from tutor.teaching.manner import COLD, Manner
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.settings import Settings, WhatIsAsked
from tutor.teaching.staged.story import Ask, Story, Telling
from tutor.teaching.staged.story_skills import key_of as key_of_ask
from tutor.teaching.staged.story_skills import skills_of
from tutor.teaching.walk import (
    SHARING,
    STEADY,
    Question,
    Walk,
    at_the_end,
    given,
    is_stuck,
    next_question,
    step_with,
    suggested,
)

# Why a question is answered by the tutor: an example of what is new; it is not what this task
# asks; it follows from what was said; it was right often enough; it is no result.
WhyTold: TypeAlias = Literal["example", "not of this task", "forced", "right before", "no result"]
_PARTNER: Mapping[Symbol, Symbol] = MappingProxyType({"V": "Q", "Q": "V"})


def pace_of(settings: Settings, manner: Manner) -> WhatIsAsked:
    """How much is asked. A lesson or a practice, which says itself what it asks, asks all of that;
    an end that went wrong is asked in steps.
    """
    if manner.asked is not None or manner.only is not None:
        return "everything"
    return "what is open" if settings.asked == "the end" and manner.stepwise else settings.asked


# Walks


def to_be_told(walk: Walk) -> WhyTold | None:
    """Why the question in hand is told and not asked; None where it is asked."""
    if walk.over or walk.aside is not None or walk.tries or walk.rung:
        return None
    question = next_question(walk)
    return why_told(walk, question) if question is not None else None


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
    makes = suggested(walk).makes
    name = makes.name if makes is not None else ""
    return frozenset({key_of(walk, question), name, f"shares {name}"})


# Stories


def is_of_this_task(manner: Manner, at: int, ask: Ask) -> bool:
    """Whether a question of a story, at its place from 0, is one that a lesson or a practice asks,
    if it says what it asks.
    """
    if manner.only is not None:
        return key_of_ask(at, ask) in manner.only
    return manner.asked is None or bool(manner.asked.intersection(ask.skills or skills_of(ask)))


def asks_any(story: Story, manner: Manner) -> bool:
    """Whether a lesson or a practice asks anything of a story."""
    return any(is_of_this_task(manner, at, ask) for at, ask in enumerate(story.asks))


def is_asked_in(telling: Telling, at: int) -> bool:
    """Whether a question of a story is asked, and not told on the way."""
    ask = telling.story.asks[at]
    if not is_of_this_task(telling.manner, at, ask):
        return False
    pace, is_value = pace_of(telling.terms, telling.manner), ask.right is not None
    if pace == "everything" or telling.tries or telling.rung:
        return True
    end = last_value(telling.story.asks)
    if pace == "the end":
        return at == end
    if end in telling.found and at < end:  # one reason of those that lead there is asked for
        return at == _last_choice_before(telling.story.asks, end)
    skills, times = ask.skills or skills_of(ask), telling.rightly.get(ask.key, 0)
    if is_value and times >= (1 if telling.manner.mastered.issuperset(skills) else STEADY):
        return False
    return pace == "what is open" or is_value


def _last_choice_before(asks: tuple[Ask, ...], end: int) -> int | None:
    places = [at for at in range(end) if asks[at].options]
    return places[-1] if places else None


def asks_ahead(telling: Telling) -> int:
    """How many questions of a story are still to be asked if all answers are right."""
    telling, count = telling._replace(tries=0, rung=0), 0
    for at in range(telling.at, len(telling.story.asks)):
        if at not in telling.found and is_asked_in(telling, at):
            count += 1
            key = telling.story.asks[at].key
            rightly = {**telling.rightly, key: telling.rightly.get(key, 0) + 1}
            telling = telling._replace(rightly=rightly)
    return count


def last_value(asks: tuple[Ask, ...]) -> int:
    """The place of the last question for a value; of the last one where all are in words."""
    places = [at for at, ask in enumerate(asks) if ask.right is not None]
    return places[-1] if places else len(asks) - 1
