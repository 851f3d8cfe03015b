"""A p.d. or a charge said of one part: what is then across the whole, or on it.

In parallel the p.d. is the same, in series the charge; C = Q/V leads from one to the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from grammar.lenient.tabletop import Knot, Tabletop, Tied, leaves
from grammar.records import Amount, Refusal
from grammar.worth import worth
from grammar.writing import suited_power
from grammar.writing_values import symbol, write_exactly


class _Held(NamedTuple):
    """What a part holds, exactly: volts and coulombs."""

    voltage: Fraction
    charge: Fraction


def whole_from(table: Tabletop, part: Knot, quantity: str, text: str) -> str | None:
    """The supply of the whole, in the strict notation; None where it cannot be written."""
    try:
        held = _of_part(table, part, quantity, text)
        whole = _outwards(table, table.roots[0], part, held)
    except (Refusal, ZeroDivisionError):
        return None
    return None if whole is None else _written(table.roots[0], whole)


def _of_part(table: Tabletop, part: Knot, quantity: str, text: str) -> _Held:
    capacitance = _capacitance(table, part)
    if quantity == "voltage":
        volts = _value(text, "voltage")
        return _Held(volts, volts * capacitance)
    charge = _value(text, "charge")
    return _Held(charge / capacitance, charge)


def _outwards(table: Tabletop, tree: Knot, part: Knot, held: _Held) -> _Held | None:
    """What the tree holds if the part, inside it, holds so much."""
    if tree == part:
        return held
    if isinstance(tree, int):
        return None
    member = next((m for m in tree.members if set(leaves(part)) <= set(leaves(m))), None)
    inner = held if member is None else _outwards(table, member, part, held)
    if inner is None:
        return None
    capacitance = _capacitance(table, tree)
    if tree.way == "parallel":
        return _Held(inner.voltage, inner.voltage * capacitance)
    return _Held(inner.charge / capacitance, inner.charge)


def _capacitance(table: Tabletop, tree: Knot) -> Fraction:
    if isinstance(tree, int):
        return _value(table.caps[tree].worth, "capacitance")
    values = [_capacitance(table, member) for member in tree.members]
    if tree.way == "parallel":
        return sum(values, Fraction(0))
    return 1 / sum((1 / value for value in values), Fraction(0))


def _value(text: str, place: str) -> Fraction:
    found = worth(text, place)  # type: ignore[arg-type]
    if isinstance(found, Amount):
        return found.value
    raise Refusal("A value in letters.", "")


def _written(root: Knot, whole: _Held) -> str | None:
    """The charge of a chain, the p.d. of anything else, if it ends as a decimal."""
    charge = isinstance(root, Tied) and root.way == "series"
    options: Sequence[tuple[str, str, Fraction]] = (
        ("holding", "charge", whole.charge),
        ("across", "voltage", whole.voltage),
    )
    for word, dimension, value in options if charge else reversed(options):
        power = suited_power(value, None)
        try:
            number = write_exactly(Amount(value, power), ascii=True)
        except ValueError:
            continue
        return f"{word} {number} {symbol(dimension, power, ascii=True)}"  # type: ignore[arg-type]
    return None
