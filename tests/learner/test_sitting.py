"""The order of skills in one sitting."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.learner.answers import NOBODY, answer, answered, seen, steady_in
from tutor.learner.review import to_look_at
from tutor.learner.sitting import Plan, after_answer, make_sitting, ready, shaky
from tutor.learner.standing import DAY, Seen, Standing, standing_of, with_seen
from tutor.teaching.skills import BY_CODE

CODES = tuple(BY_CODE)


def _no_neighbours_alike(plan: Plan) -> bool:
    return all(a != b for a, b in pairwise(plan))


def _learner(steady: int, unsteady: int) -> Standing:
    """One who mastered the first skills long ago and has met a few more, once each."""
    met = CODES[steady: steady + unsteady]
    begun = [Seen(answer(code, "w"), f"begun {code}", DAY) for code in met]
    return standing_of([*steady_in(CODES[:steady]), *begun])


def test_shares_where_there_is_enough_of_everything() -> None:
    standing = _learner(14, 6)
    again = {look.skill for look in to_look_at(standing, 3 * DAY)}
    unsteady, new = set(shaky(standing, 3 * DAY)), set(ready(standing))
    plan = make_sitting(standing, 3 * DAY)
    assert len(plan) == 20
    assert [sum(code in pool for code in plan) for pool in (again, unsteady, new)] == [12, 6, 2]
    assert _no_neighbours_alike(plan)


def test_kinds_are_mixed_and_do_not_come_in_blocks() -> None:
    standing = _learner(14, 6)
    again = {look.skill for look in to_look_at(standing, 3 * DAY)}
    plan = make_sitting(standing, 3 * DAY)
    for start in range(0, 20, 5):
        assert 2 <= sum(code in again for code in plan[start: start + 5]) <= 4


def test_the_most_basic_is_looked_at_first() -> None:
    plan = make_sitting(_learner(14, 6), 3 * DAY)
    again = [code for code in plan if code in CODES[:14]]
    assert again == list(CODES[:12])


def test_a_newcomer_begins_with_what_needs_nothing() -> None:
    plan = make_sitting(NOBODY, 0.0)
    assert set(plan) == {"S01", "S03", "S04"}
    assert len(plan) == 20
    assert _no_neighbours_alike(plan)


def test_one_who_is_steady_everywhere_still_has_a_sitting() -> None:
    standing = standing_of(steady_in(CODES))
    plan = make_sitting(standing, 0.0)
    assert len(plan) == 20
    assert max(Counter(plan).values()) == 1


@pytest.mark.parametrize(("wanted", "length"), [(3, 15), (15, 15), (22, 22), (25, 25), (90, 25)])
def test_length(wanted: int, length: int) -> None:
    assert len(make_sitting(_learner(10, 5), 3 * DAY, length=wanted)) == length


def test_only_what_there_are_tasks_for() -> None:
    among = frozenset({"S10", "S11"})
    standing = standing_of([*steady_in(["S10"]), Seen(answer("S11", "w"), "x", 0)])
    for length in range(15, 26):
        plan = make_sitting(standing, 0.0, length=length, among=among)
        assert set(plan) == among
        assert len(plan) == length
    assert make_sitting(standing, 0.0, among={"S11"}) == ("S11",)
    assert make_sitting(standing, 0.0, among=()) == ()


def test_what_is_stuck_comes_last_among_the_shaky() -> None:
    record = [*seen([answer("S10", "w")] * 3), *seen([answer("S24", "w")], start=3)]
    assert shaky(standing_of(record), 0.0) == ("S24", "S10")


def test_what_is_to_be_looked_at_is_not_counted_among_the_shaky() -> None:
    failed = with_seen(answered("S11", "rrr"), Seen(answer("S11", "w"), "later", DAY))
    assert shaky(failed, 0.0) == ("S11",)
    assert shaky(failed, DAY) == ()


def test_what_is_ready() -> None:
    assert ready(NOBODY) == ("S01", "S03", "S04")
    met = answered("S01", "w")
    assert ready(met) == ("S03", "S04", "S02", "S05")
    assert ready(standing_of(steady_in(["S01", "S05"])))[:3] == ("S02", "S03", "S04")
    assert "S06" in ready(standing_of(steady_in(["S01", "S05"])))


@given(st.integers(0, 40), st.integers(0, 40), st.floats(0, 60), st.integers(0, 30))
def test_any_learner_has_a_sitting(
    steady: int, unsteady: int, day: float, length: int
) -> None:
    standing = _learner(steady, unsteady)
    plan = make_sitting(standing, day * DAY, length=length)
    assert 15 <= len(plan) <= 25
    assert _no_neighbours_alike(plan)
    new = {code for code in plan if not standing.has_met(code)}
    assert len(new) <= 3


# What is left after an answer


@pytest.mark.parametrize(
    ("plan", "clean", "left"),
    [
        ("abc", True, "bc"), ("a", True, ""), ("abc", False, "bac"), ("ab", False, "ba"),
        ("a", False, "a"), ("abac", False, "baca"), ("aba", False, "ba"),
        ("abacab", False, "bacaba"), ("abacabcd", False, "bacabacd"),
    ],
)
def test_after_an_answer(plan: str, clean: bool, left: str) -> None:
    assert "".join(after_answer(tuple(plan), clean)) == left


plans = st.lists(st.sampled_from("abcd"), min_size=1, max_size=12).map(
    lambda letters: tuple(a for a, b in zip(letters, ["", *letters], strict=False) if a != b)
)


@given(plans, st.booleans())
def test_a_plan_keeps_its_shape(plan: Plan, clean: bool) -> None:
    left = after_answer(plan, clean)
    assert _no_neighbours_alike(left)
    assert set(left) >= set(plan if not clean else plan[1:])
    assert len(left) <= len(plan)
    assert clean or len(plan) == 1 or left[0] != plan[0]
    assert not clean or left == plan[1:]
