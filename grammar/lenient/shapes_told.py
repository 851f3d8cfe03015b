"""Networks told by their shape: a square of four, a triangle, a bridge, a cube of twelve."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final, NamedTuple, TypeAlias

from grammar.lenient.concepts import words
from grammar.lenient.patterns import sentences_of, text_of
from grammar.lenient.tokens import Chunk

_Edges: TypeAlias = "tuple[tuple[int, int], ...]"


class _Shape(NamedTuple):
    """Corners by number, and what is joined; the ends where nothing else is said, if any are."""

    edges: _Edges
    ends: tuple[int, int] | None = None
    opposite: tuple[int, int] | None = None
    adjacent: tuple[int, int] | None = None


_CUBE: Final[_Edges] = tuple(
    (one, other)
    for one in range(8)
    for other in range(one + 1, 8)
    if (one ^ other).bit_count() == 1
)
_SHAPES: Mapping[str, _Shape] = {
    "TRIANGLE": _Shape(((0, 1), (1, 2), (2, 0)), (0, 1), adjacent=(0, 1)),
    "SQUARE": _Shape(((0, 1), (1, 2), (2, 3), (3, 0)), opposite=(0, 2), adjacent=(0, 1)),
    "TETRAHEDRON": _Shape(
        tuple((one, other) for one in range(4) for other in range(one + 1, 4)),
        (0, 1),
        adjacent=(0, 1),
    ),
    "CUBE": _Shape(_CUBE, opposite=(0, 7), adjacent=(0, 1)),
    "BRIDGE": _Shape(((0, 1), (1, 2), (0, 3), (3, 2)), (0, 2), opposite=(0, 2)),
}
_DIAGONAL: Final = (1, 3)
# Terminals at the corners that the one in the diagonal joins.
ON_THE_DIAGONAL: Final = re.compile(
    r"(?i)\bcorners? (?:where|at which|in which|between which|joined by) (?:the|this|that)"
    r" (?:same )?diagonal|\bends of (?:the|this|that) (?:same )?diagonal"
)
_NAMES: Final = ("A", "P", "B", "R", "S", "T", "U", "W")
_SPENT: Final = frozenset(
    words(
        "A THE DET OF WITH IN ON AT EACH ALL BOTH OFSIDE CAP COUNT WNUM EQUAL IS JOIN POINT "
        "CORNERS COMMA AND UNLIKE ADJACENT MIDDLE ACROSS BETWEEN WHICH THEM THEIR FOR BRANCH "
        "SOURCE TERMINAL TO APPLY HOLD CAPN CAPV SINGLE ONE COLON DASH FROM OFF"
    )
)
_WISHED: Final = frozenset(words("CAPN HOLD SOURCE"))
_STOP: Final = Chunk("STOP", ".", 0)


def with_shapes(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with a shape as its capacitors between points; where the text names the points
    of each capacitor, the shape says nothing more.
    """
    pieces = _with_corners(pieces)
    shape = next((each for each in pieces if each.tag in _SHAPES), None)
    tags = [each.tag for each in pieces]
    if shape is None or {"LEN", "AREA", "PLATE"} & set(tags):
        return list(pieces)
    if tags.count("PLACE") > 2:
        return [each for each in _without_sides(pieces) if each.tag not in _SHAPES]
    told = _placed(_SHAPES[shape.tag], pieces)
    return list(pieces) if told is None else told


