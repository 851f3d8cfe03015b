"""What the tutor asks besides its question is answered, and the reply decides what is said."""

from __future__ import annotations

import re

import pytest

from grammar.tables import table
from tests.teaching.talking import converse, said
from tutor.teaching.rules.catalogue import CATALOGUE, SKILL_OF
from tutor.teaching.rules.idea_texts import PLACES, follow_up_of, text_of

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
    ([*BACK, "charge", "idk"], "48 and 4", "Yes. And what comes of the two?"),
    ([*BACK, "charge", "idk"], "Q1 = 48 uC and C1 = 4 uF", "Yes. And what comes of the two?"),
    ([*BACK, "charge", "idk"], "C = 4, Q = 48", "Yes. And what comes of the two?"),
    ([*BACK, "charge", "idk"], "C = 4 uF", "Yes. And the other of the two?"),
    ([*BACK, "charge", "idk"], "it holds all 48, and its 4", "Yes. And what comes of the two?"),
    ([*BACK, "charge", "10"], "the smaller gets more", "Yes: at one charge"),
    ([*BACK, "charge", "10"], "the larger one gets more volts", "No: at one charge"),
    (["C1 C2", "hint"], "P and B", "Yes, those two."),
    (["C1 C2", "hint"], "A and B", "C2 is between P and B."),
    (["C1 C2", "hint"], "P", "P, yes: C2 is between P and B."),
    (["C1 C2", "hint"], "at A", "C2 is between P and B."),
    (["C1 C2", "idk", "idk"], "nowhere", "Nothing else touches that metal: what one plate"),
    (["C1 C2", "idk", "idk"], "nowhere but the other plate", "Yes. Only from the other plate"),
    (["C1 C2", "idk", "idk"], "from C2", "Yes. Only from the other plate"),
    (["C1 C2", "idk", "idk"], "C1 or the plate of C2", "Yes. Only from the other plate"),
    (["C1 C2", "idk", "idk"], "at P", "Nothing else touches that metal: what one plate"),
    (["C1 C2", "idk", "idk"], "only from the neighbour's plate", "Yes. Only from the other plate"),
    (["C1 C2", "idk", "idk"], "from the battery", "Nothing else touches that metal"),
    ([*VALUE, "idk"], "1/C", "Yes. The p.d.s add"),
    ([*VALUE, "idk"], "the voltages", "Yes. The p.d.s add"),
    ([*VALUE, "idk"], "their charges", "They share one charge"),
])
def test_what_was_just_asked_is_what_is_answered(
    before: list[str], line: str, word: str
) -> None:
    turn = converse(CHAIN, [*before, line])[-1]
    assert word in said(turn)
    assert turn.messages[-1].kind == "ask"
    assert not any(message.verdict == "wrong" for message in turn.messages)


@pytest.mark.parametrize(("line", "word"), [
    ("the same", "Yes. The same on each."), ("half on each", "it reads the same on each"),
])
def test_what_a_meter_reads_side_by_side(line: str, word: str) -> None:
    turn = converse("4 uF || 6 uF, across 20 V", ["C1 C2", "idk", "idk", line])[-1]
    assert word in said(turn)
    assert not any(message.verdict for message in turn.messages)


def test_the_small_question_of_a_hint_stands_alone_and_the_large_one_comes_after_it() -> None:
    hinted, after = converse(CHAIN, ["C1 C2", "hint", "P and B"])[-2:]
    assert [m.text for m in hinted.messages] == [
        "C1 is between A and P.", "Between which points is C2?",
    ]
    assert after.messages[-1].text.startswith("What do C1 and C2 share")


def test_what_is_still_open_is_told_so_after_a_right_value_of_another() -> None:
    turn = converse(CHAIN, ["48 uC"])[-1]
    assert turn.messages[0].verdict == "right"
    assert turn.messages[-1].text.startswith("Still open: Which capacitors can be")


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


ROWS = table("tutor.teaching.rules", "wrong_ideas")
ASKING = {malrule.told_as or malrule.name for malrule in CATALOGUE}


def test_the_table_of_wrong_ideas_tells_of_each_and_of_nothing_else() -> None:
    assert set(ROWS) == {*SKILL_OF, *ASKING}


@pytest.mark.parametrize("name", ROWS)
def test_a_wrong_idea_is_told_whole_or_not_at_all(name: str) -> None:
    """All that a rule says of its numbers, and for what it asks back both answers, or neither."""
    assert all(isinstance(field, str) and field.strip() == field for field in ROWS[name].values())
    text, item = text_of(name), follow_up_of(name)
    assert text.idea or name not in SKILL_OF
    assert all((text.route, text.cannot, text.ask)) == (name in ASKING)
    assert all((text.right, text.wrong, text.yes, text.no)) == (item is not None)
    assert len({bool(each) for each in (text.right, text.wrong, text.yes, text.no)}) == 1
    if item is not None:
        assert name in ASKING
        for pattern in (item.right, item.wrong):
            re.compile(pattern)
            assert not re.search(r"\{[a-z]+\}", pattern), f"no words for it in {list(PLACES)}"


@pytest.mark.parametrize(("line", "told"), [
    ("p.d., Q and B", "Q is no point here: there are A, P and B."),
    ("voltage as both join P and X", "X is no point here: there are A, P and B."),
    ("p.d., P and B", ""), ("the charge Q", ""), ("Q at P and B", ""),
])
def test_a_point_that_is_not_there_is_told(line: str, told: str) -> None:
    turn = converse("3 uF -- (8 uF || 2 uF), across 20 V", ["C2 C3", line])[-1]
    first = turn.messages[0].text
    assert first == told if told else "no point here" not in first


@pytest.mark.parametrize(("line", "says"), [
    ("4+6", "by adding 4 µF and 6 µF."), ("C12 = 4 + 6 = 10 uF", "by adding 4 µF and 6 µF."),
    ("C1 + C2", "by adding 4 µF and 6 µF."), ("(4+6)/2", "by taking the average of"),
    ("4*6", "by multiplying 4 µF and 6 µF."), ("10", "How did 10 µF come about?"),
])
def test_a_way_that_is_typed_is_not_asked_for(line: str, says: str) -> None:
    assert says in said(converse(CHAIN, [*VALUE, line])[-1])
