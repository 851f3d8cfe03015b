"""What comes next, its reason, and how a walk is led."""

from __future__ import annotations

import re
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tests.learner.answers import NOBODY, answer, answered, seen, steady_before, steady_in
from tutor.learner.standing import DAY, Seen, Standing, standing_of, with_seen
from tutor.learner.suggesting import choices, manner_of, suggest
from tutor.teaching.skills import BY_CODE, before

CODES = tuple(BY_CODE)
BEGINNING = date(1970, 1, 1)


def _failing(standing: Standing, skill: str, times: int = 3) -> Standing:
    for at in range(times):
        standing = with_seen(standing, Seen(answer(skill, "w"), f"{skill} failed {at}", 0))
    return standing


def _held(standing: Standing, skill: str = "S11", name: str = "adds-a-series-pair") -> Standing:
    wrong = answer(skill, "w", malrules=(name,), sure=True, blamed=(skill,), chances=(name,))
    for at in range(2):
        one = Seen(wrong._replace(network=f"held {at}"), f"held {at}", 0)
        standing = with_seen(standing, one)
    return standing


def test_a_newcomer_has_a_lesson() -> None:
    assert suggest(NOBODY, 0.0) == (
        "lesson", "S01", "'what a capacitor does' is new, and nothing else is needed before it."
    )


def test_what_was_begun_is_practised() -> None:
    assert suggest(answered("S01", "r"), 0.0) == (
        "practice", "S01", "'what a capacitor does' is getting there: once without help."
    )


def test_a_new_skill_follows_steady_ones() -> None:
    found = suggest(standing_of(steady_in(["S01", "S03", "S04"])), 0.0)
    assert found == ("lesson", "S02", "'Q = C V' is new, and what it rests on is steady.")


def test_a_new_skill_waits_until_its_needs_are_met() -> None:
    found = choices(standing_of(steady_in(["S01"])), 0.0)
    lessons = {each.skill for each in found if each.kind == "lesson"}
    assert lessons == {"S02", "S03", "S04"}


def test_what_is_to_be_looked_at_comes_before_new_things() -> None:
    found = suggest(standing_of(steady_in(["S01"])), 2 * DAY)
    assert found == (
        "review", "S01",
        "'what a capacitor does' was steady; it last came right 2 days ago.",
    )


def test_what_is_stuck_sends_back_to_the_weakest_it_rests_on() -> None:
    standing = _failing(steady_before("S11"), "S11")
    standing = with_seen(standing, Seen(answer("S03", "w"), "slip", 0))
    found = suggest(standing, 0.0)
    assert (found.kind, found.skill) == ("practice", "S03")
    assert found.why == (
        "'two in series' did not come right 3 times running, and it rests on 'prefixes' "
        "(4 of the last 5 without help, on 4 networks)."
    )
    assert not [each for each in choices(standing, 0.0) if each.skill == "S11"]


def test_of_several_that_are_unsteady_the_weakest_is_taken() -> None:
    standing = _failing(steady_before("S11"), "S11")
    for skill in ("S04", "S03", "S03", "S09"):
        one = Seen(answer(skill, "w"), f"slip {len(standing.of(skill).lately)} {skill}", 0)
        standing = with_seen(standing, one)
    assert suggest(standing, 0.0).skill == "S03"


def test_what_is_stuck_sends_back_to_what_was_never_met() -> None:
    found = suggest(_failing(standing_of(steady_in(["S01", "S05", "S07", "S09", "S04"])), "S11"),
                    0.0)
    assert (found.kind, found.skill) == ("lesson", "S03")
    assert found.why.endswith("it rests on 'prefixes', which has not come up yet.")


def test_where_all_it_rests_on_is_steady_a_teacher_is_named() -> None:
    found = suggest(_failing(steady_before("S11"), "S11"), 0.0)
    assert (found.kind, found.skill) == ("lesson", "S11")
    assert "a teacher" in found.why


def test_ten_chances_without_mastery_are_told_as_such() -> None:
    slow = seen(answer("S01", letter) for letter in "wwrwwrwwrw")
    assert suggest(standing_of(slow), 0.0).why.startswith(
        "'what a capacitor does' is not steady after 10 questions"
    )


def test_a_held_idea_is_aimed_at_first() -> None:
    found = suggest(_held(answered("S01", "w")), 0.0)
    assert found == (
        "practice", "S11",
        "A wrong idea comes back: it adds a chain as if side by side (2 of 2 times it could show).",
    )


def test_a_held_idea_comes_before_what_is_stuck_elsewhere() -> None:
    standing = _failing(_held(NOBODY), "S24")
    assert [each.kind for each in choices(standing, 0.0)[:2]] == ["practice", "lesson"]
    assert suggest(standing, 0.0).skill == "S11"


def test_a_held_idea_does_not_keep_up_practice_that_is_to_stop() -> None:
    found = suggest(_failing(_held(steady_before("S11")), "S11", times=1), 0.0)
    assert (found.kind, found.skill) == ("lesson", "S11")


def test_near_the_exam_a_paper_comes_before_new_things() -> None:
    standing = standing_of(steady_in(["S01"]))
    whys = [
        suggest(standing, 0.0, BEGINNING + timedelta(days=days)).why for days in (0, 1, 14)
    ]
    assert whys == [f"The exam is {when}." for when in ("today", "tomorrow", "in 14 days")]
    assert suggest(NOBODY, 0.0, BEGINNING + timedelta(days=3)).kind == "lesson"
    for days in (15, -1):
        assert suggest(standing, 0.0, BEGINNING + timedelta(days=days)).kind == "lesson"


def test_with_everything_steady_there_is_a_paper() -> None:
    assert suggest(standing_of(steady_in(CODES)), 0.0).kind == "paper"


letters = st.text("rwhus", max_size=8)


@given(st.dictionaries(st.sampled_from(CODES), letters, max_size=12), st.floats(0, 60))
def test_there_is_always_something_sensible_to_do(met: dict[str, str], day: float) -> None:
    standing = standing_of(
        Seen(one.observation, f"{skill} {one.problem}", 0)
        for skill, marks in met.items() for one in seen(answer(skill, mark) for mark in marks)
    )
    found = choices(standing, day * DAY)
    assert found[0] == suggest(standing, day * DAY)
    assert found[-1].kind == "paper"
    assert len({each[:2] for each in found}) == len(found)
    for each in found:
        assert each.why.endswith(".")
        assert not re.search(r"%|\d\.\d|S\d\d|!", each.why)
        if each.kind == "practice":
            assert each.skill is not None
            assert standing.has_met(each.skill)
            assert not standing.is_stuck(each.skill)
        if each.kind == "lesson" and each.skill and not standing.has_met(each.skill):
            needed_by_stuck = {c for s in CODES if standing.is_stuck(s) for c in before(s)}
            assert each.skill in needed_by_stuck or all(
                map(standing.has_met, BY_CODE[each.skill].needs)
            )


# How a walk is led


def test_all_is_shown_to_a_newcomer_but_what_is_asked_cold() -> None:
    manner = manner_of(NOBODY)
    assert not manner.shown & {"S08", "S09", "S29"}
    assert {"S10", "S11", "S21", "S24"} <= manner.shown
    assert manner.steady == frozenset()
    assert manner.only is None


def test_what_was_met_is_asked_and_what_is_known_has_a_third_try() -> None:
    manner = manner_of(answered("S11", "r"))
    assert "S11" not in manner.shown
    assert manner.steady == {"S11"}
    assert manner.tries(("S11",)) == 3
    assert manner_of(answered("S11", "w")).steady == frozenset()
