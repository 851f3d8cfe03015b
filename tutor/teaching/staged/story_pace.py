"""Which questions of a problem in stages are asked, and which are told on the way."""

from __future__ import annotations

from tutor.teaching.manner import Manner
from tutor.teaching.staged.choosing import asks_which_way
from tutor.teaching.staged.measuring import value_before
from tutor.teaching.staged.story import Ask, Story, Telling
from tutor.teaching.staged.story_skills import key_of, skills_of
from tutor.teaching.walk import STEADY, pace_of


def is_of_this_task(manner: Manner, at: int, ask: Ask) -> bool:
    """Whether a question of a story, at its place from 0, is one that a lesson or a practice asks,
    if it says what it asks.
    """
    if manner.only is not None:
        return key_of(at, ask) in manner.only
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
    if _is_plain_from_values(telling, at):
        return False
    if reached := _reached_from(telling, at):  # one reason is asked for, once
        return len(reached) == 1 and at == _last_choice_before(telling.story.asks, reached[0])
    skills, times = ask.skills or skills_of(ask), telling.rightly.get(ask.key, 0)
    if is_value and times >= (1 if telling.manner.mastered.issuperset(skills) else STEADY):
        return False
    return pace == "what is open" or is_value


def _is_plain_from_values(telling: Telling, at: int) -> bool:
    """Whether a question which way something goes follows one, and comes before another, whose
    values have both been found.
    """
    asks = telling.story.asks
    if not asks_which_way(asks[at]) or at + 1 not in telling.found:
        return False
    return value_before(telling._replace(at=at), asks[at + 1]) is not None


def _reached_from(telling: Telling, at: int) -> tuple[int, ...]:
    """The places of the values that were answered ahead, where the way there leads by a place; all
    leads to the end but others of its kind: each side of a triangle is found by itself.
    """
    asks, end = telling.story.asks, last_value(telling.story.asks)
    ahead = sorted(each for each in telling.found if each > at and asks[each].right is not None)
    return tuple(
        each for each in ahead
        if asks[at].options or at in _way_to(asks, each)
        or (each == end and asks[at].key != asks[end].key)
    )


def _way_to(asks: tuple[Ask, ...], at: int) -> frozenset[int]:
    """The places of the values that a value follows from, by the way of its reveal."""
    used = asks[at].ways[0].uses if asks[at].ways else ()
    before = {n for n in range(at) if asks[n].name and asks[n].name in used}
    return frozenset(before).union(*(_way_to(asks, each) for each in before))


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
