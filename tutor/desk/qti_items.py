"""Tasks as items that other programs can ask: each one question, its right answer, and what is said
to each wrong answer that can be foreseen.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Final, NamedTuple, TypeAlias

from grammar.reading import read_network
from tutor.desk.value_questions import Foreseen, ValueQuestion, value_questions
from tutor.practice.lessons import Exercise, Lesson
from tutor.practice.orders import order_in
from tutor.practice.own_choices import story_of_choice
from tutor.practice.papers_drawn import PaperQuestion
from tutor.practice.questions.kinds import kind_in, make_question, story_of_question
from tutor.practice.questions.question import QuestionTask
from tutor.practice.tasks import make
from tutor.teaching.rules.malrule import ACCEPTED
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.speech import Speech, listed, sentence
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Ask, Option, Story

OTHERWISE: Final = "That does not fit. Look at each step again: what is shared, and between what?"
_ENTRY: Final = re.compile(r"(?m)^([a-h])\) (.*)$")


class Reaction(NamedTuple):
    """What is said to one answer: a wrong ``number``, or a wrong choice by its place. ``ideas`` are
    the wrong ideas behind it, by their names in the record.
    """

    at: Fraction | int
    said: str
    ideas: tuple[str, ...] = ()


class NumericItem(NamedTuple):
    """A question answered by a number in ``unit``, right within ``tolerance`` either way."""

    title: str
    given: tuple[str, ...]
    asks: str
    right: Fraction
    unit: str
    tolerance: Fraction
    praise: str
    reactions: tuple[Reaction, ...]


class ChoiceItem(NamedTuple):
    """A question answered by one of some ``choices``, of which that at ``right`` is right."""

    title: str
    given: tuple[str, ...]
    asks: str
    choices: tuple[str, ...]
    right: int
    praise: str
    reactions: tuple[Reaction, ...]


QtiItem: TypeAlias = NumericItem | ChoiceItem


def items_of_network(text: str, title: str) -> Iterator[QtiItem]:
    """An item for each value of a problem in the notation, in the order of working, and one for
    each choice of a problem in stages. Errors: ``Refusal`` for a text or data that cannot be used.
    """
    story = story_of(read_network(text), DEFAULTS)
    if story is not None:
        yield from (_choice(ask, story, title) for ask in story.asks if ask.options)
    for question in value_questions(text):
        yield _numeric(question, title)


def items_of_question(question: QuestionTask, title: str) -> Iterator[QtiItem]:
    """The items of a question without sums."""
    yield from _items_of_story(story_of_question(question, DEFAULTS), title)


def items_of_order(words: str, seed: int, number: int) -> Iterator[QtiItem]:
    """So many tasks in words, each with another seed: a skill, a shape, a kind of question.

    Errors: ``Refusal`` for words that order nothing.
    """
    for at in range(number):
        title = f"{sentence(words)}, seed {seed + at}"
        kind = kind_in(words)
        if kind is not None:
            yield from items_of_question(make_question(kind, seed + at), title)
        else:
            yield from items_of_network(make(order_in(words)._replace(seed=seed + at)).text, title)


def items_of_paper(questions: Iterable[PaperQuestion]) -> Iterator[QtiItem]:
    """The items of a paper, question by question."""
    for number, each in enumerate(questions, start=1):
        title = f"Question {number}"
        if each.question is not None:
            yield from items_of_question(each.question, title)
        else:
            yield from items_of_network(each.text, title)


def items_of_lesson(lesson: Lesson) -> Iterator[QtiItem]:
    """The items of a lesson's tasks; what is to be said freely and puzzles are left out."""
    for number, exercise in enumerate(lesson.exercises, start=1):
        yield from _of_exercise(exercise, f"{lesson.title}, task {number}")


def _of_exercise(exercise: Exercise, title: str) -> Iterator[QtiItem]:
    if exercise.kind == "network":
        yield from items_of_network(exercise.text, title)
    elif exercise.kind == "order":
        yield from items_of_network(make(order_in(exercise.text)).text, title)
    elif exercise.kind == "question" and (kind := kind_in(exercise.text)) is not None:
        yield from items_of_question(make_question(kind, exercise.seed), title)
    elif exercise.kind == "text":
        yield from _items_of_story(story_of_choice(exercise, DEFAULTS), title)


# Values


def _numeric(question: ValueQuestion, title: str) -> NumericItem:
    reactions = tuple(
        Reaction(number, _said(found), tuple(dict.fromkeys(each.idea for each in found)))
        for number, found in _by_number(question).items()
    )
    name = f"{title}: {question.name}"
    return NumericItem(
        name, question.given, question.asks, question.right, question.unit,
        abs(question.right) * ACCEPTED, f"{question.name} = {question.shown}: right.", reactions,
    )


def _by_number(question: ValueQuestion) -> Mapping[Fraction, list[Foreseen]]:
    """The foreseen answers by their numbers, those too near to what is right left out."""
    found: dict[Fraction, list[Foreseen]] = {}
    for each in question.foreseen:
        if abs(each.number - question.right) > 2 * ACCEPTED * abs(question.right):
            found.setdefault(each.number, []).append(each)
    return found


def _said(found: Sequence[Foreseen]) -> str:
    """What a number shows: one way and its question, or the ways between which to think."""
    ways = list(dict.fromkeys(each.way for each in found))
    if len(ways) == 1:
        first = found[0]
        way = f"{first.shown} is what you get by {first.way}, if that is what you did."
        return f"{way} {first.cannot} {first.ask}"
    return f"{found[0].shown} is what you get by {listed(ways, 'or by')}. {found[0].ask}"


# Choices


def _items_of_story(story: Story, title: str) -> Iterator[QtiItem]:
    for ask in story.asks:
        if ask.options:
            yield _choice(ask, story, title)
        elif ask.right is not None and isinstance(ask.right, Fraction):
            yield _plain_value(ask, story, title)


def _choice(ask: Ask, story: Story, title: str) -> ChoiceItem:
    """A choice; where the question lists its entries by letter, they are its choices."""
    entries = {found[1]: found[2] for found in _ENTRY.finditer(ask.text)}
    prompt = _ENTRY.split(ask.text)[0].strip() if entries else ask.text
    choices = tuple(_words(option, entries) for option in ask.options)
    right = next(at for at, option in enumerate(ask.options) if option.is_right)
    reactions = tuple(
        Reaction(at, option.reply or OTHERWISE, option.malrules)
        for at, option in enumerate(ask.options) if not option.is_right
    )
    praise = f"Right. {ask.because}".strip()
    return ChoiceItem(title, story.opening, prompt, choices, right, praise, reactions)


def _words(option: Option, entries: Mapping[str, str]) -> str:
    """The entry that it stands for, or the fullest of what may be typed for it."""
    listed_as = next((entries[word] for word in option.words if word in entries), None)
    return listed_as or max(option.words, key=len)


def _plain_value(ask: Ask, story: Story, title: str) -> NumericItem:
    """A value of an author's own question, to which no wrong answer is foreseen."""
    assert isinstance(ask.right, Fraction)
    speech = Speech(story.powers, DEFAULTS)
    is_pure = ask.pure or ask.dimension is None
    power = 0 if is_pure or ask.dimension is None else story.powers[ask.dimension]
    unit = "" if is_pure or ask.dimension is None else speech.unit(ask.dimension)
    right = ask.right / Fraction(10) ** power
    return NumericItem(
        title, story.opening, ask.text, right, unit, abs(right) * ACCEPTED,
        f"Right. {ask.because}".strip(), (),
    )
