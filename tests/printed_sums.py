"""A second evaluator for what is printed: the equalities of a line, read and held to be true.

Numbers are as exact as their print: with four figures or more they may have been rounded, and
stand for all that rounds to them. ``=`` between numbers means equal as printed; ``≈``, or a name
whose value is known only as it was printed, means that the two may be one value.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Final, NamedTuple, TypeAlias

FIGURES: Final = 4
TOKEN: Final = re.compile(
    r"\s*(?:(?P<number>\d{1,3}(?:[ \u202f\u00a0]\d{3})+(?:\.\d+)?(?![\d^])|\d+(?:\.\d+)?)"
    r"(?:\^(?P<raised>-?\d+))?"
    r"|(?P<half>½)|(?P<name>[A-Za-zµεσ][A-Za-z0-9_µεσ]*'*)(?P<power>[²³]?)|(?P<sign>[-+−×/()]))"
)
UNITS: Final = {
    prefix + letter
    for prefix in ("", "p", "n", "µ", "m", "k", "M")
    for letter in ("F", "V", "C", "J")
} | {"m", "mm", "cm", "µm", "nm", "N", "mN", "µN"}


# Powers of the farad and the volt: (1, 1) is a charge, (1, 2) an energy, (0, 0) a mere number.
Unit: TypeAlias = tuple[int, int]
BARE: Final = (0, 0)
MEASURES: Final[dict[str, Unit | None]] = {
    "F": (1, 0), "V": (0, 1), "C": (1, 1), "J": (1, 2), "m": None, "N": None,
}


class Range(NamedTuple):
    """All that a printed side may mean, in SI units, and its value as printed."""

    low: Fraction
    high: Fraction
    printed: Fraction
    unit: Unit | None
    literal: bool


Names: TypeAlias = dict[str, Range]


class UnreadableError(ValueError):
    """No sum of numbers and known names."""


def known(value: Fraction, unit: str) -> Range:
    return Range(value, value, value, MEASURES[unit], False)


PREFIXES: Final = {"": 0, "p": -12, "n": -9, "µ": -6, "m": -3, "k": 3, "M": 6, "c": -2}


def _unit(text: str) -> tuple[Fraction, Unit | None]:
    """A unit's size in SI units and what it measures."""
    return Fraction(10) ** PREFIXES[text[:-1]], MEASURES[text[-1]]


class Side:
    """One side of an equality, read from its left end as far as it is a sum."""

    def __init__(self, text: str, names: Names) -> None:
        self.text, self.names, self.at = text, names, 0

    def peek(self) -> re.Match[str] | None:
        return TOKEN.match(self.text, self.at)

    def take(self, signs: str) -> str | None:
        found = self.peek()
        if found is None or not found["sign"] or found["sign"] not in signs:
            return None
        self.at = found.end()
        return found["sign"]

    def total(self) -> Range:
        sign = self.take("-−+")
        value = self.product()
        if sign in ("-", "−"):
            value = _scaled(value, Fraction(-1))
        while sign := self.take("-−+"):
            other = self.product()
            value = _added(value, _scaled(other, Fraction(1 if sign == "+" else -1)))
        return value

    def product(self) -> Range:
        value = self.factor()
        while True:
            sign = self.take("×/")
            found = self.peek()
            if sign is None and (found is None or found["number"] or found["half"] or (
                found["sign"] and found["sign"] != "("
            )):
                return value
            if sign is None and found is not None and found["name"] and (
                found["name"] not in self.names and found["name"] != "per"
            ):
                return value
            if sign is None and found is not None and found["name"] == "per":
                self.at, sign = found.end(), "/"
                unit = self.peek()
                if unit is None or unit["name"] not in UNITS:
                    raise UnreadableError(self.text)
                self.at = unit.end()
                size, of = _unit(unit["name"])
                value = _divided(value, Range(size, size, size, of, True))
                continue
            other = self.factor()
            value = _divided(value, other) if sign == "/" else _multiplied(value, other)

    def factor(self) -> Range:
        found = self.peek()
        if found is None:
            raise UnreadableError(self.text)
        self.at = found.end()
        if found["sign"] == "(":
            value = self.total()
            if self.take(")") is None:
                raise UnreadableError(self.text)
            return self.squared(value)
        if found["half"]:
            return Range(*[Fraction(1, 2)] * 3, BARE, True)
        if found["name"]:
            if found["name"] not in self.names:
                raise UnreadableError(self.text)
            value = self.names[found["name"]]
            return _multiplied(value, value) if found["power"] else value
        if not found["number"]:
            raise UnreadableError(self.text)
        return self.with_unit(_number(found["number"], found["raised"]))

    def squared(self, value: Range) -> Range:
        if self.text[self.at : self.at + 1] == "²":
            self.at += 1
            return _multiplied(value, value)
        return value

    def with_unit(self, value: Range) -> Range:
        found = self.peek()
        fraction = re.match(r"/(\d+)(?= |$|\))", self.text[self.at :])
        if fraction:
            value = _scaled(value, Fraction(1, int(fraction[1])))
            value = value._replace(low=value.printed, high=value.printed)
            self.at += fraction.end()
            found = self.peek()
        if found is None or found["name"] not in UNITS or found["power"]:
            return value
        self.at = found.end()
        size, of = _unit(found["name"])
        return _scaled(value, size)._replace(unit=of)


