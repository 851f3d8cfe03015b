"""Two plates told in prose: their area, their gap, what fills it; put as one value."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.tokens import Chunk

# What such a description is made of beside its numbers.
_SPENT: Final = frozenset(
    words(
        "PLATE GAPN AREA AREAN LEN PERM PERMV SLAB FILL AIR OFSIDE BY EACH TIMES BETWEEN "
        "SQUARE POINT IN OF WITH A DET THE BOTH THEIR AT IS JOIN COMMA AND EQ COLON OFF WNUM "
        "WHICH EQUAL METAL FOR TO SINGLE OPEN CLOSE DISCON FACTORW"
    )
)


def with_plates(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with a description of two plates as one value."""
    if not any(each.tag in ("PLATE", "PLATED", "GAPN") for each in pieces):
        return list(pieces)
    area = _area(pieces)
    if area is None:
        return list(pieces)
    size, used = area
    gap = next((i for i, e in enumerate(pieces) if e.tag == "LEN" and i not in used), None)
    if gap is None:
        return list(pieces)
    first, last = min(*used, gap), max(*used, gap)
    filling = _filling(pieces, last)
    if filling is not None:
        last = max(last, filling)
    while first and pieces[first - 1].tag in _SPENT:
        first -= 1
    while last + 1 < len(pieces) and pieces[last + 1].tag in (
        "GAPN",
        "PLATE",
        "AIR",
        "SLAB",
        "CLOSE",
    ):
        last += 1
    if any(each.tag not in _SPENT and each.tag != "STOP" for each in pieces[first : last + 1]):
        return list(pieces)
    filled = "" if filling is None else f" filled {pieces[filling].datum}"
    text = " ".join(each.text for each in pieces[first : last + 1])
    worth = f"plates {size} gap {pieces[gap].datum}{filled}"
    value = Chunk("CAPV", text, pieces[first].start, worth)
    return [*pieces[:first], value, *pieces[last + 1 :]]


def _area(pieces: Sequence[Chunk]) -> tuple[str, tuple[int, ...]] | None:
    """The area in the strict notation, and the pieces that say it."""
    for index, piece in enumerate(pieces):
        if piece.tag == "AREA":
            return str(piece.datum), (index,)
    tags = [each.tag for each in pieces]
    for index in range(len(pieces) - 2):
        if tags[index] == "LEN" and tags[index + 1] in ("BY", "TIMES") and tags[index + 2] == "LEN":
            first, second = pieces[index].datum, pieces[index + 2].datum
            return f"{first} by {second}", (index, index + 2)
    side = next(
        (
            i
            for i, tag in enumerate(tags)
            if tag == "LEN" and "OFSIDE" in tags[max(0, i - 3) : i + 3]
        ),
        None,
    )
    if side is not None and "SQUARE" in tags:
        return f"{pieces[side].datum} by {pieces[side].datum}", (side,)
    return None


def _filling(pieces: Sequence[Chunk], last: int) -> int | None:
    """Where the permittivity of what is between them from the first is said."""
    for index, piece in enumerate(pieces):
        if piece.tag != "PERMV":
            continue
        between = pieces[min(index, last) : max(index, last)] if index > last else []
        between = [each for each in between if each.text != "\n"]  # a list goes on
        if any(each.tag in ("STOP", "QUERY", "THEN", "VOLT", "TAKEOUT") for each in between):
            return None
        if any(
            each.tag == "JOIN" and each.text.lower().startswith(("insert", "slid", "put", "plac"))
            for each in between
        ):
            return None
        return index
    return None
