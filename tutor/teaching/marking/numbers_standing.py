"""Which right values stand in a script as numbers, wherever and however it says them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final

from grammar.records import Dimension
from tutor.circuit.values import in_letters
from tutor.teaching.marking.grading import Topic
from tutor.teaching.staged.story import Valued

_NUMBER: Final = r"(?<![\w.])\d+(?:\.\d+)?(?:[eE][-−]?\d+)?"
_SUM: Final = re.compile(rf"{_NUMBER}(?:\s*\+\s*{_NUMBER})+")
PREFIXES: Final = tuple(Fraction(1000) ** power for power in range(-4, 5))


def values_standing(
    lines: Iterable[str], truth: Mapping[Topic, Valued], powers: Mapping[Dimension, int]
) -> frozenset[Topic]:
    """What has its right value somewhere in the lines as a number, or as a sum of plain ones, in
    the usual unit or one with another prefix, rounded as the number is.
    """
    numbers = [number for line in lines for number in _numbers_in(line.replace(",", "."))]
    return frozenset(
        about
        for about, (value, kind) in truth.items()
        if not in_letters(value)
        and _stands(Fraction(value) / Fraction(10) ** (powers[kind] if kind else 0), numbers)
    )


def _numbers_in(line: str) -> list[tuple[Fraction, Fraction]]:
    """Numbers, and sums of such, each with the half of its last figure."""
    single = [(_worth(text), _half(text)) for text in re.findall(_NUMBER, line)]
    sums = (re.findall(_NUMBER, found[0]) for found in _SUM.finditer(line))
    added = [(sum(map(_worth, texts), Fraction(0)), Fraction(0)) for texts in sums]
    return single + added


def _worth(text: str) -> Fraction:
    return Fraction(text.replace("−", "-"))


def _half(text: str) -> Fraction:
    mantissa, _, power = text.lower().replace("−", "-").partition("e")
    figures = mantissa.partition(".")[2]
    is_rounded = len(mantissa.replace(".", "").strip("0")) > 1
    return Fraction(10) ** (int(power or 0) - len(figures)) / 2 if is_rounded else Fraction(0)


def _stands(value: Fraction, numbers: list[tuple[Fraction, Fraction]]) -> bool:
    return any(
        abs(abs(value) - number * prefix) <= half * prefix
        for number, half in numbers
        for prefix in PREFIXES
    )
