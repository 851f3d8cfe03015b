"""Wrong rules about plates and ratings: their worked examples, on facts and in the dialogue."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from tests.teaching.staged.manners import at, on_facts, story, verdict
from tutor.teaching.exchange import hear
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.plates_and_ratings import PLATES, RATINGS

Case: TypeAlias = Mapping[str, Any]
CASES = tomllib.loads(
    (Path(__file__).parents[2] / "cases" / "malrules_plates_ratings.toml").read_text(
        encoding="utf-8"
    )
)
MINE = (*PLATES, *RATINGS)
BY_NAME = {rule.name: rule for rule in MINE}
IN_SCOPE = {"I3", *(f"I{number}" for number in range(5, 16)), "L1", "L2", "L5"}


def test_all_are_there_and_worked() -> None:
    assert {rule.code for rule in MINE} == IN_SCOPE
    assert {case["code"] for case in (*CASES["fact"], *CASES["told"])} == IN_SCOPE
    assert set(MINE) <= set(CATALOGUE)
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)+", rule.name) for rule in MINE)


@pytest.mark.parametrize("case", CASES["fact"], ids=lambda case: case["code"])
def test_on_facts(case: Case) -> None:
    rule = BY_NAME[case["name"]]
    assert rule.code == case["code"]
    numbers = [*rule.numbers(on_facts(case["facts"], case["right"]))]
    assert Fraction(case["wrong"]) in numbers != [Fraction(case["right"])]


@pytest.mark.parametrize("case", CASES["told"], ids=lambda c: f"{c['code']} {c['key']}")
def test_in_the_dialogue(case: Case) -> None:
    turn = at(story(case["text"]), case["key"])
    assert verdict(hear(turn.talk, case["right"])).verdict == "right"
    for wrong in case["wrong"]:
        said = verdict(hear(turn.talk, wrong))
        assert said.verdict == "wrong", wrong
        assert said.malrules == (case["name"],), wrong


def test_rules_that_do_not_fit_are_not_named() -> None:
    """Air has no permittivity to misuse, and an area in m² no unit to slip on."""
    turn = at(story("plates 0.01 m2 gap 1 mm"), "plates")
    for number in ("8854 pF", "89.5 pF"):
        assert not verdict(hear(turn.talk, number)).malrules
