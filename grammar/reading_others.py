"""Texts that are no nest: lists of joins, capacitors that stand apart, ladders, solids."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from grammar.apart import put_apart
from grammar.clauses import bare, is_single
from grammar.gathering import (
    Text,
    capacitors_of,
    ends_of,
    finish,
    names_joined,
    refuse_unused,
    supply_of,
)
from grammar.ladder_sections import free_names, read_ladder, written_out
from grammar.outline import leaves
from grammar.points import check_list, inner_points, two_points
from grammar.records import Charging, Description, Element, Join, Wire
from grammar.solids import solid_of
from grammar.traits import read_worth
from grammar.walking import Node, children, name_of, start_of


def list_of_joins(text: Text) -> Description:
    """Read a list of joins; a capacitor that only a later join names stands apart from it.

    Errors: ``Refusal`` for a list without ends, or with a network beside it.
    """
    source, clauses = text.source, text.clauses
    if clauses.networks or clauses.ladders or not clauses.joins:
        node = (clauses.networks or clauses.ladders or clauses.wires)[0]
        raise source.refusal(
            start_of(node),
            "A network is written either with -- and || or as a list of joins.",
            "Give each capacitor its two points, as in C1 = 4 uF from A to P.",
        )
    between = [two_points(source, node).names for node in clauses.joins]
    for node in clauses.joins:
        text.builder.capacitor(node.children[0], children(node, "rated", "charged"))
    _add_apart(text)
    capacitors = capacitors_of(text)
    joins = [Join(each, *points) for each, points in zip(capacitors, between, strict=False)]
    wires = tuple(Wire(*two_points(source, node).names) for node in clauses.wires)
    ends = ends_of(text)
    if ends is None:
        raise source.refusal(
            start_of(clauses.joins[0]),
            "The list does not say which two points are its ends.",
            "Add a clause with them, as in ends A and B.",
        )
    check_list(source, joins, wires, ends)
    base = Description(
        joins=(*joins, *map(put_apart, capacitors[len(joins) :])),
        wires=wires,
        ends=ends.names,
        supply=supply_of(text),
    )
    lines: list[Join | Wire] = [*joins, *wires]
    return finish(text, base, capacitors, {p for line in lines for p in (line.start, line.end)})


def _add_apart(text: Text) -> None:
    """Build each single capacitor that no line of the list has, and a later join names."""
    for clause in text.clauses.definitions:
        for level in children(clause, "level"):
            name = str(bare(level.children[0]).children[0])
            unused = name not in text.builder.used and name in names_joined(text)
            if unused and is_single(level):
                text.builder.capacitor(level)


def standing_apart(text: Text) -> Description:
    """Read single capacitors that a join brings together.

    Errors: ``Refusal`` for one that no join names, and for ends or a supply of no capacitor.
    """
    source, clauses = text.source, text.clauses
    supplied: list[tuple[int, Node]] = []
    for clause in clauses.apart:
        levels = children(clause, "level")
        supplied.extend(
            (len(text.builder.leaves), each)
            for each in children(clause, "across")
            if len(levels) == 1
        )
        for level in levels:
            text.builder.capacitor(level)
    capacitors = capacitors_of(text)
    supply = _supply_of_one(text, supplied)
    _refuse_ends(text)
    joins = tuple(map(put_apart, capacitors))
    first = joins[supplied[0][0] if supplied else 0]
    base = Description(joins=joins, ends=(first.start, first.end), supply=supply)
    whole = finish(text, base, capacitors, ())
    joined = {name for change in whole.changes if change.kind == "join" for name in change.names}
    for capacitor, leaf in zip(capacitors, text.builder.leaves, strict=True):
        if capacitor.name not in joined:
            raise source.refusal(
                leaf.offset,
                f"Nothing joins {capacitor.name} to the others.",
                f"Name {capacitor.name} in a join too, or leave it out.",
            )
    return whole


def _supply_of_one(text: Text, supplied: list[tuple[int, Node]]) -> Charging | None:
    known = [id(node) for _, node in supplied]
    for node in text.clauses.supplies:
        if id(node) not in known:
            raise text.source.refusal(
                start_of(node),
                "Nothing says which capacitor this supply is joined to.",
                "Write it beside one of them, as in C1 = 3 uF, across 10 V.",
            )
    if len(supplied) > 1:
        raise text.source.refusal(
            start_of(supplied[1][1]),
            "A second supply is named here.",
            "Keep one of them; for another capacitor write charged to 10 V.",
        )
    if not supplied:
        return None
    return read_worth(text.source, children(supplied[0][1], "value")[0], "voltage")


def _refuse_ends(text: Text) -> None:
    ends = ends_of(text)
    if ends is not None:
        raise text.source.refusal(
            ends.offsets[0],
            "Capacitors that stand apart have no two ends in common.",
            "Leave this out, or give each capacitor its points, as in C1 = 4 uF from A to P.",
        )


def ladder_of_sections(text: Text) -> Description:
    """Read a ladder; one with so many sections is written out as a nest as well.

    Errors: ``Refusal`` for anything else beside the ladder, and for changes to one without end.
    """
    source, clauses = text.source, text.clauses
    for node in (*clauses.ladders[1:], *clauses.networks):
        raise source.refusal(
            start_of(node),
            "This is a second network beside the ladder.",
            "A ladder stands alone: leave one of the two out.",
        )
    ladder = read_ladder(text.builder, clauses.ladders[0])
    refuse_unused(text)
    nest = written_out(ladder)
    ends = ends_of(text)
    names = ends.names if ends else ("A", "B")
    base = Description(nest=nest, ends=names, supply=supply_of(text), ladder=ladder)
    if nest is None:
        for change in clauses.changes:
            raise source.refusal(
                start_of(change),
                "Nothing can be changed in a ladder without end.",
                "Give it a number of sections, as in ladder of (series 2 uF, shunt 4 uF), 5 "
                "sections.",
            )
        return finish(text, base, (), names)
    return finish(text, base, tuple(leaves(nest)), {*names, *inner_points(nest, names)})


def solid_by_name(text: Text) -> Description:
    """Read a cube or a tetrahedron as the list of joins that it is.

    Errors: ``Refusal`` for anything else beside it.
    """
    source, clauses = text.source, text.clauses
    _refuse_beside(text, (*clauses.solids[1:], *clauses.networks), "A cube or a tetrahedron")
    node = clauses.solids[0]
    kind = str(node.children[0]).lower()
    worth = text.builder.plain_worth(children(node, "value")[0])
    refuse_unused(text)
    corners = children(node, "opposite", "of_face", "neighbours")
    solid = solid_of(kind, worth, name_of(corners[0]) if corners else "opposite")
    ends = ends_of(text)
    names = ends.names if ends else solid.ends
    if ends is not None:
        check_list(source, list(solid.joins), (), ends)
    base = Description(joins=solid.joins, ends=names, supply=supply_of(text))
    capacitors = [join.capacitor for join in solid.joins]
    return finish(text, base, capacitors, {p for join in solid.joins for p in join[1:]})


def three_to_exchange(text: Text) -> Description:
    """Read three capacitors in a star or in a triangle, between the points X, Y and Z.

    Errors: ``Refusal`` for anything else beside them.
    """
    clauses = text.clauses
    _refuse_beside(
        text, (*clauses.threes[1:], *clauses.networks, *clauses.solids), "A star or a triangle"
    )
    node = clauses.threes[0]
    kind: Literal["star", "triangle"] = "star" if node.children[0].type == "STAR" else "triangle"
    worths = [text.builder.plain_worth(value) for value in children(node, "value")]
    refuse_unused(text)
    names = free_names(worths)
    capacitors = [Element(next(names), worth) for worth in worths]
    lines = ("XP", "YP", "ZP") if kind == "star" else ("XY", "YZ", "ZX")
    joins = tuple(Join(c, *line) for c, line in zip(capacitors, lines, strict=True))
    base = Description(joins=joins, ends=("X", "Z"), supply=supply_of(text), exchange=kind)
    return finish(text, base, capacitors, "XYZP")


def _refuse_beside(text: Text, others: Sequence[Node], what: str) -> None:
    """Errors: ``Refusal`` for a second network beside one that is told by its name."""
    clauses = text.clauses
    for node in (*others, *clauses.ladders, *clauses.joins, *clauses.wires):
        raise text.source.refusal(
            start_of(node),
            "This is a second network beside the first one.",
            f"{what} stands alone: leave one of the two out, or write every capacitor as a line, "
            "as in C1 = 2 uF from A to P.",
        )
