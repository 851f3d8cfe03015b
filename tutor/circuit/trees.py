"""Arrangements as trees: of places in a list of kinds, joined in chains and side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any, NamedTuple, TypeAlias

from tutor.circuit.joining import Connection
from tutor.circuit.stock import StockKind


class Joined(NamedTuple):
    """Members joined in one way; none of them is itself joined in that way.

    They stand in one fixed order, so that the same arrangement is the same record.
    """

    way: Connection
    members: tuple[Tree, ...]


Tree: TypeAlias = int | Joined
"""A capacitor is its place in the list of kinds of its stock."""


def join(way: Connection, first: Tree, second: Tree) -> Joined:
    """Two arrangements in a chain or side by side; what is joined so already is taken in."""
    members = [*_members(way, first), *_members(way, second)]
    return Joined(way, tuple(sorted(members, key=_rank)))


def joined_all(way: Connection, members: Sequence[Tree]) -> Tree:
    """All of these in one chain or side by side; a single one stays as it is."""
    if len(members) == 1:
        return members[0]
    return Joined(way, tuple(sorted(members, key=_rank)))


def leaves(tree: Tree) -> Iterator[int]:
    """The places of its capacitors, in the order in which it is written."""
    waiting = [tree]
    while waiting:
        part = waiting.pop()
        if isinstance(part, Joined):
            waiting.extend(reversed(part.members))
        else:
            yield part


def value_of_tree(tree: Tree, kinds: Sequence[StockKind]) -> Fraction:
    """Its equivalent capacitance in farads."""
    if not isinstance(tree, Joined):
        return kinds[tree].value
    values = [value_of_tree(member, kinds) for member in tree.members]
    if tree.way == "parallel":
        return sum(values, Fraction(0))
    return 1 / sum((1 / value for value in values), Fraction(0))


def voltages(
    tree: Tree, kinds: Sequence[StockKind], across: Fraction
) -> Iterator[tuple[int, Fraction]]:
    """The p.d. across each capacitor, in the order of ``leaves``, with ``across`` on the whole.

    Side by side all have the same p.d.; in a chain the charge is the same, so V goes as 1/C.
    """
    if not isinstance(tree, Joined):
        yield tree, across
        return
    charge = value_of_tree(tree, kinds) * across
    for member in tree.members:
        alone = across
        if tree.way == "series":
            alone = charge / value_of_tree(member, kinds)
        yield from voltages(member, kinds, alone)


def overloaded(
    tree: Tree, kinds: Sequence[StockKind], across: Fraction
) -> Iterator[tuple[int, int, Fraction]]:
    """Capacitors beyond their rating: place in the order of ``leaves``, place of kind, p.d."""
    for at, (place, voltage) in enumerate(voltages(tree, kinds, across)):
        rating = kinds[place].rating
        if rating is not None and voltage > rating:
            yield at, place, voltage


def voltage_stood(
    way: Connection, values: Sequence[Fraction], voltages: Sequence[Fraction | None]
) -> Fraction | None:
    """The greatest p.d. that parts in a chain or side by side stand, from what each stands.

    ``values`` are their capacitances in any one unit; None stands for no limit. In a chain the
    charge is the same on all, and the part that would be overcharged first sets the limit.
    """
    limits = [(c, v) for c, v in zip(values, voltages, strict=True) if v is not None]
    if not limits:
        return None
    if way == "parallel":
        return min(v for _, v in limits)
    return min(c * v for c, v in limits) * sum((1 / c for c in values), Fraction(0))


def greatest_voltage(tree: Tree, kinds: Sequence[StockKind]) -> Fraction | None:
    """The greatest p.d. in volts with every capacitor within its rating; None for no limit."""
    if not isinstance(tree, Joined):
        return kinds[tree].rating
    values = [value_of_tree(member, kinds) for member in tree.members]
    stood = [greatest_voltage(member, kinds) for member in tree.members]
    return voltage_stood(tree.way, values, stood)


def _members(way: Connection, tree: Tree) -> tuple[Tree, ...]:
    return tree.members if isinstance(tree, Joined) and tree.way == way else (tree,)


def _rank(tree: Tree) -> tuple[Any, ...]:
    """Single capacitors first, then by size; ties by what they are made of."""
    if not isinstance(tree, Joined):
        return (1, (tree,), ())
    inside = tuple(leaves(tree))
    return (len(inside), inside, tuple(_rank(member) for member in tree.members))
