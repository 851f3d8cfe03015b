"""What answers show: which skills, first or helped, right by a wrong rule, wrong by which."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from tests.teaching.talking import converse
from tutor.teaching import exchange
from tutor.teaching.observation import Observation
from tutor.teaching.rules.catalogue import BY_OTHER_SIGNS, CATALOGUE, blamed
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import BY_CODE, SKILLS, UNITS, before
from tutor.teaching.staged.makers import story_of

HALL = "6 uF -- (9 uF || 5 uF), across 15 V"
FOUND_23 = ("C2 C3", "p.d., P and B", "14 uF")
FOUND_ALL = (*FOUND_23, "C1 C23", "charge, at P", "4.2 uF")


def seen(text: str, *lines: str) -> list[Observation]:
    """All that a conversation shows, in order."""
    turns = converse(text, lines)
    return [message.seen for turn in turns for message in turn.messages if message.seen]


def told(text: str, *lines: str) -> list[Observation]:
    story = story_of(read_network(text), DEFAULTS)
    assert story is not None
    turn = exchange.begin_story(story)
    found = []
    for line in lines:
        turn = exchange.hear(turn.talk, line)
        found += [message.seen for message in turn.messages if message.seen]
    return found


@pytest.mark.parametrize(
    ("lines", "key", "skills", "answer"),
    [
        (("C2 C3",), "choice 1", ("S14", "S06"), "names"),
        (("C2 C3", "p.d., P and B"), "shares C23", ("S08",), "two-way with reason"),
        (FOUND_23, "C23", ("S10",), "number"),
        ((*FOUND_23, "C1 C23"), "choice 2", ("S14", "S07"), "names"),
        ((*FOUND_23, "C1 C23", "charge, at P"), "shares C123", ("S09",), "two-way with reason"),
        (FOUND_ALL, "C123", ("S11",), "number"),
        ((*FOUND_ALL, "63 uC"), "Q", ("S18",), "number"),
        ((*FOUND_ALL, "63 uC", "charge"), "back C123", ("S19",), "two-way"),
        ((*FOUND_ALL, "63 uC", "charge", "10.5 V"), "V1", ("S21",), "number"),
        ((*FOUND_ALL, "63 uC", "charge", "10.5 V, 4.5 V", "p.d."), "back C23", ("S20",), "two-way"),
        ((*FOUND_ALL, "63 uC", "charge", "10.5 V, 4.5 V", "p.d.", "40.5 uC"), "Q2",
         ("S22", "S23"), "number"),
    ],
)
def test_each_question_of_a_walk_names_its_skills(
    lines: tuple[str, ...], key: str, skills: tuple[str, ...], answer: str
) -> None:
    last = seen(HALL, *lines)[-1]
    assert (last.key, last.skills, last.answer, last.outcome) == (key, skills, answer, "right")


def test_a_half_answer_about_sharing_shows_nothing_until_the_reason_is_given() -> None:
    keys = [each.key for each in seen(HALL, "C2 C3", "p.d.")]
    assert keys == ["choice 1"]
    last = seen(HALL, "C2 C3", "p.d.", "P and B")[-1]
    assert (last.key, last.outcome) == ("shares C23", "right")


def test_a_wrong_choice_is_laid_at_the_door_of_the_idea_behind_it() -> None:
    (first,) = seen(HALL, "C1 C2")
    assert first.outcome == "wrong"
    assert (first.malrules, first.sure) == (("joins-two-that-share-one-point",), True)
    assert first.blamed == ("S07",)
    assert "joins-two-that-share-one-point" in first.chances


def test_a_number_with_two_origins_is_not_sure_until_the_learner_says_which() -> None:
    lines = (*FOUND_23, "C1 C23", "charge, at P", "20.0", "a")
    *_, doubtful, named = seen(HALL, *lines)
    assert (len(doubtful.malrules), doubtful.sure) == (2, False)
    assert (named.malrules, named.sure) == (("adds-a-series-pair",), True)
    assert named.key == doubtful.key == "C123"
    assert set(named.malrules) <= set(named.chances)


def test_not_knowing_and_being_shown_are_seen_too() -> None:
    assert seen(HALL, "I don't know")[0].outcome == "unsure"
    assert seen(HALL, "show me") == []  # it asks for a try first, and nothing has been shown
    assert seen(HALL, "hint", "show me") == []  # a hint is no try


def test_a_right_answer_that_a_wrong_rule_gives_too_is_weak() -> None:
    last = seen("6 uF -- 6 uF", "C1 C2", "charge, at P", "3 uF")[-1]
    assert last.weak
    assert last.outcome == "right"


def test_the_whole_at_once_speaks_for_the_last_step_alone() -> None:
    (first,) = seen(HALL, "C = 4.2 uF")
    assert (first.key, first.skills) == ("C", ("S11",))


def test_values_stated_together_are_seen_one_by_one() -> None:
    lines = (*FOUND_ALL, "63 uC", "charge", "V1 = 10.5 V, V23 = 4.5 V")
    keys = [each.key for each in seen(HALL, *lines)]
    assert keys[-2:] == ["V1", "V23"]


@pytest.mark.parametrize(
    ("text", "lines", "skills"),
    [
        ("C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2", ("30 uC",), ("S02",)),
        ("C1 = 3 uF charged to 10 V; C2 = 7 uF charged to 4 V; join C1 and C2 crossed",
         ("30 uC", "28 uC", "206 uJ", "charge", "2 uC"), ("S33",)),
        ("C1 = 3 uF rated 100 V -- C2 = 7 uF rated 63 V", ("charge",), ("S28",)),
        ("C1 = 3 uF -- C2 = ?; C = 2.1 uF", ("charge",), ("S27",)),
        ("C1 = plates 100 cm2 gap 1 mm filled 2.5", ("1e-2",), ("S30",)),
        ("5 uF, across 12 V; then remove supply; then fill C1 with 4", ("p.d.",), ("S29",)),
    ],
)
def test_questions_of_stories_name_their_skills(
    text: str, lines: tuple[str, ...], skills: tuple[str, ...]
) -> None:
    assert told(text, *lines)[-1].skills == skills


def test_equal_networks_have_one_fingerprint_and_others_another() -> None:
    prints = {each.network for each in seen(HALL, "C1 C2", "C2 C3")}
    assert len(prints) == 1
    assert seen(HALL.replace("5", "6"), "C2 C3")[0].network not in prints


def test_every_malrule_blames_skills_that_there_are() -> None:
    names = [*(m.name for m in CATALOGUE), *BY_OTHER_SIGNS]
    for name in names:
        assert blamed((name,)), name
        assert set(blamed((name,))) <= set(BY_CODE), name


def test_the_map_of_skills_is_whole_and_has_no_circle() -> None:
    assert [skill.code for skill in SKILLS] == [f"S{n:02}" for n in sorted(
        range(1, 41), key=lambda n: [s.code for s in SKILLS].index(f"S{n:02}")
    )]
    assert {skill.unit for skill in SKILLS} == set(UNITS)
    for skill in SKILLS:
        assert skill.code not in before(skill.code)
        assert all(BY_CODE[code].unit <= skill.unit for code in skill.needs)
