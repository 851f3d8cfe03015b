"""Lines that speak of nothing in hand, in several kinds of problem."""

from __future__ import annotations

import pytest

from tests.teaching.test_exchange import KINDS
from tutor.teaching.enquiry.small_talk import PLAIN, small_talk
from tutor.teaching.exchange import hear
from tutor.teaching.line_reading import read

CHATTER = {
    "hiya mister": "Hello.", "cheers m8 you legend": "You are welcome.",
    "this is so booring i hate it": "one small step", "hahaha": "A laugh",
    "my gran is on the phone brb": PLAIN, "ok that was fun": "Good.",
    "argh my dog": "one small step",
}


@pytest.mark.parametrize("kind", ["choice", "shares", "value", "joined", "plates"])
@pytest.mark.parametrize("line", CHATTER)
def test_chatter_gets_a_kind_sentence_and_the_question_again(kind: str, line: str) -> None:
    start = KINDS[kind]()
    reply = hear(start.talk, line)
    assert [message.kind for message in reply.messages] == ["say", "ask"]
    assert CHATTER[line] in reply.messages[0].text
    assert reply.talk.frames == start.talk.frames


@pytest.mark.parametrize("line", [
    "they hang on the same two", "nothing else gets in", "the foil bits in the middle", "4 apples",
    "C1 is cool", "charges are fun", "bananas",
])
def test_what_may_be_meant_of_the_network_is_no_chatter(line: str) -> None:
    assert small_talk(line, ["C1", "C2", "A", "B"]) is None


def test_signs_and_blank_lines_are_not_i_do_not_know() -> None:
    start = KINDS["value"]()
    for line in ("!!!", "", "   ", "..."):
        reply = hear(start.talk, line)
        assert not reply.walk.unsure
        assert reply.walk.rung == start.walk.rung
        assert reply.messages[-1].kind == "ask"


@pytest.mark.parametrize(("line", "act"), [
    ("hint pls", "hint"), ("can i see a picture of it first?", "drawing"),
    ("undo, i typed rubbish before", "undo"), ("where are we? i went for tea", "where"),
    ("just tell me, my bus leaves in 2 min", "show"), ("could you draw it please", "drawing"),
    ("can you solve this one for me", "show"), ("please could i have another hint", "hint"),
    ("can u explain why", "why"),
    ("call it voltage instead of p.d. please", "set"), ("energy, because it is kept", "answer"),
    ("more, now two have some", "answer"),
])
def test_requests_with_something_around_them(line: str, act: str) -> None:
    assert read(KINDS["value"]().talk, line).act == act


def test_voltage_is_said_once_it_is_asked_for() -> None:
    reply = hear(KINDS["shares"]().talk, "could you call it voltage instead of p.d.?")
    assert reply.talk.terms.difference == "voltage"
    assert "the voltage or the charge" in reply.messages[-1].text


def test_what_if_of_no_value_is_answered_as_a_doubt() -> None:
    reply = hear(KINDS["joined"]().talk, "but what if the wires had zero resistance??")
    assert "sparks and radiation" in reply.messages[0].text
    assert len(reply.talk.frames) == 1
