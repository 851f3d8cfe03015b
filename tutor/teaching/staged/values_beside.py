"""Values that are true though nobody asks for them: known already, or standing in a working."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from grammar.answers import Measure, evaluate, read_claims
from grammar.quantity import UNIT_SIGN
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.staged.measuring import lookup_of
from tutor.teaching.staged.story import Ask, Telling

_NUMBER = re.compile(rf"(?<![\w.^])\d[\d.]*(?:\s{UNIT_SIGN}(?!\w))?")


def is_told(telling: Telling, ask: Ask, measure: Measure) -> bool:
    """Whether a value is one that is known by now, or that stands in the working of ``ask``: behind
    a right answer it adds nothing, and takes nothing away.
    """
    true = [*lookup_of(telling).values(), *_in_working(ask.reveal)]
    return not in_letters(measure.value) and any(
        _same(measure, each) for each in true if not in_letters(each.value)
    )


def is_told_amount(telling: Telling, ask: Ask, amount: str) -> bool:
    """Whether an amount as it is written (36 uC) is one that is known by now."""
    return any(is_told(telling, ask, measure) for measure in _measured(amount))


def _in_working(text: str) -> Iterator[Measure]:
    for found in _NUMBER.findall(text):
        yield from _measured(found.strip(" ."))


def _measured(amount: str) -> Iterator[Measure]:
    try:
        (claim,) = read_claims(amount, ())
        yield evaluate(claim.sides[-1], {})
    except (Refusal, ValueError):
        return


def _same(said: Measure, true: Measure) -> bool:
    """Whether both come to the same, a bare number in the unit in which the other is shown; a unit
    that is said is not that of a mere factor.
    """
    if said.bare:
        return close(_as_shown(said), _as_shown(true))
    return not true.bare and said.dims == true.dims and close(said.value, true.value)


def _as_shown(measure: Measure) -> Value:
    return measure.value if measure.bare else measure.value / Fraction(10) ** measure.power
