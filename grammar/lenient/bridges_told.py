"""Branches of two in series with what is joined to the points in their middle, as joins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from grammar.lenient.joins_rules import MINUS, PLUS, JoinSaid, TwoPoints


class Branched(NamedTuple):
    """Joins, wires and ends of a network that was told in branches."""

    joins: tuple[tuple[str, TwoPoints], ...]
    wires: tuple[TwoPoints, ...]
    ends: TwoPoints


def of_branches_told(
    branches: Sequence[JoinSaid],
    bridges: Sequence[JoinSaid],
    joins: Sequence[tuple[str, TwoPoints]],
    wires: Sequence[TwoPoints],
    ends: TwoPoints | None,
) -> Branched | None:
    """The branches between the two ends, and what bridges them, beside joins and wires told by
    their points. None where nothing is joined to a point in the middle, or ends are told twice.
    """
    pairs = {each.pairs[0] for each in branches if each.pairs}
    whole = ends or (next(iter(pairs)) if pairs else TwoPoints(PLUS, MINUS))
    inner = [each.volts or f"middle {at}" for at, each in enumerate(branches)]
    if pairs - {whole} or len({*inner}) < len(inner) or (bridges and len(inner) != 2):
        return None
    across = TwoPoints(*inner) if bridges else None
    over = [(thing, across) for each in bridges for thing in each.things if across is not None]
    wired = [across for each in bridges if not each.things and across is not None]
    all_joins = (*_in_branches(branches, inner, whole), *joins, *over)
    all_wires = (*wires, *wired)
    pairs_told = (*(pair for _, pair in (*joins, *over)), *all_wires)
    used = {point for pair in pairs_told for point in pair}
    return Branched(all_joins, all_wires, whole) if {*inner} & used else None


def _in_branches(
    branches: Sequence[JoinSaid], inner: Sequence[str], ends: TwoPoints
) -> Iterator[tuple[str, TwoPoints]]:
    for each, point in zip(branches, inner, strict=True):
        first, second = each.things
        yield first, TwoPoints(ends.one, point)
        yield second, TwoPoints(point, ends.other)
