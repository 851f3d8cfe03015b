"""Values beside the one that is asked: true though nobody asks for them, or said to stay."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from grammar.answers import Measure, evaluate, read_claims
from grammar.quantity import UNIT_SIGN
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.staged.measuring import lookup_of, only_capacitor, value_before
from tutor.teaching.staged.story import Ask, Telling, twin

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


_SAID_TO_STAY = re.compile(
    r"(?P<what>\b(?:[CQVUE]\d?(?!\w)'?|(?i:charge|p\.?d\b\.?|voltage|energy|capacitance)))"
    r"(?i:(?:['\u2019]s|\s+(?:is|must|still|also|just|will|of\s+C\d))*"
    r"\s+(?:stays?|remains?|kept|keeps?|fixed|unchanged|constant|(?:the\s+)?same|still(?=\s*(?:\d|[,;]|$)))\b"
    r"(?!(?:\s+the)?(?:\s+same)?\s+(?:on|for|across|in|everywhere|between)\b))"
)


def said_to_stay(telling: Telling, line: str) -> Ask | None:
    """The question of this stage whose value a line says to be what it was, and is not."""
    asks = telling.story.asks
    stage_ends = next((
        at for at in range(telling.at + 1, len(asks)) if asks[at].key == "held"
    ), len(asks))
    for found in _SAID_TO_STAY.finditer(line):
        what = found["what"].rstrip("'")
        name = what if what[1:].isdigit() or len(what) == 1 else what[0].upper().replace("P", "V")
        if name == "Q" and not only_capacitor(telling.story):
            continue  # that of all together may stay
        for ask in asks[telling.at + 1 : stage_ends]:
            before = value_before(telling, ask)
            if ask.name.rstrip("'") in (name, twin(name)) and before not in (None, ask.right):
                return ask
    return None
