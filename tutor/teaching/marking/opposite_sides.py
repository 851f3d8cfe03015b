"""Names for what a script calls by its side: the left pair, then V left and Q on the right."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

from tutor.teaching.marking.labels import symbol_in

_OPPOSITES: Final = (
    ("left", "right"),
    ("top", "bottom"),
    ("upper", "lower"),
    ("first", "second"),
    ("inner", "outer"),
    ("near", "far"),
    ("l", "r"),
)
_GROUP: Final = (
    r"(?:pair|side|half|block|group|branch|bit|part|two|set|bank|arm|row|path|leg|combo|section)"
)
_LETTER_OF_UNIT: Mapping[str, str] = MappingProxyType({"F": "C", "V": "V", "C": "Q", "J": "E"})
_UNIT: Final = re.compile(r"\d\s*[pnuµμmk]?([FVCJ])(?![A-Za-z\d])")
_VALUE: Final = re.compile(r"\s*[\d(]")
_IS: Final = r"(?P<is>\s+is\b)"
_KIND: Final = r"(?:charge|voltage|volts|p\.?d\.?|potential|energy|capacitance)"
_HELD: Final = re.compile(r"\d\s*[pnuµμmk]?[VCJ](?![A-Za-z\d])")
_PLACED: Final = r"(?:(?:on|across|of|over|for|in|at)\s+)?(?:the\s+)?"


def with_names_for_sides(pieces: Sequence[str]) -> tuple[str, ...]:
    """Pieces with one name for each of two opposite sides wherever one is told, as C_left and
    V_left; as they stand where nothing but capacitances is told so, or of one of the two sides
    alone: 10 V left is no place.
    """
    for sides in _OPPOSITES:
        *of_kind, alone = _told_by(sides)
        by_kind = [m for piece in pieces for each in of_kind for m in each.finditer(piece)]
        by_itself = [m for piece in pieces for m in alone.finditer(piece)]
        is_held = any(_HELD.search(m.string, m.end()) for m in by_itself)
        told = {m["side"].lower() for m in (*by_kind, *by_itself)}
        if (by_kind or is_held) and told == set(sides):
            pieces = [_named(piece, of_kind, alone) for piece in pieces]
    return tuple(pieces)


def _told_by(sides: tuple[str, str]) -> list[re.Pattern[str]]:
    """How one of two sides may be told: behind a letter or a kind of quantity, before one, and last
    by itself.
    """
    side = rf"(?P<side>(?i:{'|'.join(sides)}))(?:[-\s]hand)?"
    letter = "(?P<letter>[CQVUE])"
    return [
        re.compile(pattern)
        for pattern in (
            rf"(?<![A-Za-z\d_]){letter}(?:_|\s+{_PLACED})?{side}(?:\s+{_GROUP})?(?![A-Za-z\d]){_IS}?",
            rf"(?i)\b(?P<kind>{_KIND})\s+{_PLACED}{side}(?:\s+{_GROUP})?\b{_IS}?",
            rf"\b(?:[Tt]he\s+)?{side}\s+(?:{_GROUP}\s+)?(?:{letter}|(?P<kind>{_KIND}))(?:(?=\s*[=:])|{_IS})",
            rf"(?i)\b(?:the\s+)?{side}\s+{_GROUP}\b"
            r"(?P<sign>\s*[=:]|\s+(?:is|gives|makes)\b|(?=\s*[\d(]))?"
            r"(?:\s*(?P<joined>[^=:;]*\b(?:series|parallel|row|chain))\s*(?:=|\bis\b|\bgives\b))?",
        )
    ]


def _named(piece: str, of_kind: Sequence[re.Pattern[str]], alone: re.Pattern[str]) -> str:
    for each in of_kind:
        piece = each.sub(_name, piece)
    return alone.sub(_name_by_unit, piece)


def _name(found: re.Match[str]) -> str:
    parts = found.groupdict()
    letter = parts.get("letter") or symbol_in(parts["kind"])
    is_stated = found["is"] or _VALUE.match(found.string, found.end())
    return f"{letter}_{found['side'].lower()[:4]}{' =' if is_stated else ''}"


def _name_by_unit(found: re.Match[str]) -> str:
    """The capacitance of a side, or what the unit says that comes after an equals sign; behind what
    is joined there, where words tell it: 4 and 12 in series.
    """
    name = found["side"].lower()[:4]
    joined = f"{found['joined']}, " if found["joined"] else ""
    if found["sign"] is None and not joined:
        return f"C_{name}"
    units = _UNIT.findall(re.split(r"[,;]", found.string[found.end() :])[0])
    return f"{joined}{_LETTER_OF_UNIT[units[-1]] if units else 'C'}_{name} ="
