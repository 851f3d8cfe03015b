"""What is said of a lesson that can be read: tasks that cannot be solved, and what serves badly."""

from __future__ import annotations

from pathlib import Path

import pytest

from tutor.practice.lesson_checks import Report, check_lesson, faults_beside
from tutor.practice.lesson_reading import read_lesson
from tutor.practice.lesson_trials import Trial
from tutor.practice.lessons import Faults
from tutor.teaching.skills import BY_CODE

CASES = Path(__file__).parents[1] / "cases" / "lessons"
HEADING = '```lesson\ntitle = "T"\nunit = 3\nskills = ["two in series"]\n```\n\nWhat it is for.\n\n'


def report_of(path: Path) -> Report:
    text = path.read_text("utf-8")
    return check_lesson(read_lesson(path.name, text), text)


def report(*tasks: str, prose: str = "") -> Report:
    """Of a lesson with these tasks after the prose; a task is what stands in its block."""
    blocks = "\n\n".join(f"```task\n{task}\n```" for task in tasks)
    text = f"{HEADING}{prose}\n\n{blocks}\n"
    return check_lesson(read_lesson("07-x.md", text), text)


def warned(found: Report, words: str) -> list[tuple[int, str]]:
    """The lines and texts of the warnings with these words."""
    return [
        (warning.place.line, str(warning)) for warning in found.warnings
        if warning.place is not None and words in str(warning)
    ]


def names(codes: tuple[str, ...]) -> list[str]:
    return [BY_CODE[code].name for code in codes]


def one(task: str) -> Trial:
    """The only task of a lesson, tried."""
    found = report(task)
    assert not found.faults, found.faults
    (trial,) = found.trials
    return trial


# A good lesson


def test_good_lesson_has_nothing_against_it() -> None:
    found = report_of(CASES / "good" / "07-turning-the-crank.md")
    assert (found.faults, found.warnings) == ((), ())
    worked, whole, choice, puzzle, say = found.trials
    assert (worked.questions, names(worked.skills)) == (2, ["dividing a p.d."])
    assert "splits-the-pd-equally" in worked.tells
    assert whole.questions > worked.questions
    assert {"two in series", "closing checks", "dividing a p.d."} <= set(names(whole.skills))
    assert names(choice.skills) == ["dividing a p.d.", "bounds"]
    assert names(puzzle.skills) == ["adding in parallel", "two in series"]
    assert say.skills == ()
    assert "S13" in found.practised


# What a task practises


@pytest.mark.parametrize(
    ("task", "skills"),
    [
        ('network = "8 uF, across 15 V"', ["Q = C V"]),
        (
            'network = "3 uF -- 7 uF"\nask = ["why a chain shares the charge", "bounds"]',
            ["why a chain shares the charge"],
        ),
        (
            'network = "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2 crossed"',
            ["Q = C V", "energy of one capacitor", "what is held fixed"],
        ),
        ('network = "C1 = 3 uF rated 100 V -- C2 = 7 uF rated 63 V"', ["the greatest safe supply"]),
        ('network = "C1 = 3 uF -- C2 = ?; C = 2.1 uF"', ["a missing capacitor"]),
        (
            'network = "C1 = 4 uF from A to P; C2 = 2 uF from A to R; C3 = 2 uF from P to B; '
            'C4 = 6 uF from R to B; C5 = 3 uF from P to R; ends A and B; across 12 V"',
            ["when nothing can be combined", "charge balance at one point"],
        ),
    ],
)
def test_skills_are_those_of_the_questions_that_are_asked(task: str, skills: list[str]) -> None:
    found = names(one(task).skills)
    assert [name for name in found if name in skills] == skills
    if "ask" in task:
        assert found == skills


def test_order_and_question_are_made_and_tried() -> None:
    made = one('order = "two in series, whole numbers, seed 3"')
    assert "two in series" in names(made.skills)
    assert "--" in made.network
    posed = one('question = "rank the charges"\nseed = 4')
    assert posed.skills
    assert posed.questions == 1


# What cannot be solved


def test_what_cannot_be_solved_is_told_at_its_place() -> None:
    found = report_of(CASES / "unsolved" / "09-networks.md")
    told = [
        (fault.place.line, fault.place.column, str(fault)) for fault in found.faults if fault.place
    ]
    assert [each[:2] for each in told] == [
        (8, 20), (14, 18), (19, 35), (24, 12), (28, 10), (32, 18), (36, 25), (40, 12)
    ]
    words = (
        "ohm is a unit of resistance", '"too" is not known', "name C1 is given twice",
        "prefix with no unit", "cannot be made of this stock", '"out" does not fit', "seventeen",
        "no kind of question called 'guess the charges'",
    )
    for (_, _, text), expected in zip(told, words, strict=True):
        assert expected in text
    assert found.trials == ()


