"""Text to records: a description of a network, or one refusal with its place."""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from grammar.asking import questions
from grammar.building import Builder, Group, assemble
from grammar.parsing import Stuck, parse
from grammar.points import Ends, check_list, two_points
from grammar.preparing import Source, prepare
from grammar.records import Capacitor, Description, Join, Refusal, Supply, Wire
from grammar.walking import Node, children, in_order, name_of, start_of
from grammar.worth import Place, worth

# Words of tasks that are not taken up yet.
_NOT_YET = re.compile(
    r"\b(rated|charged|then|join|plates|filled|crossed|leakage)(?![\w'])", re.IGNORECASE
)
_SUPPLIES = ("across", "holding")
_SUPPLY_WORDS: tuple[tuple[Place, str, str], ...] = (
    ("voltage", "across", "p.d."),
    ("charge", "holding", "charge"),
)


class Sorted(NamedTuple):
    """The clauses of a text by what they do."""

    networks: list[Node]
    definitions: list[Node]
    joins: list[Node]
    wires: list[Node]
    supplies: list[Node]
    ends: list[Node]
    asked: list[Node]


def read_network(text: str) -> Description:
    """Read the description of one network.

    Errors: ``Refusal`` for a text that says nothing, too much, or two things at once; it
    carries the place wherever there is one.
    """
    source = prepare(text)
    if not source.plain.strip(" \t;."):
        only_remarks = "There are only remarks here." if text.strip() else "There is no text."
        raise Refusal(only_remarks, "Describe a network, as in 4 uF -- (2 uF || 3 uF).")
    _refuse_not_yet(source)
    try:
        tree = parse("network", source.plain, "description")
    except Stuck as stuck:
        from grammar.stuck import explain

        raise explain(source, stuck) from None
    definitions = _definitions(source, tree)
    clauses = _sort(children(tree, "clause"))
    builder = Builder(source, definitions)
    if clauses.joins or clauses.wires:
        return _read_list(builder, clauses)
    return _read_nest(builder, clauses)


def _refuse_not_yet(source: Source) -> None:
    word = _NOT_YET.search(source.plain)
    if word:
        raise source.refusal(
            word.start(),
            f"Platewalk does not take up texts with the word {word[0]} yet.",
            "Leave that clause out, or describe a network without it.",
        )


def _definitions(source: Source, tree: Node) -> dict[str, Node]:
    """Each ``name = …`` of the text by its name. Errors: ``Refusal`` for a name given twice."""
    found: dict[str, Node] = {}
    for node in in_order(tree):
        if name_of(node) != "named":
            continue
        name = node.children[0]
        if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*'*", name) or name.lower() == "with":
            raise source.refusal(
                int(name.start_pos),
                f"{name} cannot be a name.",
                "Use a letter with digits after it, as in C1.",
            )
        if name in found:
            raise source.refusal(
                int(name.start_pos),
                f"The name {name} is given twice.",
                "Give each part a name of its own.",
            )
        _refuse_supply_as_name(source, node)
        found[str(name)] = node
    return found


def _refuse_supply_as_name(source: Source, node: Node) -> None:
    """V = 12 V and Q = 24 uC read like definitions of capacitors, and mean the supply."""
    name, value = node.children
    if name_of(value) != "value" or name[0].upper() not in "VUQE":
        return
    text = source.text_of(value)
    if _is_worth(text, "capacitance"):
        return
    for quantity, word, kind in _SUPPLY_WORDS:
        if not _is_worth(text, quantity):
            continue
        raise source.refusal(
            start_of(node),
            f"{name} is given a {kind} here, and only capacitors have names.",
            f"For the supply write {word} {text}.",
        )


def _is_worth(text: str, place: Place) -> bool:
    try:
        worth(text, place)
    except Refusal:
        return False
    return True


def _sort(clauses: list[Node]) -> Sorted:
    kinds = Sorted([], [], [], [], [], [], [])
    for clause in clauses:
        if children(clause, "level", "times"):
            (kinds.definitions if _only_defines(clause) else kinds.networks).append(clause)
        kinds.joins.extend(children(clause, "join"))
        kinds.wires.extend(children(clause, "wire"))
        kinds.supplies.extend(children(clause, *_SUPPLIES))
        kinds.ends.extend(children(clause, "ends"))
        kinds.asked.extend(children(clause, "asked"))
    return kinds


def _only_defines(clause: Node) -> bool:
    """Whether a clause gives names and nothing more: C1 = 4 uF, C2 = 2 uF."""
    levels = children(clause, "level")
    named = [
        level
        for level in levels
        if len(level.children) == 1 and name_of(level.children[0]) == "named"
    ]
    return len(named) == len(levels) and not children(clause, "in_series", "in_parallel", "times")


