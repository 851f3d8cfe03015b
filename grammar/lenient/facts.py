"""What is given of a network and of its parts, settled: its supply, and givens beside it.

Whatever a text gives of a part is handed on as it is given: nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from grammar.lenient.mentions import GivenBeside, HeldQuantity, Ref, Supplied
from grammar.lenient.tabletop import (
    Knot,
    NoSense,
    Tabletop,
    Tied,
    found_item,
    leaves,
    meant_by,
    shares,
)
from grammar.records import Refusal


class _Fact(NamedTuple):
    """A quantity of a part, or of the whole (``part`` None)."""

    quantity: HeldQuantity
    text: str
    part: Knot | None = None
    word: str = ""


def quantity_of(text: str) -> HeldQuantity:
    """The quantity of a value in the strict notation, by its unit or its letter."""
    if text.endswith("J"):
        return "energy"
    return "charge" if text.endswith(("C", "Q", "Q0")) else "voltage"


def settled_facts(table: Tabletop) -> Tabletop:
    """The table with one supply, and all else that is given as givens.

    Errors: ``Refusal`` where more is given than can be used.
    """
    root = table.roots[0]
    facts = list(dict.fromkeys(_facts(table)))
    whole = [each for each in facts if each.part is None or each.part == root]
    if not whole:
        facts, whole = _said_last_of_all(table, facts)
    of_parts = [each for each in facts if each not in whole]
    supplies, givens = _of_the_whole(whole)
    givens += [_of_a_part(each) for each in of_parts]
    is_sought = bool(table.totals) or any(cap.worth == "?" for cap in table.caps)
    if supplies and givens and not is_sought:
        raise Refusal(
            "More is said of the p.d.s and charges than can be used.",
            "Say what is across the whole, as in across 12 V.",
        )
    return table._replace(supplies=tuple(supplies), apart=(), givens=tuple(givens))


def told_of(table: Tabletop) -> set[int]:
    """The capacitors of which something is told by itself."""
    try:
        return {each.part for each in _facts(table) if isinstance(each.part, int)}
    except NoSense:
        return set()


def _facts(table: Tabletop) -> Iterator[_Fact]:
    for index, text in table.apart:
        yield _Fact(quantity_of(text), text, index, text)
    for said in table.supplies:
        yield _Fact(said.quantity, said.text, _part_of(table, said), said.word)


def _said_last_of_all(table: Tabletop, facts: Sequence[_Fact]) -> tuple[list[_Fact], list[_Fact]]:
    """A p.d. right after the last capacitor of all, as in ``3 uF and 6 uF at 12 V``, is that of
    the whole; and so is a charge right after a chain.
    """
    root = table.roots[0]
    last = leaves(root)[-1]
    kinds = ("voltage", "charge") if shares("charge", root) else ("voltage",)
    told = [each for each in facts if each.part == last and each.quantity in kinds]
    told = [each for each in told if (last, each.text) in table.apart]
    return [each for each in facts if each not in told[:1]], told[:1]


def _of_the_whole(facts: Sequence[_Fact]) -> tuple[list[Supplied], list[GivenBeside]]:
    """The supply and the givens of the whole. Errors: ``Refusal`` for two of one kind."""
    found: dict[HeldQuantity, str] = {}
    for each in facts:
        if found.setdefault(each.quantity, each.text) != each.text:
            raise Refusal(
                f"Two supplies are named here, {found[each.quantity]} and {each.text}.",
                "Say which of them is across the whole network.",
            )
    by: HeldQuantity = "voltage" if "voltage" in found else "charge"
    supplies = [Supplied(by, found.pop(by))] if by in found else []
    return supplies, [GivenBeside(quantity, None, text) for quantity, text in found.items()]


def _of_a_part(fact: _Fact) -> GivenBeside:
    """Of a group, what its members share with it. Errors: ``Refusal`` where they share nothing."""
    if isinstance(fact.part, int):
        return GivenBeside(fact.quantity, fact.part, fact.text)
    if isinstance(fact.part, Tied) and shares(fact.quantity, fact.part):
        single = next((m for m in fact.part.members if isinstance(m, int)), None)
        if single is not None:
            return GivenBeside(fact.quantity, single, fact.text)
    raise Refusal(
        f'"{fact.word}" is said of a part of the network.',
        "Say what is across the whole, as in across 12 V, or what charge it holds.",
    )


def _part_of(table: Tabletop, supplied: Supplied) -> Knot | None:
    """The part that something is said of; None for the whole."""
    over = supplied.over
    if over is None:
        return None
    if isinstance(over, Ref):
        if over.kind == "each":
            root = table.roots[0]
            return None if shares(supplied.quantity, root) else leaves(root)[0]
        if over.kind in ("whole", "all", "promise") or (
            over.kind in ("group", "them") and not over.way
        ):
            return None
        found: Sequence[Sequence[Knot]] = meant_by(table, over)
    else:
        ways = found_item(table, over)
        found = [indices for _, indices in ways]
        if len(ways[0][0].caps) > len(table.caps):
            raise NoSense(f'"{supplied.word}" is said of none of these capacitors.')
    trees = found[0]
    part = trees[0] if len(trees) == 1 else None
    return None if _is_supplied(table, part, supplied) else part


def _is_supplied(table: Tabletop, part: Knot | None, supplied: Supplied) -> bool:
    """Whether a supply is across a part that stands side by side with all the rest."""
    root = table.roots[0]
    beside = isinstance(root, Tied) and root.way == "parallel" and part in root.members
    return beside and supplied.from_source
