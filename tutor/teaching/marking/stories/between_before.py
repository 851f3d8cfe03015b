"""What no p.d. after a joining can be: those before are its bounds, where it is their mean."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.stories.paper import Paper, capacitances_given, given_named

OUTSIDE: Final = (
    "Joined plates end at a p.d. between those before, {0} and {1}: a sign that something "
    "above is wrong."
)


def beyond_before(paper: Paper, at: int, value: Value | None) -> str:
    """What to say of a p.d. of joined capacitors that lies outside of those before; nothing where
    it does not, or the right one is not their mean by capacitance, as with plates joined crossed.
    """
    ask = paper.asks[at]
    if ask.name != "V" or ask.dimension != "voltage" or value is None or in_letters(value):
        return ""
    capacitances, right = capacitances_given(paper), paper.right(at)
    before = {name: _before(paper, name) for name in capacitances}
    if in_letters(right) or any(map(in_letters, (*capacitances.values(), *before.values()))):
        return ""
    whole = sum((Fraction(each) for each in capacitances.values()), Fraction(0))
    charge = sum((Fraction(c) * Fraction(before[n]) for n, c in capacitances.items()), Fraction(0))
    if len(before) < len("ab") or not whole or not close(charge / whole, right):
        return ""
    low, high = min(map(Fraction, before.values())), max(map(Fraction, before.values()))
    if low == high or low <= Fraction(value) <= high:
        return ""
    return OUTSIDE.format(*(paper.speech.amount(each, "voltage") for each in (low, high)))


def _before(paper: Paper, name: str) -> Value:
    """The p.d. that the text gives a capacitor, none for one of which it gives none."""
    given = given_named(paper, f"V{name.removeprefix('C')}")
    return given[0].value[0] if given else Fraction(0)
