"""Values said to a question that supposes a learner's wrong value are answers to that question."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from tutor.front.chat.before_problem import open_text
from tutor.front.chat.stages import Chat
from tutor.front.chat.talk import safely
from tutor.teaching.rules.awaited_values import VALUES_BACK
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.idea_texts import text_of
from tutor.teaching.settings import USUAL


def said_to(text: str, before: list[str], line: str) -> tuple[str, list[str]]:
    """What is said first to the last line, and all verdicts that are given."""
    answer = open_text(read_network(text), Chat(USUAL))
    for each in (*before, line):
        answer = safely(answer.chat, each)
    return answer.messages[0].text, [m.verdict for m in answer.messages if m.verdict]


CHAIN = ("12 uF -- 6 uF, across 30 V", ["C1 C2", "charge, P", "4 uF", "120 uC", "charge", "15 V"])
SET = ("4 uF || 9 uF, across 10 V", ["C1 C2", "p.d., A and B", "13 uF", "130 uC", "p.d.", "65 uC"])
STORED = ("5 uF, across 12 V; find energy", ["60 uC", "720 uJ", "a"])
JOINED = ("C1 = 20 uF charged to 30 V; C2 = 40 uF; join C1 and C2",
          ["600 uC", "9 mJ", "the charge", "30 V"])


@pytest.mark.parametrize(("problem", "line"), [
    (CHAIN, "180 on the 12 and only 90 on the 6, so that can't be"),
    (CHAIN, "12*15 = 180 µC, 6*15 = 90 µC"),
    (SET, "65/4 = 16.25 V and 65/9 = 7.2 V, which is silly as they're both on 10"),
    (SET, "About 16 V and about 7 V"),
    (JOINED, "600 µC both times"),
    (JOINED, "0.6 mC, it doesn't change"),
])
def test_values_under_the_wrong_idea_are_taken(
    problem: tuple[str, list[str]], line: str
) -> None:
    text, verdicts = said_to(*problem, line)
    assert text.startswith("Yes. ")
    assert verdicts == []


@pytest.mark.parametrize(("problem", "line"), [
    (CHAIN, "90 uC on the 12 and 180 uC on the 6"), (CHAIN, "150 uC each"), (CHAIN, "120 each"),
    (SET, "5 V and 5 V"), (JOINED, "600 before, 1800 after"),
])
def test_others_in_their_place_are_neither_praised_nor_held_against_anyone(
    problem: tuple[str, list[str]], line: str
) -> None:
    text, verdicts = said_to(*problem, line)
    assert not text.startswith("Yes")
    assert verdicts == []


def test_the_right_value_for_the_question_in_hand_is_an_answer_to_that() -> None:
    assert said_to(*CHAIN, "10 V")[1] == ["right"]
    assert said_to(*SET, "40 uC")[1] == ["right"]
    assert said_to(*JOINED, "10 V")[1] == ["right"]


def test_a_part_of_what_is_awaited_is_asked_on() -> None:
    text, verdicts = said_to(*STORED, "zero then twelve")
    assert text == "Yes, so far. And the rest?"
    assert verdicts == []


@pytest.mark.parametrize(("problem", "line"), [
    (CHAIN, "they'd be different"), (SET, "they differ"), (JOINED, "same before and after"),
    (STORED, "it rises from zero to the full 12"),
])
def test_the_gist_in_words_will_do(problem: tuple[str, list[str]], line: str) -> None:
    text, verdicts = said_to(*problem, line)
    assert text.startswith("Yes")
    assert verdicts == []


def test_every_rule_that_awaits_values_has_words_for_them() -> None:
    for name in VALUES_BACK:
        assert text_of(name).yes
        assert text_of(name).no


def test_only_rules_of_the_catalogue_await_values() -> None:
    assert VALUES_BACK.keys() <= {malrule.name for malrule in CATALOGUE}