def _read_nest(builder: Builder, clauses: Sorted) -> Description:
    source = builder.source
    if len(clauses.networks) > 1:
        raise source.refusal(
            start_of(clauses.networks[1]),
            "This is a second network, and nothing says how it is joined to the first.",
            "Join the two with -- or ||, or name one of them and use its name in the other.",
        )
    if not clauses.networks and not clauses.definitions:
        raise Refusal("No network is described.", "Describe one, as in 4 uF -- (2 uF || 3 uF).")
    steps = builder.outline(Group(_content(builder, clauses)))
    names = _names(builder)
    capacitors = [
        Capacitor(name, leaf.worth) for name, leaf in zip(names, builder.leaves, strict=True)
    ]
    ends = _ends(source, clauses)
    return Description(
        nest=assemble(steps, capacitors),
        ends=ends.names if ends else ("A", "B"),
        supply=_supply(source, clauses.supplies),
        asked=questions(source, clauses.asked, names),
    )


def _content(builder: Builder, clauses: Sorted) -> list[Node]:
    """The parts of the network's clause and the word that joins them."""
    if not clauses.networks:
        return [_unused_definition(builder, clauses.definitions)]
    return children(clauses.networks[0], "level", "times", "value", "in_series", "in_parallel")


def _unused_definition(builder: Builder, clauses: list[Node]) -> Node:
    """The one definition that no other part uses: the network of a text that only defines."""
    used = {
        builder.source.text_of(each)
        for node in builder.definitions.values()
        for each in in_order(node.children[1])
        if name_of(each) == "value"
    }
    outer = [level for clause in clauses for level in children(clause, "level")]
    unused = [level for level in outer if level.children[0].children[0] not in used]
    if len(unused) > 1:
        names = [str(level.children[0].children[0]) for level in unused]
        shown = ", ".join(names[:-1]) + f" and {names[-1]}"
        raise builder.source.refusal(
            start_of(unused[1]),
            f"Nothing says how {shown} are joined.",
            f"Add the network, as in {names[0]} -- {names[1]} or {names[0]} || {names[1]}.",
        )
    return (unused or outer)[0]


def _names(builder: Builder) -> list[str]:
    """The capacitors' names. Errors: ``Refusal`` for a part that is defined and not used."""
    names = builder.names()
    for name, node in builder.definitions.items():
        if name not in builder.used:
            raise builder.source.refusal(
                start_of(node),
                f"{name} is described, but it has no place in the network.",
                f"Use {name} in the network, or leave it out.",
            )
    return names


def _read_list(builder: Builder, clauses: Sorted) -> Description:
    source = builder.source
    if clauses.networks or not clauses.joins:
        node = (clauses.networks or clauses.wires)[0]
        raise source.refusal(
            start_of(node),
            "A network is written either with -- and || or as a list of joins.",
            "Give each capacitor its two points, as in C1 = 4 uF from A to P.",
        )
    between = [two_points(source, node).names for node in clauses.joins]
    leaves = [builder.capacitor(node.children[0]) for node in clauses.joins]
    names = _names(builder)
    joins = tuple(
        Join(Capacitor(name, leaf.worth), *points)
        for name, leaf, points in zip(names, leaves, between, strict=True)
    )
    wires = tuple(Wire(*two_points(source, node).names) for node in clauses.wires)
    ends = _ends(source, clauses)
    if ends is None:
        raise source.refusal(
            start_of(clauses.joins[0]),
            "The list does not say which two points are its ends.",
            "Add a clause with them, as in ends A and B.",
        )
    check_list(source, joins, wires, ends)
    return Description(
        joins=joins,
        wires=wires,
        ends=ends.names,
        supply=_supply(source, clauses.supplies),
        asked=questions(source, clauses.asked, names),
    )


def _ends(source: Source, clauses: Sorted) -> Ends | None:
    """The ends, from their own clause or from the question "between A and B"."""
    if len(clauses.ends) > 1:
        raise source.refusal(
            start_of(clauses.ends[1]),
            "The ends are named twice.",
            "Keep one of the two clauses.",
        )
    asked = [
        node
        for each in clauses.asked
        for node in children(each, "wanted")
        if children(node, "point")
    ]
    found = [two_points(source, node) for node in (*clauses.ends, *asked)]
    for node, ends in zip(asked, found[len(clauses.ends) :], strict=True):
        if name_of(node.children[0]) != "capacitance":
            raise source.refusal(
                ends.offsets[0],
                "Only the equivalent capacitance is asked between two points.",
                "Ask for the p.d. across a capacitor, as in V2.",
            )
        if set(ends.names) != set(found[0].names):
            raise source.refusal(
                ends.offsets[0],
                f"The ends are {found[0].names[0]} and {found[0].names[1]} already.",
                "Ask between the ends, or name other ends.",
            )
    return found[0] if found else None


def _supply(source: Source, nodes: list[Node]) -> Supply | None:
    if len(nodes) > 1:
        raise source.refusal(
            start_of(nodes[1]),
            "A second supply is named here.",
            "Give either one p.d. after across or one charge after holding.",
        )
    if not nodes:
        return None
    quantity: Literal["voltage", "charge"] = (
        "voltage" if name_of(nodes[0]) == "across" else "charge"
    )
    value = children(nodes[0], "value")[0]
    try:
        return Supply(quantity, worth(source.text_of(value), quantity))
    except Refusal as refusal:
        raise source.refusal(start_of(value), refusal.found, refusal.cure) from None
