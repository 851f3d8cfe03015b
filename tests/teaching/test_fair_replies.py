"""Replies to what is half right, said in words, out of place, or one figure short of certain."""

from __future__ import annotations

import pytest

from tests.teaching.staged.manners import story
from tests.teaching.talking import asked, converse, problem_of, said, shape, told
from tutor.practice.questions.kinds import KINDS, make_question, story_of_question
from tutor.teaching import exchange
from tutor.teaching.exchange import begin, hear
from tutor.teaching.manner import Manner
from tutor.teaching.staged.choosing import is_lettered
from tutor.teaching.turn import Turn
from tutor.teaching.walk import Question

PAIR = "3 uF -- 7 uF, across 20 V"
PAIR_FOUND = ("C1, C2, charge, P, 2.1 uF", "42 uC")
CHAIN = "2 uF -- 3 uF -- 7 uF, across 4 V"
SIDE_BY_SIDE = "3 uF || 7 uF, across 20 V"
BRIDGE = (
    "C1 = 4 uF from A to P; C2 = 2 uF from A to Q; C3 = 6 uF from P to B; C4 = {} uF from Q to B; "
    "C5 = 5 uF from P to Q; ends A and B, across 10 V"
)
BALANCED = BRIDGE.format(3)
CHARGED = "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2"


def last(text: str, *lines: str) -> Turn:
    return converse(text, lines)[-1]


def blamed(turn: Turn) -> set[str]:
    return {name for message in turn.messages for name in message.malrules}


# One figure


@pytest.mark.parametrize(("text", "found", "typed"), [
    (PAIR, PAIR_FOUND, "V1 = 6"),
    ("4 uF -- 12 uF, across 8 V", ("C1, C2, charge, P, 3 uF", "24 uC", "charge"), "2 V"),
])
def test_a_likely_route_to_one_figure_is_asked_after_and_blamed_when_it_is_owned(
    text: str, found: tuple[str, ...], typed: str
) -> None:
    turn = last(text, *found, typed)
    assert "a) sharing the p.d. in proportion to capacitance\nb) something else" in said(turn)
    assert not blamed(turn)
    seen = [message.seen for message in turn.messages if message.seen]
    assert all(not each.malrules for each in seen)
    assert blamed(hear(turn.talk, "a")) == {"pd-in-proportion-to-capacitance"}
    other = hear(turn.talk, "b")
    assert not blamed(other)
    assert "How did you get" in said(other)


@pytest.mark.parametrize("typed", ["V1 = 8", "V1 = 7"])
def test_one_figure_that_no_likely_route_gives_exactly_is_asked_openly(typed: str) -> None:
    turn = last(PAIR, *PAIR_FOUND, typed)
    assert "something else" not in said(turn)
    assert "How did you get" in said(turn)
    left = hear(turn.talk, "by the capacitances, the way we did it in class")
    assert "How did you get" not in said(left)
    assert "let us leave it open" in said(left)


# Sharing and its reason


def test_points_that_are_right_as_far_as_they_go_are_taken_and_the_rest_asked() -> None:
    half = last(CHAIN, "C1 C2 C3", "charge P")
    assert "C1 and C2 at P, yes. And which point makes C3 hold it too?" in said(half)
    whole = hear(half.talk, "R")
    assert shape(whole)[0] == "verdict right reason"
    later = last(CHAIN, "C1 C2 C3", "charge", "R")
    assert shape(later)[0] == "verdict incomplete reason"
    assert "C2 and C3 at R, yes. And which point makes C1 hold it too?" in said(later)
    assert shape(hear(later.talk, "P"))[0] == "verdict right reason"


def test_the_point_between_two_pairs_is_asked_for_where_each_capacitor_has_one() -> None:
    text = "2 uF -- 3 uF -- 7 uF -- 9 uF"
    turn = last(text, "C1 C2 C3 C4", "charge, P and S")
    assert "C1 and C2 at P and C3 and C4 at S, yes." in said(turn)
    assert "which point makes C2 and C3 hold the same?" in said(turn)


@pytest.mark.parametrize("line", ["P", "A P"])
def test_the_same_half_twice_is_no_more_than_half(line: str) -> None:
    turn = last(CHAIN, "C1 C2 C3", "charge", "P", line)
    assert shape(turn)[0] == "verdict wrong reason"


def test_the_other_end_may_have_the_name_of_a_letter_of_the_menu() -> None:
    half = last(SIDE_BY_SIDE, "C1 C2", "p.d., A")
    assert "A, yes: both have a plate there. And where are their other plates?" in said(half)
    assert shape(hear(half.talk, "B"))[0] == "verdict right reason"


def test_a_wrong_share_does_not_tell_the_reason_that_is_asked_next() -> None:
    turn = last(CHAIN, "C1 C2 C3", "p.d., A and B")
    (verdict,) = told(turn, "verdict")
    assert shape(turn)[-1] == "ask reason"
    assert "touches nothing" not in verdict.text
    letter = next(each for each in "abcd" if "the same supply" in _entry(turn, each))
    reply = told(hear(turn.talk, letter), "verdict")[0].text
    assert reply.startswith("They share the charge, but not because they are joined to")
    other = told(last(SIDE_BY_SIDE, "C1 C2", "charge"), "verdict")[0].text
    assert other.startswith("Not the charge: side by side each takes its own")
    assert "same two points" not in other


def _entry(turn: Turn, letter: str) -> str:
    lines = turn.messages[-1].text.splitlines()
    return next(line for line in lines if line.startswith(f"{letter})"))


