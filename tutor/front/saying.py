"""Messages as lines of a screen or a pipe: wrapped by words, with a drawing where one is wanted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

from tutor.front.plain import Page
from tutor.teaching.messages import Message, MessageKind, Verdict

if TYPE_CHECKING:
    from tutor.teaching.depicted import Depicted

NOT_YET = "Not yet."
PARTED = ("ask", "reveal", "close")  # kinds with a blank line before them
READABLE = 76
"""Columns beyond which lines of text are hard to follow, common practice, no source."""

Role: TypeAlias = MessageKind | Literal["drawing", "heading"]


class PrintedLine(NamedTuple):
    """One line to print, and what it belongs to."""

    text: str
    role: Role
    verdict: Verdict | None = None


class Voice(NamedTuple):
    """Where text and drawings may run: ``text`` is the page of the words, ``page`` of drawings."""

    page: Page
    text: Page


def said_lines(messages: Iterable[Message], voice: Voice) -> Iterator[PrintedLine]:
    """Every line of the messages in order, with a blank line before what is new.

    A drawing follows the words that it belongs to, but goes before the question asked on it.
    """
    for place, message in enumerate(messages):
        drawn = message.drawn if voice.page.drawings else None
        if drawn is not None and message.kind == "ask":
            yield from _drawn(drawn, voice.page)
        if place and (message.kind in PARTED or message.heading):
            yield PrintedLine("", message.kind)
        for text in wrapped(_told_apart(message), voice.text):
            yield PrintedLine(text, message.kind, message.verdict)
        if drawn is not None and message.kind != "ask":
            yield from _drawn(drawn, voice.page)


def _told_apart(message: Message) -> str:
    """Its text; what is wrong begins with a word that says so, as what is right has one."""
    if message.verdict != "wrong" or message.about == "change":
        return message.text
    return message.text if re.match(r"Not?\b", message.text) else f"{NOT_YET} {message.text}"


def wrapped(text: str, page: Page) -> Iterator[str]:
    """The text within the page. A line with a caret under it is cut round the caret instead.

    Where there are several lines, the rest of each is set in, so that one can tell them apart.
    """
    lines = text.split("\n")
    hanging = len(lines) > 1
    for place, line in enumerate(lines):
        below = lines[place + 1] if place + 1 < len(lines) else ""
        if re.fullmatch(r" *\^", line) and place:
            continue
        if re.fullmatch(r" *\^", below):
            yield from _pointed_at(page.plain(line), len(below) - 1, page.columns)
        elif line.strip():
            rows = page.wrapped(line)
            yield from (row if hanging else row.strip() for row in rows)
        else:
            yield ""


def _pointed_at(line: str, column: int, width: int) -> tuple[str, str]:
    """The piece of the line round the caret, and the caret under it."""
    start = max(0, min(column - width // 2, len(line) - width)) if len(line) > width else 0
    return line[start : start + width].rstrip(), " " * (column - start) + "^"


def _drawn(drawn: Depicted, page: Page) -> Iterator[PrintedLine]:
    from tutor.front.pictures import picture

    rows = picture(drawn, page)
    if not rows:
        text = "There is no drawing of this network; 'list' says it in words."
        yield from (PrintedLine(row, "say") for row in page.wrapped(text))
        return
    yield PrintedLine("", "drawing")
    yield from (PrintedLine(row, "drawing") for row in rows)
