"""Exact text of any value, however many digits it has.

Python refuses to print whole numbers of more than a few thousand digits at once; long chains of
capacitors get there. The limit is a setting of the whole process, so it is left alone.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tutor.circuit.values import Value, in_letters

# Below 640 digits, the lowest that Python's limit can be set to.
MOST_BITS_AT_ONCE = 2000


def exact_text(value: Value) -> str:
    """``1/200000``, ``12``, or an expression such as ``2*C/3``; the value is in its SI unit."""
    if in_letters(value):
        return _expression(value)
    value = Fraction(value)
    if value.denominator == 1:
        return digits(value.numerator)
    return f"{digits(value.numerator)}/{digits(value.denominator)}"


def digits(number: int) -> str:
    """A whole number in full, printed in halves until each is short."""
    if number < 0:
        return f"-{digits(-number)}"
    if number.bit_length() <= MOST_BITS_AT_ONCE:
        return str(number)
    below = number.bit_length() * 3 // 20  # about half the figures: log10(2) is 0.301
    upper, lower = divmod(number, 10**below)
    return digits(upper) + digits(lower).rjust(below, "0")


def _expression(value: Any) -> str:
    from sympy.printing.str import StrPrinter

    class Printer(StrPrinter):  # type: ignore[misc]  # sympy has no types
        def _print_Integer(self, number: Any) -> str:  # noqa: N802 - sympy calls it so
            return digits(int(number))

        def _print_Rational(self, number: Any) -> str:  # noqa: N802
            return f"{digits(int(number.p))}/{digits(int(number.q))}"

    return str(Printer().doprint(value))
