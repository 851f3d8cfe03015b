"""What one written value is worth: an amount with its unit, or letters such as 2C/3."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from grammar.quantity import SYMBOL, Number, Unit, code, is_unit, number, unit
from grammar.records import Amount, Dimension, Letter, Refusal

_NUMBER = (
    r"[+-]?(?:(?:[0-9]{1,3}(?: [0-9]{3})+(?![0-9])|[0-9]+)(?:[.,][0-9]+)*|\.[0-9]+)"
    r"(?:[eE][+-]?[0-9]+| *[x×*·] *10(?: *\^ *\(?[+-]?[0-9]+\)?|[⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+))?"
)
_NUMBER_FIRST = re.compile(rf"({_NUMBER})(\s*)([^/]*?)\s*(?:/\s*({_NUMBER}))?")
_LETTER_FIRST = re.compile(rf"([^/]*?)\s*/\s*({_NUMBER})")
LETTER = re.compile(r"[A-Za-z](?:[0-9]+|[a-z])?")
# kC is k times C, as with a filling, where a capacitance stands, and no kilocoulomb.
TIMES_C = "kC"
_KIND: Mapping[Dimension, str] = {
    "capacitance": "a capacitance",
    "voltage": "a p.d.",
    "charge": "a charge",
    "energy": "an energy",
}
_EXAMPLE: Mapping[Dimension, str] = {
    "capacitance": "4 µF",
    "voltage": "12 V",
    "charge": "24 µC",
    "energy": "3 mJ",
}
_OTHER_LETTERS: Mapping[str, str] = {
    "V": "a p.d.",
    "U": "a p.d.",
    "Q": "a charge",
    "E": "an energy",
    "W": "an energy",
}


def worth(text: str, place: Dimension) -> Amount | Letter:
    """Read the value that stands in the place of a capacitor, of a p.d. or of a charge.

    Errors: ``Refusal`` without a place, since only the caller knows where the value stands.
    """
    if place == "capacitance":
        marked = code(text)
        if marked is not None:
            return _amount(marked[0], Unit("capacitance", marked[1]), place)
    match = _NUMBER_FIRST.fullmatch(text)
    if match is None:
        return _letters(text, place)
    typed, space, rest, below = match.groups()
    if not rest:
        raise _no_unit(typed, below, place)
    if place == "capacitance" and not space and (rest in ("C", "c", TIMES_C) or not is_unit(rest)):
        return letter(rest, _factor(typed, below), place)
    if place != "capacitance" and not space and LETTER.fullmatch(rest) and not is_unit(rest):
        return letter(rest, _factor(typed, below), place)
    if below is not None:
        raise Refusal(
            f"{text} is not one number with a unit.", f"Work it out, as in {_EXAMPLE[place]}."
        )
    return _amount(number(typed), unit(rest), place)


def is_worth(text: str, place: Dimension) -> bool:
    """Whether the text can be read as a value in that place."""
    try:
        worth(text, place)
    except Refusal:
        return False
    return True


def letter(symbol: str, factor: Fraction, place: Dimension) -> Letter:
    """A value in letters. Errors: ``Refusal`` for a letter that stands for something else."""
    if place == "capacitance" and symbol == TIMES_C:
        return Letter(symbol, factor)
    if not LETTER.fullmatch(symbol):
        if is_unit(symbol):
            raise _bare_unit(symbol)
        raise Refusal(f"{symbol} is not one letter.", "Use a letter with digits, as in C or C1.")
    stands_for = _OTHER_LETTERS.get(symbol[0].upper())
    if place == "capacitance" and stands_for:
        raise Refusal(
            f"{symbol} stands for {stands_for}, not for a capacitance.",
            "Write a capacitance as 4 µF, or with the letter C as in C, 2C or C1.",
        )
    if place == "capacitance" and symbol not in ("C", "c") and is_unit(symbol):
        raise _bare_unit(symbol)
    allowed = {"voltage": "VU", "charge": "Q", "energy": "EW"}.get(place)
    if allowed and symbol[0] not in allowed:
        raise Refusal(
            f"{_KIND[place].capitalize()} is not written {symbol}.",
            f"Write {_KIND[place]} as {_EXAMPLE[place]}, or as the letter {allowed[0]}.",
        )
    if factor <= 0:
        raise Refusal("A value in letters needs a factor above zero.", "Write it like 2C or C/2.")
    return Letter(symbol, factor)


def _bare_unit(symbol: str) -> Refusal:
    return Refusal(f"{symbol} is a unit with no number.", f"Write the number too: 4 {symbol}.")


def _letters(text: str, place: Dimension) -> Letter:
    match = _LETTER_FIRST.fullmatch(text)
    if match is None:
        return letter(text, Fraction(1), place)
    return letter(match[1], _factor("1", match[2]), place)


def _factor(above: str, below: str | None) -> Fraction:
    divisor = number(below).value if below is not None else Fraction(1)
    if divisor == 0:
        raise Refusal("Nothing can be divided by zero.", "Write another number after the /.")
    return number(above).value / divisor


def _amount(typed: Number, measured: Unit, place: Dimension) -> Amount:
    if measured.dimension != place:
        raise Refusal(
            f"This is {_KIND[measured.dimension]}, and {_KIND[place]} is needed here.",
            f"Write {_KIND[place]} in {SYMBOL[place]}, as in {_EXAMPLE[place]}.",
        )
    value = typed.value * Fraction(10) ** measured.power
    if value > 0:
        return Amount(value, measured.power)
    raise _not_above_zero(value == 0, place)


def _not_above_zero(is_zero: bool, place: Dimension) -> Refusal:
    if place == "capacitance":
        return Refusal(
            f"A capacitance of {'zero' if is_zero else 'less than zero'} cannot be.",
            "Write a value above zero, as in 4 µF.",
        )
    if is_zero:
        return Refusal(
            f"With {_KIND[place]} of zero nothing is charged.",
            f"Write a value above zero, as in {_EXAMPLE[place]}, or leave it out.",
        )
    return Refusal(
        f"{_KIND[place].capitalize()} below zero is not read here.",
        f"Write it above zero, as in {_EXAMPLE[place]}; the first of the ends is the + side.",
    )


def _no_unit(typed: str, below: str | None, place: Dimension) -> Refusal:
    if below is None and place == "capacitance" and re.fullmatch(r"[1-9][0-9][0-7]", typed):
        coded = int(typed[:2]) * 10 ** int(typed[2])
        return Refusal(
            f"{typed} has no unit.",
            f"Write {typed} pF or {typed} µF for that value, or {_coded(coded)} if {typed} is "
            "the three-figure code printed on the capacitor.",
        )
    return Refusal(
        f"{typed}{'/' + below if below else ''} has no unit.",
        f"Write the unit too, as in {_EXAMPLE[place]}.",
    )


def _coded(picofarads: int) -> str:
    for tens, name in ((6, "µF"), (3, "nF")):
        if picofarads >= 10**tens:
            value = Fraction(picofarads, 10**tens)
            return f"{float(value):g} {name}"
    return f"{picofarads} pF"
