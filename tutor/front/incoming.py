"""Whether a line describes a network, and whether more lines of it are to come.

Both are judged by the look of the line alone; reading it is the grammar's business.
"""

from __future__ import annotations

import re

_VALUE = re.compile(
    r"(?<![\w.,])(\d[\d .,]*(?:e[+-]?\d+)?)\s*([pnuµμm]?F|(?:pico|nano|micro|milli)?-?farads?)\b",
    re.IGNORECASE,
)
_JOIN = re.compile(
    r"(?:^|[;\n])\s*(?:(?:wire\b|[A-Za-z]\w*'*\s*=)[^;\n]*|\d[\d.,]*\s*(?:[pnuµμm]?F\b)?[\s,]*)"
    r"(?:\bfrom\s+\w+'*\s+to\s+\w|\bbetween\s+\w+'*\s+and\s+\w)",
    re.IGNORECASE,
)
_ENDS = re.compile(r"\bends\s*:?\s+\w+'*\s*(?:and|,)\s*\w", re.IGNORECASE)
_SUPPLY = re.compile(r"\b(?:across|holding)\s*:?\s*[-+]?[\d.]", re.IGNORECASE)
_JOINED = re.compile(
    r"--|\|\||[—–∥]|\bin\s+(?:series|parallel)\b|\b(?:series|parallel)\s*\(|\bladder\s+of\b",
    re.IGNORECASE,
)
_OPEN_END = re.compile(r"(?:;|,|--|\|\||[—–∥(])\s*$")


def lists_joins(text: str) -> bool:
    """Whether there is a line of a list of joins in it, as in C1 = 4 uF from A to P."""
    return bool(_JOIN.search(_without_remarks(text)))


def wants_more(text: str, walking: bool = False) -> bool:
    """Whether a text goes on in the next line; a blank line at its end says that it does not.

    In a walk only lists of joins and a semicolon go on: there an open bracket is an answer to
    be talked about.
    """
    if not text.strip() or text.endswith("\n"):
        return False
    bare = _without_remarks(text).rstrip()
    if lists_joins(bare) and not _ENDS.search(bare):
        return True
    if walking:
        return bare.endswith(";")
    return bool(_OPEN_END.search(bare)) or bare.count("(") > bare.count(")")


def looks_like_network(text: str) -> bool:
    """Whether a line, in a walk, describes a network rather than answers a question.

    A network has values of capacitors, and a supply or joining signs that hold them together.
    """
    bare = _without_remarks(text)
    values = values_in(bare)
    if lists_joins(bare):
        return True
    if not values:
        return False
    return bool(_SUPPLY.search(bare)) or (len(values) > 1 and bool(_JOINED.search(bare)))


_TOLD_JOINED = re.compile(r"\b(?:series|parallel|chain|row)\b", re.IGNORECASE)


def says_how_joined(line: str) -> bool:
    """Whether a word of a line says how capacitors are joined."""
    return bool(_TOLD_JOINED.search(line))


def has_supply(text: str) -> bool:
    """Whether the text says what is joined to its ends."""
    return bool(_SUPPLY.search(text))


def values_in(text: str) -> tuple[str, ...]:
    """The capacitances a text states, number and unit with nothing between, as in 4uF."""
    return tuple(
        re.sub(r"\s", "", number + unit.lower()).replace("μ", "u").replace("µ", "u")
        for number, unit in _VALUE.findall(text)
    )


def _without_remarks(text: str) -> str:
    return re.sub(r"#[^\n]*", "", text)
