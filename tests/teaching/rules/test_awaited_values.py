"""What a question asked back expects, where it supposes what the learner has done: by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.teaching.rules.test_diagnosis import scene
from tests.teaching.staged.manners import on_facts, story
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.awaited_values import VALUES_BACK
from tutor.teaching.rules.context import RuleContext

PAIR, SET = "3 uF -- 7 uF, across 12 V", "3 uF || 7 uF, across 12 V"


def awaited(name: str, context: RuleContext, wrong: str = "6") -> list[tuple[str, str, str | None]]:
    found = VALUES_BACK[name](context, Fraction(wrong))
    return [(each.symbol, str(each.number), each.of) for each in found]


@pytest.mark.parametrize(("name", "text", "asked", "wrong", "values"), [
    # 6 V on each would need 18 µC on the 3 and 42 µC on the 7
    ("splits-the-pd-equally", PAIR, ("V", "C1"), "6", [("Q", "18", "C1"), ("Q", "42", "C2")]),
    # 60 µC on each would put 20 V on the 3 and 60/7 V on the 7
    ("splits-charge-equally-between-branches", SET, ("Q", "C1"), "60",
     [("V", "20", "C1"), ("V", "60/7", "C2")]),
    # while it is charged its p.d. goes from 0 to 8.4 V, 4.2 V on the way
    ("leaves-out-the-half", PAIR, ("E", "C1"), "0",
     [("V", "0", None), ("V", "42/5", None), ("V", "21/5", None)]),
    ("energy-at-the-supply-pd", PAIR, ("E", "C1"), "0", [("V", "42/5", None)]),
    ("energy-with-the-total-charge", SET, ("E", "C1"), "0", [("Q", "36", None)]),
    ("energy-of-the-whole-for-a-part", SET, ("E", "C1"), "0",
     [("Q", "36", None), ("V", "12", None)]),
    # at 1 V each holds as many µC as it has µF
    ("average-of-parallel", SET, ("C", "C12"), "5",
     [("Q", "3", "C1"), ("Q", "7", "C2"), ("Q", "10", None)]),
    ("full-supply-pd-on-each", PAIR, ("V", "C1"), "12", [("V", "0", None)]),
    ("own-capacitance-times-supply", PAIR, ("Q", "C1"), "36", [("V", "42/5", None)]),
    ("all-the-charge-on-each-branch", SET, ("Q", "C1"), "120", [("Q", "0", None)]),
    ("blocks-charge-on-each-branch", SET, ("Q", "C1"), "120", [("Q", "0", None)]),
    ("two-share-rule-on-three", PAIR, ("V", "C2"), "1", [("Q", "126/5", None)]),
    ("whole-equivalent-for-a-part", PAIR, ("V", "C2"), "1",
     [("Q", "126/5", None), ("V", "18/5", None), ("C", "7", None)]),
])
def test_values_that_a_wrong_idea_would_need(
    name: str, text: str, asked: tuple[str, str], wrong: str, values: list[tuple[str, str, str]]
) -> None:
    assert awaited(name, scene(text, *asked), wrong) == values


def test_what_is_not_known_is_not_awaited() -> None:
    nothing = RuleContext("charge", Fraction(1))
    for name in ("leaves-out-the-half", "energy-at-the-supply-pd", "whole-equivalent-for-a-part",
                 "keeps-the-pd", "adds-unlike-charges", "adds-the-ratings-of-a-chain"):
        assert awaited(name, nothing) == []


@pytest.mark.parametrize(("name", "facts", "values"), [
    ("keeps-the-pd", {"c0": "2", "v0": "-30", "c1": "3", "v1": "25"}, [("Q", "15", None)]),
    ("keeps-the-pd", {"c0": "2", "v0": "-30", "c1": "3", "v1": "10"}, [("Q", "30", None)]),
    ("adds-unlike-charges", {"q0": "60", "q1": "75", "opposed": "1"},
     [("Q", "60", None), ("Q", "-75", None)]),
    ("adds-unlike-charges", {"c0": "2", "v0": "-30", "c1": "3", "v1": "25", "c2": "5", "v2": "0"},
     [("Q", "-60", None), ("Q", "75", None)]),
    ("adds-unlike-charges", {"q0": "60", "q1": "75", "q2": "5", "opposed": "1"}, []),
    ("adds-unlike-charges", {"q0": "60", "q1": "75"}, []),
    ("adds-the-ratings-of-a-chain", {"first at the sum": "60"}, [("V", "60", None)]),
    ("adds-or-takes-the-largest-rating", {"largest": "100"}, [("V", "100", None)]),
])
def test_values_from_facts(
    name: str, facts: dict[str, str], values: list[tuple[str, str, str | None]]
) -> None:
    assert awaited(name, on_facts(facts, "1")) == values


def test_values_of_a_story() -> None:
    told = story("C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2")
    (ask,) = (ask for ask in told.asks if ask.key == "common p.d.")
    context = context_of_ask(ask, told.powers)
    assert context is not None
    assert awaited("keeps-the-pd", context) == [("Q", "30", None)]
