"""When a skill is looked at again: the table of sessions, and the fading between them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.learner.answers import NOBODY, answer, answered, seen, steady_in
from tutor.learner.review import (
    WITHOUT_A_DATE,
    first_gap,
    known_now,
    latest_session,
    sessions,
    start_of,
    to_look_at,
)
from tutor.learner.standing import DAY, Practised, Seen, Standing, standing_of, with_seen

Case: TypeAlias = Mapping[str, Any]

CASES = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "knowledge.toml").read_text(encoding="utf-8")
)
BEGINNING = date(1970, 1, 1)
HOUR = DAY / 24


@pytest.mark.parametrize("case", CASES["plan"], ids=str)
def test_the_table_of_sessions(case: Case) -> None:
    assert list(sessions(case.get("exam"))) == case["sessions"]


@pytest.mark.parametrize("case", CASES["gap"], ids=str)
def test_the_first_gap(case: Case) -> None:
    assert round(first_gap(case["days"]), 1) == case["first"]


def test_the_first_gap_is_a_share_within_what_was_found() -> None:
    """20 to 40 % at a week, 5 to 10 % at a year: Cepeda and others 2008."""
    assert 0.2 <= first_gap(7) / 7 <= 0.4
    assert 0.05 <= first_gap(365) / 365 <= 0.1


@given(st.integers(1, 800))
def test_sessions_for_any_number_of_days(days: int) -> None:
    plan = sessions(days)
    assert plan[0] == 0
    assert plan[-1] == days - 1
    assert list(plan) == sorted(set(plan))
    gaps = [later - earlier for earlier, later in pairwise(plan)]
    # They widen; whole days may make one of them shorter by a day, and the last is what is left.
    assert all(b >= a - 1 for a, b in pairwise(gaps[:-1]))
    assert not gaps or days <= 8 or gaps[-1] >= gaps[0]


@given(st.integers(1, 400), st.floats(0, 500))
def test_the_latest_session_is_one_of_the_plan_and_has_come(days: int, elapsed: float) -> None:
    found = latest_session(elapsed, days)
    assert found in sessions(days)
    assert found <= elapsed + 0.5


def test_without_a_date_a_look_a_month_for_good() -> None:
    last = WITHOUT_A_DATE[-1]
    days = [last - 1, last, last + 29, last + 30, last + 59, last + 60, last + 300]
    assert [latest_session(day, None) for day in days] == [
        16, last, last, last + 30, last + 30, last + 60, last + 300
    ]


def test_a_session_has_come_whatever_the_hour() -> None:
    assert [latest_session(day, 14) for day in (2.4, 2.6, 3.4, 5.4)] == [0, 3, 3, 3]


# What is to be looked at


def _skills(standing: Standing, day: float, exam: date | None = None) -> list[str]:
    return [look.skill for look in to_look_at(standing, day * DAY, exam)]


def test_nothing_is_looked_at_that_was_not_mastered() -> None:
    assert _skills(NOBODY, 100) == []
    assert _skills(answered("S11", "rrw"), 100) == []


def test_a_skill_is_looked_at_on_its_day_and_no_earlier() -> None:
    standing = answered("S11", "rrr")
    assert [bool(_skills(standing, day)) for day in (0, 0.4, 0.6, 1)] == [False, False, True, True]


def test_the_days_follow_the_exam() -> None:
    standing = answered("S11", "rrr")
    exam = BEGINNING + timedelta(days=28)
    assert [bool(_skills(standing, day, exam)) for day in (1, 4, 5, 6)] == [
        False, False, True, True
    ]


def test_an_exam_that_is_past_does_not_count() -> None:
    standing = answered("S11", "rrr", day=10)
    past = BEGINNING + timedelta(days=4)
    for day in (10, 11, 14, 30):
        assert _skills(standing, day, past) == _skills(standing, day)


def test_a_clean_answer_is_good_until_the_next_session() -> None:
    standing = with_seen(answered("S11", "rrr"), Seen(answer("S11"), "later", 1.2 * DAY))
    assert [bool(_skills(standing, day)) for day in (1.3, 2, 3)] == [False, False, True]


def test_a_session_is_done_from_half_a_day_before() -> None:
    standing = with_seen(answered("S11", "rrr"), Seen(answer("S11"), "later", 0.6 * DAY))
    assert _skills(standing, 1) == []


def test_practice_before_the_day_does_not_replace_it() -> None:
    standing = with_seen(answered("S11", "rrr"), Seen(answer("S11"), "soon", 2 * HOUR))
    assert _skills(standing, 1) == ["S11"]


def test_however_many_were_missed_one_look_makes_up_for_them() -> None:
    standing = answered("S11", "rrr")
    assert _skills(standing, 40) == ["S11"]
    looked = with_seen(standing, Seen(answer("S11"), "later", 40 * DAY))
    assert looked.of("S11").known >= standing.of("S11").known
    assert _skills(looked, 40) == []


def test_one_that_went_wrong_comes_again() -> None:
    standing = with_seen(answered("S11", "rrr"), Seen(answer("S11", "w"), "later", DAY))
    [look] = to_look_at(standing, DAY, None)
    assert look == ("S11", "it did not come right the last time")


@pytest.mark.parametrize(
    ("day", "why"),
    [(0.6, "it last came right a day ago"), (1, "it last came right a day ago"),
     (7, "it last came right 7 days ago")],
)
def test_the_reason_is_when_it_last_came_right(day: float, why: str) -> None:
    assert [look.why for look in to_look_at(answered("S11", "rrr"), day * DAY)] == [why]


def test_the_most_basic_comes_first() -> None:
    standing = standing_of(steady_in(["S24", "S11", "S02"]))
    assert _skills(standing, 3) == ["S02", "S11", "S24"]


# Fading


def _standing(known: float, kept: int = 0) -> Standing:
    return Standing({"S11": Practised(known, chances=5, seen_when=0.0, kept=kept)}, {})


@pytest.mark.parametrize(
    ("kept", "days", "known"),
    [(0, 0, 0.96), (0, 7, 0.58), (0, 14, 0.39), (1, 14, 0.58), (3, 56, 0.58)],
)
def test_it_fades_towards_the_prior_by_half_in_a_time(
    kept: int, days: float, known: float
) -> None:
    assert known_now(_standing(0.96, kept), "S11", days * DAY) == pytest.approx(known)


@given(st.floats(0.01, 0.99), st.integers(0, 5000), st.floats(0, 1000), st.floats(0, 1000))
def test_fading_only_ever_goes_towards_the_prior(
    known: float, kept: int, day: float, more: float
) -> None:
    standing = _standing(known, kept)
    sooner, later = (known_now(standing, "S11", at * DAY) for at in (day, day + more))
    assert abs(later - 0.2) <= abs(sooner - 0.2) + 1e-12
    assert min(known, 0.2) - 1e-12 <= later <= max(known, 0.2) + 1e-12


def test_a_clock_set_back_does_no_harm() -> None:
    assert known_now(_standing(0.96), "S11", -DAY) == 0.96
    assert _skills(answered("S11", "rrr", day=10), 2) == []


def test_fading_leaves_the_standing_alone() -> None:
    standing = standing_of(seen([answer("S11")] * 3))
    known_now(standing, "S11", 100 * DAY)
    assert standing.is_steady("S11")


def test_the_start_of_a_day() -> None:
    assert start_of(BEGINNING) == 0
    assert start_of(date(2024, 3, 1)) == 1709251200  # seconds since 1970 of that midnight, UTC
