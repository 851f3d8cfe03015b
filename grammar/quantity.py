"""Exact numbers and units as people type them: the only module that knows pint.

Values are Fractions in farads, volts, coulombs and joules. Sources: SI Brochure, 9th edition,
chapters 3 and 5 (prefixes, symbols, spaced groups of three, comma or point); IEC 60062 for
the codes that put a letter in the place of the decimal point.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, Final, NamedTuple, TypeAlias

from grammar.records import Dimension, Refusal

if TYPE_CHECKING:
    from pint import UnitRegistry

    Registry: TypeAlias = UnitRegistry[Any]


class Unit(NamedTuple):
    """What a unit measures, and the power of ten of its prefix: mF is capacitance, -3."""

    dimension: Dimension
    power: int


MOST_DIGITS = 60
MOST_TENS = 60  # the largest power of ten that a number may carry
LONGEST_UNIT = 40
UNIT_SIGN: Final = r"(?:[pnuµμmkM]?[FCVJ](?!\w))"  # of what capacitors have, as a pattern

SYMBOL: Mapping[Dimension, str] = {
    "capacitance": "F",
    "voltage": "V",
    "charge": "C",
    "energy": "J",
}
PREFIX: Mapping[int, str] = {-12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M"}
_MICRO_SIGNS: Final = "\u00b5\u03bcu"
# The symbols themselves, nearly all that is ever typed: pint, which takes a third of the time of a
# short command to load, is asked for names in words alone.
_WRITTEN: Final[Mapping[str, Unit]] = {
    f"{sign}{symbol}": Unit(dimension, tens)
    for tens, prefix in PREFIX.items()
    for sign in (_MICRO_SIGNS if tens == -6 else (prefix,))
    for dimension, symbol in SYMBOL.items()
}

_DEFINITIONS = """
coulomb = [charge] = C
volt = [potential] = V
farad = coulomb / volt = F
joule = coulomb * volt = J
pico- = 1e-12 = p-
nano- = 1e-9 = n-
micro- = 1e-6 = µ- = μ- = u-
milli- = 1e-3 = m-
kilo- = 1e3 = k-
mega- = 1e6 = M-
"""

# Digits and signs that stand for plain ones, one character for one.
PLAIN: Final = str.maketrans(
    "０１２３４５６７８９．，＋－−–\u00a0\u2009\u202f", "0123456789.,+---   "
)
RAISED: Final = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")

_NUMBER = re.compile(
    r"(?P<sign>[+-]?) *(?P<digits>[0-9](?:[0-9., ]*[0-9])?|[.,][0-9]+)"
    r"(?: *[eE](?P<e>[+-]?[0-9]+)"
    r"| *[x×*·] *10 *(?:\^|\*\*) *\(? *(?P<tens>[+-]?[0-9]+) *\)?"
    r"| *[x×*·] *10(?P<raised>[⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+))?",
)
_WHOLE_AND_PART = re.compile(r"([0-9]*|[0-9]{1,3}(?: [0-9]{3})+)(?:[.,]([0-9]+))?")
_CODE = re.compile(r"([0-9]*)([pnuµμmF])([0-9]*)")
_TOLERANCE = re.compile(r"(?:[0-9]+[pnuµμm][0-9]*|[pnuµμm][0-9]+|[0-9]+F[0-9]+)([BCDFGHJKMZ])")
_RESISTOR = re.compile(r"[0-9]+[RkKMG][0-9]+|[0-9]+[RkKG]")


class Number(NamedTuple):
    """A number as typed: ``half`` is half a unit in its last place, ``figures`` its digits.

    12 and 1.2e1 have the same value; half is 1/2 for both, and both have two figures.
    """

    value: Fraction
    half: Fraction
    figures: int


def number(text: str) -> Number:
    """Read one number: 12 000, 2,5, 1.2e-6, 1.2 × 10^-6 or 1.2 × 10⁻⁶.

    Errors: ``Refusal`` for what is no number, has too many digits, or reads in two ways.
    """
    match = _NUMBER.fullmatch(text.strip().translate(PLAIN))
    if match is None:
        raise Refusal(f"{_shown(text)} is not a number.", "Write it like 2.5, 12 000 or 1.2e-6.")
    if sum(character.isdigit() for character in match["digits"]) > MOST_DIGITS:
        raise Refusal(
            f"This number has more than {MOST_DIGITS} digits.",
            "Write it with a prefix or a power of ten, as in 4.7 µF or 4.7e-6 F.",
        )
    whole, part = _whole_and_part(match["digits"])
    last_place = Fraction(10) ** (_tens(match) - len(part))
    digits = int(whole + part)
    sign = -1 if match["sign"] == "-" else 1
    figures = len((whole + part).lstrip("0")) or 1
    return Number(sign * digits * last_place, last_place / 2, figures)


def _tens(match: re.Match[str]) -> int:
    raised = (match["raised"] or "").translate(RAISED)
    typed = match["e"] or match["tens"] or raised or "0"
    if len(typed.lstrip("+-0")) > 3 or abs(int(typed)) > MOST_TENS:
        raise Refusal(
            "The power of ten is out of reach.",
            f"Powers from -{MOST_TENS} to {MOST_TENS} are read.",
        )
    return int(typed)


def _whole_and_part(digits: str) -> tuple[str, str]:
    _refuse_doubtful_comma(digits)
    match = _WHOLE_AND_PART.fullmatch(digits)
    if match is None:
        raise Refusal(
            f"The points, commas or spaces in {digits} do not make one number.",
            "Use one decimal point, and spaces between groups of three digits: 12 000.5.",
        )
    return match[1].replace(" ", ""), match[2] or ""


def _refuse_doubtful_comma(digits: str) -> None:
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", digits):
        point, plain = digits.replace(",", "."), digits.replace(",", "")
        raise Refusal(
            f"{digits} can be read in two ways.",
            f"Write {point} if the comma is a decimal comma, or {plain} if it groups the digits.",
        )


def unit(text: str) -> Unit:
    """Read a unit such as uF, kV or microfarads. m and M are never taken for each other.

    Errors: ``Refusal`` for a prefix alone or doubled, and for any other unit.
    """
    typed = re.sub(r"\s+", "", text)
    for spelling in _spellings(typed):
        known = _known(spelling)
        if known is not None:
            return known
    raise _no_unit(typed)


def _spellings(typed: str) -> tuple[str, ...]:
    """The unit as typed, then with its letters in the case that leaves no doubt."""
    if len(typed) > LONGEST_UNIT or not typed.isalpha():
        return ()
    if len(typed) > 3:
        return (typed, typed.lower())
    prefix = typed[:-1].translate(str.maketrans("UPNKΜ", "upnkμ"))
    return (typed, prefix + typed[-1:].upper())


@lru_cache(maxsize=256)  # pure: a spelling always means the same, whatever was read before
def _known(spelling: str) -> Unit | None:
    return _WRITTEN.get(spelling) or _told_by_pint(spelling)


def _told_by_pint(spelling: str) -> Unit | None:
    registry = units()
    if not registry.parse_unit_name(spelling):
        return None
    base = registry.Quantity(Fraction(1), spelling).to_base_units()
    power = next(tens for tens in PREFIX if Fraction(10) ** tens == base.magnitude)
    return Unit(dimensions()[base.dimensionality], power)


@cache  # a pure loader: the definitions above never change
def units() -> Registry:
    """Our own units in pint: farad, volt, coulomb, joule, and the prefixes from p to M."""
    from pint import UnitRegistry

    registry: Registry = UnitRegistry(None, non_int_type=Fraction, cache_folder=None)
    registry.load_definitions(_DEFINITIONS.strip().splitlines())
    return registry


@cache  # as above
def dimensions() -> Mapping[Any, Dimension]:
    """What each dimensionality of pint is the measure of."""
    return {units()(symbol).dimensionality: name for name, symbol in SYMBOL.items()}


def _no_unit(typed: str) -> Refusal:
    shown = _shown(typed)
    if typed.lower() in ("mfd", "mmf", "mmfd", "ufd", "pfd", "uuf", "µµf"):
        better = "pF" if typed.lower() in ("mmf", "mmfd", "uuf", "µµf", "pfd") else "µF"
        return Refusal(f"{shown} is an old workshop mark, not a unit symbol.", f"Write {better}.")
    if typed in tuple("pnuµμmkM") or typed.lower() in (
        ("pico", "nano", "micro", "milli", "kilo", "mega")
    ):
        return Refusal(
            f"{shown} is a prefix with no unit after it.", f"Write the unit too: {shown}F."
        )
    if len(typed) > 2 and all(letter in "pnuµμmkM" for letter in typed[:-1]):
        return Refusal(f"{shown} has more than one prefix.", "Use one prefix, as in pF, nF or µF.")
    if typed.lower() in ("ohm", "ohms", "ω", "kω", "mω", "kohm", "r"):
        return Refusal(f"{shown} is a unit of resistance.", "A capacitance is in F, µF, nF or pF.")
    return Refusal(
        f"{shown} is not a unit that is used here.",
        "Use F, V, C or J with one of the prefixes p, n, µ (or u), m, k, M.",
    )


def code(text: str) -> tuple[Number, int] | None:
    """Read a marking with a letter for the decimal point (IEC 60062): 4u7, 10p, p68, 1F0.

    Gives the number before its prefix and the power of ten of the prefix; None where the
    text is no such code. Errors: ``Refusal`` for the marking of a resistor, and for a
    tolerance letter after the code.
    """
    typed = text.strip().translate(PLAIN)
    if _RESISTOR.fullmatch(typed):
        raise Refusal(
            f"{_shown(typed)} is how the value of a resistor is marked.",
            "A capacitor's code has p, n, u, m or F for the point, as in 4n7.",
        )
    tolerance = _TOLERANCE.fullmatch(typed)
    if tolerance and not _CODE.fullmatch(typed) and tolerance[1] != "F":
        raise Refusal(
            f"The {tolerance[1]} at the end of {_shown(typed)} marks a tolerance.",
            f"Leave it out: {typed[:-1]}.",
        )
    match = _CODE.fullmatch(typed.removesuffix("F") if tolerance else typed)
    if match is None or not (match[1] or match[3]):
        return None
    if match[2] == "F" and not (match[1] and match[3]):
        return None  # 1F is a farad with its unit, F1 a name
    power = {"p": -12, "n": -9, "m": -3, "F": 0}.get(match[2], -6)
    after = f".{match[3]}" if match[3] else ""
    return number(f"{match[1] or 0}{after}"), power


def _shown(text: str) -> str:
    """The learner's own text, short enough for a message."""
    return text if len(text) <= 30 else text[:27] + "..."


def is_unit(text: str) -> bool:
    """Whether the text is a unit that can be read, prefix and all."""
    try:
        unit(text)
    except Refusal:
        return False
    return True
