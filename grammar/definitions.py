"""The ``name = value`` of a text: which of them name parts, and which give a quantity."""

from __future__ import annotations

import re
from typing import NamedTuple

from grammar.clauses import is_definition, only_defines
from grammar.preparing import Source
from grammar.records import Dimension
from grammar.walking import SIZED, Node, children, in_order, name_of, start_of
from grammar.worth import is_worth

_SUPPLY_WORDS: tuple[tuple[Dimension, str, str], ...] = (
    ("voltage", "across", "p.d."),
    ("charge", "holding", "charge"),
)
_QUANTITY = re.compile(r"([CQVUEW])(.*)", re.IGNORECASE)
_QUANTITIES = ("across", "holding", "put", "rated", "charged")  # their values are no parts
_WHOLE = ("", "eq", "t", "tot", "total")


class Named(NamedTuple):
    """Each ``name = …`` that names a part, by its name; and those that give a quantity."""

    parts: dict[str, Node]
    givens: list[Node]


def definitions(source: Source, tree: Node) -> Named:
    """Find every ``name = …``, and take those that give a quantity out of the tree.

    Errors: ``Refusal`` for a name given twice, for a word that cannot be one, and for a p.d. or a
    charge that only a supply can have.
    """
    named = [node for node in in_order(tree) if name_of(node) == "named"]
    _refuse_questions(source, tree)
    givens = _take_givens(source, tree, named)
    parts: dict[str, Node] = {}
    seen: set[str] = set()
    for node in named:
        name = node.children[0]
        _check_name(source, name)
        if any(node is given for given in givens):
            continue
        if name in seen:
            raise source.refusal(
                int(name.start_pos),
                f"The name {name} is given twice.",
                "Give each part a name of its own.",
            )
        seen.add(str(name))
        _refuse_supply_as_name(source, node)
        parts[str(name)] = node
    return Named(parts, givens)


def quantity_named(name: str) -> tuple[str, str] | None:
    """The letter of a quantity and the rest of its name: V1 is V of 1, Ceq is C of eq.

    None where the name is none of a quantity; C1 is the name of a capacitor.
    """
    match = _QUANTITY.fullmatch(name)
    if match is None or (match[1] in "Cc" and not means_whole(match[2])):
        return None
    return match[1].upper(), match[2]


def means_whole(rest: str) -> bool:
    """Whether the rest of a quantity's name says that it is one of the whole network."""
    return rest.removeprefix("_").lower() in _WHOLE


def said_beside(tree: Node) -> dict[str, list[Node]]:
    """What the text says of each part where it is named, beside its value, by its name."""
    return {
        str(node.children[0].children[0]): node.children[1:]
        for node in in_order(tree)
        if name_of(node) == "traited" and name_of(node.children[0]) == "named"
    }


def _check_name(source: Source, name: Node) -> None:
    if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*'*", name):
        raise source.refusal(
            int(name.start_pos),
            f"{name} cannot be a name.",
            "Use a letter with digits after it, as in C1.",
        )


def _take_givens(source: Source, tree: Node, named: list[Node]) -> list[Node]:
    told_alone = [
        (clause, level)
        for clause in _defining(tree)
        for level in children(clause, "level")
        if name_of(level.children[0]) == "named"
    ]
    if not told_alone:
        return []  # mostly: the walks over the whole tree below are for the few that give some
    lacking = any(name_of(node) in ("unknown", "missing") for node in in_order(tree))
    used, names = _used(source, tree), {str(node.children[0]) for node in named}
    sized = [str(node.children[0]) for node in named if name_of(node.children[1]) in SIZED]
    if not sized and sum(name_of(node) in SIZED for node in in_order(tree)) == 1:
        sized = ["C1"]  # the only part of its text, without a name of its own
    givens: list[Node] = []
    for clause, level in told_alone:
        node = level.children[0]
        gives = _gives(node, used, names) and (lacking or _holds(source, node))
        if gives or (lacking and _worth_of(node, sized)):
            givens.append(node)
            clause.children.remove(level)
    return givens


def _gives(node: Node, used: set[str], names: set[str]) -> bool:
    """Whether a definition gives a quantity: no part uses it, and it has a quantity's name."""
    name, value = str(node.children[0]), node.children[1]
    found = quantity_named(name)
    if found is None or name in used or name_of(value) != "value":
        return False
    of = found[1].removeprefix("_")
    return means_whole(of) or of in names or re.fullmatch(r"[0-9]+'*", of) is not None


def _holds(source: Source, node: Node) -> bool:
    """Whether it gives a charge, a p.d. or an energy, which no capacitor is worth."""
    text = source.text_of(node.children[1])
    return any(is_worth(text, kind) for kind in ("voltage", "charge", "energy")) and not is_worth(
        text, "capacitance"
    )


def _worth_of(node: Node, sized: list[str]) -> bool:
    """Whether it gives the capacitance of what is also given by its measures: C1 = 2 nF."""
    name, value = str(node.children[0]), node.children[1]
    return name in sized and name_of(value) == "value"


def _used(source: Source, tree: Node) -> set[str]:
    """The texts of all values that stand for parts, a part's name among them where it is used."""
    others = {
        id(value)
        for node in in_order(tree)
        if name_of(node) in _QUANTITIES
        for value in children(node, "value")
    }
    return {
        source.text_of(node)
        for node in in_order(tree)
        if name_of(node) == "value" and id(node) not in others
    }


def _defining(tree: Node) -> list[Node]:
    return [
        clause
        for clause in children(tree, "clause")
        if children(clause, "level") and only_defines(clause)
    ]


def _refuse_questions(source: Source, tree: Node) -> None:
    """V1 = ? in a clause of its own asks for V1; no part is named so."""
    asked = [
        name
        for clause in _defining(tree)
        for level in filter(is_definition, children(clause, "level"))
        for name, value in [level.children[0].children[:2]]
        if name_of(value) == "unknown" and quantity_named(name)
    ]
    used = _used(source, tree) if asked else set()
    for name in asked:
        if name not in used:
            raise source.refusal(
                int(name.start_pos),
                f"{name} = ? reads as a capacitor {name} without a value.",
                f"For a question write asked: {name}.",
            )


def _refuse_supply_as_name(source: Source, node: Node) -> None:
    """V = 12 V and Q = 24 uC read like definitions of capacitors, and mean the supply."""
    name, value = node.children
    if name_of(value) != "value" or name[0].upper() not in "VUQE":
        return
    text = source.text_of(value)
    if is_worth(text, "capacitance"):
        return
    for quantity, word, kind in _SUPPLY_WORDS:
        if not is_worth(text, quantity):
            continue
        raise source.refusal(
            start_of(node),
            f"{name} is given a {kind} here, and only capacitors have names.",
            f"For the supply write {word} {text}.",
        )
