"""Records to text: networks in the notation, numbers and amounts as print shows them.

Values follow the SI Brochure, 9th edition, chapter 5: number, one space, unit; digits in
groups of three parted by a space, never by a comma or a point.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.quantity import PREFIX, SYMBOL
from grammar.records import (
    Amount,
    Asked,
    Capacitor,
    Chain,
    Description,
    Dimension,
    Letter,
    Part,
    Supply,
    Worth,
)

EXACT_FIGURES = 6  # a number of no more figures than these is printed in full
_ASKED: Mapping[Dimension, tuple[str, str, str]] = {
    "capacitance": ("C", "the equivalent capacitance", "the capacitance of"),
    "charge": ("Q", "the total charge", "the charge on"),
    "voltage": ("V", "the p.d.", "the p.d. across"),
    "energy": ("E", "the total energy", "the energy in"),
}


_CODE_LETTERS = "pnumFkKRGM"


class Style(NamedTuple):
    """How numbers are printed: significant figures where rounded, decimal comma, plain ASCII."""

    figures: int = 4
    comma: bool = False
    ascii: bool = False


PLAIN_STYLE: Final = Style()


def write_network(description: Description, ascii: bool = False) -> str:
    """The description in the notation for networks; reading it gives the same description.

    With ``ascii`` the micro sign is u. Errors: ``ValueError`` for a value that is no finite
    decimal, which no text can have given.
    """
    if description.nest is not None:
        clauses = [_nest(description.nest, ascii)]
        separator = ", "
    else:
        written = _capacitors([join.capacitor for join in description.joins], ascii)
        clauses = [
            f"{capacitor} from {join.start} to {join.end}"
            for capacitor, join in zip(written, description.joins, strict=True)
        ]
        clauses += [f"wire from {wire.start} to {wire.end}" for wire in description.wires]
        separator = "; "
    if description.nest is None or description.ends != ("A", "B"):
        clauses.append(f"ends {description.ends[0]} and {description.ends[1]}")
    if description.supply is not None:
        clauses.append(_supply(description.supply, ascii))
    if description.asked:
        clauses.append(_asked(description.asked))
    return separator.join(clauses)


def _nest(part: Part, ascii: bool) -> str:
    """The part without brackets of its own. Nothing recurses, since a nest may be deep."""
    pieces: list[Capacitor | str] = []
    pending: list[Part | str] = [part]
    while pending:
        each = pending.pop()
        if isinstance(each, (str, Capacitor)):
            pieces.append(each)
            continue
        inner: list[Part | str] = []
        for member in each.members:
            inner.append(" -- " if isinstance(each, Chain) else " || ")
            inner.extend((member,) if isinstance(member, Capacitor) else ("(", member, ")"))
        pending.extend(reversed(inner[1:]))
    written = iter(_capacitors([each for each in pieces if isinstance(each, Capacitor)], ascii))
    return "".join(each if isinstance(each, str) else next(written) for each in pieces)


def _capacitors(capacitors: list[Capacitor], ascii: bool) -> list[str]:
    """Each capacitor with its name and value, in the same order."""
    names = {capacitor.name for capacitor in capacitors}
    written = []
    for name, worth in capacitors:
        value = write_worth(worth, "capacitance", ascii)
        if value in names and value != name:
            value += "/1"  # the name alone would mean the other capacitor
        written.append(f"{name} = {value}")
    return written


def write_worth(worth: Worth, dimension: Dimension, ascii: bool = False) -> str:
    """A value as a text gives it, exact and with the prefix it was typed with."""
    if isinstance(worth, Letter):
        return write_letter(worth)
    return f"{_exactly(worth, ascii)} {symbol(dimension, worth.power, ascii)}"


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


def _exactly(amount: Amount, ascii: bool) -> str:
    mantissa = amount.value / Fraction(10) ** amount.power
    places = _places(mantissa.denominator)
    digits = mantissa.numerator * 10**places // mantissa.denominator
    if Fraction(1, 1000) <= mantissa < 10**6 and places <= 30:
        return _plain(digits, places, comma=False)
    figures = str(digits).rstrip("0")
    tens = len(str(digits)) - 1 - places
    point = figures[0] + ("." + figures[1:] if len(figures) > 1 else "")
    return f"{point}e{tens}" if ascii else f"{point} × 10^{tens}"


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


def _supply(supply: Supply, ascii: bool) -> str:
    word = "across" if supply.quantity == "voltage" else "holding"
    return f"{word} {write_worth(supply.worth, supply.quantity, ascii)}"


def _asked(asked: tuple[Asked, ...]) -> str:
    if all(each.of is None or re.fullmatch(r"C[0-9]+", each.of) for each in asked):
        return "asked: " + ", ".join(
            _ASKED[each.quantity][0] + (each.of or "C")[1:] for each in asked
        )
    return "asked: " + ", ".join(
        f"{_ASKED[each.quantity][2]} {each.of}" if each.of else _ASKED[each.quantity][1]
        for each in asked
    )


def write_number(value: Fraction, figures: int = 4, comma: bool = False) -> tuple[str, bool]:
    """A number for people, and whether it is exact.

    Up to ``EXACT_FIGURES`` figures are printed in full; a longer number is rounded, half away
    from zero, to ``figures``. Outside 0.001 to 1 000 000 a power of ten follows.
    """
    if value == 0:
        return "0", True
    size = abs(value)
    tens = _tens(size)
    scaled = size * Fraction(10) ** (EXACT_FIGURES - 1 - tens)
    exact = scaled.denominator == 1
    kept = EXACT_FIGURES if exact else figures
    if not exact:
        scaled = size * Fraction(10) ** (figures - 1 - tens)
    digits = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    if digits == 10**kept:
        digits, tens = digits // 10, tens + 1
    places = kept - 1 - tens
    if exact:
        digits, places = _without_zeros(digits, places)
    sign = "-" if value < 0 else ""
    if -3 <= tens < 6:
        return sign + _plain(digits, places, comma), exact
    mantissa = _plain(digits, places + tens, comma)
    return f"{sign}{mantissa} × 10^{tens}", exact


def write_amount(
    value: Fraction,
    dimension: Dimension,
    power: int | None = None,
    style: Style = PLAIN_STYLE,
) -> str:
    """A value in SI units as print shows it: number, one space, prefix and unit.

    The preferred ``power`` is kept while its number lies from 0.01 up to 100 000; otherwise
    the prefix is the one, from p to M, that leaves a number from 1 up to 1000.
    """
    chosen = _power(value, power)
    text, _ = write_number(value / Fraction(10) ** chosen, style.figures, style.comma)
    if style.ascii:
        text = text.replace(" × 10^", "e")
    return f"{text} {symbol(dimension, chosen, style.ascii)}"


def _power(value: Fraction, preferred: int | None) -> int:
    if preferred is not None and preferred in PREFIX:
        mantissa = abs(value) / Fraction(10) ** preferred
        if mantissa == 0 or Fraction(1, 100) <= mantissa < 100_000:
            return preferred
    if value == 0:
        return 0
    return max(min(PREFIX), min(max(PREFIX), _tens(abs(value)) // 3 * 3))


def _tens(size: Fraction) -> int:
    """The power of ten of the first figure, without writing the number out."""
    bits = size.numerator.bit_length() - size.denominator.bit_length()
    tens = bits * 30103 // 100000  # log10(2) to five places; the two loops put it right
    while Fraction(10) ** tens > size:
        tens -= 1
    while Fraction(10) ** (tens + 1) <= size:
        tens += 1
    return tens


def _without_zeros(digits: int, places: int) -> tuple[int, int]:
    while digits % 10 == 0:
        digits, places = digits // 10, places - 1
    return digits, places


def _plain(digits: int, places: int, comma: bool) -> str:
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
