"""A network of an ordered shape, with values by chance: the candidates that tasks are chosen from.

Every draw gives a description that reads as a learner could have typed it, or nothing where the
numbers have not come out as ordered.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from fractions import Fraction
from itertools import pairwise
from random import Random
from typing import Final, NamedTuple

from grammar import records
from grammar.records import Amount, Asked, Charging, Description, Dimension, Join, Part, Wire
from tutor.circuit.network import point_names
from tutor.practice.making_needs import Wanted
from tutor.practice.making_values import draw_capacitances
from tutor.practice.shapes import Extra, Layout, MemberGroup, Shape, leaves, with_depth
from tutor.practice.task_values import (
    Arithmetic,
    fits,
    pool_for,
    supplies,
    worked_out,
)

MICRO: Final = -6
MOST_SUPPLIES: Final = 4


class Brief(NamedTuple):
    """What one network is to be: its shape, its numbers, what it asks; no supply if None asks so.

    ``asked`` None asks for the p.d. and the charge of each.
    """

    shape: Shape
    arithmetic: Arithmetic
    asked: Wanted | None

    @property
    def has_supply(self) -> bool:
        """Whether something is joined to the ends: not where only the capacitance is asked."""
        return self.asked is None or self.asked.dimension != "capacitance"


def microfarads(number: Fraction) -> Amount:
    """A capacitance of so many microfarads."""
    return Amount(number * Fraction(10) ** MICRO, MICRO)


def volts(number: Fraction) -> Amount:
    """A p.d. of so many volts."""
    return Amount(number)


def draw_network(brief: Brief, rng: Random) -> Description | None:
    """One network of a shape that is a nest, with what is added to it."""
    layout = brief.shape.layout
    assert layout is not None, "a bridge is drawn elsewhere"
    values = draw_capacitances(layout, brief.arithmetic, rng)
    if values is None:
        return None
    supply = _supply(brief, layout, values, rng)
    if brief.has_supply and supply is None:
        return None
    if not brief.has_supply and not _fits(brief, answers(brief, layout, values, None)):
        return None
    free = [value for value in pool_for(layout, brief.arithmetic) if value not in values.values()]
    spare = rng.sample(free, len(brief.shape.extras))
    return _description(brief, values, supply, spare)


def _supply(
    brief: Brief, layout: Layout, values: Mapping[int, Fraction], rng: Random
) -> Fraction | None:
    """A p.d. that makes all answers come out as ordered."""
    if not brief.has_supply:
        return None
    shares = [held.share for _, held in worked_out(layout, values)]
    for tried, supply in enumerate(supplies(shares, brief.arithmetic, rng)):
        if tried == MOST_SUPPLIES:
            return None
        if _fits(brief, answers(brief, layout, values, supply)):
            return supply
    return None


def _fits(brief: Brief, found: Collection[Fraction]) -> bool:
    divided = "series" in brief.shape.kinds
    return fits(found, brief.arithmetic, divided)


def answers(
    brief: Brief, layout: Layout, values: Mapping[int, Fraction], supply: Fraction | None
) -> list[Fraction]:
    """All values that a walk asks for on the way to what is asked, in plain numbers."""
    parts = worked_out(layout, values)
    found = [held.capacitance for part, held in parts if isinstance(part, MemberGroup)]
    if supply is None:
        return found
    whole = parts[0][1]
    found.append(whole.capacitance * supply)
    chosen = set(_targets(brief, layout))
    by_part = dict(parts)
    for part in by_part:
        if isinstance(part, MemberGroup):
            for member in part.members:
                if chosen & set(leaves(member)):
                    held = by_part[member]
                    drop = held.share * supply
                    found.append(drop if part.kind == "series" else held.capacitance * drop)
    if brief.asked is not None and brief.asked.dimension == "energy":
        held_by = [by_part[n] for n in chosen] if brief.asked.of != "whole" else [whole]
        if brief.asked.of == "each":
            held_by.append(whole)
        found += [h.capacitance * (h.share * supply) ** 2 / 2 for h in held_by]
    return found


def _targets(brief: Brief, layout: Layout) -> tuple[int, ...]:
    """The capacitors whose quantities are asked for."""
    if brief.asked is None or brief.asked.of == "each":
        return tuple(leaves(layout))
    if brief.asked.of == "whole":
        return ()
    return (chosen_one(layout),)


def chosen_one(layout: Layout) -> int:
    """The capacitor that 'one' means: the last of those furthest in, so that a variant asks for
    as much as the task it varies.
    """
    return max(with_depth(layout))[1]


# From values to a description


def _description(
    brief: Brief, values: Mapping[int, Fraction], supply: Fraction | None, spare: list[Fraction]
) -> Description:
    layout = brief.shape.layout
    assert layout is not None
    held = None if supply is None else Charging("voltage", volts(supply))
    asked = asked_for(brief.asked, tuple(leaves(layout)), chosen_one(layout))
    if not brief.shape.extras:
        return Description(nest=_nest(layout, values), supply=held, asked=asked)
    joins, wires = _with_extras(list(_joins(layout, values)), brief.shape.extras, spare)
    return Description(joins=tuple(joins), wires=tuple(wires), supply=held, asked=asked)


def asked_for(wanted: Wanted | None, numbers: tuple[int, ...], one: int) -> tuple[Asked, ...]:
    """What the text asks for; nothing where that is what a walk asks anyway."""
    if wanted is None or wanted == Wanted("capacitance", "whole"):
        return ()
    dimension: Dimension = wanted.dimension
    if wanted.of == "whole":
        return (Asked(dimension),)
    if wanted.of == "one":
        return (Asked(dimension, f"C{one}"),)
    each = tuple(Asked(dimension, f"C{number}") for number in sorted(numbers))
    return (*each, Asked(dimension)) if dimension == "energy" and len(each) > 1 else each


def _capacitor(number: int, value: Fraction) -> records.Element:
    return records.Element(f"C{number}", microfarads(value))


def _nest(layout: Layout, values: Mapping[int, Fraction]) -> Part:
    if not isinstance(layout, MemberGroup):
        return _capacitor(layout, values[layout])
    members = tuple(_nest(member, values) for member in layout.members)
    return records.Chain(members) if layout.kind == "series" else records.Parallel(members)


def _joins(layout: Layout, values: Mapping[int, Fraction]) -> Iterator[Join]:
    """The capacitors from left to right, inner points named in the order they are met."""
    fresh = point_names()
    waiting: list[tuple[Layout, str, str]] = [(layout, "A", "B")]
    while waiting:
        part, start, end = waiting.pop()
        if not isinstance(part, MemberGroup):
            yield Join(_capacitor(part, values[part]), start, end)
        elif part.kind == "parallel":
            waiting += [(member, start, end) for member in reversed(part.members)]
        else:
            stops = [start, *(next(fresh) for _ in part.members[1:]), end]
            laid = zip(part.members, pairwise(stops), strict=True)
            waiting += reversed([(member, *between) for member, between in laid])


def _with_extras(
    joins: list[Join], extras: tuple[Extra, ...], spare: list[Fraction]
) -> tuple[list[Join], list[Wire]]:
    """Each extra at the first inner point or, where there is none, at the + end; a dead end last,
    so that a wire leads on to what takes charge.
    """
    wires: list[Wire] = []
    in_turn = sorted(extras, key=lambda extra: extra == "a dead end")
    for extra, value in zip(in_turn, spare, strict=True):
        at = next((j.end for j in joins if j.end != "B"), "A")
        used = {point for join in joins for point in (join.start, join.end)}
        fresh = next(name for name in point_names() if name not in used)
        new = _capacitor(len(joins) + 1, value)
        if extra == "a dead end":
            joins.append(Join(new, at, fresh))
            continue
        joins = _moved(joins, at, fresh)
        wires.append(Wire(at, fresh))
        if extra == "a bypassed capacitor":
            joins.append(Join(new, at, fresh))
    return joins, wires


def _moved(joins: list[Join], at: str, fresh: str) -> list[Join]:
    """The last capacitor that leads on from a point leads on from the fresh one instead."""
    last = max(place for place, join in enumerate(joins) if join.start == at)
    return [j._replace(start=fresh) if place == last else j for place, j in enumerate(joins)]
