"""The reason behind a right answer: praised where it is so, answered where not, else left open."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tutor.front.chat.stages import Chat
from tutor.front.keeping import Opening, Unkept
from tutor.teaching import grounds_answered

CASES = Path(__file__).parents[1] / "cases" / "grounds_said.toml"
ANSWERED = (
    grounds_answered.NOT_SO_THE_GROUND, grounds_answered.NOT_FOR_THAT,
    grounds_answered.AS_TOLD_BELOW, grounds_answered.NOT_BY_THAT,
)


def _cases() -> Iterator[tuple[str, tuple[str, ...], str, str]]:
    for place in tomllib.loads(CASES.read_text(encoding="utf-8"))["place"]:
        for word in ("so", "not_so", "open"):
            for line in place[word]:
                yield place["network"], tuple(place["before"]), line, word


@cache
def _led_there(network: str, before: tuple[str, ...]) -> tuple[Unkept, Chat]:
    host = Unkept()
    chat = host.open(Opening(text=network)).chat
    for said in before:
        chat = host.hear(chat, said).chat
    return host, chat


@pytest.mark.parametrize(("network", "before", "line", "word"), [*_cases()])
def test_an_answer_stands_and_its_reason_is_weighed(
    network: str, before: tuple[str, ...], line: str, word: str
) -> None:
    host, chat = _led_there(network, before)
    answer = host.hear(chat, line)
    verdicts = [message.verdict for message in answer.messages if message.verdict]
    assert verdicts[0] == "right"
    texts = [message.text for message in answer.messages if message.verdict == "incomplete"]
    if word == "so":
        assert not texts
    elif word == "open":
        assert texts[0].startswith(grounds_answered.CANNOT_TELL)
    else:
        assert texts[0].startswith(ANSWERED)


def test_what_makes_it_so_is_said_once() -> None:
    host = Unkept()
    answer = host.open(Opening(text="8 nF, across 50 V; then remove supply; then fill C1 with 5"))
    for said in ("p.d.", "400 nC", "10 uJ", "charge because glass is heavy"):
        answer = host.hear(answer.chat, said)
    told = "\n".join(message.text for message in answer.messages)
    assert told.startswith("Yes.\n" + grounds_answered.WHAT_MAKES_IT_SO)
    assert told.count("no charge crosses a gap") == 1


@pytest.mark.parametrize(("joined", "line", "is_so"), [
    (True, "the p.d. because it's still connected", True),
    (True, "the supply is still on so V", True), (True, "V since it stays plugged in", True),
    (True, "the p.d. because it is not connected", False),
    (True, "the p.d. because the plates touch", False),
    (False, "the charge because the supply is off", True),
    (False, "the charge, as it can't leave", True),
    (False, "the charge because it is still connected", False),
])
def test_what_holds_it_is_heard_where_there_is_no_network(
    joined: bool, line: str, is_so: bool
) -> None:
    host, text = Unkept(), ""
    chat = host.hear(host.open(Opening()).chat, "practise what is held fixed").chat
    while ("stays joined" in text) is not joined or "What is held fixed while" not in text:
        answer = host.hear(chat, "next")
        chat, text = answer.chat, "\n".join(message.text for message in answer.messages)
    said = "\n".join(message.text for message in host.hear(chat, line).messages)
    assert ("cannot tell" not in said and "another one" not in said) is is_so, said
