"""Amounts said beside what each has in full, that are parts of it: the charge, 36 and 36 of 72."""

from __future__ import annotations

import re
from fractions import Fraction

from grammar.spoken_numbers import in_figures
from tutor.circuit.steps import Step
from tutor.circuit.values import in_letters
from tutor.teaching.hearing import Shared
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.walk import Walk

_AMOUNT = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s*(?:[pnuµμmk]?([VCFJ])\b)?")
_EACH = re.compile(r"(?i)\b(?:each|apiece|both|every\s+one)\b")


def is_told_in_parts(walk: Walk, step: Step, shared: Shared) -> bool:
    """Whether the amounts of a line come together to what each part of a step has in full. What
    each holds of the other quantity is no part of it.
    """
    symbol: Symbol = "V" if shared.quantity == "voltage" else "Q"
    other: Symbol = "Q" if symbol == "V" else "V"
    unit = "V" if symbol == "V" else "C"
    parts = step.parts
    numbers = [
        Fraction(found[1]) for found in _AMOUNT.finditer(in_figures(shared.words))
        if found[2] in (None, unit)
    ]
    numbers *= len(parts) if len(numbers) == 1 and _EACH.search(shared.words) else 1
    if len(numbers) != len(parts):
        return False
    of_other = [_in_usual(walk, Quantity(other, c.name)) for c in parts]
    is_of_other = sorted(numbers) == sorted(each for each in of_other if each is not None)
    whole = _in_usual(walk, Quantity(symbol, step.made))
    return sum(numbers) == whole and not is_of_other


def _in_usual(walk: Walk, quantity: Quantity) -> Fraction | None:
    """What a quantity is worth in its usual unit; None where letters stand in it or it is not
    known here.
    """
    value = walk.truth.get(quantity)
    if value is None or in_letters(value):
        return None
    return Fraction(value) / Fraction(10) ** walk.problem.powers[quantity.dimension]
