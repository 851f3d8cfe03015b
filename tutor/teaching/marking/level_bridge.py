"""A bridge that is balanced: the claim that it is, and what its potentials show besides."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from typing import Final

from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.grading import Grade
from tutor.teaching.marking.problem_kind import FoundIn
from tutor.teaching.marking.script import Script
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import listed
from tutor.teaching.walk import Walk

_BALANCED: Final = re.compile(
    r"(?<!not )(?<!un)\bbalanced\b|\b(?:same|equal|one)\s+potential\b", re.IGNORECASE
)
_ONE = r"(?:C_?\d+|\d+(?:\.\d+)?)"
_TWO = rf"{_ONE}(?:\s*[*/×·:÷x]\s*|\s*(?=C)){_ONE}"
_RATIOS: Final = re.compile(rf"{_TWO}(?:\s*=\s*{_TWO})+(?:\s*=\s*{_ONE})?")
_TOLD: Final = "Right: so {} are at one potential."


def balance_said(script: Script, piece: str) -> FoundIn[Script, Quantity] | None:
    """What is made of words or of ratios by which points that are at one potential are so; None
    where the ratios do not hold, and where nothing but the values of some are equal.
    """
    levels = [step.level for step in script.walk.steps if step.kind == "equal" and step.level]
    ratios, is_said = _RATIOS.search(piece), _BALANCED.search(piece) is not None
    in_names = ratios is not None and ratios[0].strip() == piece.strip() and "C" in ratios[0]
    if not levels or not (is_said or in_names) or ("=" in piece and ratios is None):
        return None
    values = {c.name: c.value for c in script.walk.problem.network.capacitors}
    if ratios is not None and not _holds(ratios[0].split("="), values):
        return None
    told = _TOLD.format(listed(levels[0].points))
    about = Quantity("V", point=levels[0].points[0])
    return FoundIn(script, (Grade(about, "right", method=True, given=True, told=told),))


def _holds(sides: list[str], values: Mapping[str, Value]) -> bool:
    """Whether sides of names and numbers, two multiplied or divided, are all equal."""
    worths = [_worth(side, values) for side in sides]
    return all(a is not None and b is not None and close(a, b) for a, b in pairwise(worths))


def _worth(side: str, values: Mapping[str, Value]) -> Fraction | None:
    """What a side comes to; None where it has a name or a letter without a number."""
    found: list[Fraction] = []
    for one in re.findall(_ONE, side):
        value = values.get(one.replace("_", "")) if one[0] == "C" else Fraction(one)
        if value is None or in_letters(value):
            return None
        found.append(Fraction(value))
    first, *others = found
    for other in others:
        is_over = re.search(r"[/:÷]", side) is not None
        if is_over and not other:
            return None
        first = first / other if is_over else first * other
    return first


def shown_with(walk: Walk, quantity: Quantity) -> set[Quantity]:
    """What a value is besides, or makes plain: a potential the p.d. of what joins its point to the
    end at nought, no p.d. that there is no charge.
    """
    network = walk.problem.network
    if quantity.point is not None:
        across = {quantity.point, network.ends[1]}
        return {Quantity("V", c.name) for c in network.capacitors if c.points == across}
    is_nought = quantity.symbol == "V" and walk.truth.get(quantity) == 0
    return {Quantity("Q", quantity.of)} if is_nought and quantity.of is not None else set()
