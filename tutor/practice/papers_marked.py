"""A paper marked: the marks of each question, what they show, and what is to be gone over."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.practice.next_task import NextTask
from tutor.practice.papers_drawn import PaperQuestion
from tutor.practice.questions.kinds import story_of_question
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.choices import mark_choice
from tutor.teaching.marking.examining import GENERAL_PRACTICE, Scheme
from tutor.teaching.marking.marked import Marked
from tutor.teaching.observation import Observation
from tutor.teaching.papered import (
    MarkedProblem,
    keys_lost,
    not_set_out,
    seen_in,
    seen_set_out,
    source_of,
    source_of_story,
)
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.makers import story_of
from tutor.teaching.walk import begin_walk


class MarkedQuestion(NamedTuple):
    """One question marked. ``seen`` are what its lines show, by their numbers; ``bare`` the lines
    that are not set out in full, None where that cannot be told; ``set_out`` is what that shows.
    """

    question: PaperQuestion
    marked: Marked
    seen: Mapping[int, tuple[Observation, ...]]
    bare: tuple[int, ...] | None
    set_out: Observation | None


def mark_question(
    question: PaperQuestion, script: tuple[str, ...], number: int, settings: Settings = DEFAULTS
) -> MarkedQuestion:
    """Mark what is written for a question; ``number`` is its place from 1.

    Errors: ``Refusal`` for a script of too many lines.
    """
    marked = marks_of(question, "\n".join(script), GENERAL_PRACTICE, settings)
    return with_showing(question, marked, source_for(question, settings), number)


def marks_of(question: PaperQuestion, text: str, scheme: Scheme, settings: Settings) -> Marked:
    """The marks of what is written for a question. Errors: as above."""
    if question.question is not None:
        return mark_choice(story_of_question(question.question, settings), text)
    return mark_working(read_network(question.text), text, scheme, settings)


def source_for(question: PaperQuestion, settings: Settings = DEFAULTS) -> MarkedProblem:
    """What the values of a question tell, whoever answers it."""
    if question.question is not None:
        return source_of_story(story_of_question(question.question, settings))
    return source_of(read_network(question.text))


def with_showing(
    question: PaperQuestion, marked: Marked, source: MarkedProblem, number: int
) -> MarkedQuestion:
    """A marked question with what its lines and the way they are set out show; the working of
    another problem shows nothing of this one.
    """
    if marked.note:
        return MarkedQuestion(question, marked, {}, None, None)
    at = f"paper {number}"
    seen = seen_in(source, marked, at)
    bare = None if question.question is not None else not_set_out(source, marked)
    set_out = None if bare is None else seen_set_out(source, bare, at)
    return MarkedQuestion(question, marked, seen, bare, set_out)


def to_go_over(found: MarkedQuestion) -> NextTask | None:
    """The steps that lost marks; all of a question for which nothing was written, and None where
    nothing was lost.
    """
    marked, question = found.marked, found.question
    if marked.total >= marked.of:
        return None
    if question.question is not None:
        return NextTask("question", question=question.question)
    is_empty = all(credit.verdict is None for credit in marked.credits)
    only = None if is_empty else keys_lost(marked)
    return NextTask("balances" if _sticks(question.text) else "network", question.text, only=only)


def _sticks(text: str) -> bool:
    """Whether series and parallel stick, so that marks are by the balances."""
    description = read_network(text)
    if story_of(description, DEFAULTS) is not None:
        return False
    from tutor.teaching.marking.routes import past_levels, without_idle

    return past_levels(without_idle(begin_walk(build(description), DEFAULTS))).whole is None
