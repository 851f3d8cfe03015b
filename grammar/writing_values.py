"""Values to text, exactly and with the prefix each was typed with."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.lengths import LENGTH_PREFIX, SIZE_SYMBOL
from grammar.quantity import PREFIX, SYMBOL
from grammar.records import Amount, Body, Dimension, Letter, Plates, Unknown, Worth

_SIZE_UNITS: Mapping[Dimension, tuple[tuple[Fraction, str], ...]] = MappingProxyType(
    {
        "length": tuple(
            (Fraction(10) ** power, unit)
            for power, unit in ((0, "m"), (-3, "mm"), (-6, "µm"), (-9, "nm"), (-12, "pm"))
        ),
        "area": tuple(
            (Fraction(10) ** power, unit) for power, unit in ((0, "m²"), (-4, "cm²"), (-6, "mm²"))
        ),
    }
)
_CODE_LETTERS = "pnumFkKRGM"


def write_worth(worth: Worth, dimension: Dimension, ascii: bool = False) -> str:
    """A value as a text gives it, exact and with the prefix it was typed with.

    Errors: ``ValueError`` for what no text can have given: a number that is no finite decimal,
    and plates without their text.
    """
    if isinstance(worth, Unknown):
        return "?"
    if isinstance(worth, Letter):
        return write_letter(worth)
    if isinstance(worth, Plates | Body):
        return _sized(worth, ascii)
    return f"{write_exactly(worth, ascii)} {symbol(dimension, worth.power, ascii)}"


def write_letter(letter: Letter) -> str:
    """A value in letters: C, 2C, C/2 or 2C/3."""
    above, below = letter.factor.numerator, letter.factor.denominator
    if below == 1 < above and letter.symbol[0] in _CODE_LETTERS:
        above, below = 2 * above, 2  # 2k1 alone would be a marking, 4k1/2 is twice k1
    factor = "" if above == 1 else str(above)
    return f"{factor}{letter.symbol}" + (f"/{below}" if below != 1 else "")


def symbol(dimension: Dimension, power: int, ascii: bool = False) -> str:
    """The symbol of a unit with its prefix: µF for a capacitance and -6."""
    prefix = "u" if ascii and power == -6 else PREFIX[power]
    return prefix + SYMBOL[dimension]


def write_length(length: Amount, ascii: bool = False) -> str:
    """A length with the unit it was typed with: 0.4 mm."""
    text = f"{write_exactly(length, ascii)} {LENGTH_PREFIX[length.power]}m"
    return text.replace("µ", "u") if ascii else text


def size_unit_of(value: Fraction, dimension: Dimension) -> tuple[str, Fraction]:
    """The unit that suits a length, an area, a field or a force, and what it is worth in SI."""
    for least, unit in _SIZE_UNITS.get(dimension, ()):
        if abs(value) >= least / 10:
            return unit, least
    symbol_of = SIZE_SYMBOL[dimension]
    if dimension not in ("field", "force"):
        return symbol_of, Fraction(1)
    power = next((p for p in sorted(PREFIX, reverse=True) if Fraction(10) ** p <= abs(value)), 0)
    return PREFIX[power] + symbol_of, Fraction(10) ** power


def write_area(area: Amount) -> str:
    """An area with the unit it was typed with: 100 cm²."""
    return f"{write_exactly(area)} {LENGTH_PREFIX[area.power // 2]}m²"


def write_plain(value: Fraction) -> str:
    """A number without a unit, exactly: 2.5."""
    return write_exactly(Amount(value))


def write_exactly(amount: Amount, ascii: bool = False) -> str:
    """The number of an amount without its unit. Errors: ``ValueError`` for no finite decimal."""
    mantissa = amount.value / Fraction(10) ** amount.power
    places = _places(mantissa.denominator)
    digits = mantissa.numerator * 10**places // mantissa.denominator
    if Fraction(1, 1000) <= mantissa < 10**6 and places <= 30:
        return write_digits(digits, places, comma=False)
    figures = str(digits).rstrip("0")
    tens = len(str(digits)) - 1 - places
    point = figures[0] + ("." + figures[1:] if len(figures) > 1 else "")
    return f"{point}e{tens}" if ascii else f"{point} × 10^{tens}"


def write_digits(digits: int, places: int, comma: bool) -> str:
    """``digits`` divided by 10 to the ``places``, with groups of three from five digits on."""
    if places < 0:
        digits, places = digits * 10**-places, 0
    figures = str(digits).rjust(places + 1, "0")
    whole, part = figures[: len(figures) - places], figures[len(figures) - places :]
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", " ")
    if not part:
        return whole
    return f"{whole}{',' if comma else '.'}{part}"


def _sized(sized: Plates | Body, ascii: bool) -> str:
    if not sized.written:
        raise ValueError("only measures that carry their text can be written")
    if not ascii:
        return sized.written
    return sized.written.replace(" × 10^", "e").replace("²", "2").replace("µ", "u")


def _places(denominator: int) -> int:
    """How many decimal places a fraction with this denominator has."""
    places = 0
    for prime in (2, 5):
        count, rest = 0, denominator
        while rest % prime == 0:
            count, rest = count + 1, rest // prime
        places = max(places, count)
    if 10**places % denominator:
        raise ValueError("only finite decimals can be written exactly")
    return places
