"""Capacitors between points: ``C1 from A to P``, ``between P and B hangs a 4``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from grammar.lenient.prose_bounds import Tries
from grammar.lenient.tabletop import NoSense, Tabletop, leaves, subtrees
from grammar.lenient.tokens import Chunk
from grammar.lenient.tying import joined

_BREAKS = ("COMMA", "AND", "THEN", "WHICH", "PLUS", "COLON")


class _Bit(NamedTuple):
    """What stands between two breaks, the first of them with it."""

    pieces: tuple[Chunk, ...]

    @property
    def place(self) -> Chunk | None:
        return next((each for each in self.pieces if each.tag == "PLACE"), None)

    @property
    def names_some(self) -> bool:
        return any(each.tag in ("ITEM", "REF") for each in self.pieces)

    @property
    def place_comes_first(self) -> bool:
        told = [each.tag for each in self.pieces if each.tag in ("ITEM", "REF", "PLACE")]
        return bool(told) and told[0] == "PLACE"


def placed(table: Tabletop, segment: list[Chunk], tries: Tries) -> list[Tabletop]:
    """Each way the table can look with what the segment names between its points."""
    tables = [table]
    for bit in _by_place(_bits(segment)):
        place, row = bit.place, [each for each in bit.pieces if each.tag != "PLACE"]
        if place is not None and _is_of_one(row):
            row = [each for each in row if each.tag in ("ITEM", "REF")]
        if place is not None and place.datum[0] == place.datum[1]:
            raise NoSense(f"Both points are {place.datum[0]}.")
        if place is not None and _is_one_more_pair(bit) and _shared(tables[0]) > 1:
            tables = [_one_pair_each(each, place.datum) for each in tables]
            continue
        if place is not None and not bit.names_some:
            tables = [_just_points(each, place.datum, row) for each in tables]
            continue
        following = []
        for each in tables:
            for after in joined(each, _one_more_of_its_kind(each, row) if place else row, tries):
                following.append(after if place is None else _between(after, place.datum))
        tables = following
    return tables


def _is_of_one(row: Sequence[Chunk]) -> bool:
    """Whether one phrase alone is told of, so that no joint can be: three in a row are three."""
    told = [each for each in row if each.tag in ("ITEM", "REF")]
    counted = any(each.tag == "ITEM" and len(each.datum.worths) > 1 for each in told)
    return len(told) == 1 and not (counted and any(each.tag in ("SER", "PAR") for each in row))


def _is_one_more_pair(bit: _Bit) -> bool:
    """``C1 and C2 are from X to Y and from Y to Z``: the second pair of points in a row."""
    begins = bit.pieces[0].tag == "AND" and len(bit.pieces) == 2
    return begins and bit.pieces[1].text.lower().startswith(("from", "between"))


def _shared(table: Tabletop) -> int:
    """How many were put last between the same points."""
    same = [points for _, points in table.places if points == table.places[-1][1]]
    return len(same)


def _one_pair_each(table: Tabletop, points: tuple[str, str]) -> Tabletop:
    """The last of two that stand between the same points moved to points of its own.

    Errors: ``NoSense`` where more than two stand there.
    """
    if _shared(table) != 2 or table.places[-2][1] != table.places[-1][1]:
        raise NoSense("Which of them is between which points is not clear.")
    return table._replace(places=(*table.places[:-1], (table.places[-1][0], points)))


def _one_more_of_its_kind(table: Tabletop, row: list[Chunk]) -> list[Chunk]:
    """The row; what has a value of which none is left without its points is a new capacitor."""
    placed_already = {leaf for tree, _ in table.places for leaf in leaves(tree)}
    free = {cap.worth for at, cap in enumerate(table.caps) if at not in placed_already}
    return [
        piece._replace(datum=piece.datum._replace(how="new"))
        if piece.tag == "ITEM" and piece.datum.how == "" and not free & {*piece.datum.worths}
        else piece
        for piece in row
    ]


def _between(table: Tabletop, points: tuple[str, str]) -> Tabletop:
    """The table with what was spoken of last between two points."""
    trees = [t for t in table.last if any(t in subtrees(root) for root in table.roots)]
    return table._replace(places=(*table.places, *((tree, points) for tree in trees)))


def _bits(segment: Sequence[Chunk]) -> list[_Bit]:
    """The segment cut at its breaks, and where one pair of points follows another."""
    rows: list[list[Chunk]] = [[]]
    for piece in segment:
        if _begins_a_bit(piece, rows[-1]):
            rows.append([])
        rows[-1].append(piece)
    return [_Bit(tuple(each)) for each in rows if each]


def _begins_a_bit(piece: Chunk, begun: Sequence[Chunk]) -> bool:
    if piece.tag in _BREAKS:
        return any(each.tag not in _BREAKS for each in begun)
    if piece.tag == "PLACE":
        return _Bit(tuple(begun)).place_comes_first
    return piece.tag == "ITEM" and _is_done(begun)


def _is_done(row: Sequence[Chunk]) -> bool:
    """Whether a row ends with the points of what it has named."""
    bit = _Bit(tuple(row))
    return bit.place is not None and bit.names_some and not bit.place_comes_first


def _by_place(bits: Sequence[_Bit]) -> Iterator[_Bit]:
    """The bits put together so that each has its points, told before or after what they join."""
    waiting: list[Chunk] = []
    held: list[Chunk] = []  # begins with its points, and may go on
    for bit in bits:
        if bit.place is None:
            begun = _Bit(tuple(held))
            if held and not (begun.names_some and _belongs_to_the_next(bit, bits)):
                held += bit.pieces
            else:
                waiting += bit.pieces
            continue
        if held:
            yield _Bit(tuple(held))
            held = []
        told = _Bit((*waiting, *bit.pieces))
        waiting = []
        if bit.place_comes_first and not (told.names_some and not bit.names_some):
            held = list(told.pieces)
        else:
            yield told
    if held or waiting:
        yield _Bit((*held, *waiting))


def _belongs_to_the_next(bit: _Bit, bits: Sequence[_Bit]) -> bool:
    """Whether what is named here has its points in the next bit, after what they join."""
    after = bits[bits.index(bit) + 1 :]
    if not bit.names_some or not after:
        return False
    following = after[0]
    if following.place is None:
        return False
    return not following.place_comes_first or not following.names_some


def _is_wire(piece: Chunk) -> bool:
    return piece.tag == "WIRE" or piece.text.lower() in ("wire", "wired", "wires")


def _just_points(table: Tabletop, points: tuple[str, str], row: list[Chunk]) -> Tabletop:
    if any(_is_wire(piece) for piece in row):
        return table._replace(wires=(*table.wires, points))
    return table._replace(ends=points)
