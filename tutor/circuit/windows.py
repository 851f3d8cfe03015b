"""Sums of capacitances in whole numbers, and windows on them: exact, and quick enough for millions.

A capacitance is a pair, numerator and denominator, in the unit of its stock.
"""

from __future__ import annotations

from fractions import Fraction
from math import gcd
from typing import NamedTuple

from tutor.circuit.joining import Connection
from tutor.circuit.stock import Pair


class Window(NamedTuple):
    """The capacitances that are looked for: both ends count."""

    low: Pair
    high: Pair


def window_after(
    window: Window, value: Pair, way: Connection, bounds: tuple[Pair, Pair]
) -> Window | None:
    """Where what joins ``value`` must be for the whole to be in the window; None for nowhere.

    ``bounds`` are the least and the greatest value that it can have.
    """
    (n, d), (low, low_below), (high, high_below) = value, *window
    least, greatest = bounds
    if way == "parallel":
        over = high * d - n * high_below
        if over <= 0:
            return None
        right = (over, high_below * d)
        left = (max(low * d - n * low_below, 0), low_below * d)
    else:
        over = n * low_below - low * d  # a chain is below each of its members
        if over <= 0:
            return None
        left = (low * n, over)
        over = n * high_below - high * d
        right = (high * n, over) if over > 0 else greatest
    if is_less(right, least) or is_less(greatest, left):
        return None
    return Window(left, right)


def joined(one: Pair, other: Pair, way: Connection) -> Pair:
    """Two values in one, not in lowest terms."""
    (n, d), (m, e) = one, other
    both = n * e + m * d
    return (both, d * e) if way == "parallel" else (n * m, both)


def taken_off(whole: Pair, part: Pair, way: Connection) -> Pair | None:
    """What joins ``part`` to make ``whole``; None where nothing does."""
    (n, d), (m, e) = whole, part
    if way == "parallel":
        above, below = n * e - m * d, d * e
    else:
        above, below = n * m, m * d - n * e
    if above <= 0 or below <= 0:
        return None
    common = gcd(above, below)
    return above // common, below // common


def is_less(one: Pair, other: Pair) -> bool:
    """Whether the first is the smaller; a denominator is never below nought."""
    return one[0] * other[1] < other[0] * one[1]


def pair(value: Fraction) -> Pair:
    """A fraction as a pair."""
    return value.numerator, value.denominator
