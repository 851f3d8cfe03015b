"""The plain mode read from top to bottom, as a screen reader reads it, over chats of every kind."""

from __future__ import annotations

import json
import re
from functools import cache
from io import StringIO

import pytest

from tests.fuzz_report import PROBLEMS
from tutor.front.chat.home import open_home
from tutor.front.chat.stages import Chat
from tutor.front.pipe import Streams, talk, talk_json
from tutor.front.plain import Page
from tutor.front.saying import Voice
from tutor.teaching.settings import DEFAULTS

ELSEWHERE = (
    "book", "lessons", "lesson 10", "practice", "paper unit 3, 3 questions", "review", "working",
    "arrange 5 uF from 2 uF, 3 uF, 6 uF", "help", "settings", "where do I stand",
)
ASKED = ("hint", "drawing", "list", "why", "where are we", "12 uF")
AT_THE_END = (
    "drawing", "what if C1 is doubled", "C up", "fair copy", "next", "energy", "help", "stop",
)
EXPECTED = re.compile(r"\?|\bType\b|^(?:Your working|Next line, or [^:]+):$")
DRAWN_NAME = re.compile(r"\|(C\d+)\b")
WIDEST = 70


def lines_for(begun: str) -> str:
    return "\n".join((begun, *ASKED, *["I don't know"] * 14, *AT_THE_END)) + "\n"


@cache
def read_out(begun: str) -> str:
    out, page = StringIO(), Page(WIDEST, ascii=True, drawings=False)
    streams = Streams(StringIO(lines_for(begun)), out)
    talk(open_home(Chat(DEFAULTS)), streams, Voice(page, page))
    return out.getvalue()


@pytest.mark.parametrize("begun", [*PROBLEMS, *ELSEWHERE])
def test_every_line_is_short_and_of_plain_signs(begun: str) -> None:
    for line in read_out(begun).split("\n"):
        assert len(line) <= WIDEST
        assert line.isascii()
        assert line.isprintable()  # nothing moves a cursor and nothing sets a colour


@pytest.mark.parametrize("begun", [*PROBLEMS, *ELSEWHERE])
def test_every_prompt_says_what_is_expected(begun: str) -> None:
    out = StringIO()
    talk_json(open_home(Chat(DEFAULTS)), Streams(StringIO(lines_for(begun)), out))
    asked = [entry["text"] for entry in map(json.loads, out.getvalue().splitlines())
             if entry["kind"] == "ask"]
    assert asked
    assert [text for text in asked if not EXPECTED.search(text)] == []


@pytest.mark.parametrize("begun", PROBLEMS)
def test_every_drawing_has_its_words_before_it(begun: str) -> None:
    before, *drawn = read_out(begun).split("\nDrawn:")
    for drawing in drawn:
        words = " ".join(before[before.rindex("\n\n") :].split())
        picture = drawing.split("\n\n")[0]
        for name in DRAWN_NAME.findall(picture):
            assert re.search(rf"\b{name}, [^.]*(?:\bfrom \S+ to \S+|by itself)", words), words
        before += drawing


def test_there_are_drawings_to_be_read() -> None:
    assert sum("\nDrawn:" in read_out(begun) for begun in PROBLEMS) >= 3