def test_a_wrong_share_tells_its_reason_where_none_is_asked() -> None:
    turn = last(PAIR, "2.1 uF", "p.d.")
    assert "At P only C1 and C2 meet" in said(turn)
    assert "ask reason" not in shape(turn)


def test_a_current_as_the_reason_of_one_charge_is_answered() -> None:
    turn = last(CHAIN, "C1 C2 C3", "charge", "the same current flows so charge is same")
    assert "They share the charge, but no charge goes through a capacitor." in said(turn)
    open_words = last(CHAIN, "C1 C2 C3", "charge", "no current can get across")
    assert shape(open_words)[0] == "verdict incomplete reason"


@pytest.mark.parametrize(("text", "line", "steps"), [
    (PAIR, "C1 C2 charge P 2.1 uF", 1),
    (PAIR, "C1 and C2 share the charge at P C12 = 2.1 uF", 1),
    (SIDE_BY_SIDE, "c1 & c2 same p.d. A B 10", 1),
])
def test_names_words_and_value_without_commas(text: str, line: str, steps: int) -> None:
    turn = last(text, line)
    assert len(turn.walk.steps) == steps
    assert "verdict unread choice" not in shape(turn)


def test_a_wrong_share_without_commas_is_answered_as_one() -> None:
    turn = last(PAIR, "C1 C2 pd A P 6 uF")
    assert "verdict right choice" in shape(turn)
    assert "Not the p.d." in said(turn)
    assert "is not in this network" not in said(turn)


# Words out of place


def test_a_question_with_all_in_it_names_no_capacitors() -> None:
    assert shape(last(CHAIN, "what is the same on all: Q"))[0] == "say"


def test_a_guess_about_a_change_says_nothing_of_sharing_or_of_a_value() -> None:
    turn = last(CHAIN, "C1 C2 C3", "V1 up")
    assert shape(turn)[0] == "verdict unread shares"
    after = last(PAIR, *PAIR_FOUND[:1], "what if C1 is doubled", "Q up", "show", "V1 up")
    assert "says how something changes" in said(after)
    assert "U_" not in said(after)


@pytest.mark.parametrize("word", ["charge", "p.d.", "the p.d.", "voltage"])
def test_a_word_for_a_quantity_is_no_value(word: str) -> None:
    assert "A number with its unit is wanted" in said(last(PAIR, PAIR_FOUND[0], word))
    turn = exchange.hear(exchange.begin_story(story(CHARGED)).talk, word)
    assert turn.messages[0].text == "A number with its unit is wanted here."


def test_what_was_asked_is_said_to_a_value_of_something_else() -> None:
    turn = last(SIDE_BY_SIDE, "C1, C2, p.d., A and B, 10 uF", "V1 = 6 uC")
    assert "The charge moved in all is asked. V1 is the p.d. across C1" in said(turn)
    assert asked(turn.talk) == Question("charge", None, turn.walk.whole, *asked(turn.talk)[3:])


@pytest.mark.parametrize("word", [
    "zero", "none", "nought", "nothing", "no charge", "zero coulombs",
])
def test_nought_in_words(word: str) -> None:
    turn = last(BALANCED, "none", "yes", word)
    assert shape(turn)[0] == "verdict right charge"
    idle = "C1 = 3 uF from A to B; C2 = 4 uF from A to P; ends A and B; across 12 V"
    assert shape(last(idle, "C2", word))[0] == "verdict right charge"


# Yes or no


def test_a_wrong_no_gets_the_two_ratios_and_another_try_then_is_told_once() -> None:
    first = last(BALANCED, "none", "no")
    assert "C1/C3 is 4 µF / 6 µF, and C2/C4 is 2 µF / 3 µF" in said(first)
    assert "equals" not in said(first)
    assert shape(first)[-1] == "ask shares"
    assert shape(hear(first.talk, "yes"))[0] == "verdict right shares"
    second = hear(first.talk, "no")
    assert said(second).count("C1/C3 equals C2/C4") == 1


# Asking why, going, coming


LETTERED = sorted(
    kind for kind in KINDS if is_lettered(story_of_question(make_question(kind, 1)).asks[0])
)


@pytest.mark.parametrize("kind", LETTERED)
def test_why_is_answered_before_a_letter_is_given(kind: str) -> None:
    begun = exchange.begin_story(story_of_question(make_question(kind, 1)))
    turn = exchange.hear(begun.talk, "why")
    assert turn.messages[0].text.startswith("The reason comes with the answer.")


def test_why_in_a_star_is_not_why_nothing_can_be_combined() -> None:
    turn = last(BALANCED, "star A P Q", "why")
    assert turn.messages[0].text.startswith("The reason comes with the answer.")


def test_a_twin_is_announced_as_the_first_thing_where_it_is_that() -> None:
    new = Manner(shown=frozenset({"S10"}), asked=frozenset({"S10"}))
    turn = begin(problem_of("6 uF || 9 uF"), manner=new)
    assert turn.talk.open("twin") is not None
    assert "Now the same step on other values." in said(turn)
    later = last("6 uF || 9 uF", "C1 C2", "p.d., A and B", "I don't know", "?", "?")
    assert "Before the end, a step like one that was shown" in said(later)


def test_stopping_tells_of_an_exchange_and_of_the_steps_after_it() -> None:
    lines = ("star A P Q", "7.6 uF", "19 uF", "9.5 uF")
    stopped = last(BRIDGE.format(9), *lines, "stop")
    assert said(stopped) == "Stopped after a star for a triangle, with five capacitors left."
    chain = last(BRIDGE.format(9), *lines, "C15 C3, charge, at P, 4.56 uF", "stop")
    assert "Stopped after a star for a triangle and one step, with four" in said(chain)
