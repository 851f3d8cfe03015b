"""Where the questions of a paper begin in a script, as learners number them."""

from __future__ import annotations

import pytest

from tutor.desk.marks_headings import by_question


def parted(*lines: str, questions: int = 5) -> dict[int, list[str]]:
    """The lines that stand for each question, without the empty ones before them."""
    found = by_question("\n".join(lines), questions).parts
    return {n: [line for line in part.split("\n") if line] for n, part in found.items()}


@pytest.mark.parametrize(
    "heads",
    [
        ("Question 1", "Question 2", "Question 3"), ("Problem 1", "PROBLEM 2:", "problem 3)"),
        ("# Question 1", "## Exercise 2", "**Task 3**"), ("1.", "2.", "3."),
        ("1)", "2)", "(3)"), ("Q1.", "q2)", "Q3"), ("Q1", "2.", "Question 3"),
        ("No. 1", "no. 2", "Number 3"), ("Answer to question 1", "Ans 2:", "Question 3."),
        ("1", "2", "3"), ("1:", "Q2: ", "3"),
    ],
)
def test_each_way_to_number_an_answer_begins_it(heads: tuple[str, str, str]) -> None:
    one, two, three = heads
    lines = (one, "C = 6 uF", two, "Q3 = 12 uC", three, "goes up")
    assert parted(*lines) == {1: ["C = 6 uF"], 2: ["Q3 = 12 uC"], 3: ["goes up"]}


@pytest.mark.parametrize(
    "lines",
    [
        ("1. C = 6 uF", "2. Q3 = 12 uC", "3. up"), ("1) C = 6 uF", "2)Q3 = 12 uC", "(3) up"),
        ("Q1. C = 6 uF", "Q2) Q3 = 12 uC", "3. up"),
        ("Problem 1: C = 6 uF", "Problem 2 Q3 = 12 uC", "Question 3 - up"),
        ("#1. C = 6 uF", "#2. Q3 = 12 uC", "Q3: up"),
        ("Q1: C = 6 uF", "2 : Q3 = 12 uC", "3: up"),
    ],
)
def test_the_answer_may_stand_behind_the_number(lines: tuple[str, ...]) -> None:
    assert parted(*lines) == {1: ["C = 6 uF"], 2: ["Q3 = 12 uC"], 3: ["up"]}


def test_steps_under_a_heading_begin_no_question() -> None:
    lines = ("Question 1", "1. C12 = 3 uF", "2. C = 5 uF", "Question 2", "1) Q = 5 uC", "2) Q1")
    assert set(parted(*lines)) == {1, 2}
    assert not by_question("\n".join(lines), 2).notes


@pytest.mark.parametrize(
    "line", ["3.5 + 2 = 5.5 uF", "3 uF + 2 uF = 5 uF", "3 x 4 = 12 uC", "3 : 4 = 6 : 8",
             "Q3 = 12 uC", "(3)(24) = 72 uC", "(3) x 24 = 72 uC", "3 in series"]
)
def test_a_line_of_working_begins_no_question(line: str) -> None:
    assert parted("1. C = 6 uF", "2. as below", line)[2] == ["as below", line]


def test_what_may_be_of_another_question_is_said() -> None:
    assert "all of it is marked for question 1" in by_question("C = 6 uF\nup", 3).notes[0]
    assert not by_question("C = 6 uF\nup", 1).notes
    notes = by_question("Question 1\nC = 6 uF\n3 goes up\nQuestion 2\n12 uC", 3).notes
    assert notes[0].startswith("Line 3 begins with the number of a question for which nothing")
    assert by_question("Question 9\nx", 3).notes[0].startswith("There is no question 9")


def test_lines_keep_the_numbers_of_the_file() -> None:
    lines = "C = 1 uF\nQuestion 2: Q = 3 uC\n  \nV1 = 2 V\nQ3 = 4 uC\n# question 1\nE"
    parts = by_question(lines, 2).parts
    assert {n: part.split("\n") for n, part in parts.items()} == {
        1: ["C = 1 uF", "", "", "", "", "", "E"],
        2: ["", "Q = 3 uC", "", "V1 = 2 V", "Q3 = 4 uC"],
    }
