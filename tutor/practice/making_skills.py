"""What a text asks for, question by question: its skills, and what an answer tells apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from grammar.records import Description
from tutor.circuit.network import build
from tutor.teaching.evidence import skills_of
from tutor.teaching.problem_questions import each_of, to_the_end
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.separation import Separation, separation_of_ask
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import SKILLS
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Story
from tutor.teaching.staged.story_skills import skills_of as skills_of_ask
from tutor.teaching.walk import Question, Walk, check_of, question_about, targets


class AskedValue(NamedTuple):
    """One question for a value: how it is named, the skills it needs, what it tells apart."""

    name: str
    skills: tuple[str, ...]
    separation: Separation


class SeenTask(NamedTuple):
    """A text looked at as the chat will take it: a story, or a walk to its end and the stories
    told where series and parallel stick.
    """

    story: Story | None
    walk: Walk | None
    stories: tuple[Story, ...] = ()


def look_at(description: Description) -> SeenTask:
    """Errors: ``Refusal`` for data that cannot be."""
    story = story_of(description, DEFAULTS)
    if story is not None:
        return SeenTask(story, None)
    return SeenTask(None, *to_the_end(build(description)))


def asked_in(seen: SeenTask) -> Iterator[AskedValue]:
    """Every question for a value, in order; one at a time, since most candidates fall early."""
    if seen.story is not None:
        for ask in seen.story.asks:
            if ask.right is not None:
                found = separation_of_ask(ask, seen.story.powers)
                yield AskedValue(ask.name or ask.key, ask.skills or skills_of_ask(ask), found)
        return
    assert seen.walk is not None
    for quantity, found in each_of(seen.walk, seen.stories):
        yield AskedValue(quantity.name, _skills_of(seen.walk, quantity, seen), found)


def _skills_of(walk: Walk, quantity: Quantity, seen: SeenTask) -> tuple[str, ...]:
    for ask in (ask for story in seen.stories for ask in story.asks):
        if ask.name == quantity.name:
            return ask.skills or skills_of_ask(ask)
    return skills_of(_at_end(walk), question_about(walk, quantity), None)


def _at_end(walk: Walk) -> Walk:
    return walk._replace(steps=walk.plan)


def skills_in(seen: SeenTask, asked: Iterable[AskedValue]) -> tuple[str, ...]:
    """Codes of all skills that the whole problem practises, in teaching order; ``asked`` are its
    questions for values.
    """
    found = {skill for each in asked for skill in each.skills}
    stories = (seen.story,) if seen.story is not None else seen.stories
    for ask in (ask for story in stories if story is not None for ask in story.asks):
        found.update(ask.skills or skills_of_ask(ask))
    if seen.walk is not None:
        found.update(_of_steps(seen.walk))
        if seen.stories:
            found.add("S35")
    return tuple(skill.code for skill in SKILLS if skill.code in found)


def _of_steps(walk: Walk) -> Iterator[str]:
    """What choosing and undoing the steps needs, and the check at the end."""
    done = _at_end(walk)
    back = walk.problem.supply is not None and any(q.of for q in targets(walk))
    for step in walk.plan:
        if step.kind in ("series", "parallel", "removal"):
            yield from skills_of(done, Question("choice"), step)
        if step.kind in ("series", "parallel"):
            yield from skills_of(done, Question("shares", step), step)
            if back:
                yield from skills_of(done, Question("shares", step, going_back=True), step)
    if sum(step.makes is not None for step in walk.plan) > 1:
        yield "S15"
    if walk.problem.drawn is not None and walk.problem.wires:
        yield "S05"
    if not walk.problem.asked and check_of(done):
        yield "S26"
