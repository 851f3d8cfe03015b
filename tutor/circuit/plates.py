"""Two flat plates as capacitors: C = ε0 εr A / d for each filling, then a chain or a parallel set.

The field at the rim is left out, as everywhere in school physics: the plates are wide and close.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.quantity import PREFIX
from grammar.records import Layer, Plates

FillingLayout: TypeAlias = Literal["alone", "chain", "parallel"]

# CODATA 2022, 8.854 187 8188(14) × 10⁻¹² F/m: NIST, fundamental physical constants, as in the
# tables of scipy 1.17.1. Books round it to 8.85 or 8.854, which moves no answer by 0.05 %.
ELECTRIC_CONSTANT: Final = Fraction("8.8541878188e-12")


class Slab(NamedTuple):
    """One filling as a capacitor of its own: ``area`` in m², ``thickness`` in m."""

    area: Fraction
    thickness: Fraction
    permittivity: Fraction

    @property
    def empty(self) -> Fraction:
        """Its capacitance with nothing but air in its place, in farads."""
        return ELECTRIC_CONSTANT * self.area / self.thickness

    @property
    def value(self) -> Fraction:
        """Its capacitance in farads: C = ε0 εr A / d."""
        return self.permittivity * self.empty


def fillings_of(plates: Plates) -> tuple[Slab, ...]:
    """What is between the plates, each filling as a capacitor, in the order of the text.

    Metal between the plates is none of them: it is at one potential, so that the p.d. is over
    what it leaves of the gap.
    """
    free = plates.gap - plates.metal
    if plates.beside:
        return tuple(
            Slab(plates.area * (each.share or 0), free, each.permittivity)
            for each in plates.beside
        )
    layers = plates.layers or (Layer(Fraction(1), free),)
    return tuple(
        Slab(plates.area, each.thickness or free, each.permittivity) for each in layers
    )


def arrangement_of(plates: Plates) -> FillingLayout:
    """How the fillings act together: layers are a chain, fillings side by side are parallel."""
    if len(plates.beside) > 1:
        return "parallel"
    return "chain" if len(plates.layers) > 1 else "alone"


def capacitance_of(plates: Plates) -> Fraction:
    """The capacitance in farads, exact in the lengths of the text and the stored ε0."""
    values = [each.value for each in fillings_of(plates)]
    if arrangement_of(plates) == "parallel":
        return sum(values, Fraction(0))
    return 1 / sum((1 / value for value in values), Fraction(0))


def prefix_power(value: Fraction) -> int:
    """The power of ten of the prefix that leaves a number from 1 to 1000, as far as there is one.

    Plates are written with lengths, so no prefix of a capacitance stands in the text.
    """
    return max((power for power in PREFIX if Fraction(10) ** power <= value), default=min(PREFIX))
