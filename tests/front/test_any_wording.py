"""Networks in any wording in the chat: what was read is said back and asked about."""

from __future__ import annotations

import pytest

from tests.conversing import is_walking
from tutor.circuit.network import build
from tutor.front.chat.home import open_home
from tutor.front.chat.stages import Answer, Chat, Choosing, Deciding, Offered
from tutor.front.chat.talk import respond
from tutor.teaching.settings import DEFAULTS

PROSE = "2uf n 6uf in series 9v"
TWO_WAYS = "7uf and 3uf in series and 6uf in parallel 10v"
WITH_A_RESISTOR = "3 uF and 6 uF in series with a 10 ohm resistor on 12 V"


def talk(*lines: str) -> Answer:
    answer = open_home(Chat(DEFAULTS))
    for line in lines:
        answer = respond(answer.chat, line)
    return answer


def said(answer: Answer) -> str:
    return "\n".join(message.text for message in answer.messages)


def test_what_was_read_is_said_back_in_the_notation_and_asked_about() -> None:
    answer = talk(PROSE)
    assert "I read: 2 uF -- 6 uF, across 9 V" in said(answer)
    assert answer.messages[-1].text == "Is that it, yes or no?"
    assert isinstance(answer.chat.stage, Deciding)


@pytest.mark.parametrize("problem", ["4 uF -- 8 uF, across 15 V", "C1 = 3 uF -- C2 = ?; C = 2 uF"])
def test_another_network_in_words_is_offered_in_a_problem(problem: str) -> None:
    for line in (
        "two 7 uF in parallel then a 5 uF in series on 15 volts",
        "3 caps, two 7's in parallel then a 5 in series on 15 volts",
        "a 10 and a 20 in series on a 6 V supply",
    ):
        assert isinstance(talk(problem, line).chat.stage, Offered), line


def test_a_network_of_the_values_in_hand_or_with_what_comes_of_it_is_an_answer() -> None:
    for line in (
        "the 4 and the 8 in series on 15 V", "5 and 8 in series gives 13 across 15 V",
        "40 as 5 and 8 in series with 15 V",
    ):
        assert is_walking(talk("4 uF -- 8 uF, across 15 V", line).chat.stage), line


def test_an_exercise_that_ends_in_a_question_begins_once_a_problem_is_done() -> None:
    for line in (
        "Two plates of 30 cm by 40 cm are 2 mm apart with glass (k = 5). What is the capacitance?",
        "Two capacitors of 5 uF and 8 uF are in series on 26 V. What is the charge on the 8 uF?",
    ):
        assert isinstance(talk("7 uF", line).chat.stage, Deciding), line
    for line in ("why is C1 7 uF?", "what does 7 uF mean?", "is 7 uF much?"):
        assert is_walking(talk("7 uF", line).chat.stage), line


def test_yes_begins_the_walk_and_no_keeps_the_text() -> None:
    assert is_walking(talk(PROSE, "yes").chat.stage)
    refused = talk(PROSE, "no")
    assert isinstance(refused.chat.stage, Choosing)
    assert refused.chat.draft == PROSE


def test_another_line_is_taken_as_a_new_network() -> None:
    assert "I read: 4 uF || 5 uF" in said(talk(PROSE, "4uf and 5uf parallel"))


@pytest.mark.parametrize(("line", "number"), [("a", 0), ("2", 1), ("the second", 1)])
def test_two_readings_are_both_shown_and_one_is_chosen(line: str, number: int) -> None:
    asked = talk(TWO_WAYS)
    ways = asked.chat.stage.found.ways
    assert len(ways) == 2
    assert all(way.text in said(asked) for way in ways)
    assert not is_walking(respond(asked.chat, "yes").chat.stage)
    chosen = respond(asked.chat, line).chat.stage
    assert is_walking(chosen)
    assert chosen.talk.walk.problem.network == build(ways[number].description).network


def test_what_is_beyond_is_told_and_the_rest_is_offered() -> None:
    answer = talk(WITH_A_RESISTOR)
    assert "A resistor is beyond" in said(answer)
    assert "3 uF -- 6 uF, across 12 V" in said(answer)
    assert is_walking(respond(answer.chat, "a").chat.stage) or is_walking(
        respond(answer.chat, "yes").chat.stage
    )


def test_a_puzzle_in_prose_is_told_how_to_be_typed() -> None:
    answer = talk("How can I make 9 uF out of a 4 uF, a 12 uF and a 6 uF?")
    assert "arrange 9 uF from 4 uF, 12 uF, 6 uF" in said(answer)


@pytest.mark.parametrize(("line", "says"), [
    ("what does || mean?", "in parallel"), ("what's --?", "in series"),
    ("I don't know", "Type yes if"), ("what is a farad?", "farad"),
])
def test_a_question_leaves_the_reading_where_it_is(line: str, says: str) -> None:
    told = talk("two capacitors of 5 uF in parallel, then an 8 in series, 20 V battery")
    answer = respond(told.chat, line)
    assert answer.chat.stage == told.chat.stage
    assert says in "\n".join(message.text for message in answer.messages)


def test_another_supply_is_put_into_the_reading() -> None:
    told = talk("two capacitors of 5 uF in parallel, then an 8 in series, 20 V battery")
    for line in ("nearly, but 15 V", "no, the battery is 15 V", "yes but with 15 volts"):
        text = "\n".join(message.text for message in respond(told.chat, line).messages)
        assert "holds 15 V" in text
    again = respond(told.chat, "nearly").messages[0].text
    assert "once more" in again
    assert "20 V" in again
