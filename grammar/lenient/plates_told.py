"""Two plates told in prose: their area, their gap, what fills it from the first; put as one value.

Each measure is found by its unit and by the noun beside it, wherever in the text it stands.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.patterns import plainly, rewritten
from grammar.lenient.tokens import Chunk

# What such a description is made of beside its numbers.
_SPENT: Final = frozenset(
    words(
        "PLATE GAPN AREA AREAN LEN PERM PERMV SLAB FILL AIR OFSIDE BY EACH TIMES BETWEEN "
        "SQUARE POINT IN OF WITH A DET THE BOTH THEIR AT IS JOIN COMMA AND EQ COLON OFF WNUM "
        "WHICH EQUAL METAL FOR TO SINGLE OPEN CLOSE DISCON FACTORW NUM OTHER SPACE WORD ALL ONE "
        "ON PCT THEM SLASH ROUNDN PART"
    )
)
_AFTER: Final = ("GAPN", "PLATE", "AIR", "SLAB", "CLOSE")
_LINKS: Final = ("OF", "IS", "EQ", "COLON", "THE", "PLATE", "EACH", "COMMA", "CALLED", "THEM")
# Letters that may stand for a length.
_LENGTHS: Final = ("d", "D", "x", "t", "s", "l")
_COMES_IN: Final = re.compile(r"(?i)insert|slid|slip|push|put|plac|pour|introduc|shov")
_STOPS: Final = ("STOP", "QUERY")
_NEAR: Final = 4  # pieces between a measure and its noun


class _Measured(NamedTuple):
    """A measure in the strict notation, and the pieces that tell it."""

    text: str
    used: tuple[int, ...]


def with_letters_for_measures(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``plates of area A, separation d``: letters for measures, right after their nouns."""
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        before = next((each.tag for each in reversed(found) if each.tag not in _LINKS), "")
        rest = pieces[index + 1 : index + 3]
        over = rest[1].text if [each.tag for each in rest] == ["SLASH", "NUM"] else ""
        shared = bool(found) and found[-1].tag == "LEN" and "/" in str(found[-1].datum)
        if before == "AREAN" and piece.text in ("A", "S"):
            found.append(piece._replace(tag="AREA", datum=piece.text))
        elif piece.text in _LENGTHS and (before in ("GAPN", "AREA") or over):
            letter = f"{piece.text}/{over}" if over else piece.text
            found.append(piece._replace(tag="LEN", datum=letter))
        elif not (shared and piece.tag in ("SLASH", "NUM")):
            found.append(piece)
    return found


# Between the number of plates and their noun.
_OF_PLATES: Final = frozenset(words("EQUAL METAL PAR SQUARE ROUNDN WORD"))
# How two plates stand to each other, which says nothing of how capacitors are joined.
_FACING: Final = (
    plainly("PAR SQUARE? PLATE", "2..-1"),
    plainly("COMMA (IN | WITH)? AIR (?=CLOSE )"),
    plainly(
        "(JOIN | IS)* PAR (WITH | TO | TOGETHER)* (?=(COMMA |AND |IS |AT |A |GAPN |OF |JOIN )*LEN )"
    ),
    plainly("LEN GAPN (AND | COMMA)* PAR (WITH | TO | TOGETHER)* (?=STOP |COMMA |IN |$)", "1..2"),
)


