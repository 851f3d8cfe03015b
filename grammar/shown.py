"""Text as it may come in and leave: nothing in it moves a cursor, turns a line about, or has blanks
without end.
"""

from __future__ import annotations

import re
from typing import Final

LONGEST_SENTENCE: Final = 1_000  # in characters; a path can take some hundreds
MOST_BLANKS: Final = 4  # a gap in a table of working is as wide as that
_RUN: Final = re.compile(rf"[^\S\n]{{{MOST_BLANKS + 1},}}")


def with_few_blanks(text: str) -> str:
    """A text in which no run of blanks is longer than ``MOST_BLANKS``; its lines stay. Beyond a few
    they say nothing, and every pattern that goes over them takes the longer for it, some with the
    cube of their length.
    """
    return _RUN.sub(" " * MOST_BLANKS, text)


def visible(text: str, kept: str = "") -> str:
    """The text with a space for every sign that cannot be printed, but for those of ``kept``."""
    if text.isprintable():
        return text
    return "".join(each if each.isprintable() or each in kept else " " for each in text)


def bearable(sentence: str) -> str:
    """The sentence, cut in its middle where it quotes without measure."""
    if len(sentence) <= LONGEST_SENTENCE:
        return sentence
    half = LONGEST_SENTENCE // 2
    return f"{sentence[:half]} ... {sentence[-half:]}"


def json_line(entry: object, ascii: bool = False) -> str:
    """The object as JSON on one line, signs that cannot be printed as numbers: an equal object.

    ``ascii`` gives every sign beyond ASCII by its number.
    """
    from json import dumps

    written = dumps(entry, ensure_ascii=ascii)
    return written if written.isprintable() else re.sub(".", _numbered, written, flags=re.DOTALL)


def _numbered(sign: re.Match[str]) -> str:
    from json import dumps

    return sign[0] if sign[0].isprintable() else dumps(sign[0])[1:-1]
