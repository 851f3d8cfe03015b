"""Numbers without a unit: the label of a branch, a count, or a value that shares a unit."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.tokens import Chunk

MICRO: Final = "uF"
_MOST_COUNTED: Final = 24
_NO_CAPACITANCE_AFTER: Final = ("RATED", "HOLD", "CHARGED", "JUNK", "DOUBLE", "GAPN", "PERM")
_NOTHING: Final = Chunk("", "", -1)


def with_bare_numbers_settled(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """The pieces with a role for every bare number that can have one, and whether a unit had to
    be supposed.
    """
    return _spread(_counts(_labels(pieces)))


def _labels(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``branch 1: …``: the number of a branch, which counts nothing."""
    found: list[Chunk] = []
    known: set[str] = set()
    for index, piece in enumerate(pieces):
        before = found[-1] if found else _NOTHING
        after = pieces[index + 1].tag if index + 1 < len(pieces) else ""
        label = f"{before.text} {piece.text}"
        if _may_be_labelled(before, piece) and (after in _AFTER_A_LABEL or label.lower() in known):
            known.add(label.lower())
            found[-1] = before._replace(text=label, datum=piece.datum)
            continue
        found.append(piece)
    return found


_AFTER_A_LABEL: Final = (*words("OPEN COLON IS OF DASH EQ SERSIGN COMMA JOIN STOP"), "")


def _may_be_labelled(noun: Chunk, piece: Chunk) -> bool:
    """Whether a number, or a letter, may be that of a group or a branch."""
    number = piece.tag in ("NUM", "WNUM", "ONE") or _is_letter(piece)
    return number and noun.tag in ("GROUP", "BRANCH") and not noun.text.lower().endswith("s")


def _is_letter(piece: Chunk) -> bool:
    return piece.tag in ("LETTER", "NAME") and len(piece.text) == 1


def _counts(pieces: Sequence[Chunk]) -> list[Chunk]:
    """A bare number that counts capacitors, and one in words that is a value."""
    found: list[Chunk] = []
    for index, told in enumerate(pieces):
        piece = told
        before = found[-1] if found else _NOTHING
        after = pieces[index + 1] if index + 1 < len(pieces) else _NOTHING
        if piece.tag == "SEC" and re.fullmatch(r"[0-9.]+s", piece.text):
            piece = piece._replace(tag="NUMS")
        if piece.tag == "NUM" and piece.text == "1" and after.tag == "BRANCH":
            piece = piece._replace(tag="ONE")
        if piece.tag == "NUM" and before.tag in ("ORDLAST", "ORD1") and piece.text in "234":
            piece = piece._replace(tag="COUNT")
        if piece.tag == "NUM" and _is_count(piece, before, pieces[index + 1 :]):
            piece = piece._replace(tag="COUNT")
        elif piece.tag == "WNUM" and _is_value(found, after):
            piece = piece._replace(tag="NUM")
        found.append(piece)
    return found


def _is_value(found: Sequence[Chunk], after: Chunk) -> bool:
    before = found[-1].tag if found else ""
    if before == "NAME":
        return True
    if before == "A" and after.tag in ("AND", "COMMA", "IN", "SER", "PAR", "CAPV", "STOP"):
        return True
    is_said = before in ("EQ", "IS") and len(found) > 1 and found[-2].tag == "NAME"
    return is_said and after.tag not in ("CAP", "GROUP", "BRANCH")


