"""Letters that stand alone: an article, a capacitor's name, a point, a value, a quantity's sign."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import found_in, plainly, rewritten, row, tags_of
from grammar.lenient.tokens import Chunk

_BEFORE_A_POINT: Final = ("BETWEEN", "FROM", "POINT", "TERMINAL", "AT")
_AFTER_A_POINT: Final = ("AND", "TO", "DASH", "SERSIGN", "COMMA", "STOP", "COLON", "", "IS", "EQ")
_BESIDE_A_POINT: Final = ("TO", "FROM", "BETWEEN", "DASH", "POINT")
_SECOND_POINT: Final = row("(BETWEEN | FROM) (POINT | TERMINAL)? LETTER AND$")
_LONE: Final = ("LETTER", "LC", "LV", "LU", "LQ")


def letters_settled(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every lone letter what it stands for."""
    found = _with_names(_articles(pieces))
    found = rewritten(found, _LETTER_OF_ALL)
    found = _worths(found)
    if sum(each.tag in ("CAPV", "NAME", "UNKNOWN") for each in found) > 1:
        found = rewritten(found, _TOTAL)
    return found


_LETTER_OF_ALL: Final = (plainly("CAP (OF | WITH)? LC EQ (?=CAPV )", "1"),)  # two capacitors C = 6
_TOTAL: Final = (plainly("LC (EQ | IS) CAPV", "3:TOTAL"),)


def _articles(pieces: Sequence[Chunk]) -> list[Chunk]:
    """A as an article, or as the name of a point or a capacitor."""
    found: list[Chunk] = []
    is_named = found_in(row("(A | LETTER) (IS | EQ) A? (CAPV | NUM)"), pieces) is not None
    in_capitals = not any(each.text.islower() and len(each.text) > 1 for each in pieces)
    for index, piece in enumerate(pieces):
        if piece.text == "I" and piece.tag == "LETTER":
            continue
        if (
            piece.tag == "SYM"
            and len(piece.text) == 1
            and found
            and (found[-1].tag in _BESIDE_A_POINT or _SECOND_POINT.search(tags_of(found[-4:])))
        ):
            found.append(piece._replace(tag="LETTER", datum=piece.text))
            continue
        if piece.tag not in ("A", "LETTER") or piece.text not in ("a", "A"):
            found.append(piece)
            continue
        before = found[-1].tag if found else ""
        after = pieces[index + 1].tag if index + 1 < len(pieces) else ""
        joined = is_named and after in ("IN", "SER", "PAR")
        ends_so = after in _AFTER_A_POINT or joined
        if piece.text == "A":
            starts_sentence = before in ("", "STOP", "QUERY", "COLON", "OPEN", "CLOSE")
            is_letter = ends_so or not (starts_sentence or in_capitals)
            is_letter = is_letter or (before in (*_BEFORE_A_POINT, "CAP") and after != "CAP")
        else:
            is_letter = before in _BEFORE_A_POINT and ends_so
        found.append(piece._replace(tag="LETTER" if is_letter else "A", datum="A"))
    return found


_IN_A_PAIR: Final = row(
    "(BETWEEN | FROM) (THE | BOTH | A)? (POINT | TERMINAL)* X (AND | TO | COMMA) X"
)
_AT_A_PAIR: Final = row("(AT | ON | ACROSS) X AND X")
_IN_COMMAS: Final = row("CAPV CAP? COMMA X (?=COMMA)")
_CORNERS: Final = row("(POINT | TERMINAL)+ (IS | COLON)* X (COMMA | AND)* X ((COMMA | AND)* X)+")
_CALLED: Final = row("CALLED (X (COMMA | AND)*)+")
_TO_AND_FRO: Final = row("X (TO | DASH | SERSIGN) X")
_ARE: Final = row("X ((COMMA | AND)+ X)+ IS (WNUM | COUNT | THE | DET)* CAP")
_LISTED: Final = row("CAP ((X | NAME) (COMMA | AND)*)*(X | NAME)")
_VALUED: Final = row("X ((EQ | IS | OPEN | COLON)+ (CAPV | NUM | WNUM | NAME EQ) | OF CAPN? CAPV)")


