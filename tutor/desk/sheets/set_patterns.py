"""What a sheet may ask: patterns that make a problem from a seed, and where they come from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from random import Random
from typing import Final, NamedTuple, Protocol

from grammar.any_text import sure_reading
from grammar.reading import read_network
from grammar.records import Place, Refusal
from grammar.wishing import read_wish
from tutor.circuit.arranging import arrange
from tutor.circuit.ordering import order_of, stock_of
from tutor.desk.other_values import with_other_values
from tutor.desk.sheets.keyed import (
    Keyed,
    KeyLine,
    SubQuestion,
    keyed_description,
    keyed_story,
    keyed_text,
)
from tutor.practice.lessons import Exercise, Lesson
from tutor.practice.making_needs import TaskOrder
from tutor.practice.orders import order_in
from tutor.practice.own_choices import story_of_choice
from tutor.practice.papers_drawn import PaperQuestion, without_values
from tutor.practice.questions.kinds import kind_called, make_question, story_of_question
from tutor.practice.tasks import Task, make
from tutor.teaching.settings import Settings
from tutor.teaching.speech import sentence
from tutor.teaching.staged.story import Story
from tutor.teaching.staged.story_skills import key_of
from tutor.teaching.stock_words import arrangement_text, speech_for, stock_text

MOST_SEED: Final = 10**6
MOST_TEXTS: Final = 60
MOST_TRIED: Final = 60  # draws, until one has the form of its place


class Pattern(NamedTuple):
    """One place of a sheet: ``make`` gives its problem; None for the seed is 'as it was given'."""

    said: str
    make: ProblemMaker


class ProblemMaker(Protocol):
    """Makes one problem with its key."""

    def __call__(self, seed: int | None, terms: Settings) -> Keyed:
        """Errors: ``Refusal`` for data that cannot be."""
        ...


# Made to order


def of_skills(words: Sequence[str], places: int) -> tuple[Pattern, ...]:
    """A pattern for each of so many places, of the orders in words in turn, such as 'two in series,
    whole numbers'; the name of a kind of question without sums will do as well. Errors: ``Refusal``
    for words not known.
    """
    return tuple(_ordered(words[place % len(words)], place) for place in range(places))


def _ordered(words: str, place: int) -> Pattern:
    kind = kind_called(words)
    if kind is not None:
        return Pattern(words, _question_maker(kind))
    order = order_in(words)
    return Pattern(words, _order_maker(order, place))


def _order_maker(order: TaskOrder, place: int = 0) -> ProblemMaker:
    """Problems of one form, that of their place on a sheet, whatever the seed: nobody's takes more
    steps than that of who sits beside.
    """
    own = Random(f"form {place}").randrange(MOST_SEED)

    @cache  # one for all variants
    def first() -> Task:
        return make(order._replace(seed=own))

    def made(seed: int | None, terms: Settings) -> Keyed:
        if seed is None:
            return keyed_description(make(order).description, terms)
        form = without_values(first().text)
        chance = Random(f"values {seed}")
        tries = [seed, *(chance.randrange(MOST_SEED) for _ in range(MOST_TRIED))]
        tasks = (make(first().order._replace(seed=each)) for each in tries)
        like = next((task for task in tasks if without_values(task.text) == form), None)
        return keyed_description((like or first()).description, terms)

    return made


def _question_maker(kind: str, own_seed: int = 1) -> ProblemMaker:
    def made(seed: int | None, terms: Settings) -> Keyed:
        question = make_question(kind, own_seed if seed is None else seed)
        return keyed_choice(story_of_question(question, terms), terms, question.network)

    return made


def keyed_choice(story: Story, terms: Settings, network: str = "") -> Keyed:
    """A question answered by a letter or by a value, a mark for each."""
    marks = {key_of(at, ask): 1 for at, ask in enumerate(story.asks)}
    description = read_network(network) if network else None
    return keyed_story(story, terms, marks, description)


# A teacher's own networks


def of_texts(texts: Sequence[tuple[int, str]]) -> tuple[Pattern, ...]:
    """A pattern for each network, given with the number of its line.

    Errors: ``Refusal`` with the place in the whole file, or for too many.
    """
    if not texts:
        raise Refusal("There is no network in the file.", "Write one, such as: 4 uF -- 2 uF")
    if len(texts) > MOST_TEXTS:
        raise Refusal(f"There are {len(texts)} networks.", f"A sheet has up to {MOST_TEXTS}.")
    return tuple(_own(line, text) for line, text in texts)


def _own(line: int, text: str) -> Pattern:
    try:
        read = sure_reading(text)
        keyed_text(read.text, Settings())
    except Refusal as refusal:
        place = refusal.place or Place(1, 1, text.partition("\n")[0])
        there = place._replace(line=place.line + line - 1)
        raise Refusal(refusal.found, refusal.cure, there) from None
    return Pattern(" ".join(text.split()), _text_maker(read.text))


def _text_maker(text: str) -> ProblemMaker:
    def made(seed: int | None, terms: Settings) -> Keyed:
        if seed is None:
            return keyed_text(text, terms)
        return keyed_text(with_other_values(text, Random(f"values {seed}")), terms)

    return made


# A lesson


def of_lesson(lesson: Lesson) -> tuple[Pattern, ...]:
    """The tasks of a lesson. Errors: ``Refusal`` for one without any."""
    found = tuple(_of_exercise(exercise) for exercise in lesson.exercises)
    if not found:
        raise Refusal(f'The lesson "{lesson.title}" has no task.', "Name another lesson.")
    return found


def _of_exercise(exercise: Exercise) -> Pattern:
    if exercise.kind == "network":
        return Pattern(exercise.text, _text_maker(exercise.text))
    if exercise.kind == "order":
        return Pattern(exercise.text, _order_maker(order_in(exercise.text)))
    if exercise.kind == "question":
        return Pattern(exercise.text, _question_maker(exercise.text, exercise.seed))
    return Pattern(exercise.text, _fixed_maker(exercise))


def _fixed_maker(exercise: Exercise) -> ProblemMaker:
    """What is asked in an author's own words, whatever the seed."""

    def made(seed: int | None, terms: Settings) -> Keyed:
        del seed
        if exercise.choice is not None:
            return keyed_choice(story_of_choice(exercise, terms), terms)
        if exercise.kind == "puzzle":
            return keyed_wish(exercise.text, terms)
        line = KeyLine("Any answer in the learner's own words; talk it over.", question=1)
        return Keyed((), (SubQuestion(exercise.text, (), 0),), (line,), (line.text,), 0, ())

    return made


