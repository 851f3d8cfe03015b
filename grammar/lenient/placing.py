"""Capacitors between points: ``C1 from A to P``, ``between P and B hangs a 4``."""

from __future__ import annotations

from grammar.lenient.tabletop import NoSense, Tabletop, subtrees
from grammar.lenient.tokens import Chunk
from grammar.lenient.tying import joined


def placed(table: Tabletop, segment: list[Chunk]) -> list[Tabletop]:
    """Each way the table can look with what the segment names between its points."""
    tables = [table]
    for points, row in _governed(segment):
        if points[0] == points[1]:
            raise NoSense(f"Both points are {points[0]}.")
        if not any(piece.tag in ("ITEM", "REF") for piece in row):
            tables = [_just_points(each, points, row) for each in tables]
            continue
        following = []
        for each in tables:
            for after in joined(each, row):
                trees = tuple(
                    tree for tree in after.last if any(tree in subtrees(r) for r in after.roots)
                )
                following.append(
                    after._replace(places=(*after.places, *((t, points) for t in trees)))
                )
        tables = following
    return tables


def _governed(segment: list[Chunk]) -> list[tuple[tuple[str, str], list[Chunk]]]:
    """Each pair of points with the part of the row that stands between them."""
    segment = _with_wires_after_their_points(segment)
    places = [index for index, piece in enumerate(segment) if piece.tag == "PLACE"]
    items = [index for index, piece in enumerate(segment) if piece.tag in ("ITEM", "REF")]
    first = not items or places[0] < items[0]
    found = []
    for number, index in enumerate(places):
        if first:
            end = places[number + 1] if number + 1 < len(places) else len(segment)
            row = segment[index + 1 : end]
        else:
            end = len(segment) if number + 1 == len(places) else index + 1
            row = segment[places[number - 1] + 1 if number else 0 : end]
            row = [piece for piece in row if piece.tag != "PLACE"]
        found.append((segment[index].datum, row))
    return found


def _with_wires_after_their_points(segment: list[Chunk]) -> list[Chunk]:
    """``a wire from M to N``: the points first, as all else that is told after its points."""
    found = list(segment)
    for index, piece in enumerate(found[:-1]):
        if found[index + 1].tag == "PLACE" and _is_wire(piece):
            found[index : index + 2] = [found[index + 1], piece]
    return found


def _is_wire(piece: Chunk) -> bool:
    return piece.tag == "WIRE" or piece.text.lower() in ("wire", "wired", "wires")


def _just_points(table: Tabletop, points: tuple[str, str], row: list[Chunk]) -> Tabletop:
    if any(_is_wire(piece) for piece in row):
        return table._replace(wires=(*table.wires, points))
    return table._replace(ends=points)
