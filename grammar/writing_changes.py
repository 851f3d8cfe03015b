"""Records to text, beyond the network itself: traits, givens, ladders, and what is done next."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.records import (
    PERMITTIVITY_LETTER,
    Amount,
    Change,
    Charging,
    Dimension,
    Element,
    Given,
    Ladder,
    Letter,
)
from grammar.writing_values import write_length, write_plain, write_worth

FACTOR_WORDS: Mapping[Fraction, str] = MappingProxyType(
    {Fraction(2): "doubled", Fraction(1, 2): "halved", Fraction(3): "tripled"}
)
_SYMBOLS: Mapping[Dimension, tuple[str, ...]] = MappingProxyType(
    {"capacitance": ("C",), "charge": ("Q",), "voltage": ("V", "U"), "energy": ("E", "W")}
)
_WHOLE = ("", "eq", "t", "tot", "total", "_eq", "_t")


def write_supply(supply: Charging, ascii: bool = False) -> str:
    """What is joined to the ends: across 12 V, or holding 24 µC."""
    word = "across" if supply.quantity == "voltage" else "holding"
    return f"{word} {write_worth(supply.worth, supply.quantity, ascii)}"


def write_traits(capacitor: Element, ascii: bool = False) -> str:
    """What is said of one capacitor after its value, with a space before it, or nothing."""
    text = ""
    if capacitor.rating is not None:
        text += f" rated {write_worth(capacitor.rating, 'voltage', ascii)}"
    if capacitor.start is not None:
        start = capacitor.start
        text += f" charged to {write_worth(start.worth, start.quantity, ascii)}"
    return text


def write_given(given: Given, names: Collection[str], ascii: bool = False) -> str:
    """What is known of the whole or of one of the capacitors ``names``: Q2 = 25.2 µC."""
    if given.quantity == "capacitance" and given.of is not None:
        return f"{given.of} = {write_worth(given.worth, given.quantity, ascii)}"
    suffixes: tuple[str, ...] = _WHOLE
    if given.of is not None:
        number = given.of[1:] if given.of[0] == "C" and given.of[1:2].isdigit() else given.of
        suffixes = (number, given.of, f"_{number}", f"_{given.of}")
    written = (symbol + suffix for suffix in suffixes for symbol in _SYMBOLS[given.quantity])
    name = next(each for each in written if each not in names)
    return f"{name} = {write_worth(given.worth, given.quantity, ascii)}"


def write_ladder(ladder: Ladder, ascii: bool = False) -> str:
    """The ladder by its section: ladder of (series 2 µF, shunt 4 µF), 5 sections."""
    series, shunt = (
        write_worth(worth, "capacitance", ascii) for worth in (ladder.series, ladder.shunt)
    )
    section = f"ladder of (series {series}, shunt {shunt})"
    if ladder.sections is None:
        return f"{section} without end"
    return f"{section}, {ladder.sections} section{'s' * (ladder.sections != 1)}"


def write_change(change: Change, first: bool, ascii: bool = False) -> str:
    """What is done next: then fill C1 with 4. A join that comes first needs no then."""
    text = _change(change, ascii)
    return text if first and change.kind == "join" else f"then {text}"


def _change(change: Change, ascii: bool) -> str:
    names = _listed(change.names)
    if change.kind == "supply":
        assert change.supply is not None, "a supply that is put on has a p.d."
        return f"put {write_worth(change.supply.worth, 'voltage', ascii)} across"
    if change.kind == "wire":
        assert change.points is not None, "a wire has two points"
        return f"wire from {change.points[0]} to {change.points[1]}"
    if change.kind == "fill":
        return f"fill {names} with {_filling(change)}"
    if change.kind == "gap":
        return f"gap of {names} {_gap(change.amount, ascii)}"
    return f"{change.kind} {names}".rstrip() + (" crossed" if change.crossed else "")


def _filling(change: Change) -> str:
    if isinstance(change.amount, Fraction):
        what = write_plain(change.amount)
    else:
        what = PERMITTIVITY_LETTER if isinstance(change.amount, Letter) else "metal"
    if change.part == 1:
        return what
    return f"{what} over {change.part} of the {'area' if change.over_area else 'gap'}"


def _gap(amount: Amount | Fraction | Letter | None, ascii: bool) -> str:
    if isinstance(amount, Amount):
        return f"to {write_length(amount, ascii)}"  # without to, a before a number is an article
    assert isinstance(amount, Fraction), "a gap is changed to a length or by a factor"
    return FACTOR_WORDS.get(amount) or f"times {amount}"


def _listed(names: tuple[str, ...]) -> str:
    return " and ".join((", ".join(names[:-1]), names[-1]) if names[1:] else names)
