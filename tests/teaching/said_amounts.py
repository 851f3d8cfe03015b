"""Values as people say them: digits, words, another prefix, powers of ten, rounded, with units."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import Final

PREFIXES: Final = {-15: "f", -12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M"}
_SAID: Final = {
    -12: "pico", -9: "nano", -6: "micro", -3: "milli", 0: "", 3: "kilo", 6: "mega",
}
_UNITS: Final = {"F": "farad", "C": "coulomb", "V": "volt", "J": "joule", "m²": "square metre"}
_ONES: Final = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen",
)
_TENS: Final = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_ABOUT: Final = ("about ", "roughly ", "approx. ", "~", "around ")


def said_amount(rng: Random, value: Fraction, power: int, unit: str) -> str:
    """A value in SI units, near the prefix of ``power``; ``unit`` is '' for a plain number."""
    form = rng.choice(("usual",) * 6 + ("none", "none", "words", "shifted", "tens", "rounded"))
    if unit == "" or form == "none":
        return digits(value / Fraction(10) ** power)
    number = value / Fraction(10) ** power
    if form == "words" and number.denominator in (1, 2, 5, 10) and number < 1000:
        return f"{spoken(number)} {_unit_in_words(rng, power, unit)}"
    if form == "shifted" and unit != "m²":
        shift = rng.choice((-3, 3))
        if power + shift in PREFIXES and Fraction(1, 100) < number / Fraction(10) ** shift < 10**6:
            return f"{digits(number / Fraction(10) ** shift)} {PREFIXES[power + shift]}{unit}"
    if form == "tens":
        return _in_tens(rng, value, unit)
    if form == "rounded" and digits(number, 3) == digits(number):
        form = "usual"
    about = rng.choice(_ABOUT) if form == "rounded" else ""
    return f"{about}{digits(number, 3 if about else 4)}{_unit(rng, power, unit)}"


def _unit(rng: Random, power: int, unit: str) -> str:
    signs = f"{PREFIXES[power]}{unit}"
    forms = [f" {signs}", f" {signs}", signs, f" {_unit_in_words(rng, power, unit)}"]
    if power == -6:
        forms += [f" u{unit}", f"u{unit}", f" u{unit}"]
    if unit == "V":
        forms += ["v", " v"]
    return rng.choice(forms)


def _unit_in_words(rng: Random, power: int, unit: str) -> str:
    short = {"F": ["F"], "C": ["C"], "V": ["V"], "J": ["J"]}.get(unit, [])
    whole = _SAID[power] + (_UNITS[unit] + "s")
    return rng.choice([whole, whole, *(f"{_SAID[power]} {each}".strip() for each in short)])


def digits(number: Fraction, figures: int = 4) -> str:
    """Decimals: all of them where they come to an end in a few, else so many figures."""
    plain = f"{float(number):.12g}"
    if "e" not in plain and len(plain.replace(".", "").strip("0")) <= figures:
        return plain
    places = figures - 1
    for shift in range(-9, 10):
        if abs(number) >= Fraction(10) ** shift:
            places = figures - 1 - shift
    return f"{float(number):.{max(places, 0)}f}"


def _in_tens(rng: Random, value: Fraction, unit: str) -> str:
    power = 0
    while abs(value) / Fraction(10) ** power >= 10:
        power += 1
    while value and abs(value) / Fraction(10) ** power < 1:
        power -= 1
    number = digits(value / Fraction(10) ** power)
    form = rng.choice(("{} x 10^{} {}", "{}*10^{} {}", "{}e{} {}", "{} × 10^{} {}", "{}x10^{}{}"))
    return form.format(number, power, unit)


def spoken(number: Fraction) -> str:
    """A number below a thousand with at most one decimal, in words."""
    whole, rest = divmod(number, 1)
    tail = f" point {_ONES[int(rest * 10)]}" if rest else ""
    return _whole(int(whole)) + tail


def _whole(number: int) -> str:
    if number >= 100:
        rest = number % 100
        return f"{_ONES[number // 100]} hundred" + (f" and {_whole(rest)}" if rest else "")
    if number < 20:
        return _ONES[number]
    return _TENS[number // 10 - 2] + (f"-{_ONES[number % 10]}" if number % 10 else "")
