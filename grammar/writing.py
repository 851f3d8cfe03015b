"""Records to text: networks in the notation, numbers and amounts as print shows them.

Values follow the SI Brochure, 9th edition, chapter 5: number, one space, unit; digits in
groups of three parted by a space, never by a comma or a point.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.apart import stands_apart
from grammar.lengths import SIZE_SYMBOL
from grammar.outline import leaves
from grammar.quantity import PREFIX
from grammar.records import (
    Asked,
    Bank,
    Chain,
    Description,
    Dimension,
    Element,
    Join,
    Part,
    SoughtEqual,
    SoughtPair,
)
from grammar.writing_changes import (
    write_change,
    write_given,
    write_ladder,
    write_supply,
    write_traits,
)
from grammar.writing_values import size_unit_of, symbol, write_digits, write_plain, write_worth

EXACT_FIGURES = 6  # a number of no more figures than these is printed in full
_ASKED: Mapping[Dimension, tuple[str, str, str]] = {
    "capacitance": ("C", "the equivalent capacitance", "the capacitance of"),
    "charge": ("Q", "the total charge", "the charge on"),
    "voltage": ("V", "the p.d.", "the p.d. across"),
    "energy": ("E", "the total energy", "the energy in"),
    "field": ("field", "the field", "the field in"),
    "force": ("force", "the force", "the force in"),
}


class Style(NamedTuple):
    """How numbers are printed: significant figures where rounded, decimal comma, plain ASCII;
    a number of up to ``in_full`` figures is not rounded.
    """

    figures: int = 4
    comma: bool = False
    ascii: bool = False
    in_full: int = EXACT_FIGURES


PLAIN_STYLE: Final = Style()


def write_network(description: Description, ascii: bool = False) -> str:
    """The description in the notation for networks; reading it gives the same description.

    With ``ascii`` the micro sign is u. Errors: ``ValueError`` for what no text can have given: a
    value that is no finite decimal, plates without their text.
    """
    if description.bank is not None:
        return write_bank(description.bank, ascii)
    if description.pair is not None:
        return write_pair(description.pair, ascii)
    if description.exchange is not None:
        worths = [
            write_worth(join.capacitor.worth, "capacitance", ascii) for join in description.joins
        ]
        return f"{description.exchange} of {', '.join(worths)}"
    apart = bool(description.joins) and all(map(stands_apart, description.joins))
    listed = bool(description.joins)
    clauses = [_network(description, ascii)]
    if not apart and (listed or description.ends != ("A", "B")):
        clauses.append(f"ends {description.ends[0]} and {description.ends[1]}")
    if description.supply is not None and not apart:
        clauses.append(write_supply(description.supply, ascii))
    parted = "; " if listed else ", "
    further = [*_further(description, ascii)]
    asked = [_asked(description.asked, _names(description))] if description.asked else []
    if not further:  # what is asked after a change is said after it
        return parted.join((*clauses, *asked))
    return "; ".join((parted.join(clauses), *further, *asked))


def write_bank(bank: Bank, ascii: bool = False) -> str:
    """A wish for a bank, as it is read."""
    each, wanted = (write_worth(w, "capacitance", ascii) for w in (bank.each, bank.wanted))
    rating, voltage = (write_worth(w, "voltage", ascii) for w in (bank.rating, bank.voltage))
    return f"bank of {each} rated {rating} for {wanted} at {voltage}"


def write_pair(pair: SoughtPair | SoughtEqual, ascii: bool = False) -> str:
    """Missing values and what is known of all of them, as it is read."""
    told = [f"{name} = ?" for name in pair.names]
    if isinstance(pair, SoughtEqual):
        joined = {"series": " -- ", "parallel": " || "}[pair.way].join(pair.names)
        total = write_worth(pair.total, "capacitance", ascii)
        return "; ".join((*told, " = ".join(pair.names), f"{joined} = {total}"))
    for fact in pair.facts:
        first, second = reversed(pair.names) if fact.turned else pair.names
        sign = {"series": "--", "parallel": "||", "difference": "-", "ratio": "/"}[fact.kind]
        worth = (
            write_plain(fact.worth.value)
            if fact.kind == "ratio"
            else write_worth(fact.worth, "capacitance", ascii)
        )
        told.append(f"{first} {sign} {second} = {worth}")
    return "; ".join(told)


def _network(description: Description, ascii: bool) -> str:
    """The parts and how they are joined, without anything said of the whole."""
    if description.ladder is not None:
        return write_ladder(description.ladder, ascii)
    if description.nest is not None:
        return _nest(description.nest, ascii)
    written = _capacitors([join.capacitor for join in description.joins], ascii)
    lines = [
        _line(capacitor, join, description, ascii)
        for capacitor, join in zip(written, description.joins, strict=True)
    ]
    lines += [f"wire from {wire.start} to {wire.end}" for wire in description.wires]
    return "; ".join(lines)


def _line(capacitor: str, join: Join, description: Description, ascii: bool) -> str:
    if not stands_apart(join):
        return f"{capacitor} from {join.start} to {join.end}"
    if description.supply is None or description.ends != (join.start, join.end):
        return capacitor
    return f"{capacitor}, {write_supply(description.supply, ascii)}"


def _further(description: Description, ascii: bool) -> Iterator[str]:
    """What is known beside the network, then what is done to it."""
    names = _names(description)
    for given in description.givens:
        yield write_given(given, names, ascii)
    for index, change in enumerate(description.changes):
        yield write_change(change, index == 0, ascii)


def _names(description: Description) -> set[str]:
    names = {join.capacitor.name for join in description.joins}
    if description.nest is not None:
        names.update(capacitor.name for capacitor in leaves(description.nest))
    return names


def _nest(part: Part, ascii: bool) -> str:
    """The part without brackets of its own. Nothing recurses, since a nest may be deep."""
    pieces: list[Element | str] = []
    pending: list[Part | str] = [part]
    while pending:
        each = pending.pop()
        if isinstance(each, (str, Element)):
            pieces.append(each)
            continue
        inner: list[Part | str] = []
        for member in each.members:
            inner.append(" -- " if isinstance(each, Chain) else " || ")
            inner.extend((member,) if isinstance(member, Element) else ("(", member, ")"))
        pending.extend(reversed(inner[1:]))
    if _is_charged_last(part, pieces):
        pieces = [*pieces[:-1], "(", pieces[-1], ")"]  # outside brackets it could be said of all
    written = iter(_capacitors([each for each in pieces if isinstance(each, Element)], ascii))
    return "".join(each if isinstance(each, str) else next(written) for each in pieces)


def _is_charged_last(part: Part, pieces: list[Element | str]) -> bool:
    """Whether of several parts the last alone is charged, a capacitor by itself."""
    if isinstance(part, Element) or pieces[-1] is not part.members[-1]:
        return False
    charged = [each for each in pieces if isinstance(each, Element) and each.start is not None]
    return len(charged) == 1 and charged[0] is pieces[-1]


def _capacitors(capacitors: list[Element], ascii: bool) -> list[str]:
    """Each capacitor with its name and value, in the same order."""
    names = {capacitor.name for capacitor in capacitors}
    alike = {name.lower() for name in names}
    written = []
    for capacitor in capacitors:
        value = write_worth(capacitor.worth, "capacitance", ascii)
        own = value.lower() == capacitor.name.lower() and value not in names
        if value.lower() in alike and value != capacitor.name and not own:
            value += "/1"  # the name alone would mean the other capacitor, c1 for C1 too
        written.append(f"{capacitor.name} = {value}{write_traits(capacitor, ascii)}")
    return written


def _asked(asked: tuple[Asked, ...], names: set[str]) -> str:
    short = all(each.of is None or re.fullmatch(r"C[0-9]+", each.of) for each in asked)
    short = short and "C" not in names  # with a capacitor called C, C alone would mean that one
    return "asked: " + ", ".join(_wanted(each, short) for each in asked)


def _wanted(asked: Asked, short: bool) -> str:
    if asked.lost:
        return "energy lost"
    letter, of_the_whole, of_one = _ASKED[asked.quantity]
    if short:
        return letter + (asked.of or "C")[1:]
    return f"{of_one} {asked.of}" if asked.of else of_the_whole


def write_number(
    value: Fraction, figures: int = 4, comma: bool = False, in_full: int = EXACT_FIGURES
) -> tuple[str, bool]:
    """A number for people, and whether it is exact.

    Up to ``in_full`` figures are printed in full; a longer number is rounded, half away
    from zero, to ``figures``. Outside 0.001 to 1 000 000 a power of ten follows.
    """
    if value == 0:
        return "0", True
    size = abs(value)
    tens = _tens(size)
    above, below = _shifted(size, in_full - 1 - tens)
    exact = above % below == 0
    kept = in_full if exact else figures
    if not exact:
        above, below = _shifted(size, figures - 1 - tens)
    digits = (2 * above + below) // (2 * below)
    if digits == 10**kept:
        digits, tens = digits // 10, tens + 1
    places = kept - 1 - tens
    if exact:
        digits, places = _without_zeros(digits, places)
    sign = "-" if value < 0 else ""
    if -3 <= tens < 6:
        return sign + write_digits(digits, places, comma), exact
    mantissa = write_digits(digits, places + tens, comma)
    return f"{sign}{mantissa} × 10^{tens}", exact


def write_amount(
    value: Fraction,
    dimension: Dimension,
    power: int | None = None,
    style: Style = PLAIN_STYLE,
) -> str:
    """A value in SI units as print shows it: number, one space, prefix and unit.

    The preferred ``power`` is kept while its number lies from 0.1 up to 10 000, a large prefix
    such as k from 1; otherwise the prefix is the one, from p to M, that leaves a number from 1 up
    to 1000. Lengths, areas, fields and forces have the unit that suits them.
    """
    if dimension in SIZE_SYMBOL:
        unit, worth = size_unit_of(value, dimension)
        text, _ = write_number(value / worth, style.figures, style.comma, style.in_full)
        return f"{text} {unit.replace('µ', 'u') if style.ascii else unit}"
    chosen = suited_power(value, power)
    number = Fraction(*_shifted(value, -chosen))
    text, _ = write_number(number, style.figures, style.comma, style.in_full)
    if style.ascii:
        text = text.replace(" × 10^", "e")
    return f"{text} {symbol(dimension, chosen, style.ascii)}"


def suited_power(value: Fraction, preferred: int | None) -> int:
    """The power of ten of the prefix that ``write_amount`` takes."""
    if preferred is not None and preferred in PREFIX:
        mantissa = Fraction(*_shifted(abs(value), -preferred))
        least = 1 if preferred > 0 else Fraction(1, 10)  # nobody writes 0.15 kV for 150 V
        if mantissa == 0 or least <= mantissa < 10_000:
            return preferred
    if value == 0:
        return 0
    return max(min(PREFIX), min(max(PREFIX), _tens(abs(value)) // 3 * 3))


def _tens(size: Fraction) -> int:
    """The power of ten of the first figure, without writing the number out."""
    bits = size.numerator.bit_length() - size.denominator.bit_length()
    tens = bits * 30103 // 100000  # log10(2) to five places; the two loops put it right
    while _is_below_one(size, -tens):
        tens -= 1
    while not _is_below_one(size, -tens - 1):
        tens += 1
    return tens


def _shifted(size: Fraction, places: int) -> tuple[int, int]:
    """Above and below the line of a number times ten to so many, in whole numbers."""
    if places >= 0:
        return size.numerator * 10**places, size.denominator
    return size.numerator, size.denominator * 10**-places


def _is_below_one(size: Fraction, places: int) -> bool:
    above, below = _shifted(size, places)
    return above < below


def _without_zeros(digits: int, places: int) -> tuple[int, int]:
    while digits % 10 == 0:
        digits, places = digits // 10, places - 1
    return digits, places
