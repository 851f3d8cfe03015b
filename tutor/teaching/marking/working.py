"""A script of free working, cut into lines and each line into what it states.

What is written between double tildes (~~ 3 + 4 = 7 ~~) is crossed out and is not marked.
Numbering, bullets and remarks in words are left out; a line is parted at its full stops,
semicolons and words such as "so", so that one statement stands in each piece.
"""

from __future__ import annotations

import re
from typing import NamedTuple

CROSSED_OUT = re.compile(r"~~.*?(?:~~|$)")
_NUMBERING = re.compile(
    r"\s*(?:(?i:step|part|line|question)\s*)?\(?(?:\d{1,2}|[a-hj-z]|[ivx]{1,4})\)\s*(?=\S)"
    r"|\s*(?:(?i:step|part|line|question)\s+)?\d{1,2}[.:](?=\s)\s*|\s*(?i:step|part|line|question)\s+\d{1,2}\s+"
    r"|\s*[-*•–]\s+"
)
_ALWAYS = re.compile(
    r"\s*(?:;|(?<=[a-z)A-Z\d])(?<![Pp]\.[Dd])\.\s+(?=[A-Z(])|\bor\b"
    r"|(?<=[A-Za-z]{3}):\s*(?=(?:1\s*/\s*)?[A-Z]\w*'*\s*(?:[-+*/×−]\s*[A-Z]\w*'*\s*)*=))\s*"
)
# A value with its unit, and the next equation begun beside it without a comma.
_SIDE_BY_SIDE = re.compile(
    r"(=\s*[-+]?[\d.,]+\s*(?:[pnuµμmkM]?[FVJ]|[pnuµμm]C))\s+(?=[CQVUEW](?:_?\w{1,5})?'*\s*=)"
)
_TICK = re.compile(r"\s*[\u2713\u2714\u2611√]+\s*$")
_LINKS = re.compile(
    r"\s*(?:,?\s*\b(?:so|hence|therefore|thus|then|and so|where|but|while|giving|which gives)\b:?"
    r"|,\s|∴|⇒|⟹|=>|→|->)\s*",
    re.IGNORECASE,
)
_OWN_EQUALS = re.compile(r"[^=]*[A-Za-z][^=]*(?:=(?!>)|:)")
_BEGINS_WITH_NUMBER = re.compile(r"[≈=]?\s*[-+]?[\d.]")
_ARROWS = ("⇒", "⟹", "=>", "→", "->")


class WrittenLine(NamedTuple):
    """One line as it stands. ``number`` counts from 1; ``pieces`` are its statements, if any."""

    number: int
    text: str
    crossed_out: bool
    pieces: tuple[str, ...]


def written_lines(text: str) -> tuple[WrittenLine, ...]:
    """Every line of a script, blank ones too."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    if lines[-1] == "":
        lines.pop()
    return tuple(_line(number, line) for number, line in enumerate(lines, start=1))


def _line(number: int, text: str) -> WrittenLine:
    kept = CROSSED_OUT.sub(" ", text)
    crossed = kept != text
    kept = _SIDE_BY_SIDE.sub(r"\1; ", _TICK.sub("", kept))
    for _ in range(2):  # as in "1) (a) C = ..."
        found = _NUMBERING.match(kept)
        kept = kept[found.end() :] if found else kept
    pieces = tuple(piece for part in _ALWAYS.split(kept) for piece in _at_links(part) if piece)
    return WrittenLine(number, text, crossed and not pieces, pieces)


def _at_links(part: str) -> list[str]:
    """Part at each "so" that another statement follows; an arrow elsewhere is an equals sign."""
    pieces: list[str] = []
    start = 0
    for link in _LINKS.finditer(part):
        before, rest = part[start : link.start()], part[link.end() :]
        sign = link[0].strip()
        in_words = sign[:1].isalpha() and _BEGINS_WITH_NUMBER.match(rest)
        if before.strip() and (_OWN_EQUALS.match(rest) or in_words):
            pieces.append(before.strip())
            start = link.end()
        elif sign in _ARROWS:
            part = part[: link.start()] + link[0].replace(sign, "=".ljust(len(sign))) + rest
    return [*pieces, part[start:].strip()]
