"""Pieces that could be two things settled by what stands around them: A, C, V and bare numbers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from grammar.lenient.patterns import Phrase, rewritten, row
from grammar.lenient.tokens import Chunk

_BEFORE_A_POINT: Final = ("BETWEEN", "FROM", "POINT", "TERMINAL", "AT")
_NOUNS: Final = (
    "CAP",
    "CAPV",
    "NUM",
    "EQUAL",
    "SER",
    "PAR",
    "VOLT",
    "SOURCE",
    "WORD",
    "UNCHARGED",
    "SINGLE",
    "GROUP",
    "PLATED",
    "ORD1",
    "ORD2",
    "ORD3",
    "ORD4",
    "ORD5",
    "ORDLAST",
    "CEQ",
    "PD",
    "UNKNOWN",
    "BRIDGE",
    "CHARGED",
    "OTHER",
    "CHG",
    "RESISTOR",
    "CUBE",
    "STAR",
    "LADDER",
    "INDUCTOR",
    "SLAB",
    "POSITIVE",
    "WIRE",
    "LC",
    "WNUM",
    "NUMS",
    "ALTERNATING",
    "FILL",
    "CURVED",
)
_NO_CAPACITANCE_AFTER: Final = ("RATED", "HOLD", "CHARGED", "ACROSS", "JUNK", "DOUBLE")
MICRO: Final = "uF"


def settled(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """The pieces with nothing left open, and whether a unit had to be supposed."""
    found = _articles(pieces)
    found = rewritten(found, _POINTS)
    found = rewritten(found, _UNITLESS_SUPPLY)
    found = _letters(found)
    if sum(each.tag in ("CAPV", "NAME", "UNKNOWN") for each in found) > 1:
        found = rewritten(found, (Phrase(row("LC EQ CAPV"), _total),))
    found = _counts(found)
    return _spread(found)


def _articles(pieces: Sequence[Chunk]) -> list[Chunk]:
    """A as an article, or as the name of a point."""
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        if piece.tag not in ("A", "LETTER") or piece.text not in ("a", "A"):
            found.append(piece)
            continue
        before = found[-1].tag if found else ""
        after = pieces[index + 1].tag if index + 1 < len(pieces) else ""
        joined = before == "AND" and len(found) > 1 and found[-2].tag == "LETTER"
        joined = joined and not (piece.text == "a" and after in _NOUNS)
        is_point = (
            (before in _BEFORE_A_POINT and not (piece.text == "a" and after in _NOUNS))
            or joined
            or after not in _NOUNS
        )
        found.append(piece._replace(tag="LETTER" if is_point else "A", datum="A"))
    return found


def _pair(inside: Sequence[Chunk]) -> list[Chunk]:
    letters = [
        each for each in inside if each.tag in ("LETTER", "NUM", "LC", "LV", "LQ", "LU", "NAME")
    ]
    points = tuple(str(each.datum or each.text) for each in letters)
    return [Chunk("PLACE", " ".join(e.text for e in inside), inside[0].start, points)]


def _points_pair(inside: Sequence[Chunk]) -> list[Chunk]:
    pair = next(each for each in inside if each.tag == "POINTS")
    return [pair._replace(tag="PLACE", start=inside[0].start)]


_P = "(LETTER | LC | LV | LQ | LU)"
_N = f"(POINT | TERMINAL)? ({_P} | NUM)"
_LEAD = "(THE | BOTH | A)? (POINT | TERMINAL)*"
_POINTS: Final = tuple(
    Phrase(row(pattern), build) for pattern, build in (
        (f"BETWEEN {_LEAD} {_N} (AND | COMMA | TO | DASH | SERSIGN) (POINT | THE)* {_N} (?!UNIT)", _pair),
        (f"FROM {_LEAD} {_N} (TO | AND) (POINT | THE)* {_N}", _pair),
        (f"(BETWEEN | FROM | ACROSS) {_LEAD} POINTS", _points_pair),
        (f"(POINT | TERMINAL)+ (IS | COLON)? {_N} (AND | COMMA) {_N}", _pair),
        ("(ACROSS | WITH | TO)? (TERMINAL | POINT)+ POINTS", _points_pair),
        (f"{_P} (TO | SERSIGN | DASH) {_P} (?!\\b(?:IS|EQ))", _pair),
        (f"ACROSS {_P} AND {_P}", _pair),
        (f"(JOIN | IS) {_P} (TO | AND | WITH) {_P}", _pair),
    )
)  # fmt: skip


def _as_volts(inside: Sequence[Chunk]) -> list[Chunk] | None:
    number = inside[-1]
    if number.tag != "NUM":
        number = next(each for each in inside if each.tag == "NUM")
    before = [each for each in inside if each is not number]
    return [*before, number._replace(tag="VOLT", datum=f"{number.datum} V")]


def _volts_first(inside: Sequence[Chunk]) -> list[Chunk] | None:
    return [inside[0]._replace(tag="VOLT", datum=f"{inside[0].datum} V"), *inside[1:]]


def _permittivity(inside: Sequence[Chunk]) -> list[Chunk]:
    return [*inside[:-1], inside[-1]._replace(tag="PERMV")]


_UNITLESS_SUPPLY: Final = tuple(
    Phrase(row(pattern), build) for pattern, build in (
        ("(LV | LU) (EQ | IS) NUM", _as_volts),
        ("(SOURCE | PD) (OF | IS | EQ | COLON)* NUM", _as_volts),
        ("NUM (SOURCE)", _volts_first),
        ("(COMMA | STOP | SER | PAR) ACROSS NUM (?=(?:\\bSTOP |$))", _as_volts),
        ("PERM (OF | EQ | IS | A | ABOUT)* NUM", _permittivity),
    )
)  # fmt: skip


def _total(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="TOTAL", datum=inside[2].datum)]


def _letters(pieces: Sequence[Chunk]) -> list[Chunk]:
    """C, V and Q by themselves: a value in letters, a name, or the sign of a quantity."""
    has_letters = any(e.tag == "CAPV" and e.datum[-1] != "F" for e in pieces)
    has_values = any(e.tag == "CAPV" and e.datum[-1] == "F" for e in pieces)
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        before = found[-1].tag if found else ""
        after = pieces[index + 1].tag if index + 1 < len(pieces) else ""
        if piece.tag == "LC":
            if (after == "EQ" and not has_letters) or (has_values and not has_letters):
                tag = "LC"
            else:
                tag = "CAPV"
            found.append(piece._replace(tag=tag))
        elif piece.tag in ("LV", "LU"):
            is_worth = before in ("PD", "OF", "ACROSS", "SOURCE", "AT", "TO") and after != "EQ"
            found.append(piece._replace(tag="VOLT" if is_worth else "LV", datum=piece.text))
        elif piece.tag == "LQ":
            is_worth = before in ("CHGN", "OF") and after != "EQ"
            found.append(piece._replace(tag="CHG" if is_worth else "LQ", datum=piece.text))
        else:
            found.append(piece)
    return found


def _counts(pieces: Sequence[Chunk]) -> list[Chunk]:
    """A bare number that counts capacitors, and one that is a value without its unit."""
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        before = found[-1] if found else Chunk("", "", 0)
        after = pieces[index + 1] if index + 1 < len(pieces) else Chunk("", "", 0)
        if piece.tag == "NUM" and _is_count(piece, before, after, pieces[index + 1 :]):
            piece = piece._replace(tag="COUNT")
        elif (
            piece.tag == "WNUM" and before.tag in ("EQ", "IS") and after.tag not in ("CAP", "GROUP")
        ):
            two_before = found[-2].tag if len(found) > 1 else ""
            if two_before == "NAME":
                piece = piece._replace(tag="NUM")
        elif piece.tag == "WNUM" and before.tag == "NAME":
            piece = piece._replace(tag="NUM")
        elif piece.tag == "SEC" and re.fullmatch(r"[0-9.]+s", piece.text):
            piece = piece._replace(tag="NUMS")
        elif piece.tag == "NUM" and after.tag == "CAPV" and before.tag not in ("NUM", "CAPV"):
            piece = piece._replace(tag="JUNK")
        found.append(piece)
    return found


def _is_count(piece: Chunk, before: Chunk, after: Chunk, rest: Sequence[Chunk]) -> bool:
    if not str(piece.datum).isdigit() or not 1 <= int(piece.datum) <= 24:
        return False
    if before.tag in ("A", "EQ") or after.tag == "COMMA":
        return False
    if after.tag in ("TIMES",) and len(rest) > 1 and rest[1].tag in ("CAPV", "NUM", "NUMS"):
        return True
    if after.tag == "CAP":
        return after.text.lower().endswith("s") or before.tag not in ("THE", "AND", "COMMA")
    if after.tag == "CAPV":
        several = len(rest) > 1 and rest[1].tag == "CAP" and rest[1].text.lower().endswith("s")
        return several and before.tag not in ("NUM", "CAPV")
    if after.tag in ("EQUAL", "NUMS"):
        return True
    following = [each.tag for each in rest[:2]]
    return following in (["WORD", "CAP"], ["SER", "CAP"], ["PAR", "CAP"], ["UNCHARGED", "CAP"])


def _spread(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """Bare numbers that are values, each with the unit of the value that follows it, or else of
    the one before; micro where the text has no unit at all.
    """
    units = [
        each.datum.split()[-1] if each.tag == "CAPV" and each.datum.endswith("F") else ""
        for each in pieces
    ]
    supposed = False
    found = list(pieces)
    for index, piece in enumerate(pieces):
        if piece.tag not in ("NUM", "NUMS"):
            continue
        if index and pieces[index - 1].tag in _NO_CAPACITANCE_AFTER:
            continue
        after = next((unit for unit in units[index + 1 :] if unit), "")
        before = next((unit for unit in reversed(units[:index]) if unit), "")
        unit = after or before
        if not unit:
            if any(each.tag == "CAPV" for each in pieces):
                continue
            supposed, unit = True, MICRO
        found[index] = piece._replace(tag="CAPV", datum=f"{piece.datum} {unit}")
    return found, supposed
