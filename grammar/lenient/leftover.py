"""What no phrase has taken up: passed by where it says nothing, refused where it may matter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from grammar.lenient.bracketing import JOINTS
from grammar.lenient.concepts import words
from grammar.lenient.doing import BESIDE
from grammar.lenient.tabletop import NoSense
from grammar.lenient.tokens import Chunk

# What may be passed by. No number is among these, nor what something else would follow from.
_FILLERS: Final = frozenset(
    words(
        "A DET THE OF WITH TO IN ON AT BY FOR IS JOIN CAPN ONE THEIR ABOUT PUNCTUAL WORD "
        "GROUP SOURCE TERMINAL WISHV MANY QUERY CHGN PD ENERGY CEQ APPLY EACH TOP BOTTOM "
        "MIDDLE SIDE ORD1 ORD2 ORD3 ORD4 ORD5 ORDLAST CAP EQUAL SINGLE POINT UNCHARGED LIKE "
        "HOLD RESPECTIVELY OTHER ALL BOTH OFF TOGETHER THIS LIKEPL CROSSED FORMER PLATED "
        "SAMEPOINTS ACROSS BETWEEN FROM POSITIVE NEGATIVE SUPPLY EVENT RATING TOTAL PLACE "
        "ITEM REF WIRE PAIROF POLARITY AIR SYM STAYS COLON NEW SPENT HEAD TAIL GROUPHEAD "
        "SPLITS IF SER PAR PART SERWITH PARWITH SEROF PAROF SERSIGN PARSIGN AND COMMA PLUS THEN "
        "WHICH OPEN CLOSE JOINTO JOINED JOINOF GROUPOF NEXTTO CHARGEV OFSIDE TAKE CALLED LC "
        "LV LU LQ LK CORNERS SUCH ORD6 MOVED HOWTO"
    )
)
_NOTHING: Final = Chunk("", "", 0)


def refuse_what_is_left(row: Sequence[Chunk]) -> None:
    """Errors: ``NoSense`` for a piece that would be passed by and is no filler."""
    is_told = any(each.tag in ("SUPPLY", "EVENT") for each in row)
    asks = any(each.tag in ("WISHV", "QUERY") for each in row)
    for index, piece in enumerate(row):
        if asks and piece.tag in ("UNKNOWN", "RATED", "CLAIM"):
            continue
        if piece.tag == "RATED" and not any(each.tag == "SUPPLY" for each in row):
            continue
        if is_told and piece.tag in ("CHARGED", "POSITIVE", "NEGATIVE"):
            continue
        before = row[index - 1] if index else _NOTHING
        after = row[index + 1] if index + 1 < len(row) else _NOTHING
        if piece.tag == "LETTER" and before.tag in ("FROM", "TO", "AT", "ON", "POINT"):
            continue
        between = {before.tag, after.tag} <= {"ITEM", "REF", "NUM", "PLACE"}
        if piece.tag == "DASH" and (not between or after.start > piece.start + 1):
            continue
        _refuse_open_supply(piece, before, after)
        named = any(each.tag == "ITEM" for each in row[:index])
        if piece.tag == "LIKE" and after.tag == "REF" and named:
            raise NoSense(f'"{piece.text} {after.text}" is not clear here: say what is in it.')
        if (
            piece.tag == "THEN"
            and after.tag in ("QUERY", "")
            and any(each.tag == "WISHV" for each in row)
        ):
            continue
        if piece.tag == "THEN" and _goes_nowhere(row, after):
            raise NoSense(f'What comes after "{piece.text}" is not clear.')
        if piece.tag not in _FILLERS:
            _refuse(piece)


def _refuse(piece: Chunk) -> None:
    """Errors: ``NoSense``, with what the piece lacks and what would do."""
    said = f'"{piece.text}"'
    why, cure = _LACKS.get(piece.tag, (f"{said} is not clear here.", ""))
    raise NoSense(why.format(said), cure)


_UNIT: Final = (
    "{} may be a value, a number of capacitors or a name.",
    "Write the unit of a value, as in 4 uF, and C1 for a name.",
)
# What is not clear of a piece by its concept, and what would do.
_LACKS: Mapping[str, tuple[str, str]] = {
    "NUM": _UNIT,
    "WNUM": _UNIT,
    "NUMS": _UNIT,
    "COUNT": _UNIT,
    "LETTER": (
        "{} may be a point or a capacitor.",
        "Write C1 from A to P for a point, and A = 4 uF for a capacitor.",
    ),
    "JUNK": ("{} is no value and no word that is known here.", "Write a value such as 4 uF."),
    "LADDER": (
        "A ladder is told by its two kinds of capacitors and its sections.",
        "Write: ladder of (series 8 uF, shunt 4 uF), 2 sections.",
    ),
    "OR": ("Which of the two is meant by {} is open.", "Write one of them."),
    "NOT": ("What {} leaves out is not clear.", "Say only what is there."),
    "SWITCH": ("What the {} joins is not clear.", "Say what is joined, one step after the other."),
}


def _refuse_open_supply(piece: Chunk, before: Chunk, after: Chunk) -> None:
    """Errors: ``NoSense`` for a supply that may belong to a part, and for half of one."""
    if piece.tag == "SUPPLY" and before.tag == "ITEM" and after.tag in ("SERSIGN", "PARSIGN"):
        raise NoSense(f'Whether "{piece.text}" belongs to one capacitor or to all is open.')
    if piece.tag == "HOLD" and after.tag == "SUPPLY" and after.datum.quantity == "voltage":
        raise NoSense(f'"{piece.text} {after.text}" is not clear here: a charge is held.')
    if piece.tag == "ACROSS" and (not after.tag or after.tag == "SUPPLY"):
        raise NoSense(f'"{piece.text}" wants a p.d. after it, as in across 12 V.')
    bare = piece.tag == "PARWITH" and piece.text.lower() == "across" and after.tag == "ITEM"
    if bare and before.tag == "COMMA" and any(after.datum.worths) and not after.datum.how:
        raise NoSense(f'"across {after.text}" wants a p.d., as in across 12 V.')


def _goes_nowhere(row: Sequence[Chunk], after: Chunk) -> bool:
    if any(piece.tag in JOINTS or piece.tag in BESIDE for piece in row):
        return False
    return bool(not after.tag or not any(piece.tag in ("ITEM", "REF") for piece in row))
