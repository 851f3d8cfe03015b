"""What if where series and parallel stick: on a bridge, and at any moment of its walk."""

from __future__ import annotations

import pytest

from tests.teaching.talking import converse, problem_of, said, told
from tutor.teaching.exchange import begin, hear
from tutor.teaching.messages import Message
from tutor.teaching.turn import Turn

JOINS = (
    "C1 = {} from A to P; C2 = {} from A to Q; C3 = {} from P to B; C4 = {} from Q to B; "
    "C5 = {} from P to Q; ends A and B"
)
BALANCED = JOINS.format("2 uF", "4 uF", "3 uF", "6 uF", "5 uF") + ", across 10 V"
BRIDGE = JOINS.format("1 uF", "2 uF", "2 uF", "1 uF", "1 uF") + ", across 12 V"
LETTERS = JOINS.format("C", "D", "K", "C", "C") + ", across V"


def last(text: str, *lines: str) -> Turn:
    return converse(text, lines)[-1]


def verdict(turn: Turn) -> Message:
    return told(turn, "verdict")[0]


def test_what_joins_points_at_one_potential_may_have_any_value() -> None:
    for change in ("C5 is doubled", "C5 is removed", "C5 is a wire", "5 uF is added beside C5"):
        turn = last(BALANCED, f"what if {change}", "C same, Q same, V_P same")
        assert verdict(turn).verdict == "right"
        both = said(hear(turn.talk, "show"))
        assert "which are at one potential, since C1/C3 equals C2/C4" in both


def test_unbalancing_gives_the_joining_one_a_charge_with_its_sign() -> None:
    turn = last(BALANCED, "what if C1 is doubled", "C up, V_P up, Q5 up")
    assert verdict(turn).verdict == "right"
    both = said(hear(turn.talk, "show"))
    assert "C5, which had no charge, takes some, with its + plate at P." in both
    turn = last(BALANCED, "what if C2 is doubled", "Q5 same")
    assert verdict(turn).verdict == "wrong"
    assert "with its + plate at Q." in said(turn)


def test_balancing_takes_its_charge() -> None:
    turn = last(BRIDGE, "what if C3 = 0.5 uF", "Q5 down", "show")
    assert "C1/C3 equals C2/C4" in said(turn)
    assert "C5 has no p.d. and no charge now." in said(turn)


def test_more_capacitance_can_only_raise_the_whole() -> None:
    turn = last(BRIDGE, "what if C5 is doubled", "C down")
    assert verdict(turn).text == (
        "C down does not fit. C5 joins Q and P, which are at different potentials. With more "
        "capacitance there the ends, A and B, take more charge at the same p.d.: the whole is "
        "larger."
    )
    assert "The potentials of Q and P come nearer to each other." in said(turn)


def test_a_floating_point_goes_towards_the_end_whose_capacitor_grew() -> None:
    turn = last(BRIDGE, "what if C3 = 4 uF", "V_P up, V_Q up")
    assert verdict(turn).text.splitlines()[0] == (
        "V_P up does not fit. C3 joins P and B, which is at the lower potential. With more "
        "capacitance between them P is drawn nearer to it: V_P goes down."
    )
    assert "V_Q = (C2 × V + C5 × V_P)/(C2 + C4 + C5), counted from B." in verdict(turn).text


def test_what_goes_up_in_one_place_and_down_in_another_is_left_to_the_balance() -> None:
    turn = last(BRIDGE, "what if C1 and C3 swap", "C same")
    assert "no rule alone decides. The balance of charges at P and Q does" in said(turn)


def test_the_plates_may_change_signs() -> None:
    turn = last(BRIDGE, "what if C1 = 9 uF", "V5 down", "show")
    assert "The plates of C5 change signs: its + plate is now at P." in said(turn)


def test_the_whole_alone_without_a_supply() -> None:
    turn = last(BRIDGE.partition(", across")[0], "what if C5 is removed", "C down")
    assert verdict(turn).verdict == "right"
    assert "potentials of" not in said(turn)


