"""Networks as the record has them, written in the notation for whoever reads an export.

The record names a network by its capacitors, points and supply in SI units, since equal ones are to
be known again. Its ends do not stand there: they are added where they are called A and B.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from grammar.records import Dimension
from grammar.writing import write_amount

_JOIN: Final = re.compile(r"(\w+) ([\w*/^().-]+) (\S+) (\S+)")
_FRACTION: Final = re.compile(r"-?\d+(/\d+)?")
_FED: Final[tuple[tuple[str, Dimension, str], ...]] = (
    ("voltage ", "voltage", "across"), ("charge ", "charge", "holding"),
)
ENDS: Final = ("A", "B")


def in_notation(kept: str) -> str:
    """The network in the notation, as in 'C1 = 6 µF from A to P; …'; as it is, where it is told in
    words.
    """
    *joins, fed = kept.split("; ")
    read = [_JOIN.fullmatch(join) for join in joins]
    if not joins or not all(read):
        return kept
    parts = [
        f"{each[1]} = {_value(each[2], 'capacitance')} from {each[3]} to {each[4]}"
        for each in read if each is not None
    ]
    points = {point for each in read if each is not None for point in (each[3], each[4])}
    if points.issuperset(ENDS):
        parts.append("ends A and B")
    for start, dimension, word in _FED:
        if fed.startswith(start):
            parts.append(f"{word} {_value(fed.removeprefix(start), dimension)}")
    return "; ".join(parts)


def _value(kept: str, dimension: Dimension) -> str:
    """An amount with its unit, or letters as one writes them: 2*C/3 is 2C/3."""
    if _FRACTION.fullmatch(kept):
        return write_amount(Fraction(kept), dimension)
    return re.sub(r"(?<=\d)\*(?=[A-Za-z])", "", kept.replace("**", "^"))
