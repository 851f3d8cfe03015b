"""Text to records: a description of a network, or one refusal with its place."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from grammar.bank import read_bank, speaks_of_bank
from grammar.building import Builder, PartGroup, assemble
from grammar.clauses import Sorted, bare, is_single, sort_clauses
from grammar.definitions import definitions, said_beside
from grammar.gathering import Text, capacitors_of, ends_of, finish, names_joined, supply_of
from grammar.parsing import Unparsed, parse
from grammar.points import inner_points
from grammar.preparing import Source, prepare
from grammar.records import Description, Refusal
from grammar.walking import SIZED, Node, children, in_order, name_of, start_of

# Words of tasks that are not taken up yet.
_NOT_YET = re.compile(r"\b(leakage)(?![\w'])", re.IGNORECASE)
_COPIED = ("value", "unknown", *SIZED, "copied")
_KINDS = ("in_series", "in_parallel")


@lru_cache(maxsize=64)  # pure; what is read of a text is looked at from several sides
def read_network(text: str) -> Description:
    """Read the description of one network.

    Errors: ``Refusal`` for a text that says nothing, too much, or two things at once; it
    carries the place wherever there is one.
    """
    source = prepare(text)
    if not source.plain.strip(" \t;."):
        only_remarks = "There are only remarks here." if text.strip() else "There is no text."
        raise Refusal(only_remarks, "Describe a network, as in 4 uF -- (2 uF || 3 uF).")
    if speaks_of_bank(source.plain):
        return Description(bank=read_bank(text))
    if source.plain.count("?") > 1:  # few texts miss two values
        from grammar.sought_equal import read_equals, speaks_of_equals
        from grammar.sought_pair import read_totals, speaks_of_totals

        if speaks_of_equals(source.plain):
            return Description(pair=read_equals(text))
        if speaks_of_totals(source.plain):
            return Description(pair=read_totals(text))
    _refuse_not_yet(source)
    try:
        tree = parse("network", source.plain, "description")
    except Unparsed as stuck:
        from grammar.stuck import explain

        raise explain(source, stuck) from None
    named = definitions(source, tree)
    clauses = sort_clauses(source, children(tree, "clause"))
    builder = Builder(source, named.parts, said_beside(tree))
    return _reader_of(clauses)(Text(builder, clauses, named.givens))


def _refuse_not_yet(source: Source) -> None:
    word = _NOT_YET.search(source.plain)
    if word:
        raise source.refusal(
            word.start(),
            f"Platewalk does not take up texts with the word {word[0]} yet.",
            "Leave that clause out, or describe a network without it.",
        )


def _reader_of(clauses: Sorted) -> Callable[[Text], Description]:
    by_name = clauses.ladders or clauses.solids or clauses.threes
    if not (clauses.joins or clauses.wires or clauses.apart or by_name):
        return _nest
    from grammar import reading_others  # a nest, the usual text, is read without it

    if clauses.threes:
        return reading_others.three_to_exchange
    if clauses.solids:
        return reading_others.solid_by_name
    if clauses.joins or clauses.wires:
        return reading_others.list_of_joins
    if clauses.ladders:
        return reading_others.ladder_of_sections
    return reading_others.standing_apart


def _nest(text: Text) -> Description:
    """Read a network written with joining signs, or with words for them."""
    source, clauses = text.source, text.clauses
    if len(clauses.networks) > 1:
        raise source.refusal(
            start_of(clauses.networks[1]),
            "This is a second network, and nothing says how it is joined to the first.",
            "Join the two with -- or ||, or name one of them and use its name in the other.",
        )
    if not clauses.networks and not clauses.definitions:
        raise Refusal("No network is described.", "Describe one, as in 4 uF -- (2 uF || 3 uF).")
    steps = text.builder.outline(PartGroup(_content(text)))
    capacitors = capacitors_of(text)
    nest = assemble(steps, capacitors)
    ends = ends_of(text)
    names = ends.names if ends else ("A", "B")
    base = Description(nest=nest, ends=names, supply=supply_of(text))
    return finish(text, base, capacitors, {*names, *inner_points(nest, names)})


def _content(text: Text) -> list[Node]:
    """The parts of the network's clause and the word that joins them."""
    if not text.clauses.networks:
        return [_unused_definition(text)]
    return children(text.clauses.networks[0], "level", "times", *_COPIED, *_KINDS)


def _unused_definition(text: Text) -> Node:
    """The one definition that no other part uses: the network of a text that only defines."""
    used = {
        text.source.text_of(each)
        for node in text.builder.definitions.values()
        for each in in_order(node.children[1])
        if name_of(each) == "value"
    }
    outer = [level for each in text.clauses.definitions for level in children(each, "level")]
    unused = [level for level in outer if _name(level) not in used]
    if len(unused) > 1:
        _refuse_joined_later(text, unused)
        names = list(map(_name, unused))
        shown = ", ".join(names[:-1]) + f" and {names[-1]}"
        raise text.source.refusal(
            start_of(unused[1]),
            f"Nothing says how {shown} are joined.",
            f"Add the network, as in {names[0]} -- {names[1]} or {names[0]} || {names[1]}.",
        )
    return (unused or outer)[0]


def _refuse_joined_later(text: Text, levels: list[Node]) -> None:
    joined = names_joined(text)
    for level in levels:
        if _name(level) in joined and not is_single(level):
            raise text.source.refusal(
                start_of(level),
                f"Only single capacitors are joined later, and {_name(level)} is made of several.",
                "Write them all as a list of joins, as in C1 = 4 uF from A to P.",
            )


def _name(level: Node) -> str:
    return str(bare(level.children[0]).children[0])
