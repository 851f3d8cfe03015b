"""Text as it may leave the program: nothing in it moves a cursor, or turns a line about."""

from __future__ import annotations

import re


def visible(text: str, kept: str = "") -> str:
    """The text with a space for every sign that cannot be printed, but for those of ``kept``."""
    if text.isprintable():
        return text
    return "".join(each if each.isprintable() or each in kept else " " for each in text)


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
