"""One pair of plates as the questions about it need it: lengths in words, fillings by name."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from grammar.lengths import LENGTH_PREFIX
from grammar.records import Amount, Plates
from grammar.writing_values import write_length
from tutor.circuit.network import Problem
from tutor.circuit.plates import FillingLayout, Slab, arrangement_of, fillings_of
from tutor.circuit.solving import Holding, holding_of
from tutor.circuit.values import Value, tidy
from tutor.teaching.speech import Speech

LETTERS = "abcdefghijklmnopqrstuvwxyz"


class PlateScene(NamedTuple):
    """The plates of a text, the problem they make, and how its values are put into words."""

    plates: Plates
    problem: Problem
    speech: Speech

    @property
    def fillings(self) -> tuple[Slab, ...]:
        """What is between the plates, in the order of the text."""
        return fillings_of(self.plates)

    @property
    def arrangement(self) -> FillingLayout:
        """How the fillings act together."""
        return arrangement_of(self.plates)

    @property
    def area_power(self) -> int:
        """The power of ten of the length that the area is written with: -2 for cm²."""
        return power_written(self.plates.written)

    @property
    def gap_power(self) -> int:
        """The power of ten of the lengths between the plates: -3 for mm."""
        return power_written(re.split(r"gap|layers", self.plates.written, maxsplit=1)[-1])

    @property
    def capacitance(self) -> Value:
        """The capacitance of the pair, in farads."""
        return self.problem.network.capacitors[0].value

    @property
    def holding(self) -> Holding | None:
        """What the pair holds with the supply or the charge of the text; None without any."""
        supply, c = self.problem.supply, self.problem.network.capacitors[0]
        if supply is None:
            return None
        across = supply.value if supply.quantity == "voltage" else tidy(supply.value / c.value)
        return holding_of(c, across)

    def filling_name(self, index: int) -> str:
        """Ca, Cb, …; C where there is but one filling."""
        return "C" if self.arrangement == "alone" else f"C{LETTERS[index]}"

    def length(self, metres: Fraction) -> str:
        """A length between the plates in the unit of the text: 0.4 mm."""
        return write_length(Amount(metres, self.gap_power))

    def number(self, value: Fraction) -> str:
        """A plain number, rounded where it does not end."""
        return self.speech.number(value)

    def usual(self, farads: Fraction) -> Fraction:
        """A capacitance as a plain number in the usual unit of the problem."""
        return farads / Fraction(10) ** self.speech.powers["capacitance"]


def power_written(written: str) -> int:
    """The power of ten of the first unit of length in a text; 0, the metre, if there is none."""
    unit = re.search(r"\d ([pnµmck]?)m(?![a-z])", written)
    prefix = unit[1] if unit else ""
    return next(power for power, sign in LENGTH_PREFIX.items() if sign == prefix)