def _with_corners(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``square ABCD``: the letters after a shape are its corners."""
    found = list(pieces)
    for at, piece in enumerate(found[1:], 1):
        letters = piece.text
        if found[at - 1].tag in _SHAPES and 3 <= len(letters) <= 4 and letters.isupper():
            found[at] = piece._replace(tag="CORNERS", datum=tuple(letters))
    return found


def _without_sides(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``4 uF on the side WX``, ``1 uF across the diagonal PR``: the points say it."""
    found: list[Chunk] = []
    for piece in pieces:
        if piece.tag == "PLACE":
            while found and found[-1].tag in ("THE", "OFSIDE", "ON", "ACROSS", "MIDDLE"):
                found.pop()
        found.append(piece)
    return [each for each in found if each.tag != "OFSIDE"]


def _placed(shape: _Shape, pieces: Sequence[Chunk]) -> list[Chunk] | None:
    claimed = [b for a, b in pairwise(pieces) if a.tag == "APPLY" and b.tag == "CAPV"]
    values = [each for each in pieces if each.tag == "CAPV" and each not in claimed]
    tags = {each.tag for each in pieces}
    joints = list(zip(shape.edges, values, strict=False))
    told_in = _order_of_places(pieces) if shape is _SHAPES["SQUARE"] else ""
    if told_in == "unknown":
        return None
    if told_in == "rows":
        shape = _SHAPES["BRIDGE"]
        joints = list(zip(shape.edges, values, strict=False))
    if len(values) == 1:
        joints = [(edge, values[0]) for edge in shape.edges]
        if len(joints) == 4 and any(each.tag == "WNUM" and each.datum == "5" for each in pieces):
            joints.append((_DIAGONAL, values[0]))
    elif (
        len(values) == 2
        and len(shape.edges) == 4
        and (tags & {"MIDDLE", "ACROSS", "OTHER"} or "diagonal" in {each.text for each in pieces})
    ):
        joints = [*((edge, values[0]) for edge in shape.edges), (_DIAGONAL, values[1])]
    elif len(values) == 5 and len(shape.edges) == 4:
        joints.append((_DIAGONAL, values[4]))
    elif len(values) != 4 or len(shape.edges) != 4:
        return None
    names = next((each.datum for each in pieces if each.tag == "CORNERS"), _NAMES)
    ends = _ends(shape, pieces, has_diagonal=len(joints) == 5)
    if ends is None or len(names) < max(max(edge) for edge in shape.edges) + 1:
        return None
    found: list[Chunk] = []
    for (one, other), value in joints:
        found += [value, value._replace(tag="PLACE", datum=(names[one], names[other])), _STOP]
    if isinstance(ends[0], int):
        ends = names[ends[0]], names[ends[1]]
    found += [_STOP._replace(tag="PLACE", datum=ends), _STOP]
    if claimed:  # do they give 2 uF?
        found += [_STOP._replace(tag="WISHV"), _STOP._replace(tag="CEQ"), _STOP]
    return [*found, *_rest(pieces)]


def _order_of_places(pieces: Sequence[Chunk]) -> str:
    """Whether edges told as top left, top right … come in rows or round the shape; "" where they
    are not told so.
    """
    told = " ".join(each.text.lower() for each in pieces)
    places = re.findall(r"\b(top|upper|bottom|lower) (left|right)\b", told)
    if len(places) != 4:
        return ""
    sides = [side for _, side in places]
    if sides == ["left", "right", "left", "right"]:
        return "rows"
    return "round" if sides == ["left", "right", "right", "left"] else "unknown"


def _ends(
    shape: _Shape, pieces: Sequence[Chunk], has_diagonal: bool
) -> tuple[int, int] | tuple[str, str] | None:
    places = [i for i, each in enumerate(pieces) if each.tag == "PLACE"]
    told = [i for i in places if "TERMINAL" in {each.tag for each in pieces[i + 1 : i + 4]}]
    if places:
        return pieces[(told or places)[0]].datum  # type: ignore[no-any-return]
    tags = {each.tag for each in pieces}
    if "ADJACENT" in tags:
        return shape.adjacent
    if has_diagonal and ON_THE_DIAGONAL.search(text_of(pieces)):
        return _DIAGONAL
    return shape.opposite if "UNLIKE" in tags or has_diagonal else shape.ends


def _rest(pieces: Sequence[Chunk]) -> list[Chunk]:
    """What the text says beside the shape: its supply, and what is wanted."""
    found: list[Chunk] = []
    for sentence in sentences_of([*pieces, _STOP]):
        asks = any(each.tag in ("WISHV", "QUERY") for each in sentence)
        tells = any(each.tag in _SHAPES for each in sentence)
        kept = [e for e in sentence if e.tag not in (*_SHAPES, "CAPV", "CORNERS", "PLACE")]
        spent = _SPENT - (_WISHED if tells else _SPENT) if asks else _SPENT
        found += [each for each in kept if each.tag not in spent]
    return found
