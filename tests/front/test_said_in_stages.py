"""Lines as people say them at the questions of a problem in stages, and how each is taken."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from grammar.reading import read_network
from tutor.front.chat.before_problem import open_text
from tutor.front.chat.stages import Chat
from tutor.front.chat.talk import safely
from tutor.teaching.settings import DEFAULTS

CASES = Path(__file__).parents[1] / "cases" / "said_in_stages.toml"
VERDICTS = ("wrong", "incomplete", "unread", "right")


def _cases() -> Iterator[tuple[str, tuple[str, ...], str, str]]:
    for stage in tomllib.loads(CASES.read_text(encoding="utf-8"))["stage"]:
        for word in (*VERDICTS, "said"):
            for line in stage.get(word, []):
                yield stage["network"], tuple(stage["before"]), line, word


@cache
def _led_there(network: str, before: tuple[str, ...]) -> Chat:
    """The chat after the lines before, each of which was heard."""
    chat = open_text(read_network(network), Chat(DEFAULTS)).chat
    for earlier in before:
        answer = safely(chat, earlier)
        is_supposed = earlier.startswith("what if")
        is_heard = any(m.verdict in ("right", "wrong") for m in answer.messages)
        assert is_supposed or is_heard, earlier
        chat = answer.chat
    return chat


@pytest.mark.parametrize(("network", "before", "line", "word"), [*_cases()])
def test_a_line_at_a_stage_is_taken_as_a_good_teacher_would(
    network: str, before: tuple[str, ...], line: str, word: str
) -> None:
    found = [message.verdict for message in safely(_led_there(network, before), line).messages]
    assert next((each for each in VERDICTS if each in found), "said") == word


def test_what_is_said_to_stay_beside_a_right_value_is_spoken_of_where_it_does_not() -> None:
    problem = "4 uF, across 10 V; then remove supply; then fill C1 with 5"
    before = ("the p.d.", "40 uC", "200 uJ", "the charge")
    for line, is_doubted in (
        ("20, V stays 10", True), ("20 uF and the voltage stays the same", True),
        ("20, E is still 200", True), ("20, Q stays 40", False), ("20, V = 2", False),
        ("20, V doesn't stay", False), ("20", False), ("20, V is fixed", True),
    ):
        said = safely(_led_there(problem, before), line).messages
        assert said[0].verdict == "right", line
        assert any("does not stay" in message.text for message in said) is is_doubted, line
