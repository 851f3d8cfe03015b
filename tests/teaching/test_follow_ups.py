"""What the tutor asks besides its question is answered, and the reply decides what is said."""

from __future__ import annotations

import re

import pytest

from tests.teaching.talking import converse, said
from tutor.teaching.follow_ups import ITEMS
from tutor.teaching.rules.catalogue import CATALOGUE

CHAIN = "4 uF -- 6 uF, across 20 V"
VALUE = ["C1 C2, charge, at P"]
BACK = [*VALUE, "2.4 uF", "48 uC"]
SERIES_AND_PARALLEL = "along a chain the charge is the same"


@pytest.mark.parametrize(("before", "line", "word"), [
    ([*VALUE, "10", "a"], "the charge stays and the p.d.s add", "Yes. Along a chain"),
    ([*VALUE, "10", "a"], "the charge", "Yes. Along a chain"),
    ([*VALUE, "10", "a"], "capacitances add", "Along a chain the charge"),
    ([*VALUE, "10", "a"], "bananas", "could not read"),
    ([*VALUE, "idk", "idk"], "1/C", "Yes. 1/C adds"),
    ([*VALUE, "idk", "idk"], "reciprocals", "Yes. 1/C adds"),
    ([*VALUE, "idk", "idk"], "C", "each p.d. is that charge"),
    ([*BACK, "hint"], "one after the other", "Yes, they were."),
    ([*BACK, "hint"], "the same two points", "Look at the drawing"),
    ([*BACK, "charge", "idk", "idk"], "the small one", "Yes. A small"),
    (["C1 C2", "hint"], "P and B", "Yes, those two."),
])
def test_what_was_just_asked_is_what_is_answered(
    before: list[str], line: str, word: str
) -> None:
    turn = converse(CHAIN, [*before, line])[-1]
    assert word in said(turn)
    assert turn.messages[-1].kind == "ask"
    assert not any(message.verdict == "wrong" for message in turn.messages)


@pytest.mark.parametrize("line", ["the p.d.", "p.d.", "same p.d.", "not the charge", "charges add"])
def test_a_wrong_answer_to_a_follow_up_is_never_praised(line: str) -> None:
    turn = converse(CHAIN, [*VALUE, "10", "a", line])[-1]
    assert not said(turn).startswith("Yes")


def test_a_value_answers_the_question_in_hand_and_not_the_follow_up() -> None:
    turn = converse(CHAIN, [*VALUE, "10", "a", "2.4 uF"])[-1]
    assert turn.messages[0].verdict == "right"


def test_more_help_is_there_after_a_hint_was_answered() -> None:
    turn = converse(CHAIN, ["C1 C2", "hint", "P and B", "hint"])[-1]
    assert turn.messages[0].kind == "hint"


def test_every_item_belongs_to_a_wrong_rule_that_asks() -> None:
    asked = {malrule.name for malrule in CATALOGUE}
    assert ITEMS.keys() <= asked
    for item in ITEMS.values():
        re.compile(item.right), re.compile(item.wrong)
