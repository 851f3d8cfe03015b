"""When a stated value is right: the tolerance, units, powers of ten and own rounded values.

The rules are common practice, no source; the numbers here are worked by hand.
"""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.answers import Measure, evaluate, read_claims
from grammar.measures import PURE
from grammar.records import Dimension
from tests.teaching.learner import rounded
from tutor.teaching.judging import Judged, judge

CASES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "judged.toml").read_text(encoding="utf-8")
)["judged"]
MICRO = Fraction(1, 10**6)
KINDS: dict[str, Dimension] = {"C": "capacitance", "V": "voltage", "Q": "charge"}
POWERS = {"C": -6, "V": 0, "Q": -6}


def measured(text: str) -> Measure:
    (claim,) = read_claims(text, [])
    return evaluate(claim.sides[-1], {})


def judged(text: str, exact: Fraction, symbol: str = "C", own: Fraction | None = None) -> Judged:
    power = POWERS[symbol]
    scale = Fraction(10) ** power
    return judge(measured(text), KINDS[symbol], power, exact * scale,
                 own * scale if own is not None else None)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['typed']} for {case['exact']}")
def test_judged(case: dict[str, Any]) -> None:
    own = Fraction(case["own"]) if "own" in case else None
    found = judged(case["typed"], Fraction(case["exact"]), case.get("symbol", "C"), own)
    assert (found.verdict, found.note) == (case["verdict"], case.get("note", ""))
    assert found.bare == case.get("bare", False) or found.note == "unit"


def test_a_bare_number_may_count_in_the_prefix_that_the_value_is_shown_with() -> None:
    """0.05 µF is shown as 50 nF, and 0.5 µF as 0.5 µF."""
    assert judged("50", Fraction(1, 20)).verdict == "right"
    assert judged("0.05", Fraction(1, 20)).verdict == "right"
    assert judged("500", Fraction(1, 2)).verdict == "wrong"
    plain = judge(measured("50"), PURE, 0, Fraction(1, 20))
    assert plain.verdict == "wrong"


@given(st.fractions(min_value=Fraction(1, 1000), max_value=5000), st.integers(3, 8))
def test_any_value_rounded_to_three_figures_or_more_is_right(
    exact: Fraction, figures: int
) -> None:
    assert judged(f"{rounded(exact, figures)} uF", exact).verdict == "right"


@given(st.fractions(min_value=Fraction(1, 1000), max_value=5000))
def test_a_fraction_is_right_only_if_equal_or_within_half_a_per_cent(exact: Fraction) -> None:
    assert judged(f"{exact.numerator}/{exact.denominator} uF", exact).verdict == "right"
    off = exact * Fraction(1011, 1000)
    assert judged(f"{off.numerator}/{off.denominator} uF", exact).verdict == "wrong"


@given(st.fractions(min_value=Fraction(1, 100), max_value=900), st.integers(101, 9000))
def test_a_value_more_than_a_figure_off_is_wrong(exact: Fraction, factor: int) -> None:
    off = exact * factor / 100
    if abs(off - exact) < exact / 10 or any(
        abs(off - exact * 10**power) < exact * 10**power / 10 for power in range(5)
    ):
        return
    found = judged(f"{rounded(off, 4)} uF", exact)
    assert (found.verdict, found.note) == ("wrong", "")


@pytest.mark.parametrize("shift", [-12, -9, -6, -3, 3, 6, 9, 12])
def test_the_power_of_ten_that_is_off_is_told(shift: int) -> None:
    found = judged(f"2.22e{shift - 6} F", Fraction(20, 9))
    assert (found.verdict, found.note, found.shift) == ("wrong", "power of ten", -shift)


def test_nought_is_right_for_nought_alone() -> None:
    assert judged("0 V", Fraction(0), "V").verdict == "right"
    assert judged("0", Fraction(0), "V").verdict == "right"
    assert judged("0 V", Fraction(3), "V").verdict == "wrong"
    assert judged("0.1 V", Fraction(0), "V").verdict == "wrong"
