"""Family I, what is between the plates and their shape, as far as charge and p.d. are not in it.

Facts: ``empty`` is the capacitance with air, ``before`` that before a change, both in the usual
unit; ``permittivity`` is the filling's, ``ratio`` the new gap over the old; ``upside`` is the
capacitance with the gap above the line, ``slipped`` the number with an area unit read wrongly,
``added`` the layers added up. ``told`` has the words for a p.d., ``difference`` and
``differences``, and its letter, ``pd_letter``; where ``slipped`` is a fact also ``unit``, the
length whose square the area is given in, and ``tenth``, what part of a metre that is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final

from tutor.teaching.staged.story import Rule

Facts = Mapping[str, Fraction]


def _divided(facts: Facts) -> Iterable[Fraction | None]:
    yield facts["empty"] / facts["permittivity"]


def _added_constant(facts: Facts) -> Iterable[Fraction | None]:
    yield facts["empty"] + facts["permittivity"]


def _upside(facts: Facts) -> Iterable[Fraction | None]:
    yield facts.get("upside")
    if "ratio" in facts and "permittivity" not in facts:  # else it is no gap that has changed
        yield facts["before"] * facts["ratio"]


PLATING: Final[tuple[Rule, ...]] = (
    Rule(
        "filling-lowers-the-capacitance", "I3", "S30", ("filled",), _divided,
        "dividing by the relative permittivity",
        "The filling weakens the field of the same charge, so the {difference} falls and more "
        "charge fits for each volt",
        "Less {difference} for the same charge: is Q over {pd_letter} then larger or smaller?",
        "filling raises",
    ),
    Rule(
        "gap-upside-down", "I5", "S30", ("plates", "filled", "gap"), _upside,
        "multiplying by the gap",
        "The same charge across a wider gap needs more {difference}, so a wider gap holds less "
        "charge for each volt",
        "Same charge, wider gap: does the {difference} rise or fall?",
        "gap below the line",
    ),
    Rule(
        "adds-the-permittivity", "I6", "S30", ("filled",), _added_constant,
        "adding the relative permittivity",
        "A capacitance has a unit and the relative permittivity has none, so the two cannot be "
        "added",
        "How many times the capacitance with air does the filling give?",
        "permittivity multiplies",
    ),
    Rule(
        "adds-stacked-layers", "I7", "S31", ("stacked",), lambda facts: (facts.get("added"),),
        "adding the layers",
        "Layers on one another carry one charge, and their {differences} add up, so together "
        "they are below the smallest of them",
        "Does a line from plate to plate cross one layer or all of them?",
        "layers are a chain",
    ),
    Rule(
        "area-unit-slip", "I8", "S03+S30", ("area", "plates", "filled"),
        lambda facts: (facts.get("slipped"),),
        "taking 1 {unit}² as {tenth} m²",
        "A square metre is many {unit} long and as many wide",
        "How many squares of 1 {unit} by 1 {unit} cover a square metre?",
        "area unit",
    ),
)