def keyed_wish(text: str, terms: Settings) -> Keyed:
    """An arrangement to be found, with the one of the fewest parts as the key."""
    wish = read_wish(text)
    stock = stock_of(wish)
    speech = speech_for(wish, terms)
    asked = sentence(f"stock: {stock_text(wish)}")
    if wish.target is None:
        line = KeyLine("'platewalk arrange' lists them.", question=1)
        part = SubQuestion("Which capacitances can be made?", (), 0)
        return Keyed((f"{asked}.",), (part,), (line,), (line.text,), 0, ())
    order = order_of(wish, stock)
    lines = []
    for each in arrange(order, 1).arrangements:
        network, told = arrangement_text(each, order, speech, False)
        lines.append(KeyLine(f"{network}: {told}", "B1", question=1))
    wanted = speech.amount(order.target, "capacitance")
    part = SubQuestion(f"Make {wanted} of the stock. How are they joined?", (), len(lines))
    return Keyed(
        (f"{asked}.",), (part,), tuple(lines), tuple(line.text for line in lines), len(lines), ()
    )


# A paper


def of_paper(questions: Iterable[PaperQuestion]) -> Iterator[Pattern]:
    """The questions of a paper as they stand, whatever the seed."""
    for question in questions:
        yield Pattern(question.text or question.shape, _paper_maker(question))


def _paper_maker(question: PaperQuestion) -> ProblemMaker:
    def made(seed: int | None, terms: Settings) -> Keyed:
        del seed
        if question.question is not None:
            story = story_of_question(question.question, terms)
            return keyed_choice(story, terms, question.question.network)
        return keyed_text(question.text, terms)

    return made
