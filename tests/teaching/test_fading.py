"""Steps shown worked: what is new is shown once, what is not asked is shown, the rest is asked."""

from __future__ import annotations

from tests.teaching.talking import problem_of, said
from tutor.teaching.exchange import begin, hear
from tutor.teaching.manner import Manner
from tutor.teaching.turn import Turn
from tutor.teaching.walk import next_question

HALL = "6 uF -- (9 uF || 5 uF), across 15 V"
FOUR = "6 uF -- 14 uF -- (9 uF || 5 uF)"


def led(text: str, manner: Manner, *lines: str) -> Turn:
    turn = begin(problem_of(text), manner=manner)
    for line in lines:
        turn = hear(turn.talk, line)
    return turn


def asked(turn: Turn) -> str:
    question = next_question(turn.walk)
    return question.about if question else ""


def test_only_the_skills_named_are_asked_and_the_rest_is_shown_with_its_reasons() -> None:
    turn = led(HALL, Manner(asked=frozenset({"S21"})))
    assert "C23 = C2 + C3 = 9 µF + 5 µF = 14 µF" in said(turn)
    assert "share one charge" in said(turn)
    assert turn.messages[-1].text == "What is the p.d. across C1 (6 µF, 63 µC)?"


def test_nothing_asked_of_a_walk_is_shown_before_its_question_comes() -> None:
    turn = led(HALL, Manner(asked=frozenset({"S10"})))
    assert "14 µF" not in said(turn)
    assert asked(turn) == "value"
    after = hear(turn.talk, "14 uF")
    assert after.walk.over
    assert "4.2 µF" not in said(after)  # the rest may be asked another day


def test_a_step_that_is_shown_on_request_ends_what_is_asked_as_an_answer_does() -> None:
    turn = led(HALL, Manner(asked=frozenset({"S06"})), *["I don't know"] * 3)
    assert turn.walk.over
    assert "14 µF" in said(turn)
    assert "4.2 µF" not in said(turn)


def test_no_step_needed_a_second_try_is_said_of_answers_alone() -> None:
    told = led("6 uF || 9 uF", Manner(asked=frozenset({"S21"})))
    assert told.walk.over
    assert "second try" not in said(told)
    lines = ("C1 C2", "p.d., A and B", *["I don't know"] * 3)
    of_twin = led("6 uF || 9 uF", Manner(shown=frozenset({"S10"})), *lines)
    assert "Hardest here: a step like one that was shown." in said(of_twin)


def test_what_is_shared_is_asked_cold_even_where_all_is_new() -> None:
    turn = led(HALL, Manner(shown=frozenset({"S06", "S08", "S10", "S14"})))
    assert asked(turn) == "shares"
    turn = hear(turn.talk, "p.d., P and B")
    assert "14 µF" in said(turn)  # the first sum is shown worked
    assert asked(turn) == "choice"


def test_a_new_skill_is_shown_once_and_its_twin_is_asked() -> None:
    turn = led("6 uF || 9 uF", Manner(shown=frozenset({"S10"})), "C1 C2", "p.d., A and B")
    assert "15 µF" in said(turn)
    assert not turn.walk.over
    assert turn.talk.open("twin") is not None  # the same step on other values
    assert "S10" not in turn.walk.manner.shown


def test_the_rest_of_a_problem_is_shown_where_one_question_alone_is_gone_over() -> None:
    turn = led(HALL, Manner(only=frozenset({"Q2"})))
    assert turn.messages[-1].text == "What charge does C2 hold (9 µF, 4.5 V)?"
    turn = hear(turn.talk, "40.5 uC")
    assert turn.walk.over


def test_what_is_shown_can_not_be_taken_back() -> None:
    turn = led(FOUR, Manner(asked=frozenset({"S12"})))
    again = hear(turn.talk, "undo")
    assert asked(again) == asked(turn)


def test_a_third_try_for_who_knows_the_skill_well() -> None:
    lines = ("C1 C2", "p.d., A and B", "16 uF", "17 uF")
    assert led("6 uF || 9 uF", Manner(), *lines).talk.open("twin") is not None  # it has been shown
    patient = led("6 uF || 9 uF", Manner(steady=frozenset({"S10"})), *lines)
    assert patient.talk.open("twin") is None
    assert hear(patient.talk, "19 uF").talk.open("twin") is not None


def test_starting_again_fades_again() -> None:
    turn = led(HALL, Manner(asked=frozenset({"S21"})))
    again = hear(turn.talk, "start again")
    assert asked(again) == "voltage"