def test_one_look_finds_the_faults_of_every_kind() -> None:
    blocks = (
        'network = "3 uF || 7 uF, accross 12 V"\nask = "C"',
        'text = "Which is shared?"\nright = "the p.d."\nwrong = ["the charge"]\nbecause = "So."',
        'puzzle = "50 uF from 2 uF, 3 uF"\ncolour = "red"',
        'order = ""',
        'order = "two in paralel"',
        'question = "bounds"',
    )
    text = HEADING + "".join(f"```task\n{each}\n```\n\n" for each in blocks)
    with pytest.raises(Faults) as caught:
        read_lesson("07-x.md", text)
    assert caught.value.lesson is not None
    faults = faults_beside(caught.value.lesson, text, caught.value.faults)
    told = [(each.place.line, each.found) for each in faults if each.place is not None]
    assert told == [
        (10, '"accross" is not known here.'),
        (11, "ask is to be a list of names of skills."),
        (14, "skills is missing."),
        (17, "wrong is to be a list of wrong choices."),
        (22, "50 µF cannot be made of this stock."),
        (23, "colour is no part of a task that has puzzle."),
        (27, "order is empty."),
        (31, '"paralel" is not known in an order.'),
    ]


# Values


@pytest.mark.parametrize(
    ("task", "words"),
    [
        ('network = "6 uF -- 6 uF"', "C1 and C2 are both 6 µF."),
        ('network = "1 uF -- 3 uF"', "C1 is 1 µF"),
        ('network = "2 nF -- 2.5 nF -- 10 nF"', "C123 is 1 nF"),
        ('network = "3 uF -- 7 uF, across 1 V"', "The supply gives 1 V."),
        (
            'network = "3 uF -- 200 uF"',
            "takes the smallest of a chain for the whole of it gets 3, within 5 % of 2.956",
        ),
        ('network = "4 uF -- 12 uF"', "different help give nearly one number: one who"),
        ('network = "8 uF, across 15 V"\nask = ["bounds"]', "so nothing is asked"),
        (
            'text = "What do they come to?"\nvalue = "10"\nbecause = "So."\n'
            'skills = ["adding in parallel"]',
            "The value 10 has no unit.",
        ),
        (
            'text = "Which is it?"\nright = "4 uF"\nbecause = "So."\nskills = ["two in series"]\n'
            'wrong = [{ say = "9 uF", reply = "No." }, { say = "4000 nF", reply = "No." }]',
            "The choices '4 uF' and '4000 nF' are one value.",
        ),
    ],
)
def test_values_that_hide_something_are_warned_of(task: str, words: str) -> None:
    assert [line for line, _ in warned(report(task), words)] == [11]


@pytest.mark.parametrize("task", ['network = "3 uF -- 7 uF, across 20 V"', 'network = "8 uF"'])
def test_values_that_serve_well_are_not(task: str) -> None:
    assert not [w for w in report(task).warnings if w.place and w.place.line == 11]


def test_values_of_steps_that_are_shown_are_left_alone() -> None:
    task = 'network = "3 uF -- 200 uF"\nask = ["why a chain shares the charge"]'
    assert not warned(report(task), "within 5 %")


# Prose


def test_long_parts_and_long_sentences_are_warned_of() -> None:
    long = "Charge " + "and charge " * 16 + "stays.\nThen it ends."
    found = report(prose=f"Short. {long}\n\n{long}\n\n{long}\n\n{long}")
    assert [line for line, _ in warned(found, "words before the next task")] == [7]
    sentences = warned(found, "The sentence has 34 words.")
    assert [line for line, _ in sentences] == [9, 12, 15, 18]
    at = [w.place.column for w in found.warnings if w.place and "sentence" in w.found]
    assert at == [8, 1, 1, 1]


def test_thirty_words_and_two_short_sentences_are_not() -> None:
    thirty = "Word " + "word " * 28 + "word."
    assert not warned(report(prose=f"{thirty} One p.d. more, and 12 V. {thirty}"), "The sentence")


# The lesson as a whole


def test_what_a_lesson_lacks() -> None:
    found = report('network = "3 uF -- 7 uF"')
    said = [str(warning) for warning in found.warnings]
    assert any("No network is shown worked." in each for each in said)
    assert any("does not end with looking back" in each for each in said)
    assert any("there is one task" in each for each in said)
    assert not any("No task practises" in each for each in said)
    assert len(said) == 3


def test_skills_that_nothing_practises_are_named_at_their_line() -> None:
    found = report('network = "3 uF || 7 uF"')
    assert [line for line, _ in warned(found, "No task practises 'two in series'.")] == [4]


def test_lesson_in_another_unit_than_its_skill() -> None:
    text = HEADING.replace("unit = 3", "unit = 5")
    found = check_lesson(read_lesson("07-x.md", text), text)
    assert warned(found, "belongs to unit 3")


def test_lesson_that_begins_with_a_task() -> None:
    text = HEADING.replace("What it is for.\n\n", '```task\nsay = "?"\n```\n')
    assert warned(check_lesson(read_lesson("07-x.md", text), text), "what it is for")