def _number(text: str, raised: str | None) -> Range:
    plain = re.sub(r"[^\d.]", "", text)
    value = Fraction(plain) ** int(raised) if raised else Fraction(plain)
    whole, _, after = plain.partition(".")
    digits = (whole + after).lstrip("0")
    if raised or len(digits) < FIGURES:
        return Range(value, value, value, BARE, True)
    bare = len(digits) - len(digits.rstrip("0"))
    zeros = 0 if after else min(bare, len(digits) - FIGURES)
    slack = Fraction(10) ** (zeros - len(after)) / 2
    return Range(value - slack, value + slack, value, BARE, True)


def _scaled(value: Range, by: Fraction) -> Range:
    low, high = sorted((value.low * by, value.high * by))
    return value._replace(low=low, high=high, printed=value.printed * by)


def _added(one: Range, other: Range) -> Range:
    if _unlike(one, other):
        raise UnreadableError(f"{one.unit} and {other.unit}")
    unit = other.unit if one.unit == BARE else one.unit
    return Range(one.low + other.low, one.high + other.high, one.printed + other.printed,
                 unit, one.literal and other.literal)


def _multiplied(one: Range, other: Range) -> Range:
    ends = [a * b for a in one[:2] for b in other[:2]]
    return Range(min(ends), max(ends), one.printed * other.printed, _joined(one, other, 1),
                 one.literal and other.literal)


def _divided(one: Range, other: Range) -> Range:
    if other.low <= 0 <= other.high:
        raise UnreadableError("nothing can be divided by what may be nought")
    ends = [a / b for a in one[:2] for b in other[:2]]
    return Range(min(ends), max(ends), one.printed / other.printed, _joined(one, other, -1),
                 one.literal and other.literal)


def _joined(one: Range, other: Range, sign: int) -> Unit | None:
    if one.unit is None or other.unit is None:
        return None
    return one.unit[0] + sign * other.unit[0], one.unit[1] + sign * other.unit[1]


def _unlike(one: Range, other: Range) -> bool:
    units = {one.unit, other.unit} - {None, BARE}
    return len(units) > 1


def read_from(text: str, names: Names) -> Range | None:
    """The value at the head of a text; None if there is no sum, or what follows belongs to it."""
    side = Side(text, names)
    try:
        value = side.total()
    except UnreadableError:
        return None
    rest = text[side.at :].lstrip()
    return None if rest[:1] in tuple("+−-×/²^*") else value


def whole_side(text: str, names: Names) -> Range | None:
    side = Side(text, names)
    try:
        value = side.total()
    except UnreadableError:
        return None
    return value if not text[side.at :].strip() else None


def _tail(text: str, names: Names) -> Range | None:
    """The longest sum that ends a text."""
    for word in re.finditer(r"(?<!\S)\S", text):
        before = text[: word.start()].rstrip()[-1:]
        if (before and before in "+−×/-") or text[: word.start()].endswith("of "):
            return None
        if (value := whole_side(text[word.start() :], names)) is not None:
            return value
    return None


def differ(one: Range, other: Range, sign: str) -> bool:
    if _unlike(one, other):
        return True
    if sign == "=" and one.literal and other.literal:
        return one.printed != other.printed
    return one.low > other.high or other.low > one.high


def false_equalities(line: str, names: Names, rebind: bool) -> Iterator[str]:
    """What is not equal in a line; a name that stands first takes the value that ends its chain.

    :param rebind: names may take a new value, as they do from stage to stage of a problem.
    """
    for clause in re.split(r"[;:] |, |\. |\.$", line):
        pieces = re.split(r"\s*([=≈])\s*", clause)
        sides, signs = pieces[::2], pieces[1::2]
        if not signs:
            continue
        name = sides[0].rsplit(" ", 1)[-1]
        fresh = bool(re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*'*", name)) and not re.search(
            rf"\d {re.escape(name)}$", sides[0]
        ) and (rebind or name not in names)
        values = [
            None if fresh and at == 0 else
            _tail(side, names) if at == 0 else
            read_from(side, names) if at == len(sides) - 1 else whole_side(side, names)
            for at, side in enumerate(sides)
        ]
        for at, sign in enumerate(signs):
            one, other = values[at], values[at + 1]
            if one is not None and other is not None and differ(one, other, sign):
                yield f"{sides[at]} {sign} {sides[at + 1]}: {line}"
        if fresh and values[-1] is not None:
            names[name] = values[-1]._replace(literal=False)
