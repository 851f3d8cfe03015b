"""Spheres and cables told in prose by their radii: put as one value."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import found_in, row
from grammar.lenient.tokens import Chunk

_BALLS: Final = ("sphere", "spheres", "spherical", "ball", "globe")
_CABLES: Final = ("coax", "coaxial", "cable", "cylindrical")
# Two spheres of which one is in the other are one capacitor.
_ONE_IN_THE_OTHER: Final = frozenset(("concentric", "coaxial", "shell", "shells"))
_TWO_OF_THEM: Final = ("WNUM", "METAL", "WIRE", "CURVED", "COUNT")
# What such a description is made of beside its numbers.
_SPENT: Final = frozenset(
    words(
        "LEN CURVED WORD COMMA AND OF WITH A DET THE IN IS EQ COLON BETWEEN AIR SLAB FILL AT PERM "
        "NUM PERMV BY TO CAP METAL FOR TOP BOTTOM WIRE PLATE EACH WHICH FROM ROUNDN THEM STOP GAPN "
        "THEIR JOIN"
    )
)
_AFTER: Final = ("WORD", "CURVED", "AIR", "BETWEEN", "ROUNDN")
_FILLED: Final = row(
    "(PERM | SLAB | FILL) (PERM | SLAB | FILL | OF | IS | EQ | AT | COLON | BETWEEN | COMMA | WITH"
    " | A | WORD | WHICH)*"
    " (NUM | PERMV)"
)


def with_round_shapes(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with a sphere, a pair of them or a cable as one value; where any measure of it
    is not clear, as they are.
    """
    said = [each.text.lower() for each in pieces]
    lengths = [index for index, each in enumerate(pieces) if each.tag == "LEN"]
    if not any(word.startswith("radi") for word in said) or not lengths:
        return list(pieces)
    size = _size(pieces, lengths, said)
    if size is None:
        return list(pieces)
    first, last = lengths[0], lengths[-1]
    kinds = [index for index, word in enumerate(said) if word in (*_BALLS, *_CABLES)]
    first, last = min(first, kinds[0]), max(last, kinds[-1])
    filled = found_in(_FILLED, pieces)
    if filled is not None:
        first, last = min(first, filled[0]), max(last, filled[1] - 1)
        size += f" filled {pieces[filled[1] - 1].datum}"
    two_in_one = _ONE_IN_THE_OTHER & {*said}
    while first and pieces[first - 1].tag in ("A", "WORD", *(_TWO_OF_THEM if two_in_one else ())):
        first -= 1
    while last + 1 < len(pieces) and pieces[last + 1].tag in _AFTER:
        last += 1
    last += 2 * ([each.tag for each in pieces[last + 1 : last + 3]] == ["IN", "ROUNDN"])
    inside = [e for e in pieces[first : last + 1] if not two_in_one or e.tag not in _TWO_OF_THEM]
    numbers = sum(each.tag in ("NUM", "PERMV") for each in inside)
    if any(each.tag not in _SPENT for each in inside) or numbers != (filled is not None):
        return list(pieces)
    text = " ".join(each.text for each in pieces[first : last + 1])
    value = Chunk("CAPV", text, pieces[first].start, size)
    return [*pieces[:first], value, *pieces[last + 1 :]]


def _size(pieces: Sequence[Chunk], lengths: Sequence[int], said: Sequence[str]) -> str | None:
    """The shape and its measures in the strict notation."""
    measures = [str(pieces[index].datum) for index in lengths]
    is_ball = any(word in _BALLS for word in said)
    is_cable = any(word in _CABLES for word in said)
    if is_ball == is_cable or any(word.startswith("diameter") for word in said):
        return None
    if is_ball and len(measures) == 1:
        return f"sphere radius {measures[0]}"
    if is_ball and len(measures) == 2:
        return f"spheres radii {measures[0]} and {measures[1]}"
    long = [i for i in lengths if {"length", "long"} & {*_behind(said, i), *said[i - 2 : i]}]
    if not is_cable or len(measures) != 3 or len(long) != 1:
        return None
    radii = [str(pieces[index].datum) for index in lengths if index != long[0]]
    return f"cable {pieces[long[0]].datum} radii {radii[0]} and {radii[1]}"


def _behind(said: Sequence[str], at: int) -> Sequence[str]:
    """The word behind a length; ``in`` before it says nothing more."""
    return said[at + 2 : at + 3] if said[at + 1 : at + 2] == ["in"] else said[at + 1 : at + 2]
