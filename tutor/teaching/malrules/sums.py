"""The two right sums that wrong rules misuse."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

MOST_LISTED: Final = 12
"""Of a longer chain or wider set, no one tries every part in turn by hand."""


def total(numbers: Iterable[Fraction]) -> Fraction:
    """Their sum, as in a parallel set."""
    return sum(numbers, Fraction(0))


def turned(numbers: Iterable[Fraction]) -> Fraction:
    """One over the sum of their reciprocals, as in a chain."""
    return 1 / total(1 / number for number in numbers)
