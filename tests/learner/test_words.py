"""The standing in words: every skill and every wrong idea, and never a score."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from grammar.reading import read_network
from tests.learner.answers import NOBODY, answer, answered, seen
from tutor.circuit.network import build
from tutor.learner.knowledge import Idea
from tutor.learner.standing import DAY, Seen, standing_of, with_seen
from tutor.learner.standing_words import ideas_in_words, showing_of, skills_in_words
from tutor.learner.suggesting import suggest
from tutor.teaching.exchange import begin, hear
from tutor.teaching.rules.catalogue import BY_OTHER_SIGNS, CATALOGUE, MAIN_SKILL
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.skills import SKILLS

NAMES = sorted({
    *(m.name for m in CATALOGUE), *BY_OTHER_SIGNS
})
TIDY = re.compile(r"[a-z][^.!?{}]*[^.!?{} ]")


def _words(letters: str, day: float = 0.0) -> tuple[str, str]:
    [found] = [s for s in skills_in_words(answered("S11", letters), day * DAY) if s.skill == "S11"]
    return found.word, found.evidence


@pytest.mark.parametrize(
    ("letters", "word", "evidence"),
    [
        ("", "not met yet", ""),
        ("w", "shaky", "not yet right without help"),
        ("wh", "shaky", "none of the last 2 without help"),
        ("r", "getting there", "once without help"),
        ("rw", "shaky", "1 of the last 2 without help, on one network"),
        ("rr", "getting there", "all of the last 2 without help, on 2 networks"),
        ("rrr", "steady", "all of the last 3 without help, on 3 networks"),
        ("u", "still open", "not seen yet without help"),
        ("uuuu", "still open", "not seen yet without help"),
        ("ur", "getting there", "once without help"),
        ("wu", "shaky", "not yet right without help"),
        ("rrwrrr", "steady", "4 of the last 5 without help, on 4 networks"),
        ("rrrrrw", "getting there", "4 of the last 5 without help, on 4 networks"),
    ],
)
def test_words_for_a_skill(letters: str, word: str, evidence: str) -> None:
    assert _words(letters) == (word, evidence)


def test_words_for_what_is_to_be_looked_at() -> None:
    assert _words("rrr", day=3) == (
        "to look at again",
        "all of the last 3 without help, on 3 networks; it last came right 3 days ago",
    )


def test_words_for_what_came_up_beside_others_alone() -> None:
    known = seen([answer("S04")] * 3)
    standing = standing_of([*known, Seen(answer("S11 S04", "w"), "x", 0)])
    words = {s.skill: s for s in skills_in_words(standing, 0.0)}
    assert words["S04"].evidence == "all of the last 3 without help, on 3 networks"
    only = standing_of([Seen(answer("S36 S11", "w"), "x", 0)])
    words = {s.skill: s for s in skills_in_words(only, 0.0)}
    assert (words["S11"].word, words["S11"].evidence) == (
        "shaky", "only together with others so far"
    )


def test_every_skill_has_a_word() -> None:
    words = skills_in_words(NOBODY, 0.0)
    assert [s.name for s in words] == [skill.name for skill in SKILLS]
    assert {s.word for s in words} == {"not met yet"}


# Wrong ideas


@pytest.mark.parametrize("name", NAMES)
def test_every_wrong_rule_has_plain_words(name: str) -> None:
    idea = idea_in_words(name)
    assert TIDY.fullmatch(idea.replace("p.d", "pd").replace("pd.", "pd"))
    assert len(idea) <= 75
    assert MAIN_SKILL[name] in set(_skills_of(name))


def test_no_words_are_for_a_rule_that_is_gone_or_used_twice() -> None:
    assert sorted(MAIN_SKILL) == NAMES
    assert len(set(map(idea_in_words, NAMES))) == len(NAMES)


def _skills_of(name: str) -> Iterator[str]:
    for rule in CATALOGUE:
        if rule.name == name:
            yield from rule.skill.split("+")
    if (other := BY_OTHER_SIGNS.get(name)) is not None:
        yield other[1]


@pytest.mark.parametrize(
    ("idea", "words"),
    [
        (Idea(1, 1, lately=("matched",)), "the one time it could show"),
        (Idea(3, 2, lately=("matched", "clean", "matched")), "2 of 3 times it could show"),
        (Idea(5, 3, lately=("matched", "other", "clean")),
         "3 of 5 times it could show, 1 of the last 3"),
        (Idea(6, 2, lately=("clean", "clean", "clean")),
         "2 of 6 times it could show, none of the last 3"),
        (Idea(1, 0, frozenset({("1", "V1")}), ("in doubt",)), "perhaps the one time it could show"),
        (Idea(4, 0, frozenset({("1", "V1"), ("2", "V1")}), ("in doubt", "other", "clean")),
         "perhaps 2 of 4 times it could show"),
    ],
)
def test_how_often_an_idea_showed(idea: Idea, words: str) -> None:
    assert showing_of(idea) == words


def test_ideas_that_come_back_are_told_first() -> None:
    chances = ("adds-a-series-pair", "takes-the-average", "product-only")
    wrong = answer("S11", "w", sure=True, chances=chances)
    record = seen([
        wrong._replace(malrules=("takes-the-average",)),
        answer("S11", chances=chances),
        answer("S11", chances=chances),
        wrong._replace(malrules=("product-only",), sure=False),
        wrong._replace(malrules=("adds-a-series-pair",)),
        wrong._replace(malrules=("adds-a-series-pair",)),
    ])
    assert [words[1:] for words in ideas_in_words(standing_of(record))] == [
        ("adds a chain as if side by side", "held", "comes back",
         "2 of 6 times it could show, 2 of the last 3"),
        ("multiplies two in a chain and stops there", "possible", "may be there",
         "perhaps 1 of 6 times it could show"),
        ("takes the average for a chain", "resolved", "put right",
         "1 of 6 times it could show, none of the last 3"),
    ]


def test_an_idea_that_never_showed_is_not_told() -> None:
    clean = answer("S11", chances=("adds-a-series-pair",))
    assert ideas_in_words(standing_of(seen([clean]))) == ()


def test_nothing_is_told_of_an_idea_this_version_does_not_know() -> None:
    strange = answer("S11", "w", malrules=("unheard-of",), sure=True)
    assert ideas_in_words(standing_of(seen([strange]))) == ()


def test_no_scores() -> None:
    for letters in ("w", "rwr", "rrrrrrrw", "rrr"):
        standing = answered("S11", letters)
        for skill in skills_in_words(standing, 9 * DAY):
            assert not re.search(r"%|\d\.\d|S\d\d", f"{skill.word} {skill.evidence}")


# What is said is true


def blamed_at(text: str, *lines: str) -> tuple[str, ...]:
    """The skills that the last line of a walk is laid at."""
    turn = begin(build(read_network(text)))
    for line in lines:
        turn = hear(turn.talk, line)
    seen = next((m.seen for m in turn.messages if m.seen is not None), None)
    return () if seen is None else seen.blamed or seen.skills


def test_the_skill_in_hand_is_blamed_and_no_other() -> None:
    hall = "6 uF -- (9 uF || 5 uF), across 15 V"
    to_the_chain = ("C2 C3, p.d., P and B, 14 uF", "C1 C23, charge, P")
    assert blamed_at(hall, *to_the_chain, "0.238 uF") == ("S11",)
    assert blamed_at(hall, *to_the_chain, "4.2 uF", "4.2 uC") == ("S18",)
    assert blamed_at(hall, *to_the_chain, "4.2 uF", "4.2 uF") == ()  # true, and not asked now
    assert blamed_at(hall, *to_the_chain, "4.2 V") == ("S11",)


def test_what_came_right_after_hints_is_not_called_steady() -> None:
    standing = NOBODY
    for at, value in enumerate((9, 12, 15, 20, 30)):
        turn = begin(build(read_network(f"3 uF || {value} uF")))
        for line in ("C1 C2, p.d., A and B", "hint", f"{3 + value} uF"):
            turn = hear(turn.talk, line)
            for message in turn.messages:
                if message.seen is not None:
                    standing = with_seen(standing, Seen(message.seen, str(at), 0.0))
        assert "with one hint" in turn.messages[-1].text
    words = {each.skill: each for each in skills_in_words(standing, 0.0)}
    assert words["S10"].word == "shaky"
    assert words["S10"].evidence == "none of the last 5 without help"


def test_no_skill_is_steady_whose_wrong_idea_comes_back() -> None:
    standing = answered("S11", "rrr")
    words = {each.skill: each.word for each in skills_in_words(standing, 0.0)}
    assert words["S11"] == "steady"
    held = Idea(3, 2, frozenset(), ("matched", "matched"), frozenset({"1", "2"}), 0)
    doubted = standing._replace(ideas={"adds-a-series-pair": held})
    assert held.state == "held"
    words = {each.skill: each.word for each in skills_in_words(doubted, 0.0)}
    assert words["S11"] != "steady"
    assert suggest(doubted, 0.0).skill == "S11"
