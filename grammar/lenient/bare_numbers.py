"""Numbers without a unit: the label of a branch, a count, or a value that shares a unit."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import plainly, rewritten
from grammar.lenient.tokens import Chunk

MICRO: Final = "uF"
_NO_CAPACITANCE_AFTER: Final = ("RATED", "HOLD", "CHARGED", "JUNK", "DOUBLE", "GAPN", "PERM")
_NOTHING: Final = Chunk("", "", -1)


def with_bare_numbers_settled(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """The pieces with a role for every bare number that can have one, and whether a unit had to
    be supposed.
    """
    return _spread(rewritten(_labels(_codes(pieces)), _COUNTS))


# What is printed on a small capacitor, where it is a preferred value: two figures and how many
# noughts, in picofarads.
_CODE: Final = re.compile(r"(1[02358]|2[27]|3[39]|47|56|68|82)([1-5])(?:'?s)?")
_BEFORE_A_CODE: Final = (
    "",
    *words("A THE WNUM COUNT OTHER TIMES AND PARSIGN SERSIGN OPEN WITH PLUS STOP COLON OF ONE"),
)


def _codes(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``two 104s in series with a 223``: 100 nF and 22 nF; a number in a list that has a unit is
    none.
    """
    if any(each.tag == "UNITF" for each in pieces):
        return list(pieces)
    found: list[Chunk] = []
    for at, piece in enumerate(pieces):
        code = _CODE.fullmatch(piece.text) if piece.tag in ("NUM", "NUMS", "SEC") else None
        before = found[-1].tag if found else ""
        if code is None or before not in _BEFORE_A_CODE or _shares_a_unit(pieces, at):
            found.append(piece)
            continue
        value = int(code[1]) * 10 ** int(code[2])
        worth = f"{value / 1000:g} nF" if value >= 1000 else f"{value} pF"
        found.append(piece._replace(tag="CAPV", datum=worth))
    return found


def _shares_a_unit(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a number stands in a list before one with a unit, or after it."""
    for step in (1, -1):
        near = at + step
        while 0 <= near < len(pieces) and pieces[near].tag in ("COMMA", "AND", "NUM", "OR"):
            near += step
        if abs(near - at) > 1 and 0 <= near < len(pieces) and pieces[near].tag == "CAPV":
            return True
    return False


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


_FEW: Final = r"(?:[1-9]|1[0-9]|2[0-4])(?: |$)"  # so many may be counted
_SEVERAL: Final = rf"{_FEW}.*s'?$"
_COUNTED: Final = "(?<!A )(?<!EQ )NUM"
_SUCH: Final = "(UNCHARGED | SINGLE | SER | PAR | PLATED | CHARGED)*"
_NOT_LISTED: Final = "(?<!NUM )(?<!CAPV )(?<!COMMA )(?<!AND )"
# Bare numbers that count capacitors, and words for numbers that are values.
_COUNTS: Final = (
    plainly("SEC", "1:NUMS", r"[0-9.]+s$"),
    plainly("NUM (?=BRANCH )", "1:ONE", "1$"),
    plainly("((?<=AND )|(?<=THEN )|(?<=PLUS )|(?<=WITH ))NUM (?=CAPV )", "1:ONE", "1$"),
    plainly("NUM (?=CAP (WITH|OF|CAPN|IS|A)* CAPV)", "1:ONE", "1$"),  # 1 capacitor with 4 uF
    plainly("((?<=ORDLAST )|(?<=ORD1 ))NUM", "1:COUNT", "[234]$"),
    plainly(
        "((?<=STOP )|(?<=THEN )|(?<=COMMA )|(?<=COLON )|^)NUM"
        " (?=IN? (SER | PAR) (OF | A | COMMA | WITH)? CAPV)",
        "1:COUNT",
        _FEW,
    ),
    plainly(f"{_COUNTED} (?=TIMES (CAPV|NUM|NUMS) )", "1:COUNT", _FEW),
    plainly(f"{_COUNTED} (?=OF (THEM|THE|THIS|CAPV|NUM|A CAPV) )", "1:COUNT", _FEW),
    plainly(f"{_COUNTED} (?=({_SUCH} EQUAL | NUMS))", "1:COUNT", _FEW),
    plainly(f"{_COUNTED} {_SUCH} (CAP | BRANCH | GROUP)", "1..:COUNT", _SEVERAL),
    plainly(
        f"(?<!THE )(?<!AND )(?<!COMMA )(?<!NUM ){_COUNTED} {_SUCH}"
        " CAP (?=(SER|PAR|IN|CAPV|COLON|OPEN|WITH|OF|ALL|NAME) )",
        "1..:COUNT",
        f"(?!1 ){_FEW}",
    ),
    plainly(f"{_NOT_LISTED}{_COUNTED} {_SUCH} CAPV CAP", "1..:COUNT", _SEVERAL),
    plainly(f"{_NOT_LISTED}{_COUNTED} (?={_SUCH} CAPV (EACH | SER | PAR | IN))", "1:COUNT", _FEW),
    plainly("(?<=NAME )WNUM", "1:NUM"),
    plainly("(?<=A )WNUM (?=(AND|COMMA|IN|SER|PAR|CAPV|STOP) )", "1:NUM"),
    plainly("((?<=NAME EQ )|(?<=NAME IS ))WNUM (?!CAP|GROUP|BRANCH)", "1:NUM"),
)


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
            if _are_parted(pieces, near, near - step):
                return False
            near += step
        if 0 <= near < len(pieces) and pieces[near].tag == "CAPV" and abs(near - at) > 1:
            return True
    return False


def _are_parted(pieces: Sequence[Chunk], one: int, other: int) -> bool:
    """Whether words that mean nothing here stand between two numbers: 5 blah 7."""
    first, second = pieces[min(one, other)], pieces[max(one, other)]
    numbers = first.tag == second.tag == "NUM"
    return numbers and second.start > first.start + len(first.text) + 2


def _unit_of(piece: Chunk) -> str:
    if piece.tag == "UNITF":
        return str(piece.datum)
    is_value = piece.tag == "CAPV" and str(piece.datum).endswith("F")
    return str(piece.datum).split()[-1] if is_value else ""
