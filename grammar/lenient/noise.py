"""What of a text has no bearing on its network, left out where the whole of it is not read.

Nothing that is left out has a value with its unit, a name or a joint, and every reading is shown
before a walk begins.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import found_in, row
from grammar.lenient.tokens import Chunk

_BREAKS: Final = frozenset(words("STOP QUERY COMMA COLON OPEN CLOSE"))
# What may change the network, or what is wanted of it.
_BEARING: Final = frozenset(
    words(
        "CAPV VOLT CHG ENE LEN AREA PERMV OHM HZ HENRY AMP SEC PCT NAME SYM UNKNOWN UNITF NUMS "
        "SER PAR SERSIGN PARSIGN NEXTTO PARBY SERALL DIVIDER LIKEPL CROSSED SHORT POINTS "
        "CAPN CHGN PD ENERGY CEQ FIELDN FORCEN LOST "
        "DISCON TAKEOUT FILL SLAB PERM GAPN DOUBLE HALVE TRIPLE RESTORED STAYS SWITCH "
        "RESISTOR INDUCTOR ALTERNATING TIMING SEMI DISCHARGING BRIDGE LADDER CUBE STAR TRIANGLE "
        "SQUARE TETRAHEDRON CURVED ROUNDN RUNG EQUAL CHARGED UNCHARGED SPLITS CAP"
    )
)
# What begins to tell of one: a value, a name, a joint, a shape, a question.
_TELLING: Final = frozenset(
    words(
        "CAPV VOLT CHG ENE LEN AREA PERMV NAME SYM POINTS SER PAR SERSIGN PARSIGN DIVIDER WISHV "
        "HOWTO BRIDGE LADDER CUBE STAR TRIANGLE SQUARE TETRAHEDRON LC RESISTOR INDUCTOR OHM HENRY "
        "HZ ALTERNATING SEMI"
    )
)
# What may tell of its shape, and is as often said of other things.
_SHAPING: Final = frozenset(words("BRANCH GROUP PAIROF ITEM JOIN TOGETHER THEN WHOLE REST OTHER"))
# A number that may be a capacitor for all that it has no unit: the 10 across them.
_MAY_BE_ONE: Final = row("(A | THE | OTHER | ONE) NUM | NUM (ACROSS | THEN | JOIN | IS | WITH)")
_OF_POINTS: Final = frozenset(words("FROM TO BETWEEN POINT TERMINAL AT"))
_AFTER_A_STRAY: Final = words("WORD STOP QUERY COMMA JUNK IS IN ON AT CLOSE")


def is_long_time(piece: Chunk) -> bool:
    """Minutes and hours: nothing in a circuit of capacitors is told in these."""
    return piece.tag == "SEC" and piece.text.lower().lstrip("0123456789. ")[:2] in ("mi", "ho")


def lighter(pieces: Sequence[Chunk]) -> Iterator[list[Chunk]]:
    """The pieces with more and more left out of what has no bearing; each is other than those
    before it.
    """
    found: list[list[Chunk]] = [list(pieces)]
    careful = _without_idle_clauses(pieces, _BEARING | _SHAPING)
    loose = _without_idle_clauses(_without_preamble(pieces), _BEARING)
    for idle in (careful, loose):
        for left in (idle, _without_strays(idle)):
            if left not in found:
                found.append(left)
                yield left


def _without_preamble(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces without clauses that come before any capacitor, and neither count some nor say
    how they are joined nor ask: nothing can have happened to them yet.
    """
    clauses = _clauses(pieces)
    first = next((i for i, each in enumerate(clauses) if _tells(each)), 0)
    return [piece for clause in clauses[first:] for piece in clause]


def _tells(clause: Sequence[Chunk]) -> bool:
    tags = {each.tag for each in clause}
    counts = bool(tags & {"NUM", "WNUM"}) and bool(tags & {"CAP", "BRANCH", "GROUP"})
    return bool(tags & _TELLING) or counts or ("LETTER" in tags and bool(tags & _OF_POINTS))


def _without_idle_clauses(pieces: Sequence[Chunk], bearing: AbstractSet[str]) -> list[Chunk]:
    """The pieces without clauses that tell nothing; a break that parted two is kept once."""
    with_units = any(each.tag == "CAPV" for each in pieces)
    found: list[Chunk] = []
    for clause in _clauses(pieces):
        if _bears(clause, bearing, with_units):
            found += clause
        elif clause[-1].tag in ("CLOSE", "OPEN") or (found and clause[-1].tag in ("STOP", "QUERY")):
            found.append(clause[-1])
    return found


def _clauses(pieces: Sequence[Chunk]) -> list[list[Chunk]]:
    found: list[list[Chunk]] = [[]]
    for piece in pieces:
        found[-1].append(piece)
        if piece.tag in _BREAKS:
            found.append([])
    return [each for each in found if each]


def _bears(clause: Sequence[Chunk], bearing: AbstractSet[str], with_units: bool) -> bool:
    """Whether a clause may matter. Beside values with units a bare number alone is none, and
    letters are points where something stands between them or at them.
    """
    tags = {each.tag for each in clause if not is_long_time(each)}
    if tags & bearing or ("LETTER" in tags and tags & _OF_POINTS):
        return True
    if tags & {"LC", "LV", "LU", "LQ"} and tags & {"WISHV", "QUERY", "EQ"}:
        return True
    may_be_one = found_in(_MAY_BE_ONE, clause) is not None
    if sum(each.tag == "NUM" for each in clause) > 1:
        return True  # 5 blah 7
    is_bare = bool(tags & {"NUM", "WNUM", "LC", "LV", "LU", "LQ"})
    return is_bare and (may_be_one or not with_units)


def _without_strays(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces without signs that are no word, and bare numbers among words that mean nothing."""
    return [each for at, each in enumerate(pieces) if not _is_stray(pieces, at)]


def _is_stray(pieces: Sequence[Chunk], at: int) -> bool:
    piece = pieces[at]
    if piece.tag == "JUNK":
        return not any(each.isdigit() for each in piece.text)
    if piece.tag not in ("NUM", "WNUM") or not any(each.tag == "CAPV" for each in pieces):
        return False
    before = pieces[at - 1].tag if at else ""
    if at > 1 and pieces[at - 2].tag in ("NUM", "WNUM"):
        return False  # 5 blah 7
    after = pieces[at + 1].tag if at + 1 < len(pieces) else ""
    return before == "WORD" and after in ("", *_AFTER_A_STRAY)
