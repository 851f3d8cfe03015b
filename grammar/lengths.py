"""Lengths, areas and forces as people type them, in metres, square metres and newtons.

Prefixes: SI Brochure, 9th edition, chapter 3; the centimetre is in the range, as plates are
measured with rulers.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.quantity import Unit, number, unit
from grammar.records import Amount, Dimension, Refusal

LENGTH_PREFIX: Mapping[int, str] = MappingProxyType(
    {-12: "p", -9: "n", -6: "µ", -3: "m", -2: "c", 0: "", 3: "k"}
)
_WORDS = MappingProxyType(
    {"pico": -12, "nano": -9, "micro": -6, "milli": -3, "centi": -2, "": 0, "kilo": 3}
)
_UNIT = re.compile(
    r"([pnuµμmck]?)m|(pico|nano|micro|milli|centi|kilo|)met(?:re|er)s?", re.IGNORECASE
)
_FORCE = re.compile(r"([numkµμ]?)N|newtons?")
_FORCE_PREFIX: Mapping[str | None, int] = MappingProxyType(
    {"n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "k": 3, "": 0, None: 0}
)
_LETTERS = MappingProxyType(
    {"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "c": -2, "": 0, "k": 3}
)


def length(typed: str, unit: str) -> Amount:
    """A length above zero, in metres; its power is that of the prefix (-2 for cm).

    Errors: ``Refusal`` without a place for another unit, and for a length of zero or less.
    """
    return _above_zero(typed, length_power(unit), "length", "1 mm")


def area(typed: str, unit: str) -> Amount:
    """An area above zero, in square metres; its power is that of the unit (-4 for cm²).

    Errors: ``Refusal`` without a place, as for ``length``.
    """
    return _above_zero(typed, 2 * area_power(unit), "area", "100 cm2")


def length_power(unit: str) -> int:
    """The power of ten of a unit of length. Errors: ``Refusal`` for any other unit."""
    match = _UNIT.fullmatch(unit)
    if match and match[2] is not None:
        return _WORDS[match[2].lower()]
    if match and match[0][-1] == "m" and match[1] in _LETTERS:
        return _LETTERS[match[1]]
    if re.fullmatch(r".*[2²]", unit) and _UNIT.fullmatch(unit[:-1]):
        raise Refusal(f"{unit} is a unit of area.", "A length is in m, cm, mm, µm, nm or pm.")
    raise Refusal(
        f"{unit} is not a unit of length that is used here.",
        "Use m, cm, mm, µm (or um), nm or pm.",
    )


def is_length(unit: str) -> bool:
    """Whether this is a unit of length that can be read."""
    try:
        length_power(unit)
    except Refusal:
        return False
    return True


def area_power(unit: str) -> int:
    """The power of ten of the length whose square the unit is: -2 for cm2 and for cm².

    Errors: ``Refusal`` for a length, and for any other unit.
    """
    bare = unit.removesuffix("2").removesuffix("²")
    try:
        power = length_power(bare)
    except Refusal:
        raise Refusal(
            f"{unit} is not a unit of area that is used here.", "Use cm2, mm2 or m2."
        ) from None
    if bare == unit:
        raise Refusal(
            f"{unit} is a unit of length, and an area is needed here.",
            f"Write {unit}2 for an area, or two sides, as in 8 cm square or 8 cm by 5 cm.",
        )
    return power


SIZE_SYMBOL: Mapping[Dimension, str] = MappingProxyType(
    {
        "length": "m",
        "area": "m²",
        "permittivity": "F/m",
        "field": "V/m",
        "force": "N",
    }
)


def strength(typed: str, volts: str, metre: str) -> Amount:
    """A field above zero in volts per metre: 20 MV/m, 3 kV/mm.

    Errors: ``Refusal`` without a place for other units, and for a field of zero or less.
    """
    above, below = unit(volts), length_power(metre)
    if above.dimension != "voltage":
        raise Refusal(f"{volts}/{metre} is no unit of a field.", "Write it in V/m, kV/mm or MV/m.")
    return _above_zero(typed, above.power - below, "field", "20 MV/m")


def size_unit(text: str) -> Unit | None:
    """The unit of a length, an area or a force; None for any other word."""
    newtons = _FORCE.fullmatch(text)
    if newtons is not None:
        return Unit("force", _FORCE_PREFIX[newtons[1]])
    try:
        return Unit("length", length_power(text))
    except Refusal:
        pass
    try:
        return Unit("area", 2 * area_power(text))
    except Refusal:
        return None


def _above_zero(typed: str, power: int, kind: str, example: str) -> Amount:
    value = number(typed).value * Fraction(10) ** power
    if value > 0:
        return Amount(value, power)
    size = "zero" if value == 0 else "less than zero"
    article = "An" if kind == "area" else "A"
    raise Refusal(
        f"{article} {kind} of {size} cannot be.", f"Write it above zero, as in {example}."
    )
