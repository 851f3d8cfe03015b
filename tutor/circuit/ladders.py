"""Ladders of equal sections without end, by self-similarity, and what finite ones come to.

A section is a capacitor in series and then one across. Taking the first section off a ladder
without end leaves the same ladder, so 1/C = 1/C1 + 1/(C2 + C); multiplied out,
C² + C2 C = C1 C2, and of its two roots one is above zero. Common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.surds import square_root
from tutor.circuit.values import Value, in_letters, tidy


class Endless(NamedTuple):
    """A ladder without end: the capacitor in ``series`` and the ``shunt`` of each section, in
    farads or in letters. ``whole`` is its capacitance, exact: a surd where no fraction will do.
    """

    series: Value
    shunt: Value
    whole: Value

    @property
    def ratio(self) -> Value:
        """Series over shunt: it alone settles how many times the shunt the whole is."""
        return tidy(self.series / self.shunt)


def endless(series: Value, shunt: Value) -> Endless:
    """The positive root C = (√(C2² + 4 C1 C2) − C2)/2; letters stand for positive values."""
    ratio = tidy(series / shunt)
    if in_letters(ratio):
        import sympy

        whole = (sympy.sqrt(shunt**2 + 4 * series * shunt) - shunt) / 2
    else:
        whole = shunt * times_shunt(ratio)
    return Endless(series, shunt, whole)


def times_shunt(ratio: Fraction) -> Value:
    """How many times the shunt a ladder without end is, where series is ``ratio`` times shunt."""
    return (square_root(1 + 4 * ratio) - 1) / 2


def cut_off(series: Fraction, shunt: Fraction, sections: int, wired: bool = False) -> Fraction:
    """The capacitance of so many sections, in farads.

    The last section ends with its shunt; ``wired`` puts a wire in place of all that would follow
    instead. The first is below the ladder without end, the second above it.
    """
    # Built from the far end on: nothing beyond the last shunt, or a wire that takes its place.
    whole = series if wired else 1 / (1 / series + 1 / shunt)
    for _ in range(sections - 1):
        whole = 1 / (1 / series + 1 / (shunt + whole))
    return whole
