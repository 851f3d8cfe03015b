"""Square roots that stay exact, and a near fraction of them for what must be a number."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

from tutor.circuit.values import Value, in_letters

FIGURES_KEPT = 30


def square_root(value: Value) -> Value:
    """The positive root: a fraction where it is one, else a surd.

    Errors: ``ValueError`` for a value below zero.
    """
    if value < 0:
        raise ValueError("no root of a value below zero is a real one")
    if not in_letters(value):
        top, bottom = isqrt(value.numerator), isqrt(value.denominator)
        if (top * top, bottom * bottom) == (value.numerator, value.denominator):
            return Fraction(top, bottom)
    import sympy

    return settled(sympy.sqrt(value))


def settled(value: Value) -> Value:
    """A number in one tidy form, with no root below the line; a Fraction where no root is left."""
    if not in_letters(value):
        return Fraction(value)
    import sympy

    simple = sympy.expand(sympy.radsimp(sympy.expand(value)))
    if simple.is_Rational:
        return Fraction(int(simple.p), int(simple.q))
    return simple


def near(value: Value) -> Fraction:
    """A number without letters as a fraction, good to thirty figures; a fraction as it is."""
    if not in_letters(value):
        return Fraction(value)
    return Fraction(str(value.evalf(FIGURES_KEPT)))


def is_surd(value: Value) -> bool:
    """Whether this is a number that is no fraction."""
    return in_letters(value) and not value.free_symbols
