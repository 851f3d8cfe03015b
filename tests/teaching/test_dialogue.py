"""Whole conversations, line by line; the tables are in cases/walks.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.teaching.talking import LADDER, asked, converse, said, shape
from tutor.teaching.exchange import hear

WALKS = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "walks.toml").read_text(encoding="utf-8")
)["walk"]
BRIDGE = (
    "C1 = 1 uF from A to P; C2 = 2 uF from A to R; C3 = 3 uF from P to R; "
    "C4 = 4 uF from P to B; C5 = 5 uF from R to B; ends A and B; across 12 V"
)


@pytest.mark.parametrize("walk", WALKS, ids=lambda walk: walk["name"])
def test_walk(walk: dict[str, Any]) -> None:
    turns = converse(walk["network"], [line["say"] for line in walk["line"]])
    for line, turn in zip(walk["line"], turns[1:], strict=True):
        if "shape" in line:
            assert shape(turn) == line["shape"], (line["say"], said(turn))
        for words in line.get("has", []):
            assert words in said(turn), line["say"]
        for words in line.get("not", []):
            assert words not in said(turn), line["say"]


def test_opening_lists_network_points_and_goal() -> None:
    (turn,) = converse(LADDER, [])
    assert shape(turn) == ["say", "ask choice"]
    assert "C2, 2 µF, from P to B" in said(turn)
    assert "P: C1, C2 and C3" in said(turn)
    assert "A supply holds 12 V between A and B, with + at A." in said(turn)
    drawn = turn.messages[0].drawn
    assert drawn is not None
    assert drawn.network == turn.walk.problem.network


def test_points_joined_by_wire_are_told() -> None:
    (turn,) = converse("C1 = 4 uF from A to P; C2 = 3 uF from S to B; wire from P to S; "
                       "ends A and B", [])
    assert "A wire joins P and S, so they are one point, called P here." in said(turn)


def test_a_bridge_is_asked_about_before_it_is_said_why_it_sticks() -> None:
    opening, why, none = converse(BRIDGE, ["why", "none"])
    assert shape(opening) == ["say", "ask choice"]
    assert "combined:" not in said(opening)
    assert "at every inner point three or more plates meet" in said(why)
    assert shape(none) == ["verdict right choice", "say", "ask shares"]
    assert "P: C1, C3 and C4; R: C2, C3 and C5" in said(none)


def test_a_bridge_behind_a_chain_is_reduced_as_far_as_it_goes() -> None:
    text = BRIDGE.replace("C1 = 1 uF from A to P", "C1 = 2 uF from A to X; C6 = 2 uF from X to P")
    *_, turn, where, none = converse(
        text, ["C1 C6", "charge at X", "1 uF", "where are we", "nothing can be combined"]
    )
    assert shape(turn) == ["verdict right value", "reveal value", "ask choice"]
    assert "none still to come before nothing more can be combined" in said(where)
    assert "After one step nothing more can be combined" in said(none)


@pytest.mark.parametrize("first", ["C1 C2", "c2 c1", "1 and 2", "C1, C2 in series", "C3 C4",
                                   "C4 & C3 in parallel", "the 1 and the 2", "1 uF and 2 uF"])
def test_any_valid_order_is_taken(first: str) -> None:
    turn = converse("C1 = 1 uF -- C2 = 2 uF -- (C3 = 3 uF || C4 = 4 uF)", [first])[-1]
    assert shape(turn) == ["verdict right choice", "ask shares"]


@pytest.mark.parametrize("line", ["C23 = C2 + C3 = 5 uF", "c23 = 2 + 3 = 5", "C23=5uF",
                                  "C23 = 5000 nF", "C23 is 5e-6 F", "C23 = 5,0 uF",
                                  "C23 = 10/2 uF", "C23 = (2 + 3) uF", "5 uF"])
def test_forms_of_the_value_of_a_set(line: str) -> None:
    turn = converse(LADDER, ["C2 C3", "pd, P and B", line])[-1]
    assert shape(turn) == ["verdict right value", "reveal value", "ask choice"]


@pytest.mark.parametrize(("line", "drawn_with"), [
    ("C12 = 4 nF", ["reveal"]),  # the step is drawn, and not once more with the next question
    ("C = 4 nF", ["ask"]),  # given before its steps, which are told in one line each
])
def test_the_last_capacitor_is_drawn_once(line: str, drawn_with: list[str]) -> None:
    turn = converse("6 nF -- 12 nF, across 12 V", ["C1 C2", "charge, at P", line])[-1]
    assert [m.kind for m in turn.messages if m.drawn is not None] == drawn_with


def test_hearing_leaves_the_walk_it_was_given_unchanged() -> None:
    (turn,) = converse(LADDER, [])
    before = turn.walk
    hear(turn.talk, "C2 C3")
    assert turn.walk == before
    assert asked(turn.talk).about == "choice"


def test_steps_are_counted_from_one() -> None:
    turns = converse(LADDER, ["C2 C3", "pd, P B", "5 uF", "C1 C23"])
    assert [turn.messages[-1].step for turn in turns] == [1, 1, 1, 2, 2]


def test_a_twin_is_asked_for_a_step_that_was_shown_and_shown_itself_if_need_be() -> None:
    lines = ["C2 C3", "pd P B", "6.1 uF", "7.3 uF", "C123 = 20/9 uF"]
    *_, twin = converse(LADDER.replace(", across 12 V", ""), lines)
    assert shape(twin) == ["verdict right value", "reveal value", "say", "ask value"]
    assert "a step like one that was shown" in said(twin)
    once = hear(twin.talk, "0.11 uF")
    again = hear(once.talk, "0.12 uF")
    assert "reveal value" in shape(again)
    assert shape(again)[-1] == "close"


def test_a_twin_of_a_step_in_letters_has_values_of_a_school() -> None:
    to_value = ["C2 C3", "pd, P and B", "I don't know", "I don't know", "I don't know"]
    rest = ["C1 C23", "charge, P", "C123 = 5C/7"]
    turn = converse("C -- (2C || C/2)", [*to_value, *rest])[-1]
    assert turn.talk.open("twin") is not None
    assert " µF, from A to B" in said(turn)


def test_only_those_that_meet_at_a_point_are_said_to_meet_there() -> None:
    turn = converse("2 uF || (3 uF -- 6 uF), across 10 V", ["all of them"])[-1]
    assert said(turn).startswith("C1 and C2 meet at A, but that is an end of the network")


@pytest.mark.parametrize(("line", "following"), [
    ("the p.d., because both are between the same points", "ask value"),
    ("the p.d., same two points", "ask value"),
    ("the p.d. because they are close", "ask reason"),
    ("the p.d.", "ask reason"),
])
def test_a_reason_in_words_may_come_with_what_is_shared(line: str, following: str) -> None:
    assert shape(converse(LADDER, ["C2 C3", line])[-1])[-1] == following


def test_a_capital_at_the_menu_is_a_letter_where_it_can_be_no_point() -> None:
    pair = "3 uF || 7 uF"
    menu = converse(pair, ["C1 C2", "p.d."])[-1].messages[-1].text
    true = next(line[0] for line in menu.splitlines() if "both join A and B" in line)
    asked_back = converse(pair, ["C1 C2", "p.d.", "A"])[-1]
    assert said(asked_back).startswith("The letter a) or the point A?")
    assert asked_back.walk.tries == 0
    assert shape(converse(pair, ["C1 C2", "p.d.", true])[-1])[-1] == "ask value"
    turn = converse(pair, ["C1 C2", "p.d.", "D"])[-1]
    assert shape(turn)[0] == ("verdict right reason" if true == "d" else "verdict wrong reason")


@pytest.mark.parametrize(("line", "what"), [("5 V", "a p.d."), ("20 uC", "a charge")])
def test_a_value_where_it_is_asked_what_is_shared_is_asked_whose_it_is(
    line: str, what: str
) -> None:
    turn = converse(LADDER, ["C2 C3", line])[-1]
    assert said(turn).startswith(f"That is {what}, but whose?")
    assert turn.walk.tries == 0


def test_a_word_at_a_value_is_answered_with_an_example_in_the_unit_that_is_wanted() -> None:
    in_walk = converse("3 uF -- 6 uF, across 12 V", ["C1 C2, charge, P", "2 uF", "shorted"])[-1]
    told = " ".join(m.text for m in in_walk.messages if m.kind == "verdict")
    assert "uC" in told
    assert "uF" not in told


@pytest.mark.parametrize(("lines", "way"), [
    (["9+6"], "by adding 9 µF and 6 µF."), (["C12 = C1 + C2"], "by adding 9 µF and 6 µF."),
    (["I added 9 and 6"], "by adding 9 µF and 6 µF."), (["(9+6)/2"], "by taking the average"),
    (["15", "9+6"], "at least as large as 6 µF"),
    (["3.6", "36", "charge", "V1 = 10*9/(9+6)"], "by sharing the p.d. in proportion"),
])
def test_the_sum_that_is_typed_says_how_a_number_came_about(lines: list[str], way: str) -> None:
    turns = converse("9 uF -- 6 uF, across 10 V", ["C1 C2, charge, P", *lines])
    assert way in said(turns[-1])
    assert "more than one way" not in said(turns[-1])
    assert "if that is what you did" not in said(turns[-1])
