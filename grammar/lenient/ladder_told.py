"""A ladder told capacitor by capacitor: along its rails, and across as its rungs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from grammar.lenient.tokens import Chunk
from grammar.spoken_numbers import ONES

_ALONG: Final = ("SER", "BRANCH", "TOP")
_ACROSS: Final = ("RUNG", "PAR", "ACROSS")
_PLACES: Final = (*_ALONG, *_ACROSS)
_LINK: Final = re.compile(
    r"(?i)\b(?:along|series|(?:top|upper) (?:wire|rail|line|lead))\b"
    r".*\b(?:down|across|shunt|ground|rung|between the)\b"
)
_ENDLESS: Final = re.compile(
    r"(?i)infinit|endless|for ?ever|without (?:an )?end|and so on|\.\.\."
    r"|never[- ](?:stop|end)|again and again|on and on|no end\b"
)

# Each rung is told by itself, and not as what comes first in a section.
_EVERY_RUNG: Final = re.compile(
    r"(?i)\b(?:every|each|all|the) (?:of the )?(?:rungs?|steps?)\b(?!.*\b(?:then|followed|after)\b)"
)
_SECTION: Final = r"(?:L-)?(?:section|stage|cell|unit|link|loop|mesh|repeat|step|part)"
# How many sections there are, each as the one that is told.
_SECTIONS: Final = re.compile(
    rf"(?i)\b(?P<many>[0-9]+|{'|'.join([*ONES][2:13])}) (?:(?:identical|equal|such|alike|like|same)"
    rf" )*{_SECTION}e?s\b"
)
_EVERY: Final = re.compile(rf"(?i)\b(?:each|every|all|identical) (?:\w+ )?{_SECTION}|\brepeat")


def ladder_in(pieces: Sequence[Chunk], plain: str) -> str | None:
    """The ladder of a text made plain, in the strict notation; None where it tells of none, or not
    of all of it.
    """
    is_named = any(each.tag == "LADDER" for each in pieces)
    parts = (_parts_of(pieces) if is_named else []) or _links(plain, pieces)
    volts = [str(each.datum) for each in pieces if each.tag == "VOLT"]
    if len(parts) < 2 or len(volts) > 1:
        return None
    supply = "".join(f", across {each}" for each in volts)
    sections = _SECTIONS.search(plain)
    many = int(ONES.get(told := sections["many"].lower(), told)) if sections else 0
    if _ENDLESS.search(plain) or (many and len(parts) == 2):
        one = _section(parts, plain)
        so_many = f", {many} sections" if many else " without end"
        return f"ladder of ({one}){so_many}{supply}" if one else None
    if _EVERY.search(plain) or (many and len(parts) != 2 * many):
        return None
    return _from_the_end(parts) + supply if parts[0][0] == "series" else None


def _section(parts: Sequence[tuple[str, str]], plain: str) -> str | None:
    """One of each kind, told first along and then across, or of every rung before every section:
    that is no order. What begins it may be told once more.
    """
    kinds = dict(parts[:2])
    again = [each for each in parts[2:] if each != ("series", kinds.get("series"))]
    in_order = parts[0][0] == "series" or _EVERY_RUNG.search(plain)
    if len(kinds) < 2 or again or not in_order:
        return None
    return f"series {kinds['series']}, shunt {kinds['shunt']}"


def _links(plain: str, pieces: Sequence[Chunk]) -> list[tuple[str, str]]:
    """``an endless chain: every link has a C along the top and a 2C down``; none for any other."""
    values = [str(each.datum) for each in pieces if each.tag == "CAPV"]
    if len(values) != 2 or not _ENDLESS.search(plain) or not _LINK.search(plain):
        return []
    return [("series", values[0]), ("shunt", values[1])]


def _parts_of(pieces: Sequence[Chunk]) -> list[tuple[str, str]]:
    """Each value with where it lies, said before it or after it; none where that is open."""
    values: list[str] = []
    places: list[str] = []
    unit = next((str(e.datum).split()[-1] for e in pieces if e.tag == "CAPV"), "uF")
    comes_first = next((e.tag for e in pieces if e.tag in (*_PLACES, "CAPV")), "") in _PLACES
    for piece in pieces:
        if piece.tag in _PLACES and len(places) < len(values) + comes_first:
            places.append("series" if piece.tag in _ALONG else "shunt")
        if piece.tag == "CAPV":
            values.append(str(piece.datum))
        elif piece.tag == "BRANCH" and " " in piece.text:  # top rail 8
            values.append(f"{piece.datum} {unit}")
    if len(places) not in (len(values), len(values) + comes_first):
        return []
    return list(zip(places, values, strict=False))


def _from_the_end(parts: Sequence[tuple[str, str]]) -> str:
    """The last first: each lies before, or beside, all that comes after it."""
    text = parts[-1][1]
    for where, worth in reversed(parts[:-1]):
        rest = f"({text})" if len(text.split()) > 2 else text  # a value is a number and its unit
        text = f"{worth} {'--' if where == 'series' else '||'} {rest}"
    return text
