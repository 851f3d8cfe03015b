"""Whole lines as people type them at the questions of a walk, and how each is taken."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.teaching.talking import converse

CASES = Path(__file__).parents[2] / "cases" / "said_in_walks.toml"
WORDS = ("right", "wrong", "incomplete", "unread")


def _cases() -> Iterator[tuple[str, tuple[str, ...], str, str]]:
    for walk in tomllib.loads(CASES.read_text(encoding="utf-8"))["walk"]:
        for word in WORDS:
            for line in walk.get(word, []):
                yield walk["network"], tuple(walk["before"]), line, word


def _taken(network: str, before: tuple[str, ...], line: str) -> str:
    """The worst that was said to a line: wrong before incomplete before unread before right."""
    said = converse(network, [*before, line])[-1].messages
    found = [message.verdict for message in said if message.verdict]
    return next((word for word in ("wrong", "incomplete", "unread", "right") if word in found), "")


@cache
def _led_there(network: str, before: tuple[str, ...]) -> bool:
    """Whether the lines before were read, so that the question meant is in hand."""
    turns = converse(network, [*before])[1:]
    return all(any(m.verdict not in (None, "unread") or m.kind == "say" for m in turn.messages)
               for turn in turns)


@pytest.mark.parametrize(("network", "before", "line", "word"), [*_cases()])
def test_a_line_is_taken_as_a_good_teacher_would(
    network: str, before: tuple[str, ...], line: str, word: str
) -> None:
    assert _led_there(network, before)
    assert _taken(network, before, line) == word
