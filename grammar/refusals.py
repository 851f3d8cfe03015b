"""What is told of a text that cannot be read, made visible; the nearest name to a mistyped one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from grammar.shown import bearable, visible

WIDTH = 78
# What would do where a value of some kind is wanted and nobody says of which.
ANY_VALUE = "Write a value such as 5 uF."


class Place(NamedTuple):
    """Where in a text: line and column count from 1, ``line_text`` is that whole line."""

    line: int
    column: int
    line_text: str


class Refusal(Exception):
    """A text that cannot be read. ``args`` stay plain so that it pickles.

    ``found`` says what stands there, ``cure`` what would do; both are whole sentences in a
    learner's words; one that quotes without measure is cut in its middle. ``str()`` gives the
    message of one line, without the place.
    """

    def __init__(self, found: str, cure: str, place: Place | None = None) -> None:
        found, cure = bearable(found), bearable(cure)
        super().__init__(found, cure, place)
        self.found = found
        self.cure = cure
        self.place = place

    def __str__(self) -> str:
        return f"{self.found} {self.cure}".strip()


def show(refusal: Refusal, width: int = WIDTH) -> str:
    """The refusal for a terminal: what was found, the line with a caret, what would do.

    No line is wider than ``width`` columns; a long one of the learner's is cut round the caret.
    """
    from textwrap import fill

    width = min(width, WIDTH)

    place = refusal.place
    if place is None:
        return "\n".join((fill(refusal.found, width), fill(refusal.cure, width)))
    line = visible(place.line_text)
    shown, column = _cut(line, place.column - 1, width)
    found = fill(f"Line {place.line}: {refusal.found}", width)
    caret = " " * _columns(shown[:column]) + "^"
    return "\n".join((found, shown, caret, fill(refusal.cure, width)))


def _columns(text: str) -> int:
    """How many columns of a terminal the text takes: wide forms two, marks above none."""
    from unicodedata import combining, east_asian_width

    return sum(0 if combining(each) else 1 + (east_asian_width(each) in "FW") for each in text)


def _cut(line: str, column: int, width: int) -> tuple[str, int]:
    """The piece of a line round one column, and where that column is in the piece."""
    line = line.ljust(column + 1)  # the caret may stand after the last character
    if _columns(line) <= width and len(line) <= 2 * width:
        return line.rstrip(), column
    width = width if _columns(line) == len(line) else width // 2
    start = max(0, min(column - width // 2, len(line) - width))
    piece = line[start : start + width]
    if start > 0:
        piece = "..." + piece[3:]
    if start + width < len(line):
        piece = piece[:-3] + "..."
    return piece.rstrip(), column - start


def denies(typed: str, name: str) -> bool:
    """Whether a word denies another, which then is the last that is meant by it: uncharged is not
    charged misspelt.
    """
    return typed.lower() in {f"{no}{name.lower()}" for no in ("un", "non", "non-", "dis")}


def nearest(typed: str, names: Iterable[str]) -> str | None:
    """The name that is most like the typed one, or None where none is near."""
    from difflib import get_close_matches

    by_lower = {name.lower(): name for name in names if not denies(typed, name)}
    found = get_close_matches(typed.lower(), by_lower, n=1, cutoff=0.5)
    return by_lower[found[0]] if found else None
