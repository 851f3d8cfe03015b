"""Every lesson of the program: no fault, every task solved twice over, every skill practised."""

from __future__ import annotations

import re

import pytest

from grammar.reading import read_network
from tests.practice.lesson_opinions import agrees_on_a_story, agrees_on_a_walk
from tests.teaching.test_wording import NAMES, NEVER
from tutor.circuit.network import build
from tutor.practice.lesson_checks import Report, check_lesson
from tutor.practice.lesson_trials import Trial, tried
from tutor.practice.lessons import Exercise, Prose
from tutor.practice.library import own_files
from tutor.practice.own_choices import story_of_choice
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import BY_CODE, UNITS
from tutor.teaching.staged.makers import story_of

FILES = {file.name: file for file in own_files()}
TASKS = {
    f"{file.name}:{exercise.place.line}": exercise
    for file in FILES.values() if file.lesson is not None
    for exercise in file.lesson.exercises
}
CHOICES = [name for name, exercise in TASKS.items() if exercise.kind == "text"]
NETWORKS = [name for name, exercise in TASKS.items() if exercise.kind in ("network", "order")]


def checked(name: str) -> Report:
    file = FILES[name]
    assert file.lesson is not None
    return check_lesson(file.lesson, file.text)


def texts_of(exercise: Exercise) -> list[str]:
    """What a task says in words of its author's own."""
    if exercise.kind not in ("say", "text"):
        return []
    choice = exercise.choice
    if choice is None:
        return [exercise.text]
    replies = [text for wrong in choice.wrong for text in wrong]
    return [exercise.text, choice.right, choice.because, choice.hint, *replies]


@pytest.mark.parametrize("name", FILES)
def test_own_lesson_has_no_fault(name: str) -> None:
    assert FILES[name].faults == ()
    assert checked(name).faults == ()


@pytest.mark.parametrize("name", FILES)
def test_own_lesson_practises_what_it_names_and_has_all_its_parts(name: str) -> None:
    serious = ("No task practises", "belongs to unit", "looking back", "what it is for", "worked.")
    warnings = [str(warning) for warning in checked(name).warnings]
    assert not [each for each in warnings if any(words in each for words in serious)]


@pytest.mark.parametrize("name", FILES)
def test_own_lesson_is_in_good_words(name: str) -> None:
    lesson = FILES[name].lesson
    assert lesson is not None
    texts = [line for part in lesson.parts if isinstance(part, Prose) for line in part.lines]
    texts += [text for exercise in lesson.exercises for text in texts_of(exercise)]
    for text in (lesson.title, *texts):
        plain = re.sub(r"^ +", "", text)
        assert not NEVER.search(plain), text
        assert not NAMES.search(plain), text


@pytest.mark.parametrize("name", NETWORKS)
def test_network_of_a_task_agrees_with_the_second_opinion(name: str) -> None:
    trial = tried(TASKS[name])
    description = read_network(trial.network)
    story = story_of(description, DEFAULTS)
    if story is None:
        assert agrees_on_a_walk(build(description))
    else:
        assert agrees_on_a_story(description, story)


@pytest.mark.parametrize("name", [n for n in TASKS if TASKS[n].kind == "question"])
def test_network_of_a_question_agrees_with_the_second_opinion(name: str) -> None:
    trial: Trial = tried(TASKS[name])
    assert trial.skills
    if trial.network:
        assert agrees_on_a_walk(build(read_network(trial.network)))


@pytest.mark.parametrize("name", CHOICES)
def test_own_choices_are_judged_as_their_author_means(name: str) -> None:
    exercise = TASKS[name]
    choice = exercise.choice
    assert choice is not None
    story = story_of_choice(exercise, DEFAULTS)
    (ask,) = story.asks
    letters = {option.words[1]: option.words[0] for option in ask.options}
    for text, reply in [(choice.right, None), *choice.wrong]:
        turn = hear(begin_story(story, DEFAULTS).talk, letters[text])
        verdict = next(message for message in turn.messages if message.verdict is not None)
        assert verdict.verdict == ("right" if reply is None else "wrong")
        assert reply is None or reply in verdict.text


def test_every_skill_is_practised_by_some_lesson_and_named_by_one() -> None:
    practised = {code for name in FILES for code in checked(name).practised}
    named = {code for file in FILES.values() if file.lesson for code in file.lesson.skills}
    assert [BY_CODE[code].name for code in BY_CODE if code not in practised] == []
    assert [BY_CODE[code].name for code in BY_CODE if code not in named] == []


def test_own_lessons_are_numbered_from_one_through_all_units_in_order() -> None:
    lessons = [file.lesson for file in FILES.values() if file.lesson is not None]
    assert [lesson.number for lesson in lessons] == list(range(1, len(lessons) + 1))
    units = [lesson.unit for lesson in lessons]
    assert units == sorted(units)
    assert set(units) == set(UNITS)
