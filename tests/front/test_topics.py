"""At rest: topics and questions lead to what fits, and stray words are no network."""

from __future__ import annotations

import pytest

from tutor.front.chat.stages import Answer, Chat, Choosing, Solving
from tutor.front.chat.talk import respond
from tutor.teaching.settings import DEFAULTS

AT_REST = Chat(DEFAULTS)


def said(answer: Answer) -> str:
    return "\n".join(message.text for message in answer.messages)


@pytest.mark.parametrize(("line", "words"), [
    ("I don't get parallel", ("In parallel means", "'lesson 6'")),
    ("what is a capacitor", ("two pieces of metal", "'lesson 1'")),
    ("help me with bridges", ("joins the middles", "'lesson ")),
    ("can you explain series again", ("one after the other", "'lesson ")),
    ("i need help with energy", ("work that it took", "'lesson 17'")),
    ("bridges please", ("joins the middles", "'lesson ")), ("parallel", ("In parallel means",)),
    ("whats a prefix", ("a thousandth", "'lesson 3'")),
    ("teach me about star and triangle", ("'lesson 32'",)),
    ("what about resistors in series?", ("beyond this program",)),
    ("does it do alternating current", ("beyond this program",)),
    ("who won yesterday?", ("That I cannot answer",)),
    ("hello", ("Hello.",)), ("thanks!", ("You are welcome.",)),
    ("I've got a test on thursday what should I do", ("'practice'", "'paper units")),
    ("give me one like that but harder", ("'practice'", "'another like this'")),
    ("i keep mixing up the two formulas", ("'lesson ",)),
])
def test_topic_at_rest(line: str, words: tuple[str, ...]) -> None:
    answer = respond(AT_REST, line)
    assert all(each in said(answer) for each in words), said(answer)
    assert answer.messages[-1].kind == "ask"
    assert isinstance(answer.chat.stage, Choosing)


@pytest.mark.parametrize("line", ["n", "y", "b", "ok", "no", "hm", "yes", "thanks", "maybe"])
def test_stray_words_are_no_network(line: str) -> None:
    answer = respond(AT_REST, line)
    assert isinstance(answer.chat.stage, Choosing)
    assert not answer.chat.stage.draft


@pytest.mark.parametrize("line", ["2", "2 please", "example 2", "the second one"])
def test_an_example_is_picked_by_its_place(line: str) -> None:
    assert "C1, 6 µF, from A to P" in said(respond(AT_REST, line))


@pytest.mark.parametrize(("asked", "says"), [
    ("results", "Results alone are asked"), ("the end", "The end alone is asked"),
    ("everything", ""), ("what is open", ""),
])
def test_a_setting_that_leaves_out_much_is_said_once(asked: str, says: str) -> None:
    chat = Chat(DEFAULTS._replace(asked=asked))  # type: ignore[arg-type]
    first = respond(chat, "4 uF -- 12 uF, across 8 V")
    assert ("'ask for everything' changes that" in said(first)) is bool(says)
    assert says in said(first)
    second = respond(first.chat._replace(stage=Choosing()), "4 uF -- 12 uF, across 8 V")
    assert "'ask for everything' changes that" not in said(second)


def test_who_says_no_with_a_reason_is_asked_for_the_whole_once_more() -> None:
    told = "three 6 uF in series connected to a 12 V battery and then a 2 uF beside them"
    asked = respond(AT_REST, told)
    answer = respond(asked.chat, "no, the 2 is meant to be across just one of the sixes")
    assert said(answer).startswith("Then say the whole once more.")


def test_networks_are_still_networks() -> None:
    for line in ("4 uF -- 3 uF, across 12 V", "what is the total of 2 uF || 3 uF?"):
        assert not isinstance(respond(AT_REST, line).chat.stage, Choosing)


def test_question_after_the_end_is_about_what_was_done() -> None:
    answer = respond(AT_REST, "4 uF || 3 uF")
    for line in ("C1 C2, p.d., A and B", "7 uF"):
        answer = respond(answer.chat, line)
    asked = respond(answer.chat, "what was C12 again?")
    assert "the place of C1 and C2" in said(asked)
    assert isinstance(asked.chat.stage, Solving)


def test_thanks_in_a_walk_is_not_i_do_not_know() -> None:
    answer = respond(respond(AT_REST, "4 uF || 3 uF").chat, "thanks")
    assert "You are welcome." in said(answer)
    assert not any(message.kind == "hint" for message in answer.messages)
