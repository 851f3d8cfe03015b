"""A table written in the strict notation."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from grammar.lenient.closing import (
    completed,
    is_charged,
    is_story,
    joined_up,
    settled_up,
    supply_states,
)
from grammar.lenient.tabletop import Knot, NoSense, Tabletop, Tied, as_told, flat, leaves
from grammar.lenient.wishes_written import SYMBOL, wanted_of
from grammar.records import Refusal

_SIGN: Mapping[str, str] = {"series": " -- ", "parallel": " || "}


def written(table: Tabletop) -> list[str]:
    """The network in the strict notation; several texts where it can be joined in several ways.

    Errors: ``Refusal`` for a table on which something has no place or no value.
    """
    table = completed(table)
    standing = [leaf for root in table.roots for leaf in leaves(root)]
    if not standing or len(set(standing)) < len(standing):
        raise NoSense
    if any(cap.bridged for cap in table.caps):
        table = _between_ends(table)
    if len(table.places) > 1 or any(cap.bridged for cap in table.caps):
        return [_list_of_joins(table)]
    if table.wires:
        raise Refusal(
            "A wire joins points that nothing else names.", "Say which points each capacitor joins."
        )
    ways = [state for each in joined_up(table) for state in supply_states(each)]
    return [text for each in ways for text in _one_network(settled_up(each))]


def _between_ends(table: Tabletop) -> Tabletop:
    """The whole between its ends: a wire beside a capacitor can be written between points only.

    Errors: ``Refusal`` where charged capacitors are joined, or it is not one network.
    """
    if len(table.roots) != 1 or is_story(table) or table.changes:
        raise Refusal("It is not clear what the wire joins.", "Say between which points it is.")
    return table if table.places else table._replace(places=((table.roots[0], ("A", "B")),))


def _one_network(table: Tabletop) -> list[str]:
    root = as_told(table.roots[0])
    table = table._replace(roots=(root,))
    needs_names = bool(table.changes) or any(whom for _, whom in table.wishes)
    needs_names = needs_names or is_story(table) or any(g.of is not None for g in table.givens)
    needs_names = needs_names or any(cap.worth == "?" for cap in table.caps)
    names = _names(table, root, needs_names)
    if is_story(table):
        return [_story(table, root, names)]
    text = ", ".join([_nest(table, root, names), *_ends(table), *_supply(table)])
    further = [*_givens(table, names), *_changes(table, names)]
    wanted = ", ".join(wanted_of(table, names))
    if wanted and not further:
        return [f"{text}, asked: {wanted}"]
    return ["; ".join((text, *further, *([f"asked: {wanted}"] if wanted else ())))]


def _ends(table: Tabletop) -> Iterator[str]:
    ends = table.places[0][1] if table.places else table.ends
    if table.places and table.ends and {*table.ends} != {*table.places[0][1]}:
        raise Refusal(
            f"Nothing is joined to {table.ends[0]} and {table.ends[1]}.", "Name the ends."
        )
    if ends and ends != ("A", "B"):
        yield f"ends {ends[0]} and {ends[1]}"


def _names(table: Tabletop, root: Knot, needed: bool) -> dict[int, str]:
    """A name for each capacitor; "" where none is given or needed."""
    taken = {cap.name for cap in table.caps}
    free = (f"C{number}" for number in range(1, 10_000) if f"C{number}" not in taken)
    some = any(cap.name for cap in table.caps)
    return {
        index: table.caps[index].name or (next(free) if needed or some else "")
        for index in leaves(root)
    }


def _is_charged_last(table: Tabletop, root: Knot) -> bool:
    """Whether of several parts the last alone is charged."""
    charged = [index for index in leaves(root) if is_charged(table.caps[index])]
    return isinstance(root, Tied) and charged == [root.members[-1]]


def _one_cap(table: Tabletop, index: int, names: dict[int, str]) -> str:
    cap = table.caps[index]
    text = f"{names[index]} = {cap.worth}" if names[index] else cap.worth
    if cap.rating:
        text += f" rated {cap.rating}"
    if is_charged(cap):
        text += f" charged to {cap.start}"
    return text


def _nest(table: Tabletop, tree: Knot, names: dict[int, str]) -> str:
    if isinstance(tree, int):
        return _one_cap(table, tree, names)
    parts = []
    for member in tree.members:
        inner = _nest(table, member, names)
        alone = member == tree.members[-1] and tree in table.roots and _is_charged_last(table, tree)
        parts.append(f"({inner})" if isinstance(member, Tied) or alone else inner)
    return _SIGN[tree.way].join(parts)


def _supply(table: Tabletop) -> Iterator[str]:
    said = list(dict.fromkeys((s.quantity, s.text) for s in table.supplies if s.text))
    if len(said) > 1:
        raise Refusal(
            f"Two supplies are named here, {said[0][1]} and {said[1][1]}.",
            "Say which of them is across the whole network.",
        )
    for quantity, text in said:
        yield f"{'across' if quantity == 'voltage' else 'holding'} {text}"


def _givens(table: Tabletop, names: dict[int, str]) -> Iterator[str]:
    for total in dict.fromkeys(table.totals):
        yield f"C = {total}"
    for given in table.givens:
        letter = SYMBOL[given.quantity]
        of = "" if given.of is None else names[given.of]
        suffix = of[1:] if re.fullmatch(r"C[0-9]+", of) else f"_{of}" if of else ""
        yield f"{letter}{suffix} = {given.text}"


def _story(table: Tabletop, root: Knot, names: dict[int, str]) -> str:
    if table.supplies:
        raise Refusal(
            "Beside the charged capacitors a supply is named.", "Say what it is joined to."
        )
    parts = [_one_cap(table, index, names) for index in leaves(root)]
    listed = [names[index] for index in leaves(root)]
    crossed = " crossed" if table.crossed else ""
    joined = f"join {', '.join(listed[:-1])} and {listed[-1]}{crossed}"
    later = tuple(d for d in table.changes if d.kind not in ("remove", "join"))
    wanted = ", ".join(wanted_of(table, names))
    asked = [f"asked: {wanted}"] if wanted else []
    return "; ".join((*parts, joined, *_changes(table._replace(changes=later), names), *asked))


def _changes(table: Tabletop, names: dict[int, str]) -> Iterator[str]:
    for done in table.changes:
        whom = [names[index] for index in done.whom if index in names]
        if not whom and done.kind in ("fill", "gap", "join"):
            raise Refusal(
                "It is not clear which capacitor is changed.", "Name it, as in then fill C1 with 4."
            )
        if done.kind == "remove":
            if any(each.quantity == "voltage" for each in table.supplies):
                yield "then remove supply"
        elif done.kind == "put":
            yield f"then put {done.text} across"
        elif done.kind == "fill":
            yield f"then fill {_listed(whom)} with {done.text}"
        elif done.kind == "gap":
            yield f"then gap of {whom[0]} {done.text}"
        elif done.kind == "join":
            yield f"then join {_listed(whom)}{' crossed' if table.crossed else ''}"


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _list_of_joins(table: Tabletop) -> str:
    placed = {leaf for tree, _ in table.places for leaf in leaves(tree)}
    if len(placed) < len(table.caps):
        raise Refusal(
            "Some capacitors stand between points, and others do not.", "Say where each stands."
        )
    names = _names(table, flat("series", range(len(table.caps))), True)
    taken = {point for _, points in table.places for point in points}
    inner = (f"X{number}" for number in range(1, 10_000) if f"X{number}" not in taken)
    lines: list[str] = []
    for tree, points in table.places:
        lines.extend(_lines(table, tree, points, (names, inner)))
    lines += [f"wire from {a} to {b}" for a, b in table.wires]
    ends = table.ends or _loose_ends(table)
    lines.append(f"ends {ends[0]} and {ends[1]}")
    lines += _supply(table)
    wanted = ", ".join(wanted_of(table, names))
    return "; ".join([*lines, *([f"asked: {wanted}"] if wanted else [])])


def _lines(
    table: Tabletop,
    tree: Knot,
    points: tuple[str, str],
    naming: tuple[dict[int, str], Iterator[str]],
) -> Iterator[str]:
    if isinstance(tree, int):
        yield f"{_one_cap(table, tree, naming[0])} from {points[0]} to {points[1]}"
        if table.caps[tree].bridged:
            yield f"wire from {points[0]} to {points[1]}"
    elif tree.way == "parallel":
        for member in tree.members:
            yield from _lines(table, member, points, naming)
    else:
        at = points[0]
        for member in tree.members[:-1]:
            after = next(naming[1])
            yield from _lines(table, member, (at, after), naming)
            at = after
        yield from _lines(table, tree.members[-1], (at, points[1]), naming)


def _loose_ends(table: Tabletop) -> tuple[str, str]:
    """The two points at which only one thing is joined, or A and B where both are there."""
    points = [point for _, pair in table.places for point in pair]
    if "A" in points and "B" in points:
        return "A", "B"
    loose = [point for point in dict.fromkeys(points) if points.count(point) == 1]
    if len(loose) == 2:
        return loose[0], loose[1]
    raise Refusal(
        "The text does not say between which two points the whole is taken.",
        "Name them, as in ends A and B.",
    )