def _is_count(piece: Chunk, before: Chunk, rest: Sequence[Chunk]) -> bool:
    if not str(piece.datum).isdigit() or not 1 <= int(piece.datum) <= _MOST_COUNTED:
        return False
    tags = [each.tag for each in rest[:4]]
    tags += [""] * (4 - len(tags))
    if before.tag in ("A", "EQ") or tags[0] == "COMMA":
        return False
    joint = tags[1:] if tags[0] == "IN" else tags
    if (
        joint[0] in ("SER", "PAR")
        and "CAPV" in joint[1:3]
        and before.tag in ("", "STOP", "THEN", "COMMA", "COLON")
    ):
        return True
    if tags[0] == "TIMES":
        return tags[1] in ("CAPV", "NUM", "NUMS")
    if tags[0] == "OF":
        return tags[1] in ("THEM", "THE", "THIS", "CAPV", "NUM") or tags[1:3] == ["A", "CAPV"]
    while tags[0] in ("EQUAL", "UNCHARGED", "SINGLE", "SER", "PAR", "PLATED", "CHARGED"):
        if tags[0] == "EQUAL":
            return True
        tags = tags[1:]
    if tags[0] in ("CAP", "BRANCH", "GROUP"):
        noun = next(each for each in rest if each.tag == tags[0])
        return noun.text.lower().endswith("s") or (
            tags[0] == "CAP"
            and before.tag not in ("THE", "AND", "COMMA", "NUM")
            and int(piece.datum) > 1
            and tags[1]
            in ("SER", "PAR", "IN", "CAPV", "COLON", "OPEN", "WITH", "OF", "ALL", "NAME")
        )
    if tags[0] == "CAPV":
        several = tags[1] == "CAP" and rest[
            [e.tag for e in rest].index("CAP")
        ].text.lower().endswith("s")
        return (several or tags[1] in ("EACH", "SER", "PAR", "IN")) and before.tag not in (
            "NUM",
            "CAPV",
            "COMMA",
            "AND",
        )
    return tags[0] == "NUMS"


def _spread(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """Bare numbers that are values, each with the unit of the value that follows it, or else of
    the one before; micro where the text has no unit at all.
    """
    units = [_unit_of(each) for each in pieces]
    supposed = False
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        if piece.tag == "UNITF":
            continue
        before = found[-1].tag if found else ""
        if piece.tag not in ("NUM", "NUMS") or before in _NO_CAPACITANCE_AFTER:
            found.append(piece)
            continue
        if not _may_be_a_value(pieces, index):
            found.append(piece)
            continue
        unit = next((each for each in units[index + 1 :] if each), "")
        unit = unit or next((each for each in reversed(units[:index]) if each), "")
        if not unit and any(each.tag == "CAPV" for each in pieces):
            found.append(piece)
            continue
        supposed = supposed or not unit
        found.append(piece._replace(tag="CAPV", datum=f"{piece.datum} {unit or MICRO}"))
    return found, supposed


_IN_A_LIST: Final = words("COMMA AND SLASH PLUS A THE DET ONE OF PARSIGN SERSIGN")
_BEFORE_A_VALUE: Final = words("THEN A THE DET OTHER EQ THIS TIMES COUNT WNUM COLON")


def _may_be_a_value(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a bare number may be a capacitance: where others have their units, only with an
    article, in a list with one of them, or joined to what stands already.
    """
    if pieces[at].tag == "NUMS" or any(each.tag == "UNITF" for each in pieces):
        return True
    if not any(each.tag == "CAPV" and each.datum.endswith("F") for each in pieces):
        return True
    if at and pieces[at - 1].tag in _BEFORE_A_VALUE:
        return True
    after = [each.tag for each in pieces[at + 1 : at + 4] if each.tag != "IN"]
    if after[:2] in (["SER", "WITH"], ["PAR", "WITH"]):
        return True  # 6 in parallel with that
    for step in (1, -1):
        near = at + step
        while 0 <= near < len(pieces) and pieces[near].tag in (*_IN_A_LIST, "NUM"):
            near += step
        if 0 <= near < len(pieces) and pieces[near].tag == "CAPV" and abs(near - at) > 1:
            return True
    return False


def _unit_of(piece: Chunk) -> str:
    if piece.tag == "UNITF":
        return str(piece.datum)
    is_value = piece.tag == "CAPV" and str(piece.datum).endswith("F")
    return str(piece.datum).split()[-1] if is_value else ""
