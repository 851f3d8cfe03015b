"""How much is asked: answers of a learner who is always right, counted at each setting."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import pytest

from grammar.reading import read_network
from tests.teaching.talking import said, standing
from tutor.practice.item_begun import begin_description
from tutor.practice.lesson_solving import right_answer
from tutor.teaching.conversation import Conversation, Replied
from tutor.teaching.exchange import hear
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.settings import USUAL, Settings, WhatIsAsked
from tutor.teaching.walk import Walk, next_question

HALL = "6 uF -- (9 uF || 5 uF), across 15 V"
LADDER = "4 uF -- (1 uF || (6 uF -- (1 uF || 2 uF))), across 12 V"
BRIDGE = (
    "C1 = 2 uF from A to P; C2 = 3 uF from P to B; C3 = 4 uF from A to R; C4 = 5 uF from R to B; "
    "C5 = 5 uF from P to R; ends A and B; across 10 V"
)
BALANCED = BRIDGE.replace("C4 = 5 uF", "C4 = 6 uF")
STORY = "4 uF -- 12 uF, across 20 V; then remove supply; then fill C1 with 3"
OF_THREE = (
    HALL, "(6 uF || 3 uF) -- 4 uF, across 12 V", "(2 uF -- 3 uF) || 6 uF, across 12 V",
    "2 uF -- 3 uF -- 6 uF, across 12 V", "2 uF || 3 uF || 6 uF, across 12 V",
    "C1 = 4 uF from A to P; C2 = 2 uF from P to B; C3 = 3 uF from P to B; ends A and B; "
    "holding 24 uC",
)
OF_FIVE = (
    LADDER, "1 uF -- (2 uF || 3 uF) -- (4 uF || 5 uF), across 10 V",
    "((1 uF -- 2 uF) || (3 uF -- 4 uF)) -- 5 uF, across 10 V",
    "(1 uF || 2 uF) -- (3 uF || 4 uF || 5 uF), across 10 V",
    "1 uF -- 2 uF -- 3 uF -- 4 uF -- 5 uF, across 10 V", BRIDGE, BALANCED,
)


class Heard(NamedTuple):
    """A whole conversation: the lines of the learner, and all that was said."""

    lines: tuple[str, ...]
    text: str
    turn: Replied


def right_line(talk: Conversation) -> str:
    """A right answer as the question wants it, a reason with the points that make it so."""
    line = right_answer(talk)
    assert line is not None
    task = talk.in_hand
    question = next_question(task) if isinstance(task, Walk) else None
    if question is None or question.about != "shares" or question.step is None:
        return line
    points = "" if question.going_back else ", ".join(question.step.points)
    return f"{line}, {points}" if points else line


def told(text: str, asked: WhatIsAsked = "what is open", manner: Manner = PLAIN) -> Heard:
    """A problem taken to its end by right answers, one to a question."""
    turn = begin_description(read_network(text), Settings(asked=asked), manner=manner)
    lines, words = [], [said(turn)]
    while not turn.talk.over:
        lines.append(right_line(turn.talk))
        turn = hear(turn.talk, lines[-1])
        assert not any(m.verdict in ("wrong", "unread") for m in turn.messages), lines
        words.append(said(turn))
        assert len(lines) < 60
    return Heard(tuple(lines), "\n".join(words), turn)


@cache
def count(text: str, asked: WhatIsAsked, manner: Manner = PLAIN) -> int:
    return len(told(text, asked, manner).lines)


@pytest.mark.parametrize("text", OF_THREE)
def test_three_capacitors_take_ten_answers_at_most(text: str) -> None:
    assert count(text, "what is open") <= 10
    assert count(text, "results") <= 6
    assert count(text, "the end") <= 4


@pytest.mark.parametrize("text", OF_FIVE)
def test_five_capacitors_take_twenty_two_answers_at_most(text: str) -> None:
    assert count(text, "what is open") <= 22
    assert count(text, "results") <= 10
    assert count(text, "the end") <= 6


@pytest.mark.parametrize("text", [*OF_THREE, *OF_FIVE, STORY])
def test_each_setting_asks_no_more_than_the_one_before(text: str) -> None:
    settings: tuple[WhatIsAsked, ...] = ("everything", "what is open", "results", "the end")
    counts = [count(text, asked) for asked in settings]
    assert counts[:3] == sorted(counts[:3], reverse=True)
    assert counts[0] > counts[2] > 0
    assert counts[1] >= counts[3] > 0


def test_a_line_may_hold_a_whole_step() -> None:
    turn = begin_description(read_network(HALL), USUAL)
    assert "You may add what they share" in said(turn)
    for line in ("C2 C3, p.d., P and B, 14 uF", "charge, P, 4.2 uF", "63 uC", "charge, 10.5 V",
                 "p.d., 40.5 uC"):
        turn = hear(turn.talk, line)
        assert not any(m.verdict in ("wrong", "unread", "incomplete") for m in turn.messages)
    assert turn.talk.over


def test_names_that_were_not_asked_may_be_said() -> None:
    turn = begin_description(read_network(HALL), USUAL)
    for line in ("C2 C3, p.d., P and B, 14 uF", "C1 C23, charge, P, 4.2 uF"):
        turn = hear(turn.talk, line)
    assert standing(turn.talk).whole is not None
    assert len(standing(turn.talk).steps) == 2


@pytest.mark.parametrize(
    "told_so",
    [
        "Only C1 and C23 are left, so take these two now.",
        "Along the chain the p.d.s add up to that of the whole:\n"
        "V23 = V − V1 = 15 V − 10.5 V = 4.5 V",
        "Side by side the charges add up to that of the whole:\n"
        "Q3 = Q23 − Q2 = 63 µC − 40.5 µC = 22.5 µC",
    ],
)
def test_what_is_not_asked_is_told_with_its_reason(told_so: str) -> None:
    assert told_so in told(HALL).text
    assert told_so not in told(HALL, "everything").text


def test_what_is_the_same_each_time_is_asked_until_it_was_right_twice() -> None:
    heard = told(LADDER)
    assert heard.text.count("Now back from") == 2
    assert heard.text.count("Back from") == 2
    assert heard.text.count("so each holds all the charge of") == 2


def test_a_wrong_answer_has_it_asked_again() -> None:
    turn = begin_description(read_network(LADDER), USUAL)
    asked = 0
    while not turn.talk.over:
        question = next_question(turn.talk.walk)
        assert question is not None
        is_back = question.about == "shares" and question.going_back
        asked += is_back
        line = right_line(turn.talk)
        if is_back and asked < 3:
            line = "the p.d." if "charge" in line else "the charge"
        turn = hear(turn.talk, line)
    assert asked == 4


def test_the_first_choice_and_what_is_shared_stay_for_who_is_new() -> None:
    """Two capacitors alone are no forced choice, and no step goes without what is shared."""
    lines = told("6 uF -- 3 uF, across 12 V").lines
    assert lines[0] == "C1 C2"
    assert lines[1].startswith("the charge")
    for text in OF_FIVE[:5]:
        kinds, all_of_them = (
            told(text, asked).text.count(", the p.d. or the charge, and which points")
            for asked in ("what is open", "everything")
        )
        assert kinds == all_of_them


def test_who_has_mastered_a_skill_is_asked_it_once_in_a_problem() -> None:
    sure = Manner(mastered=frozenset({"S08", "S19", "S20", "S10", "S11"}))
    assert count(LADDER, "what is open", sure) < count(LADDER, "what is open")
    text = told(LADDER, "what is open", sure).text
    assert text.count("What is C45, the one capacitor") == 1
    assert "What is C2345, the one capacitor" not in text
    assert "C2345 = C2 + C345" in text
    assert count(LADDER, "everything", sure) == count(LADDER, "everything")


@pytest.mark.parametrize("asked", [{"S21"}, {"S14", "S08"}])
def test_a_task_that_says_what_it_asks_asks_all_of_it(asked: set[str]) -> None:
    manner = Manner(asked=frozenset(asked))
    everywhere: tuple[WhatIsAsked, ...] = ("what is open", "results", "the end")
    assert {count(LADDER, each, manner) for each in everywhere} == {
        count(LADDER, "everything", manner)
    }


# The end alone


def test_the_end_alone_tells_afterwards_how_it_comes_about() -> None:
    heard = told(HALL, "the end")
    assert heard.lines[0].startswith("21/5")
    assert "How it comes about:" in heard.text.split("V3 = Q3/C3")[1]
    assert "C23 = C2 + C3 = 9 µF + 5 µF = 14 µF (in parallel)" in heard.text
    assert "Balance at P" in told(BRIDGE, "the end").text


@pytest.mark.parametrize(
    "lines", [("7.7 uF",), ("20 uF", "c", "7.7 uF"), ("I don't know",), ("?",)]
)
def test_an_end_that_goes_wrong_leads_to_the_steps(lines: tuple[str, ...]) -> None:
    turn = begin_description(read_network(HALL), Settings(asked="the end"))
    for line in lines:
        turn = hear(turn.talk, line)
    assert "Then step by step." in said(turn)
    assert "Which capacitors can be combined" in said(turn)
    assert "4.2" not in said(turn)
    turn = hear(turn.talk, "set figures 3")
    assert turn.talk.terms.asked == "the end"


def test_who_begins_with_a_step_is_asked_the_steps() -> None:
    turn = begin_description(read_network(HALL), Settings(asked="the end"))
    turn = hear(turn.talk, "hint")
    assert "has them asked one by one" in said(turn)
    turn = hear(turn.talk, "C2 C3")
    assert turn.messages[0].verdict == "right"
    assert turn.messages[-1].text.startswith("What do C2 and C3 share")


def test_an_end_of_a_story_that_goes_wrong_leads_to_its_questions() -> None:
    turn = begin_description(read_network(STORY), Settings(asked="the end"))
    assert "E'" in turn.messages[-1].text
    turn = hear(turn.talk, "123 uJ")
    assert "Then step by step." in said(turn)
    assert "What does the supply set" in turn.messages[-1].text


def test_an_end_of_a_story_that_is_right_tells_the_way() -> None:
    heard = told(STORY, "the end")
    assert len(heard.lines) == 1
    assert "Q1 = Q12 = 60 µC" in heard.text
    assert "did 300 µJ of work" in heard.text


# Set on the way


def test_a_setting_in_the_middle_counts_from_there() -> None:
    turn = begin_description(read_network(HALL), USUAL)
    turn = hear(turn.talk, "ask for results only")
    assert turn.messages[-1].text.startswith("What is C23")
    assert any(m.keep is not None and m.keep.asked == "results" for m in turn.messages)
    turn = hear(turn.talk, "ask me everything")
    assert turn.messages[-1].text.startswith("What is C23")
    turn = hear(turn.talk, "14 uF")
    assert turn.messages[-1].text.startswith("Which can be combined")


def test_results_of_a_story_are_its_values() -> None:
    lines = told(STORY, "results").lines
    assert all(any(sign in line for sign in "0123456789") for line in lines)
    assert len(lines) < len(told(STORY, "everything").lines)
