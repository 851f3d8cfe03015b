"""What a stated line claims: which quantity, which side decides, and which set it combines."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from tests.teaching.talking import LADDER, asked, converse, said, shape, standing
from tutor.circuit.steps import Choice, examine
from tutor.teaching.claims import Stated, group_of, names_now, read, state
from tutor.teaching.quantities import Quantity
from tutor.teaching.walk import Walk

AT_VALUE = ("C2 C3", "pd, P and B")
AT_CHARGE = (*AT_VALUE, "5 uF", "C1 C23", "charge P", "20/9")


def walk_after(*lines: str, text: str = LADDER) -> Walk:
    return standing(converse(text, lines)[-1].walk)


def stated(walk: Walk, line: str) -> Stated:
    (claim,) = read(walk, line)
    found = state(walk, asked(walk), claim)
    assert found is not None
    return found


@pytest.mark.parametrize(("line", "name", "verdict"), [
    ("5 uF", "C23", "right"),
    ("C23 = 5 uF", "C23", "right"),
    ("c23 = 2 + 3", "C23", "right"),
    ("C23 = C2 + C3 = 5 uF", "C23", "right"),
    ("C2 + C3", "C23", "right"),
    ("C2 + C3 = 5 uF", "C23", "right"),
    ("C23 = C2*C3 = 6 uF", "C23", "wrong"),
    ("C23 = C2 + C3 = 6 uF", "C23", "wrong"),
    ("C23 = 6 uF = 5 uF", "C23", "wrong"),
    ("C23 = C2 + C3 = 5000", "C23", "wrong"),
    ("C = 20/9 uF", "C", "right"),
    ("Ceq = 2.22", "C", "right"),
    ("C123 = 2.22 uF", "C123", "right"),
    ("V1 = 6.67 V", "V1", "right"),
    ("U1 = 6.67 V", "V1", "right"),
    ("V_1 = 6.67", "V1", "right"),
    ("Q3 = 16 uC", "Q3", "right"),
    ("q3 = 17 uC", "Q3", "wrong"),
    ("Q = 26.7 uC", "Q", "right"),
    ("E2 = 28.4 uJ", "E2", "right"),
    ("W2 = 28.4 uJ", "E2", "right"),
    ("charge on C3 = 16 uC", "Q3", "right"),
    ("voltage across C1 is 6.67", "V1", "right"),
])
def test_what_a_line_is_about(line: str, name: str, verdict: str) -> None:
    found = stated(walk_after(*AT_VALUE), line)
    assert found.quantity.name == name
    assert found.judged.verdict == verdict


@pytest.mark.parametrize(("line", "ruled"), [
    ("5 uF", False), ("C23 = 5 uF", False), ("2 + 3", True), ("C2 + C3 = 5 uF", True),
    ("C23 = C2 + C3", True),
])
def test_a_rule_is_shown_by_names_or_several_numbers(line: str, ruled: bool) -> None:
    assert stated(walk_after(*AT_VALUE), line).ruled == ruled


def test_a_reciprocal_is_judged_turned_over() -> None:
    walk = walk_after(*AT_VALUE, "5 uF", "C1 C23", "charge P")
    found = stated(walk, "1/C123 = 1/4 + 1/5")
    assert found.turned
    assert found.quantity == Quantity("C", "C123")
    assert found.judged.verdict == "right"
    assert stated(walk, "1/C123 = 1/C1 + 1/C23 = 9/20").judged.verdict == "right"
    assert stated(walk, "1/C123 = 1/9").judged.verdict == "wrong"


def test_names_of_what_is_not_known_yet_have_no_value() -> None:
    turn = converse(LADDER, [*AT_VALUE, "Q1/V1"])[-1]
    assert shape(turn) == ["verdict unread value", "ask value"]
    assert "has no value yet" in said(turn)


def test_names_now_hold_given_made_and_whole() -> None:
    names = names_now(walk_after(*AT_CHARGE))
    assert {names[name] for name in ("C", "Ceq", "Ctot")} == {Quantity("C")}
    assert names["Q23"] == Quantity("Q", "C23")
    assert names["U1"] == names["V1"] == Quantity("V", "C1")
    assert "V9" not in names


def group(walk: Walk, line: str) -> tuple[str, ...] | None:
    (claim,) = read(walk, line)
    return group_of(walk, claim)


@pytest.mark.parametrize(("line", "names"), [
    ("C23 = 5 uF", ("C2", "C3")),
    ("C23 = C2 + C3", ("C2", "C3")),
    ("C12 = 6 uF", ("C1", "C2")),
    ("C123 = C1 + C2 + C3", ("C1", "C2", "C3")),
    ("C123 = 2.22 uF", None),
    ("C = 2.22 uF", None),
    ("Q23 = C2*V + C3*V", None),
    ("V1 = 6.67 V", None),
    ("5 uF", None),
])
def test_which_set_a_claim_combines(line: str, names: tuple[str, ...] | None) -> None:
    assert group(walk_after(), line) == names


def test_a_name_that_fits_two_sets_means_the_one_that_can_be_combined() -> None:
    text = "; ".join([
        "C1 = 1 uF from A to P", "C2 = 2 uF from P to B", "C12 = 3 uF from P to B",
        "C3 = 4 uF from B to A", "ends A and B",
    ])
    walk = walk_after(text=text)
    names = group(walk, "C122 = 5 uF")
    assert names == ("C2", "C12")
    assert isinstance(examine(walk.network, names), Choice)


def shapes(lines: Iterable[str]) -> list[list[str]]:
    return [shape(turn) for turn in converse(LADDER, lines)[1:]]


def test_a_set_that_cannot_be_combined_is_refused_at_its_point() -> None:
    turn = converse(LADDER, ["C12 = 6 uF"])[-1]
    assert shape(turn) == ["verdict wrong choice", "ask choice"]
    assert "Three plates meet at P: C1, C2 and C3." in said(turn)
    assert "so C1 and C2 need not hold the same charge" in said(turn)


def test_all_side_by_side_is_answered_with_the_one_that_is_not() -> None:
    turn = converse(LADDER, ["C123 = C1 + C2 + C3 = 9 uF"])[-1]
    assert "C2 and C3 join P and B, yes. But C1 joins A and P." in said(turn)


def test_a_line_that_divides_by_nought_keeps_what_was_right_before_it() -> None:
    turn = converse(LADDER, ["C23 = C2 + C3 = 5 uF, C123 = C1/0"])[-1]
    assert shape(turn) == [
        "verdict right value", "reveal value", "verdict unread choice", "ask choice"
    ]
    assert Quantity("C", "C23") in turn.walk.known


def test_own_rounded_values_pass_on_along_the_way_back() -> None:
    """1.005 µF written 1.01, and 10.1 µC on it: V1 = 10.1/2.01 from own values, 0.5 % off."""
    text = "2.01 uF -- 2.01 uF, across 10 V"
    lines = ["C1 C2", "charge P", "1.01 uF", "10.1 uC", "charge", "5.02 V"]
    assert shape(converse(text, lines)[-1])[0] == "verdict right voltage"


@pytest.mark.parametrize("line", ["C23 = ", "C99 = 5 uF", "5 uF uF", "C23 := (2+3",
                                  "2 || 3", "12 parsec"])
def test_lines_that_cannot_be_read_cost_nothing(line: str) -> None:
    turn = converse(LADDER, [*AT_VALUE, line])[-1]
    assert shape(turn) == ["verdict unread value", "ask value"]
    assert turn.walk.tries == 0
