"""Exercises of books against the program: the printed answers come out, or the slip is shown."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from tests.circuit.test_published import half_up
from tests.exercised import printed, values_of

Case: TypeAlias = Mapping[str, Any]
CASES: list[Case] = tomllib.loads(
    (Path(__file__).parent / "cases" / "exercises.toml").read_text(encoding="utf-8")
)["case"]
WITHIN = Fraction(1, 200)  # books round on the way, and take 8.85e-12 F/m or k = 9e9 N m²/C²


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['source'][-40:]} {case['asked']}")
def test_the_printed_answer_comes_out(case: Case) -> None:
    found = values_of(case["text"])[case["asked"]]
    value, figures = printed(case["printed"])
    rounds_to = half_up(abs(found), figures) == abs(value)
    is_near = abs(abs(found) - abs(value)) <= WITHIN * abs(value)
    if case.get("agrees", True):
        assert rounds_to or is_near, float(found)
    else:
        assert not rounds_to, case["note"]


def test_each_is_there_once_with_its_source() -> None:
    assert len({(case["text"], case["asked"]) for case in CASES}) == len(CASES)
    assert all(case["source"].count(",") or "memory" in case["source"] for case in CASES)


def test_two_hundred_at_least_stand_there() -> None:
    """All of them can be said; of these at most two in a hundred show a slip of their book."""
    slips = [case for case in CASES if not case.get("agrees", True)]
    assert len(CASES) >= 200
    assert 50 * len(slips) <= len(CASES)
