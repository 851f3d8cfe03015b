"""A script of free working, cut into lines and each line into what it states.

What is crossed out is not marked; numbering and bullets are left out. A line is parted at its full
stops, semicolons and words such as "so", so that one statement stands in each piece.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from types import MappingProxyType
from typing import NamedTuple

from grammar.handwriting import TO, lines_as_written
from tutor.teaching.marking.plainer_lines import plainly
from tutor.teaching.marking.values_in_short import UNIT_FOR_ALL

_ALWAYS = re.compile(
    r"\s*(?:;|(?<=[a-z)A-Z\d])(?<![Pp]\.[Dd])\.\s+(?=[A-Z(])|\bor\b"
    r"|,\s*(?=(?:(?:times|plus|minus|divided\s+by)\s+|[x×*/÷]\s*)[\d(])"
    r"|,?\s+and\s+(?=[\d(.][^=,]*=\s*[\d.]+\s*[pnuµμm]?[FVCJ]\s+(?:on|across|for|over)\s)"
    r"|(?<=[\dFVCJ])\.\s+(?=\d+\.\d+\s*[pnuµμmk]?[FVCJ]\s*$)"  # 42. 6.72 µF are two
    r"|\.\s+(?=(?:add|adding|subtract|subtracting|take\s+away)\s*:)"
    r"|(?<=[a-z]{3}):(?=\s*\d+\s+[a-z]{3,}\s*$)"
    r"|(?<=\s)\|\s+(?=[^|=:]{1,12}:)"  # the columns of a table
    r"|(?<=[A-Za-z]{3}):\s*(?=(?:1\s*/\s*)?[A-Z]\w*'*\s*(?:[-+*/×−]\s*[A-Z]\w*'*\s*)*=))\s*"
)
_LINKS = re.compile(
    r"\s*(?:,?\s*\b(?:so|hence|therefore|thus|then|and so|where|but|while"
    r"|because(?=[^=]*=)|giving|which gives|which means(?: that)?|(?:gives|makes)(?=[^=]*=))\b:?"
    r"|,\s|∴|⇒|⟹|=>|→|-{1,2}>)\s*",
    re.IGNORECASE,
)
_OWN_EQUALS = re.compile(
    r"[^=]*[A-Za-z][^=]*(?:=(?!>)|:)|[CQVUE]_?\w{1,4}(?:\s+(?:is|are)\s|\s*(?:→|⇒|-{1,2}>)\s*\d)"
)
_EQUATION = re.compile(r"[.(½]?\d[^=→⇒]*=(?!>)")
# What follows from one over it, in words: 1/6 + 1/12 = 1/4 so total capacitance is 4 µF.
_OVER_IT = re.compile(r"(?:^|[^\d.])1\s*/\s*\d[^=]*\+[^=]*=")
_SAYS_AMOUNT = re.compile(r"[A-Za-z][^=]*\b\d[\d.]*\s*[pnuµμmk]?[FVCJ](?![A-Za-z])")
_BEGINS_WITH_NUMBER = re.compile(r"[≈=]?\s*[-+]?[\d.]")
_WORDS_BEFORE = re.compile(r"\b(?![pnuµμmk]?[FCVJ]\b)[A-Za-z]{2,}\s*$")
# What goes on with the value before it: "then + 30 = 33.75 µF".
_GOES_ON = re.compile(
    r"^\s*(?:(?:then|and|now|next)\s+)?"
    r"(?:add(?:ing)?(?=\s)(?!\s+(?:the\s+)?[\d.]+(?:e-?\d+)?\s*(?:[pnuµμm]?F)?\s+(?:and|to)\s)|(\|\||∥|-{2}(?=\s*\d[\d.]*\s*(?:[pnuµμm]?F)?\s*=)|[+×*÷/]"
    r"|x(?=\s*\d[\d.]*\s*(?:[pnuµμmk]?[FVCJ](?![A-Za-z])|[-+*/×]))"
    r"|(?:plus|minus|times|divided by|multiplied by|over)\b))"
    r"(?:\s+the)?\s*(?=[\d(].*(?:=|≈|:|\b(?:is|makes|gives)\b))"
)
_VALUE_LAST = re.compile(
    r"(?:=|≈|:|\b(?:is|makes|gives)\b)\s*(\d[\d.,]*(?:e-?\d+)?)(\s*[pnuµμmk]?[FVCJ]?)\s*$"
)
_ANSWER = re.compile(r"\b(?:ANS|Ans)\b")
_SIGNS = MappingProxyType(
    {"plus": "+", "minus": "-", "times": "×", "multiplied by": "×", "divided by": "÷", "over": "÷"}
)
_ADDS_AMOUNT = re.compile(r"[-+]\s*[\d.]+\s*[pnuµμmk]?[FVCJ]\b")
# A name as a heading of what leads to its value: "C34: 1/4 + 1/12 = 4/12, so C34 = 3 uF".
_HEADING = re.compile(r"^\s*([CQVUE]_?\w+)\s*:(?=[^=]*\d[^=]*=.*\W\1\s*=)")
# A value that is said to be left of another, and not to be equal to it: 12 V → 3 V left.
_LEFT_OVER = re.compile(
    r"(?:leav|remain|(?:the\s+)?rest\b)"
    r"|[-+]?\d[\d.,]*\s*[pnuµμmk]?[FVCJ]\s+(?:is\s+|are\s+)?(?:left|remain|over\b)"
)
# Who holds what, after an arrow or what follows: => the 6 gets 12 V, so each has 36 µC.
_HOLDER_NEXT = re.compile(
    r"(?:the\s+)?(?:C_?\d\w*|\d[\d.]*\s*(?:[pnuµμm]?F)?|[a-z]+(?:\s+(?:one|cap|capacitor))?)\s+"
    r"(?:gets?|has|have|takes?|holds?|carr(?:y|ies)|keeps?)\b"
)
_AMOUNT_LAST = re.compile(r"\d\s*[pnuµμmk]?([FVCJ])\s*$")
_AMOUNT_FIRST = re.compile(r"[-+]?[\d.,]*\d\s*[pnuµμmk]?([FVCJ])(?![\w/])")
_EQUAL_TOO = ("gives", "makes")  # an equals sign where none stands before
# What is divided in a ratio, and the values behind that.
_SHARED_OUT = re.compile(
    rf"([^=\d]*\d[\d.]*(?:{TO}\d[\d.]*)+)((?:[\s,;:=]|->|=>|[→⇒]|\bso\b)*"
    r"(?:\d[\d.]*\s*(?:[pnuµμmk]?[VC]\b)?(?:\s*(?:,|and|&|/|:)\s*|\s*$)){2,}(?=$))?(.*)"
)
_VALUE = re.compile(r"\d[\d.]*(?:\s*[pnuµμmk]?[VC]\b)?")
_SO = ("so", "and so", "hence", "therefore", "thus")
_ARROWS = ("⇒", "⟹", "=>", "→", "->", "-->")


class WrittenLine(NamedTuple):
    """One line as it stands. ``number`` counts from 1; ``pieces`` are its statements, if any.

    ``part_of``: the number of the line that its fraction, written over three, counts on.
    """

    number: int
    text: str
    crossed_out: bool
    pieces: tuple[str, ...]
    part_of: int | None = None


def written_lines(text: str) -> tuple[WrittenLine, ...]:
    """Every line of a script, blank ones too."""
    found: list[WrittenLine] = []
    last: re.Match[str] | None = None
    for line in lines_as_written(text):
        pieces: list[str] = []
        for piece in _pieces(line.plain):
            pieces.append(_going_on(piece, last))
            last = _VALUE_LAST.search(pieces[-1])
        found.append(
            WrittenLine(line.number, line.text, line.crossed_out, tuple(pieces), line.part_of)
        )
    return tuple(found)


def in_pieces(
    written: Sequence[WrittenLine], renamed: Callable[[Sequence[str]], Sequence[str]]
) -> list[WrittenLine]:
    """The lines with all their pieces as ``renamed`` has them, which sees them together."""
    waiting = iter(renamed([piece for line in written for piece in line.pieces]))
    return [line._replace(pieces=tuple(next(waiting) for _ in line.pieces)) for line in written]


def _going_on(piece: str, last: re.Match[str] | None) -> str:
    """What begins with a sign, with the value before it that it goes on with; with the unit of
    that where amounts with their units are put together. A calculator calls that value Ans.
    """
    if last is not None:
        piece = _ANSWER.sub(last[1], piece)
    found = _GOES_ON.match(piece)
    if found is None or last is None:
        return piece
    rest = f"{_SIGNS.get(found[1] or 'plus', found[1])} {piece[found.end() :]}"
    return f"{last[1]}{last[2] if _ADDS_AMOUNT.match(rest) else ''} {rest}"


def says_units_once(text: str) -> bool:
    """Whether a line gives its unit in brackets, for all its values."""
    return UNIT_FOR_ALL.search(text) is not None


def leads_by_arrow(text: str) -> bool:
    """Whether something in a line is said to follow, which need not be equal."""
    return any(sign in text for sign in _ARROWS)


def _pieces(plain: str) -> tuple[str, ...]:
    plain = _HEADING.sub("", plain)
    if (shared := _SHARED_OUT.fullmatch(plain)) is not None:
        values = _VALUE.findall(shared[2] or "")
        return (" ".join([shared[1].strip(), *values]), *_pieces(shared[3]))
    parts = _ALWAYS.split(plainly(plain))
    return tuple(piece for part in parts for piece in _at_links(part) if piece)


def _leads_to_another_kind(before: str, rest: str) -> bool:
    """Whether amounts before and after an arrow cannot be equal: Q = 42 µC → 4.2 µF."""
    one, other = _AMOUNT_LAST.search(before), _AMOUNT_FIRST.match(rest)
    return one is not None and other is not None and one[1] != other[1]


def _at_links(part: str) -> list[str]:
    """Part at each "so" that another statement follows; an arrow elsewhere is an equals sign."""
    pieces: list[str] = []
    start = 0
    for link in _LINKS.finditer(part):
        before, rest = part[start : link.start()], part[link.end() :]
        sign = link[0].strip(" ,\t")
        if sign.lower() in _EQUAL_TOO and "=" not in before:
            continue
        after_words = sign in _ARROWS and _WORDS_BEFORE.search(before)
        in_words = after_words or (sign[:1].isalpha() and _BEGINS_WITH_NUMBER.match(rest))
        is_side = "=" not in before and rest.startswith(("=", "≈"))
        says_more = sign[:1].isalpha() and _OVER_IT.search(before) is not None
        is_equation = sign in _ARROWS and "=" in before and _EQUATION.match(rest)
        tells_more = sign in _ARROWS and (_LEFT_OVER.match(rest) or _HOLDER_NEXT.match(rest))
        if not before.strip() and not pieces and tells_more:
            start = link.end()
        elif before.strip() and (
            _OWN_EQUALS.match(rest)
            or is_equation
            or (says_more and _SAYS_AMOUNT.match(rest))
            or (in_words and not is_side)
            or tells_more
            or (sign.lower() in _SO and _HOLDER_NEXT.match(rest))
            or (sign in _ARROWS and _leads_to_another_kind(before, rest))
        ):
            pieces.append(before.strip())
            start = link.end()
        elif sign in _ARROWS:
            part = part[: link.start()] + link[0].replace(sign, "=".ljust(len(sign))) + rest
    return [*pieces, part[start:].strip()]
