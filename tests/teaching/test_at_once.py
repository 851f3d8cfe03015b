"""Several answers on one line: each piece is heard in turn, until one is wrong."""

from __future__ import annotations

import pytest

from tests.teaching.talking import LADDER, converse, said, shape, standing
from tutor.teaching.at_once import WAITING
from tutor.teaching.quantities import Quantity

CHAIN = "3 uF -- 7 uF, across 20 V"


@pytest.mark.parametrize(("text", "line", "steps"), [
    (CHAIN, "C1 C2, charge at P, 2.1 uF", 1),
    (CHAIN, "C1, C2; the charge; P; C12 = 2.1 uF", 1),
    (CHAIN, "the 3, the 7, charge, P, 21/10", 1),
    (LADDER, "C2 C3, p.d., P and B, 5 uF, C1 C23, charge, P, 20/9", 2),
])
def test_names_words_and_values_on_one_line(text: str, line: str, steps: int) -> None:
    turn = converse(text, [line])[-1]
    assert len(standing(turn.talk).steps) == steps
    assert [m.kind for m in turn.messages].count("ask") == 1
    assert WAITING not in said(turn)


@pytest.mark.parametrize("line", [
    "C1 C2, charge, P, 2.1 uF", "C2 C3, the charge, 5 uF", "C2 C3, the charge, what, 5 uF",
])
def test_what_follows_a_wrong_piece_waits(line: str) -> None:
    turn = converse(LADDER, [line])[-1]
    assert WAITING in said(turn)
    assert shape(turn)[-1].startswith("ask")
    assert not standing(turn.talk).steps


@pytest.mark.parametrize("line", ["C2, C3", "3, 2", "the 2, the 3", "C2 C3, please"])
def test_a_list_of_names_is_one_answer(line: str) -> None:
    assert shape(converse(LADDER, [line])[-1]) == ["verdict right choice", "ask shares"]


def test_values_without_names_answer_one_question_after_the_other() -> None:
    opening = ("C1 C2, charge at P, 2.1 uF", "42 uC", "charge")
    turn = converse(CHAIN, [*opening, "14 V, 6 V"])[-1]
    assert {Quantity("V", "C1"), Quantity("V", "C2")} <= set(turn.walk.known)
    missed = converse(CHAIN, [*opening, "13 V", "14 V, 8 V"])[-1]
    assert "At 8 V C2 would hold 56 µC" in said(missed)
    assert Quantity("V", "C2") not in missed.walk.known


@pytest.mark.parametrize(("line", "names"), [
    ("Q1 = Q2 = 42 uC", {"Q1", "Q2"}),
    ("Q1 = Q2 = Q = 42 uC", {"Q", "Q1", "Q2"}),
    ("V1 = 14 V = 14", {"V1"}),
])
def test_one_value_for_several_names(line: str, names: set[str]) -> None:
    turn = converse(CHAIN, [line])[-1]
    assert names <= {quantity.name for quantity in turn.walk.known}
    assert {m.verdict for m in turn.messages if m.kind == "verdict"} == {"right"}


def test_bare_number_after_a_sharing_without_its_reason_is_the_value_it_leads_to() -> None:
    turn = converse(LADDER, ["C2 and C3 pd 5"])[-1]
    assert "C23 = 5 µF: right." in said(turn)
    assert "Why do C2 and C3" not in said(turn)