def with_plates(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with a description of two plates as one value."""
    if not any(each.tag in ("PLATE", "PLATED", "GAPN", "AREAN") for each in pieces):
        return list(pieces)
    pieces = rewritten(pieces, _FACING)
    area = _area(pieces)
    if area is None:
        return list(pieces)
    told = _inside(pieces, area)
    if told is None:
        return list(pieces)
    used = (*area.used, *told.used)
    first, last = min(used), max(used)
    while first and pieces[first - 1].tag in _SPENT:
        first -= 1
    while last + 1 < len(pieces) and pieces[last + 1].tag in _AFTER:
        last += 1
    inside = [each for i, each in enumerate(pieces[first : last + 1], first) if i not in used]
    text = " ".join(each.text for each in pieces[first : last + 1])
    written = f"{_how_many(pieces)}plates {area.text} {told.text}"
    value = Chunk("CAPV", text, pieces[first].start, written)
    between = [each for each in inside if each.tag not in _SPENT]
    if any(each.tag in ("CAPV", "NUM") for each in between):
        return list(pieces)
    kept = between if any(each.tag not in _STOPS for each in between) else []
    return [*pieces[:first], value, *kept, *pieces[last + 1 :]]


def _how_many(pieces: Sequence[Chunk]) -> str:
    """The number of a stack of plates; "" for two."""
    told = [
        int(str(piece.datum))
        for piece, after in pairwise(each for each in pieces if each.tag not in _OF_PLATES)
        if piece.tag in ("NUM", "WNUM", "COUNT")
        and after.tag == "PLATE"
        and str(piece.datum).isdigit()
    ]
    return f"{told[0]} " if len(told) == 1 and told[0] > 2 else ""


def _inside(pieces: Sequence[Chunk], area: _Measured) -> _Measured | None:
    """The gap and what is in it from the first."""
    lengths = [i for i, e in enumerate(pieces) if e.tag == "LEN" and i not in area.used]
    gap = min(lengths, key=lambda at: _distance(pieces, at, "GAPN"), default=None)
    layers = _layers(pieces, lengths, gap)
    if layers is not None:
        return layers
    if gap is None:
        return None
    fillings = [i for i, e in enumerate(pieces) if e.tag == "PERMV"]
    halves = _halves(pieces)
    parts = [i for i, e in enumerate(pieces) if e.tag == "PART"] or halves[:1]
    comes_in = bool(fillings) and _comes_in_later(pieces, fillings[0], min(*area.used, gap))
    if len(fillings) == 1 and parts and not comes_in:
        part = Fraction(pieces[parts[0]].datum or "1/2")
        air, filled = (_share(pieces[gap], share) for share in (1 - part, part))
        told = f"layers {air} of 1, {filled} of {pieces[fillings[0]].datum}"
        return _Measured(told, (gap, fillings[0], *parts, *halves)) if air and filled else None
    if len(fillings) == 1 and not comes_in:
        filled = f"gap {pieces[gap].datum} filled {pieces[fillings[0]].datum}"
        return _Measured(filled, (gap, fillings[0]))
    return _Measured(f"gap {pieces[gap].datum}", (gap,))


def _distance(pieces: Sequence[Chunk], at: int, tag: str) -> int:
    places = [abs(at - i) for i, each in enumerate(pieces) if each.tag == tag]
    return min(places, default=len(pieces))


def _layers(pieces: Sequence[Chunk], lengths: Sequence[int], gap: int | None) -> _Measured | None:
    """``0.4 mm of 2 and 0.6 mm of 5``, ``half of it k1, the other half k2``."""
    fillings = [i for i, e in enumerate(pieces) if e.tag == "PERMV"]
    if len(fillings) < 2:
        return None
    thick = [at for at in lengths if at != gap or len(lengths) == len(fillings)]
    shares = [at for at in lengths if "/" in str(pieces[at].datum)]
    thick = shares if len(shares) == 1 else thick
    halves = _halves(pieces)
    if len(thick) == len(fillings):
        sizes = [str(pieces[at].datum) for at in thick]
    elif gap is not None and (len(halves) == len(fillings) == 2 or shares):
        half = _share(pieces[gap], Fraction(1, 2))
        sizes = [str(pieces[thick[0]].datum) if thick else half] * len(fillings)
    else:
        return None
    told = [f"{size} of {pieces[at].datum}" for size, at in zip(sizes, fillings, strict=True)]
    return _Measured(f"layers {', '.join(told)}", (*lengths, *fillings, *halves))


def _halves(pieces: Sequence[Chunk]) -> tuple[int, ...]:
    return tuple(
        i
        for i, each in enumerate(pieces)
        if each.text.lower().startswith(("half", "1/2")) or each.text == "over_1/2"
    )


def _share(length: Chunk, share: Fraction) -> str:
    """A part of a length; "" for one of a letter that is no half."""
    number, _, unit = str(length.datum).partition(" ")
    if unit:
        return f"{float(Fraction(number) * share):g} {unit}"
    return f"{number}/2" if share == Fraction(1, 2) else ""


def _comes_in_later(pieces: Sequence[Chunk], filling: int, start: int) -> bool:
    """Whether what fills the gap is put in, or told of after the capacitor was taken off."""
    begins = max((i for i in range(filling) if pieces[i].tag in _STOPS), default=-1) + 1
    ends = next((i for i in range(filling, len(pieces)) if pieces[i].tag in _STOPS), len(pieces))
    sentence = [each for each in pieces[begins:ends] if each.text != "\n"]
    if any(each.tag in ("THEN", "TAKEOUT", "DISCON", "STAYS") for each in sentence[1:]):
        return True
    if any(_COMES_IN.match(each.text) for each in sentence):
        return True
    before = pieces[start:begins]
    tags = {each.tag for each in before}
    if tags & {"DISCON", "STAYS"} or {"SOURCE", "OFF"} <= tags:
        return True
    told_next = any(each.tag == "FILL" for each in sentence) or sentence[0].tag == "THEN"
    return begins > start and told_next and _is_fed(before)


def _is_fed(pieces: Sequence[Chunk]) -> bool:
    return any(each.tag in ("VOLT", "CHG") for each in pieces)


def _area(pieces: Sequence[Chunk]) -> _Measured | None:
    for index, piece in enumerate(pieces):
        if piece.tag == "AREA":
            return _Measured(str(piece.datum), (index,))
    tags = [each.tag for each in pieces]
    for index in range(len(pieces) - 2):
        if tags[index] == "LEN" and tags[index + 1] in ("BY", "TIMES") and tags[index + 2] == "LEN":
            first, second = pieces[index].datum, pieces[index + 2].datum
            return _Measured(f"{first} by {second}", (index, index + 2))
    lengths = [i for i, tag in enumerate(tags) if tag == "LEN"]
    for at in lengths:
        near = pieces[max(0, at - _NEAR) : at + 3]
        said = " ".join(each.text.lower() for each in near)
        round_one = re.search(r"\b(radius|diameter)\b", said)
        if round_one and "STOP" not in {each.tag for each in near[:2]}:
            return _Measured(f"{round_one[1]} {pieces[at].datum}", (at,))
        on_a_side = tags[at + 1 : at + 4] == ["ON", "A", "OFSIDE"] or tags[at + 1 : at + 2] == [
            "SQUARE"
        ]
        if on_a_side or ("SQUARE" in tags and any(each.tag == "OFSIDE" for each in near)):
            return _Measured(f"{pieces[at].datum} by {pieces[at].datum}", (at,))
    return None


_ASKING: Final = frozenset(words("WISHV QUERY STOP CAPV CAPN CEQ CAP APPLY IF CLAIM TAKE PLATED"))
_SHAPED: Final = ("PLATE", "PLATED", "GAPN", "AREAN")
_MANNER: Final = re.compile(r"(?i)how (?:large|big|far|wide|thick)\b")
_SOUGHT_NEAR: Final = 4  # pieces from asking up to what is sought


def plates_sought(pieces: Sequence[Chunk]) -> str | None:
    """Two plates of which one measure is asked for, by what they come to, in the strict notation;
    None for any other text.
    """
    told = {tag: [str(e.datum) for e in pieces if e.tag == tag] for tag in _MEASURES}
    tags = [each.tag for each in pieces]
    if len(told["CAPV"]) != 1 or len(told["LEN"] + told["AREA"]) != 1 or len(told["PERMV"]) > 1:
        return None
    if "NUM" in tags or not {*tags} <= _SPENT | _ASKING | {*_MEASURES}:
        return None
    sought = _AREA_SOUGHT if told["LEN"] else _GAP_SOUGHT
    asks = any(_asks_for(pieces, at, sought) for at in range(len(tags)))
    if not asks or not {*_SHAPED} & {*tags}:
        return None
    size = f"? gap {told['LEN'][0]}" if told["LEN"] else f"{told['AREA'][0]} gap ?"
    filled = f" filled {told['PERMV'][0]}" if told["PERMV"] else ""
    return f"plates {size}{filled}; C1 = {told['CAPV'][0]}"


_MEASURES: Final = ("CAPV", "LEN", "AREA", "PERMV")
_AREA_SOUGHT: Final = ("AREAN", "PLATE")
_GAP_SOUGHT: Final = ("GAPN", "PLATED")


def _asks_for(pieces: Sequence[Chunk], at: int, sought: Sequence[str]) -> bool:
    """Whether a piece asks for one of these: what area, how far apart, how large are the plates."""
    if pieces[at].tag != "WISHV":
        return False
    near = [each.tag for each in pieces[at + 1 : at + 1 + _SOUGHT_NEAR]]
    first = next((tag for tag in near if tag in ("AREAN", "GAPN", "PLATED", "CAPN", "CAPV")), "")
    if first:
        return first in sought
    return "PLATE" in sought and "PLATE" in near and bool(_MANNER.match(pieces[at].text))
