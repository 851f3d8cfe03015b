"""The same problem as it might be typed by another hand: other names, another order."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from grammar.apart import plates_of, put_apart, stands_apart
from grammar.outline import elements_of
from grammar.records import Chain, Description, Element, Join, Parallel, Part
from grammar.writing import write_network
from tutor.circuit.network import INNER_POINT_LETTERS

MOST_TRIES = 50
FREE_NUMBERS = range(2, 10)


def relabel(description: Description, by_chance: Random) -> str:
    """A text of the same problem that reads differently."""
    before = write_network(description, ascii=True)
    for _ in range(MOST_TRIES):
        text = write_network(_once(description, by_chance), ascii=True)
        if text != before:
            return text
    return before


def _once(description: Description, by_chance: Random) -> Description:
    names = _new_names(description, by_chance)
    asked = tuple(a._replace(of=names.get(a.of or "", a.of)) for a in description.asked)
    givens = tuple(g._replace(of=names.get(g.of or "", g.of)) for g in description.givens)
    changes = tuple(
        change._replace(names=tuple(names.get(name, name) for name in change.names))
        for change in description.changes
    )
    moved = description._replace(asked=asked, givens=givens, changes=changes)
    if description.nest is not None:
        turned = bool(by_chance.randrange(2))
        return moved._replace(nest=_written_anew(description.nest, names, turned, by_chance))
    return _reordered(moved, names, by_chance)


def _new_names(description: Description, by_chance: Random) -> Mapping[str, str]:
    """The same names given to others; a capacitor that stands alone gets a new number."""
    old = [c.name for c in elements_of(description)]
    if len(old) == 1:
        return {old[0]: f"C{by_chance.choice(FREE_NUMBERS)}"}
    return dict(zip(old, by_chance.sample(old, len(old)), strict=True))


def _written_anew(
    part: Part, names: Mapping[str, str], turned: bool, by_chance: Random
) -> Part:
    """Sets in another order, and all chains from the other end if the whole is turned round: what
    is joined to what stays as it was.
    """
    if isinstance(part, Element):
        return part._replace(name=names[part.name])
    members = tuple(_written_anew(member, names, turned, by_chance) for member in part.members)
    if isinstance(part, Chain):
        return Chain(members[::-1] if turned else members)
    return Parallel(tuple(by_chance.sample(members, len(members))))


def _reordered(
    description: Description, names: Mapping[str, str], by_chance: Random
) -> Description:
    """The lines of a list in another order, some turned round, inner points under new letters."""
    lines = by_chance.sample(description.joins, len(description.joins))
    if all(map(stands_apart, lines)):
        joins = [put_apart(j.capacitor._replace(name=names[j.capacitor.name])) for j in lines]
        first = joins[0].capacitor.name
        return description._replace(joins=tuple(joins), ends=plates_of(first))
    points = _new_points(description, by_chance)

    def moved(join: Join) -> Join:
        named = join.capacitor._replace(name=names[join.capacitor.name])
        start, end = by_chance.sample((join.start, join.end), 2)
        return Join(named, points.get(start, start), points.get(end, end))

    wires = tuple(
        wire._replace(start=points.get(wire.start, wire.start), end=points.get(wire.end, wire.end))
        for wire in description.wires
    )
    return description._replace(joins=tuple(map(moved, lines)), wires=wires)


def _new_points(description: Description, by_chance: Random) -> Mapping[str, str]:
    inner = {
        point for join in description.joins for point in (join.start, join.end)
    } | {point for wire in description.wires for point in wire}
    inner -= {*description.ends}
    letters = by_chance.sample([*INNER_POINT_LETTERS], len(inner))
    return dict(zip(sorted(inner), letters, strict=True))
