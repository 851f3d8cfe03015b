"""What free words are taken to mean; the tables are in cases/hearing.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.teaching.talking import problem_of
from tutor.teaching.hearing import (
    REQUESTS,
    UNSURE,
    points_in,
    request_in,
    sharing_in,
    yes_or_no,
)
from tutor.teaching.pointing import Chosen, capacitors_in

CASES: dict[str, list[dict[str, Any]]] = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "hearing.toml").read_text(encoding="utf-8")
)
FOUR = problem_of("C1 = 3 uF -- (C2 = 7 uF || C3 = 7 uF) -- C4 = 2 uF, across 12 V").network
JOINS = problem_of(
    "C1 = 3 uF from A to m; C2 = 7 uF from m to I; C3 = 1 uF from I to B; ends A and B"
).network


def ids(case: dict[str, Any]) -> str:
    return str(case["line"])


@pytest.mark.parametrize("case", CASES["request"], ids=ids)
def test_request(case: dict[str, Any]) -> None:
    assert request_in(case["line"]) == case.get("means")


def test_no_phrase_is_two_requests() -> None:
    phrases = [phrase for every in REQUESTS.values() for phrase in every]
    assert len(phrases) == len(set(phrases))
    assert not set(phrases) & set(UNSURE)


@pytest.mark.parametrize("phrase", [p for every in REQUESTS.values() for p in every])
def test_requests_in_any_case_and_with_courtesies(phrase: str) -> None:
    plain = request_in(phrase)
    assert plain is not None
    assert {request_in(f"Please, {phrase.upper()}."), request_in(f"{phrase} please")} == {plain}


@pytest.mark.parametrize("case", CASES["chosen"], ids=ids)
def test_capacitors(case: dict[str, Any]) -> None:
    chosen = capacitors_in(case["line"], FOUR, -6)
    if "names" not in case:
        assert chosen is None or chosen.unknown or chosen.doubtful
        return
    assert chosen is not None
    assert list(chosen.names) == case["names"]
    assert chosen.kind == case.get("kind")
    assert list(chosen.unknown) == case.get("unknown", [])
    assert not chosen.doubtful


def test_a_value_that_two_have_is_asked_about() -> None:
    chosen = capacitors_in("the 3 and the 7", FOUR, -6)
    assert chosen is not None
    assert chosen.names == ("C1",)
    assert chosen.doubtful == "7"


@pytest.mark.parametrize("case", CASES["shared"], ids=ids)
def test_sharing(case: dict[str, Any]) -> None:
    shared = sharing_in(case["line"], FOUR)
    if "quantity" not in case and "points" not in case:
        assert shared is None
        return
    assert shared is not None
    assert shared.quantity == case.get("quantity")
    assert list(shared.points) == case.get("points", [])


@pytest.mark.parametrize(("line", "points"), [
    ("a and B", ["A", "B"]), ("m", ["m"]), ("M, I", ["m", "I"]), ("at m only", ["m"]),
    ("A", ["A"]), ("i think at m", ["m"]), ("X", []), ("", []),
])
def test_points(line: str, points: list[str]) -> None:
    assert list(points_in(line, JOINS)) == points


@given(st.text(max_size=60))
def test_no_line_breaks_the_hearing(line: str) -> None:
    chosen = capacitors_in(line, FOUR, -6)
    assert chosen is None or isinstance(chosen, Chosen)
    if chosen is not None:
        assert set(chosen.names) <= {c.name for c in FOUR.capacitors}
    shared = sharing_in(line, FOUR)
    assert shared is None or set(shared.points) <= set(FOUR.points())
    request_in(line)


@pytest.mark.parametrize("line", [
    "yes", "y", "yep", "Yeah, that's it", "ok", "that is it", "it is", "looks good to me", "ja",
    "exactly", "that's what I meant", "correct!", "I think so", "right",
])
def test_a_short_line_that_agrees(line: str) -> None:
    assert yes_or_no(line) is True


@pytest.mark.parametrize("line", ["no", "n", "nope", "nah", "not really", "no thanks", "neither"])
def test_a_short_line_that_denies(line: str) -> None:
    assert yes_or_no(line) is False


@pytest.mark.parametrize("line", [
    "C1 and C2", "yes but with 5 uF", "no, 3 uF -- 4 uF", "the charge", "", "a", "maybe",
    "right of C1 there is 5 uF", "not C1 but C2", "none of them can be combined any more, I think",
])
def test_a_line_that_says_more_is_neither(line: str) -> None:
    assert yes_or_no(line) is None