def _with_names(pieces: Sequence[Chunk]) -> list[Chunk]:
    """Letters that the text gives to capacitors as their names."""
    masked = [
        each._replace(tag="X") if each.tag in _LONE and each.text != "k" else each
        for each in pieces
    ]
    taken: set[int] = set()
    named: set[str] = set()
    for pattern in (_CORNERS, _IN_COMMAS, _CALLED, _IN_A_PAIR, _TO_AND_FRO, _ARE, _LISTED, _VALUED):
        at = 0
        while (span := found_in(pattern, masked, at)) is not None:
            inside = [i for i in range(*span) if masked[i].tag == "X" and i not in taken]
            if pattern is _TO_AND_FRO and len({masked[i].text for i in inside}) < len(inside):
                inside = []  # C -- C joins two alike
            if pattern in (_CORNERS, _IN_A_PAIR, _TO_AND_FRO):
                taken.update(inside)
            else:
                named.update(masked[i].text for i in inside if _may_be_a_name(pieces, i, pattern))
            at = span[1]
    if len(named) > 1:  # A and B, and a third one C
        named.update(
            each.text
            for i, each in enumerate(pieces[1:], 1)
            if each.tag == "LC" and (pieces[i - 1].tag == "CAP" or _is_listed(pieces, i))
        )
    at = 0
    while taken and (span := found_in(_AT_A_PAIR, masked, at)) is not None:
        taken.update(i for i in range(*span) if masked[i].tag == "X")
        at = span[1]
    return [
        each._replace(tag="LETTER", datum=each.text)
        if i in taken
        else each._replace(tag="NAME", datum=each.text)
        if masked[i].tag in ("X", "SYM") and each.text in named
        else each
        for i, each in enumerate(pieces)
    ]


def _is_listed(pieces: Sequence[Chunk], at: int) -> bool:
    """``C: 6 uF`` in a line of its own, ``C = 6 uF`` between signs."""
    tags = ["", *(each.tag for each in pieces), "", "", "", ""][at : at + 5]
    in_signs = {tags[0], tags[4]} & {"SERSIGN", "PARSIGN"}
    return tags[2:4] == ["COLON", "CAPV"] or (tags[2:4] == ["EQ", "CAPV"] and bool(in_signs))


def _may_be_a_name(pieces: Sequence[Chunk], at: int, pattern: object) -> bool:
    """C, V, U and Q are names only in a list with other letters, or where they have farads."""
    if pieces[at].tag == "LETTER":
        return True
    if pattern is _VALUED and pieces[at + 1].tag == "OF":
        return False
    if pattern is _VALUED and pieces[at].tag != "LC":
        return pieces[at + 2].tag == "CAPV"
    near = pieces[max(0, at - 2)].tag, pieces[min(len(pieces) - 1, at + 2)].tag
    return pattern is _LISTED and "LETTER" in near


def _is_wished(found: Sequence[Chunk]) -> bool:
    """Whether a quantity that has just been named is wanted: find the charge Q."""
    return "WISHV " in tags_of(found[-4:])


def _worths(pieces: Sequence[Chunk]) -> list[Chunk]:
    """C, V and Q by themselves: a value in letters, or the sign of a quantity."""
    has_letters = any(e.tag == "CAPV" and e.datum[-1] != "F" for e in pieces)
    has_values = any(e.tag == "CAPV" and e.datum[-1] == "F" for e in pieces)
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        before = found[-1].tag if found else ""
        after = pieces[index + 1].tag if index + 1 < len(pieces) else ""
        tag = piece.tag
        if (
            tag in ("VOLT", "CHG")
            and after == "EQ"
            and str(piece.datum)[-2:].isalnum()
            and piece.text[0] in "VUQ"
        ):
            tag = "LV" if tag == "VOLT" else "LQ"  # V0 = 18 V
        if tag == "CAPV" and after == "EQ" and piece.text.startswith("C"):
            tag = "NAME"  # C_0 = 5 nF
        elif tag == "LC":
            is_sign = (after == "EQ" and not has_letters) or (has_values and not has_letters)
            asked = [e.tag for e in found[-2:]] == ["WISHV", "COLON"] and after in (
                "COMMA",
                "STOP",
                "",
            )
            asked = asked or (before in ("", "STOP") and after == "QUERY")
            wished = "WISHV" in (before, *(e.tag for e in found[-2:-1] if before == "IS"))
            wished = wished or tags_of(found[-2:]) in ("APPLY ", "STOP APPLY ")  # give C and Q
            asked = asked or (wished and after in ("COMMA", "STOP", "QUERY", "AND", ""))
            tag = "LC" if is_sign or (asked and not has_letters) else "CAPV"
        elif tag in ("LV", "LU"):
            following = tags_of(pieces[index + 1 : index + 3])
            is_worth = following.startswith(("JOIN ", "STAYS ", "IS JOIN ")) or before in words(
                "PD OF ACROSS SOURCE AT TO WITH APPLY ON"
            )
            is_worth = is_worth or (before == "IS" and "PD " in tags_of(found[-6:]))
            is_worth = is_worth and not (before == "PD" and _is_wished(found))
            tag = "VOLT" if is_worth and after != "EQ" else "LV"
        elif tag == "LQ":
            is_worth = before in ("CHGN", "OF", "HOLD") or tags_of(found[-2:]) == "CHGN IS "
            is_worth = is_worth and not (before == "CHGN" and _is_wished(found))
            tag = "CHG" if is_worth and after != "EQ" else "LQ"
        found.append(piece._replace(tag=tag, datum=piece.text if tag == "LV" else piece.datum))
    return found
