"""Where a learner stands: mastery, stopping, and what counts as an answer at all."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.learner.answers import NOBODY, answer, answered, seen
from tutor.learner.knowledge import prior
from tutor.learner.standing import (
    DAY,
    MASTERED,
    SUREST,
    Seen,
    Standing,
    standing_of,
    tries,
    with_seen,
)
from tutor.teaching.observation import Observation

LUCK = 0.1
CHANCES = 10


def test_a_newcomer() -> None:
    assert not NOBODY.has_met("S11")
    assert NOBODY.of("S11").known == prior("S11")
    assert not NOBODY.is_steady("S11")
    assert not NOBODY.is_stuck("S11")


def test_three_right_on_two_networks_are_mastery() -> None:
    standing = answered("S11", "rrr")
    assert round(standing.of("S11").known, 4) == 0.9969
    assert standing.is_steady("S11")
    assert standing.of("S11").mastered_when == 0


def test_two_right_are_not_enough_although_the_likelihood_is_there() -> None:
    standing = answered("S11", "rr")
    assert standing.of("S11").known >= MASTERED
    assert not standing.is_steady("S11")


def test_one_network_is_not_enough() -> None:
    one = answer("S11", network="the same")
    standing = standing_of(seen([one] * 12))
    assert not standing.is_steady("S11")
    assert not standing.is_stuck("S11")
    another = standing_of([*seen([one] * 12), *seen([answer("S11")], start=12)])
    assert another.is_steady("S11")


def test_the_last_one_must_be_right() -> None:
    standing = answered("S11", "rrrrrrw")
    assert standing.of("S11").known >= MASTERED
    assert not standing.is_steady("S11")
    assert answered("S11", "rrrrrrwr").is_steady("S11")


@pytest.mark.parametrize("letter", "husw")
def test_what_is_not_clean_is_no_success(letter: str) -> None:
    standing = answered("S11", f"rr{letter}")
    assert standing.of("S11").right == 2
    assert standing.of("S11").failing == 1
    assert standing.of("S11").known < answered("S11", "rr").of("S11").known


def test_guessers_of_numbers_hardly_ever_come_to_mastery() -> None:
    """3 % of those who are right one time in ten, over all ways that ten chances can go."""
    share = sum(
        LUCK ** letters.count("r") * (1 - LUCK) ** letters.count("w")
        for letters in map("".join, product("rw", repeat=CHANCES))
        if letters.count("r") >= 3 and _ever_steady(letters)
    )
    assert round(100 * share) == 3


def _ever_steady(letters: str) -> bool:
    return answered("S11", letters).of("S11").mastered_when is not None or any(
        answered("S11", letters[:n]).of("S11").mastered_when is not None
        for n in range(3, len(letters))
    )


def test_only_the_first_answer_to_a_question_counts() -> None:
    wrong, right = answer("S11", "w"), answer("S11")
    again = [Seen(wrong, "1.1", 0), Seen(right, "1.1", 0), Seen(right, "1.1", 0)]
    assert standing_of(again).skills == standing_of(again[:1]).skills
    other = standing_of([*again, Seen(right._replace(key="V2"), "1.1", 0)])
    assert other.of("S11").chances == 2


def test_two_problems_open_at_once_are_kept_apart() -> None:
    right = answer("S11")
    turns = [Seen(right, problem, 0) for problem in ("1.1", "2.1", "1.1", "2.1")]
    assert standing_of(turns).of("S11").chances == 2


def test_a_wrong_answer_with_a_reason_is_laid_at_that_door_alone() -> None:
    one = answer("S11 S04", "w", malrules=("prefix-slip-of-a-thousand",), blamed=("S03",))
    standing = standing_of(seen([one]))
    assert set(standing.skills) == {"S03"}
    assert standing.of("S03").failing == 1


def test_of_several_skills_the_least_known_has_failed() -> None:
    start = answered("S04", "rrr")
    standing = with_seen(start, Seen(answer("S11 S04", "w"), "x", DAY))
    assert standing.of("S11").failing == 1
    assert standing.of("S04").failing == 0
    assert standing.is_steady("S04") == (standing.of("S04").known >= MASTERED)
    assert standing.of("S04").known < start.of("S04").known


def test_the_joint_check_values_reach_the_standing() -> None:
    """From 0.2 and 0.3, both needed: right without luck 0.06, so 0.06·0.9 + 0.94·0.1 = 0.148."""
    standing = standing_of(seen([answer("S11 S04", "r")]))
    for skill, own, other in (("S11", 0.2, 0.3), ("S04", 0.3, 0.2)):
        then = own * (other * 0.9 + (1 - other) * 0.1) / 0.148
        assert standing.of(skill).known == pytest.approx(then + (1 - then) * 0.15)


def test_a_skill_named_twice_is_one_skill() -> None:
    twice, once = (standing_of(seen([answer(skills)])) for skills in ("S11 S11", "S11"))
    assert twice.skills == once.skills


@pytest.mark.parametrize(
    ("letters", "is_stuck"),
    [("ww", False), ("www", True), ("wwwr", False), ("wuh", True), ("ws", False), ("wws", True),
     ("wwrwwrwwr", False), ("wwrwwrwwrw", True), ("rrrwrrrrrr", False), ("rrrrrrrrrrrr", False)],
)
def test_when_practice_is_to_stop(letters: str, is_stuck: bool) -> None:
    assert answered("S11", letters).is_stuck("S11") == is_stuck


def test_two_tries_while_new_and_three_once_known() -> None:
    assert tries(NOBODY, "S11") == 2
    assert tries(answered("S11", "w"), "S11") == 2
    assert tries(answered("S11", "r"), "S11") == 3


def test_what_was_mastered_and_forgotten_is_mastered_anew() -> None:
    standing = answered("S11", "rrrwww")
    assert standing.of("S11").mastered_when is None
    assert not standing.is_steady("S11")
    once = with_seen(standing, Seen(answer("S11", network="a"), "a", DAY))
    twice = with_seen(once, Seen(answer("S11", network="b"), "b", DAY))
    thrice = with_seen(twice, Seen(answer("S11", network="c"), "c", 2 * DAY))
    assert [s.is_steady("S11") for s in (once, twice, thrice)] == [False, False, True]
    assert thrice.of("S11").mastered_when == 2 * DAY


def test_however_sure_a_few_wrong_answers_show() -> None:
    standing = answered("S11", "r" * 200)
    assert standing.of("S11").known == SUREST
    assert answered("S11", "r" * 200 + "www").of("S11").known < MASTERED


def test_days_on_which_it_was_kept() -> None:
    record = [Seen(one.observation, one.problem, 0) for one in seen([answer("S11")] * 3)]
    days = [0.1, 1.0, 1.2, 3.0]
    later = [Seen(answer("S11"), f"day {day}", day * DAY) for day in days]
    assert standing_of([*record, *later]).of("S11").kept == 2


skills = st.lists(st.sampled_from(["S01", "S03", "S11", "S36"]), min_size=1, max_size=3)
letters = st.sampled_from("rwhus")


@given(st.lists(st.tuples(skills, letters, st.booleans()), max_size=25))
def test_a_standing_keeps_its_sums(answers: list[tuple[list[str], str, bool]]) -> None:
    standing = standing_of(seen(
        answer(codes, letter, weak=weak and letter == "r") for codes, letter, weak in answers
    ))
    for practised in standing.skills.values():
        assert 0 < practised.known <= SUREST
        assert practised.right <= practised.chances
        assert len(practised.lately) <= 5
        assert not (practised.is_steady and practised.is_stuck)
        assert (practised.failing == 0) == (not practised.lately or practised.lately[-1].clean)


@given(st.lists(st.tuples(st.sampled_from(["1.1", "1.2"]), skills, letters), max_size=20))
def test_folding_in_two_parts_is_folding_at_once(
    turns: list[tuple[str, list[str], str]]
) -> None:
    record = [Seen(answer(codes, letter), problem, 0) for problem, codes, letter in turns]
    whole = standing_of(record)
    half: Standing = standing_of(record[: len(record) // 2])
    for one in record[len(record) // 2:]:
        half = with_seen(half, one)
    assert half == whole


def test_the_standing_before_is_left_as_it_was() -> None:
    before = answered("S11", "rr")
    kept = before.of("S11")
    with_seen(before, Seen(answer("S11", "w"), "x", 0))
    assert before.of("S11") == kept


def test_a_record_from_a_later_version_can_be_folded() -> None:
    strange = Observation("k", "n", ("S99",), "number", "wrong", malrules=("unheard-of",))
    standing = standing_of([Seen(strange, "1", 0)])
    assert standing.has_met("S99")
