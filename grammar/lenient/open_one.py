"""One capacitor of two that has no value, told by what the two come to, in whatever order.

``To one of 2.4 uF another was added in parallel, together it is now 3.6 uF. How big is it?``
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import found_in, row, tags_of
from grammar.lenient.sought import SIGNS, with_sought
from grammar.lenient.tokens import Chunk
from grammar.reading import read_network
from grammar.records import Amount, Element

# What makes a text one of more than two capacitors, or of more than their capacitances.
_OF_MORE: Final = frozenset(
    words(
        "VOLT CHG ENE LEN AREA PERMV NUM NUMS UNITF CHARGED UNCHARGED FILL SLAB RATED EQUAL EACH"
        " DOUBLE HALVE TRIPLE FACTOR LADDER BRIDGE CUBE STAR TRIANGLE SQUARE BRANCH OHM HZ OR NOT"
        " DISCON PLACE ORD3 ORD4"
    )
)
# A capacitor that is spoken of without a value.
_OPEN: Final = row(
    "(OTHER | UNKNOWN | ORD2) (CAP | CAPN | ONE)? (?!OF |WITH |CAPV |NAME |COLON |IS A? CAPV)"
    " | (A | ONE) CAP (?!OF |WITH |CAPV |NAME |COMMA A? CAPV|IS A? CAPV)"
    " | (WISHV | WHICH) (A | OF | ONE | CAPN | THE)* CAP (?!OF |WITH |CAPV |NAME)"
    " | WISHV (IS | THE | TO | CAN | LC)* (JOIN | APPLY)"
)
_ACROSS: Final = row("CAP ACROSS (THE | A | CAP | OF)* CAPV")
_ASKED: Final = re.compile(
    r"(?i)\b(?:how (?:big|large|much|many|high)|what|which|find|calculate|determine|size|value)\b"
)
_BREAK: Final = re.compile(
    r"[.;?!:](?![0-9])|,(?![0-9])|\b(?:and|so|such|in order|until|if|when)\b"
)
_MADE: Final = re.compile(
    r"(?i)\b(?:together|total(?:ly)?|whole|combin\w+|both|all|result\w*|altogether|left|remains?"
    r"|needs?|wants?|gets?|got|gives?|gave|given?|makes?|made|becom\w+|became|reach\w*|comes?|brings?|brought|is"
    r" now|now is|reads?|measures?|measured|end up|arrive|pair|two|them|it|overall|result)\b"
)
# What is said of two in series is said of what they make.
_THE_TWO_ARE: Final = re.compile(
    r"(?i)\b(?:in (?:series|parallel)|side by side|one after the other) (?:is|are|was|has|have) $"
)


def one_sought(plain: str, pieces: Sequence[Chunk]) -> str | None:
    """The notation of two capacitors of which one is asked for; None for any other text."""
    values = [each for each in pieces if each.tag == "CAPV" and str(each.datum)[-1:] == "F"]
    ways = {SIGNS[each.tag] for each in pieces if each.tag in SIGNS}
    ways |= {"||"} if found_in(_ACROSS, pieces) else set()
    told = {each.tag for each in pieces}
    counted = {str(each.datum) for each in pieces if each.tag in ("WNUM", "COUNT")}
    if len(values) != 2 or len(ways) != 1 or told & _OF_MORE or counted - {"2", "1"}:
        return None
    known = {each.tag for each in with_sought(pieces)}
    if "TOTAL" in known and known & {"UNKNOWN", "NAME"}:
        return None  # said in a way that is known as it stands
    names = list(dict.fromkeys(str(each.datum) for each in pieces if each.tag == "NAME"))
    made = [each for each in values if _is_made(plain, each)]
    if len(made) != 1 or not _ASKED.search(plain):
        return None
    (whole,), (part,) = made, [each for each in values if each not in made]
    name = next((str(n.datum) for n, v in _named(pieces) if v is part), "")
    lone = [each for each in names if each != name]
    if len(lone) > 1 or not (lone or _OPEN.search(tags_of(pieces))):
        return None
    if (_number(whole) < _number(part)) != (ways == {"--"}):
        return None  # in series less comes out, side by side more
    first, second = name or "C1", lone[0] if lone else "C2" if name != "C2" else "C1"
    (sign,) = ways
    return f"{first} = {part.datum} {sign} {second} = ?; C = {whole.datum}; asked: {second}"


def _number(value: Chunk) -> Fraction:
    nest = read_network(str(value.datum)).nest
    assert isinstance(nest, Element)
    assert isinstance(nest.worth, Amount)
    return nest.worth.value


def _is_made(plain: str, value: Chunk) -> bool:
    """Whether words beside a value say that it is what comes out."""
    before = _BREAK.split(plain[: value.start])[-1]
    after = _BREAK.split(plain[value.start + len(value.text) :])[0]
    return (
        _MADE.search(before) is not None
        or _THE_TWO_ARE.search(before) is not None
        or re.match(
            r"(?i) (?:(?:are|is|be|remains?) )?(?:left|altogether|together|in (?:all|total)"
            r"|for both)\b",
            after,
        )
        is not None
    )


def _named(pieces: Sequence[Chunk]) -> list[tuple[Chunk, Chunk]]:
    """Names with the values right behind them."""
    found = []
    for at, piece in enumerate(pieces):
        near = [each for each in pieces[at + 1 : at + 4] if each.tag not in ("EQ", "IS", "OF")]
        if piece.tag == "NAME" and near and near[0].tag == "CAPV":
            found.append((piece, near[0]))
    return found
