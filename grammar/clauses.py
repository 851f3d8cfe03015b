"""The clauses of a text sorted by what they do, before anything in them is read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from grammar.preparing import Source
from grammar.walking import SIZED, Node, children, in_order, name_of, start_of

_SUPPLIES = ("across", "holding")
_PARTS = ("level", "times")
_IN_A_NETWORK = (
    "holding does not fit here.",
    "Write the network first, then holding, outside brackets.",
)
_OF_NO_ONE = (
    "Nothing says which capacitor is holding this charge.",
    "Write it beside one of them, as in C1 = 3 uF holding 30 uC.",
)

_ONE_PART = ("named", "value", "unknown", *SIZED, "bracket", "series_of", "parallel_of")
_TO_SETTLE: Mapping[str, str] = {
    "charged": "For the whole write across and the p.d.; for the last one alone put it in "
    "brackets, as in (C2 = 3 uF charged to 10 V).",
    "rated": "Write it beside each, as in 4 uF rated 63 V -- 3 uF rated 63 V; for the last one "
    "alone leave the comma out.",
}


class Sorted(NamedTuple):
    """The clauses of a text by what they do.

    ``apart`` holds the clauses of capacitors that stand apart until a join; there is then no
    network, and no definitions.
    """

    networks: list[Node]
    definitions: list[Node]
    apart: list[Node]
    ladders: list[Node]
    solids: list[Node]
    threes: list[Node]
    joins: list[Node]
    wires: list[Node]
    supplies: list[Node]
    ends: list[Node]
    asked: list[Node]
    changes: list[Node]


def sort_clauses(source: Source, clauses: list[Node]) -> Sorted:
    """Sort the clauses, and settle whether each ``holding`` is said of a part or of the whole.

    Errors: ``Refusal`` for a ``holding`` after a comma inside a network.
    """
    kinds = Sorted(*([] for _ in Sorted._fields))
    for clause in clauses:
        if children(clause, *_PARTS):
            (kinds.definitions if only_defines(clause) else kinds.networks).append(clause)
        kinds.ladders.extend(children(clause, "ladder"))
        kinds.solids.extend(children(clause, "solid"))
        kinds.threes.extend(children(clause, "three"))
        kinds.joins.extend(children(clause, "join"))
        kinds.wires.extend(children(clause, "wire"))
        kinds.changes.extend(children(clause, "change"))
    by_name = kinds.ladders or kinds.solids or kinds.threes
    if not (kinds.joins or by_name) and _all_apart(kinds):
        kinds.apart.extend(each for each in clauses if children(each, "level"))
        kinds.networks.clear()
        kinds.definitions.clear()
    _settle_holding(source, kinds)
    for clause in kinds.networks:
        _refuse_said_last(source, clause)
    for clause in clauses:
        kinds.supplies.extend(children(clause, *_SUPPLIES))
        kinds.ends.extend(children(clause, "ends"))
        kinds.asked.extend(children(clause, "asked"))
    return kinds


def only_defines(clause: Node) -> bool:
    """Whether a clause gives names and nothing more: C1 = 4 uF, C2 = 2 uF."""
    levels = children(clause, "level")
    return all(map(is_definition, levels)) and not children(
        clause, "in_series", "in_parallel", "times"
    )


def is_definition(level: Node) -> bool:
    """Whether a level is one named part, with whatever is said of it."""
    return len(level.children) == 1 and name_of(bare(level.children[0])) == "named"


def bare(item: Node) -> Node:
    """The part alone, without what is said of it."""
    return item.children[0] if name_of(item) in ("traited", "copied") else item


def is_single(level: Node) -> bool:
    """Whether a level is one capacitor with its value, named or not."""
    item = bare(level.children[0])
    worth = item.children[1] if name_of(item) == "named" else item
    return len(level.children) == 1 and name_of(worth) in ("value", "unknown", *SIZED)


def joined_next(change: Node) -> bool:
    """Whether a change is a join."""
    return name_of(change.children[-1]) == "joining"


def _all_apart(kinds: Sorted) -> bool:
    """Whether all that the text has is single capacitors, and a join brings them together."""
    clauses = kinds.networks + kinds.definitions
    levels = [level for clause in clauses for level in children(clause, "level")]
    if len(levels) < 2 or not any(map(joined_next, kinds.changes)):
        return False
    alone = all(len(children(clause, *_PARTS)) == 1 for clause in kinds.networks)
    words = any(children(clause, "in_series", "in_parallel", "times") for clause in clauses)
    return alone and not words and all(map(is_single, levels))


def _settle_holding(source: Source, kinds: Sorted) -> None:
    """Move each ``holding`` that is said of the whole from its part to its clause."""
    is_whole = len(kinds.definitions) == 1 and not kinds.networks and not kinds.joins
    for clause in kinds.networks:
        _lift(clause, with_comma_only=False)
    for clause in kinds.definitions:
        levels = children(clause, "level")
        if len(levels) > 1 or (levels and not is_single(levels[0])):
            _lift(clause, with_comma_only=is_single(levels[-1]))
        elif is_whole:
            _lift(clause, with_comma_only=False)
    one_part = [each for each in kinds.definitions + kinds.apart if _has_one_part(each)]
    allowed = {id(node) for clause in one_part for node in in_order(clause)}
    for clause in kinds.networks + kinds.definitions + kinds.joins:
        _refuse_commas(source, clause, allowed, _IN_A_NETWORK)
    for clause in kinds.apart:
        _refuse_commas(source, clause, allowed, _OF_NO_ONE)


def _refuse_said_last(source: Source, clause: Node) -> None:
    """What is said after the last of several parts, and of no other, may be said of all.

    Errors: ``Refusal`` for charged there, and for rated after a comma; a bracket round the last
    part settles it.
    """
    parts = [child for child in clause.children if name_of(child) in _PARTS]
    items = [item for part in parts for item in part.children if name_of(item)]
    kinds = [name_of(child) for child in clause.children[clause.children.index(parts[-1]) + 1 :]]
    if not items or name_of(items[-1]) != "traited" or {"in_series", "in_parallel"} & {*kinds}:
        return
    if len(children(parts[-1], "traited", "copied", *_ONE_PART)) + len(parts) < 3:
        return
    for trait in children(items[-1], "charged", "rated"):
        word, kind = str(trait.children[0]), name_of(trait)
        others = [node for node in in_order(clause) if name_of(node) == kind and node is not trait]
        if others or (kind == "rated" and not word.startswith(",")):
            continue
        value = source.text_of(trait).lstrip(", ")
        raise source.refusal(
            start_of(trait) + len(word) - len(word.lstrip(", ")),
            f"Whether {value} is said of the last capacitor or of all is not clear.",
            _TO_SETTLE[kind],
        )


def _has_one_part(clause: Node) -> bool:
    return len(children(clause, "level")) == 1


def _lift(clause: Node, with_comma_only: bool) -> None:
    """Hand the holding of the clause's last part over to the clause."""
    parts = [child for child in clause.children if name_of(child) in _PARTS]
    after = clause.children[clause.children.index(parts[-1]) + 1 :]
    item = parts[-1].children[-1]
    kind_follows = any(name_of(each) in ("in_series", "in_parallel") for each in after)
    if kind_follows or name_of(item) != "traited":
        return
    for holding in children(item, "holding"):
        if not with_comma_only or holding.children[0].startswith(","):
            item.children.remove(holding)
            clause.children.insert(clause.children.index(parts[-1]) + 1, holding)
    if len(item.children) == 1:
        parts[-1].children[-1] = item.children[0]


def _refuse_commas(source: Source, clause: Node, allowed: set[int], told: tuple[str, str]) -> None:
    for node in in_order(clause):
        if name_of(node) not in ("traited", "copied") or id(node) in allowed:
            continue
        for holding in children(node, "holding"):
            if holding.children[0].startswith(","):
                raise source.refusal(
                    start_of(holding) + len(holding.children[0]) - len("holding"), *told
                )