def test_letters_may_leave_open_whether_but_not_which_way() -> None:
    texts = {
        way: verdict(last(LETTERS, "what if C5 is doubled", f"C {way}"))
        for way in ("up", "same", "down")
    }
    assert texts["up"].text.startswith("C_total up: right, unless the values happen to balance")
    assert texts["same"].verdict == "incomplete"
    assert texts["down"].verdict == "wrong"
    open_sign = last(LETTERS, "what if C1 is doubled", "V5 up")
    assert "it depends on the values of the letters" in verdict(open_sign).text


# At any moment of a walk


@pytest.mark.parametrize("before", [
    (), ("none",), ("none", "no", "4.8 V"), ("none", "no", "idk"),
    ("none", "no", "4.8 V", "7.2 V"),
    ("star for A P Q",), ("star for A P Q", "5 uF", "2.5 uF", "5 uF"),
])
def test_it_opens_at_any_moment_and_the_question_comes_back(before: tuple[str, ...]) -> None:
    waiting = converse(BRIDGE, before)[-1]
    opened = hear(waiting.talk, "what if C5 is doubled")
    assert opened.messages[-1].about == "change"
    for line in ("list", "set figures 3", "fair copy", "what can I type", "hint"):
        opened = hear(opened.talk, line)
        assert opened.messages[-1].about == "change"
        assert opened.talk.open("what if") is not None
    closed = hear(hear(opened.talk, "C up").talk, "show")
    assert closed.messages[-1].text == waiting.messages[-1].text
    assert "C: up" in said(closed)
    assert "1.43 µF" not in said(closed)
    assert "V_P: up" in said(closed) or "V_P: 4.8 V before" in said(closed)
    left = hear(opened.talk, "undo")
    assert left.messages[-1].text == waiting.messages[-1].text


def test_only_what_is_known_comes_with_numbers() -> None:
    before = last(BRIDGE, "none", "no", "what if C5 is doubled", "show")
    assert "V_P: up" in said(before)
    assert "Q1: down" in said(before)


def test_the_detour_keeps_its_place_and_tells_what_it_has_found() -> None:
    lines = ["star for A P Q", "5 uF", "2.5 uF", "5 uF", "what if C1 is doubled"]
    turn = last(BRIDGE, *lines)
    assert turn.talk.open("detour") is not None
    assert "Suppose C1 is 2 µF in place of 1 µF." in said(turn)
    assert hear(turn.talk, "stop").walk.over
    assert hear(turn.talk, "start again").talk.open("what if") is None


def test_one_who_will_build_it_is_asked_the_question_in_hand() -> None:
    for lines in (["none"], ["star for A P Q", "5 uF", "2.5 uF", "5 uF"], ["what if C1 = 3 uF"]):
        waiting = converse(BRIDGE, lines)[-1]
        assert hear(waiting.talk, "I will build it").messages[-1] == waiting.messages[-1]


def test_a_broken_bridge_is_said_in_words() -> None:
    turn = last(BRIDGE, "none", "no", "what if C1 and C2 are removed")
    assert "Without C1 and C2 no way is left" in said(turn)
    assert turn.talk.open("what if") is None
    assert "What is the potential of P" in turn.messages[-1].text


def test_a_cube_of_one_value_may_have_one_changed() -> None:
    edges = ["AP", "AQ", "AR", "PS", "PT", "QS", "QU", "RT", "RU", "SB", "TB", "UB"]
    cube = "; ".join(f"C{n} = 1 uF from {e[0]} to {e[1]}" for n, e in enumerate(edges, start=1))
    opened = begin(problem_of(f"{cube}; ends A and B; across 5 V"))
    turn = hear(hear(opened.talk, "what if C1 is doubled").talk, "C up, V_P up, V_U up")
    assert verdict(turn).verdict == "right"
