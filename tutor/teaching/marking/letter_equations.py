"""Equations in one letter of the pupil's own: where they hold, and what follows from wrong ones."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Name, parts_of
from grammar.records import Refusal
from tutor.circuit.values import in_letters

LEAST: Final = Fraction(1, 100)
STEP: Final = Fraction(11, 10)
STEPS: Final = 170  # up to a hundred thousand in the usual unit
HALVINGS: Final = 40
NEAR: Final = Fraction(1, 200)  # what is worked on has been rounded


def letter_of(sides: Sequence[Expression], prefix: str) -> str | None:
    """The one letter of the pupil's own in these sides; None for none or several."""
    names = {p.text for side in sides for p in parts_of(side) if isinstance(p, Name)}
    own = [name for name in names if name.startswith(prefix)]
    return own[0] if len(own) == 1 else None


def roots(
    sides: Sequence[Expression], letter: str, worth: Mapping[str, Measure]
) -> Iterator[Fraction]:
    """The positive numbers that make the first and the last side equal, put for the letter; all
    else in plain numbers of the usual units.
    """
    if len(sides) < 2:
        return
    at = LEAST
    places = [(at, _difference(sides, letter, worth, at))]
    for _ in range(STEPS):
        at *= STEP
        at = at.limit_denominator(10**6)
        places.append((at, _difference(sides, letter, worth, at)))
    for (low, before), (high, after) in pairwise(places):
        if before is not None and after is not None and before * after <= 0 and before != after:
            yield _between(sides, letter, worth, (low, high))


def holds_at(
    sides: Sequence[Expression], letter: str, worth: Mapping[str, Measure], value: Fraction
) -> bool:
    """Whether an equation holds for a letter of this value, and not for any other."""
    around = (value * (1 - NEAR), value * (1 + NEAR))
    below, above = (_difference(sides, letter, worth, each) for each in around)
    return below is not None and above is not None and below * above <= 0 and below != above


def _between(
    sides: Sequence[Expression],
    letter: str,
    worth: Mapping[str, Measure],
    ends: tuple[Fraction, Fraction],
) -> Fraction:
    low, high = ends
    first = _difference(sides, letter, worth, low) or Fraction(0)
    for _ in range(HALVINGS):
        middle = ((low + high) / 2).limit_denominator(10**12)
        here = _difference(sides, letter, worth, middle)
        if here is None:
            break
        if here * first > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _difference(
    sides: Sequence[Expression], letter: str, worth: Mapping[str, Measure], value: Fraction
) -> Fraction | None:
    known = {**worth, letter: Measure(value, bare=True)}
    try:
        one, other = (evaluate(side, known).value for side in (sides[0], sides[-1]))
    except Refusal:
        return None
    return None if in_letters(one) or in_letters(other) else Fraction(one) - Fraction(other)
