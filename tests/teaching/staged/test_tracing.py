"""Wrong values in problems in stages: where they come from, out of turn too, and what cannot be."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from tests.teaching.staged.manners import story, verdict
from tutor.teaching.conversation import Replied
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.settings import USUAL

JOINED = "C1 = 4 uF charged to 12 V; C2 = 8 uF; then join C1 to C2"


def after(text: str, lines: Sequence[str]) -> Replied:
    turn = begin_story(story(text))
    for line in lines:
        turn = hear(turn.talk, line)
    return turn


def asked_now(turn: Replied) -> str:
    return next(m.text for m in reversed(turn.messages) if m.kind == "ask")


def test_wrong_end_value_is_traced_to_a_step_that_was_skipped() -> None:
    # C V² for ½ C V², then nothing else wrong: E = 288 µJ would be right
    turn = after(JOINED, ["E = 576 uJ"])
    assert "leaves-out-the-half" in verdict(turn).malrules
    # Q1 = 4/12 and half of it times 12: all after the first step is right
    turn = after(JOINED, ["E = 2.0 uJ"])
    assert "One step before it may be off." in verdict(turn).text
    assert "What charge Q1 does it hold" in asked_now(turn)


def test_value_out_of_turn_spends_no_try() -> None:
    turn = after(JOINED, ["E = 576 uJ", "E = 577 uJ", "E = 100 uJ", "48 uC"])
    assert not any(m.kind == "reveal" and "288" in m.text for m in turn.messages)


@pytest.mark.parametrize("again", ["Q1 = 48 uC", "Q1 = 48 uC, E = 288 uJ"])
def test_what_is_known_already_may_be_said_once_more(again: str) -> None:
    turn = after(JOINED, ["48 uC", again])
    assert "Q1 is known already, yes." in verdict(turn).text
    assert not any(m.verdict == "wrong" for m in turn.messages)
    assert ("E = 288 uJ" in again) == any("288 µJ" in m.text for m in turn.messages)


def test_charge_before_is_no_answer_to_the_charge_after() -> None:
    turn = after(JOINED, ["48 uC", "288 uJ", "charge", "4 V", "Q1 = 48 uC"])
    assert verdict(turn).verdict == "wrong"


def test_value_that_no_rule_gives_is_held_to_what_is_known() -> None:
    turn = after(JOINED, ["48 uC", "700 uJ"])
    assert "would take 576 µJ" in verdict(turn).text
    turn = after(JOINED, ["41 uC"])
    assert verdict(turn).text == (
        "Holding 41 µC, C1 would have 10.25 V across it, but 12 V is across it."
    )


def test_no_one_rounds_a_value_of_two_figures() -> None:
    # 40 µC = 4 µF × 10 V, but 12 V stands in the text
    assert verdict(after(JOINED, ["40 uC"])).malrules == ()


def test_number_of_one_figure_is_asked_about_and_not_held_against_anyone() -> None:
    turn = after(JOINED, ["48 uC", "288 uJ", "charge", "6 V"])
    assert verdict(turn).malrules == ()
    assert asked_now(turn).splitlines()[1] == "a) taking the mean of the p.d.s"
    turn = hear(turn.talk, "a")
    assert verdict(turn).malrules == ("averages-the-pds",)


def test_value_cut_off_is_told_so() -> None:
    turn = after("C1 = 4 uF charged to 20 V; C2 = 8 uF; then join C1 to C2",
                 ["80 uC", "800 uJ", "charge", "6.6 V"])
    assert verdict(turn).malrules == ("cuts-off-instead-of-rounding",)


@pytest.mark.parametrize(("line", "word"), [
    ("the larger one", "Yes. The larger"), ("C1", "Yes. The larger"), ("C2", "Q = C V: the larger"),
    ("the small one", "Q = C V: the larger"), ("10 V", "Right."),
])
def test_what_is_asked_back_is_answered_and_no_wrong_value(line: str, word: str) -> None:
    # 7.5 V is the mean of 15 V and 0 V: which of C1 and C2 needs more charge to rise by 1 V?
    joined = "C1 = 6 uF charged to 15 V; C2 = 3 uF; then join C1 to C2"
    turn = after(joined, ["90 uC", "675 uJ", "charge", "7.5 V", line])
    assert turn.messages[0].text.startswith(word)
    assert not any(message.verdict == "wrong" for message in turn.messages)


def test_a_value_out_of_its_turn_is_named_as_the_text_writes_it() -> None:
    turn = after("5 uF, across 40 V; then fill C1 with 3", ["p.d.", "200 uC", "4 mJ", "12 mJ"])
    assert verdict(turn).text.startswith("E' is right, ahead of its question.")


def test_value_answered_ahead_is_asked_one_reason_and_a_second_one_none() -> None:
    """4 and 8 µF at 12 V and 0 V: 4 V, and 32 µC on the 8 µF."""
    one = hear(begin_story(story(JOINED, USUAL), USUAL).talk, "4 V")
    assert "What charge Q1 does it hold" not in asked_now(one)
    energy = hear(one.talk, "288 uJ")
    assert "cannot change" in asked_now(energy) or "share" in asked_now(energy)
    two = hear(energy.talk, "Q2 = 32 uC")
    assert asked_now(two) != asked_now(energy)


def test_end_of_the_text_is_taken_wherever_it_is_typed() -> None:
    """½ × 12 µF × 16 V² = 96 µJ is asked; 288 µJ stand before the join."""
    turn = after(f"{JOINED}; asked: E", ["96 uJ"])
    assert verdict(turn).verdict == "right"
    assert verdict(after(JOINED, ["16 uC"])).verdict == "incomplete"  # Q1 after the join


def test_value_to_which_an_answer_would_lead_is_said_to_be_so() -> None:
    """7 µF × 63 V = 441 µC, more than the 300 µC that the other bears."""
    turn = after("C1 = 3 uF rated 100 V -- C2 = 7 uF rated 63 V", ["charge", "441 uC"])
    assert "where 'C2' would lead" in verdict(turn).text
    assert "reaches its rating first" in asked_now(turn)
