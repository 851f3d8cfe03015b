"""Right working for the question of a paper, written from the program's own reveals."""

from __future__ import annotations

from collections.abc import Iterator

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.practice.papers_drawn import PaperQuestion
from tutor.practice.questions.kinds import story_of_question
from tutor.teaching.marking.faircopy import fair_copy
from tutor.teaching.marking.routes import past_levels, without_idle
from tutor.teaching.marking.scheme import scheme_lines
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.speech import Speech
from tutor.teaching.staged.bridged import bridge_story
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Ask, Story
from tutor.teaching.walk import Walk, begin_walk


def right_script(question: PaperQuestion) -> list[str]:
    """The lines of a script that is right from its first line to its last."""
    if question.question is not None:
        return [line for ask in story_of_question(question.question).asks for line in _asked(ask)]
    description = read_network(question.text)
    story = story_of(description, DEFAULTS)
    if story is not None:
        return _of_story(story)
    walk = past_levels(without_idle(begin_walk(build(description), DEFAULTS)))
    if walk.whole is None:
        return _of_story(bridge_story(walk.problem, DEFAULTS))
    return _of_walk(walk)


def _of_story(story: Story) -> list[str]:
    return [line for ask in story.asks for line in _asked(ask)]


def _asked(ask: Ask) -> list[str]:
    if ask.options:
        return [next(option for option in ask.options if option.is_right).words[0]]
    lines = ask.reveal.split("\n")
    if ask.pure and ask.name:
        return [*lines[:-1], f"{ask.name} = {float(ask.right or 0):.6g}"]
    if "the sum of" in ask.reveal:
        return [f"{ask.name} = {lines[-1].split(' = ')[-1].split('≈ ')[-1]}"]
    return [line.split(" gives ")[-1] for line in lines]


def _of_walk(walk: Walk) -> list[str]:
    """A fair copy of all that has marks and of what leads there, without what is given."""
    known = {q: walk.truth[q] for q in (*walk.known, *_in_order(walk)) if q in walk.truth}
    at_end = walk._replace(steps=walk.plan, known=known)
    lines = fair_copy(at_end, Speech(walk.problem.powers, DEFAULTS)).split("\n")
    return [line for line in lines if not line.startswith(("Network:", "Given:"))]


def _in_order(walk: Walk) -> Iterator[Quantity]:
    """Each value after those that it is worked out from."""
    steps = [step for step in walk.plan if step.makes]
    yield from (Quantity("C", step.makes.name) for step in steps if step.makes)
    yield from (Quantity("C"), Quantity("Q"), Quantity("V"))
    for step in reversed(steps):
        shared: tuple[Symbol, Symbol] = ("Q", "V") if step.kind == "series" else ("V", "Q")
        for symbol in shared:
            yield from (Quantity(symbol, part.name) for part in step.parts)
    yield from (line.quantity for line in scheme_lines(walk))
