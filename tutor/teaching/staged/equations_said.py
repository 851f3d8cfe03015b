"""Equations said in place of a value: whether they hold in a problem in stages."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grammar.answers import Claim, Measure, evaluate, known, read_claims
from grammar.expressions import Expression, Name, Num, names_in, parts_of
from grammar.measures import times_ten
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters, same
from tutor.teaching.staged.measuring import letters_in, lookup_of, with_potentials
from tutor.teaching.staged.story import Telling, twin

_CONSTANTS = ("eps0", "epsr", "pi")
_OF_A_HALF = (1, 2, Fraction(1, 2))
HOLDS_WITHIN = Fraction(1, 200)


def holds_as_equation(telling: Telling, line: str) -> bool:
    """Whether a line is an equation that holds here and in which the value asked for, or another
    one still to be found, stands among others.
    """
    asks = telling.story.asks
    values = lookup_of(telling)
    for ask in asks:
        if ask.name and ask.right is not None and ask.dimension and ask.name not in values:
            power = telling.story.powers[ask.dimension]
            values[ask.name] = values[twin(ask.name)] = known(ask.right, ask.dimension, power)
    open_names = {a.name for at, a in enumerate(asks) if a.name and at >= telling.at}
    try:
        said = with_potentials(telling, telling.terms.understood(line))
        (claim,) = read_claims(said, values)
        if len(claim.sides) != 2 or claim.reciprocal or (
            claim.target and not open_names.intersection(names_in(claim.sides[1]))
        ):
            return False
        if not open_names.intersection(names_in(*claim.sides)):
            return False
        one, other = (_in_usual_units(side, values) for side in claim.sides)
    except (Refusal, ValueError):
        return False
    if in_letters(one) or in_letters(other):
        return same(one, other)
    largest = max(abs(one), abs(other), Fraction(1))
    return bool(abs(one - other) <= largest * HOLDS_WITHIN)


def is_the_rule_alone(telling: Telling, claim: Claim) -> bool:
    """Whether a claim ends in letters of quantities in general, with no number among them but the
    2 of a half: the way to a value, and not yet what it comes to. Q1 + Q2 is a sum of values that
    were found, and where values are letters these are values.
    """
    parts = [*parts_of(claim.sides[-1])]
    names = [part.text for part in parts if isinstance(part, Name)]
    letters = letters_in(telling.story)
    in_general = all(len(name) == 1 or name in _CONSTANTS for name in names)
    return len(names) > 1 and in_general and not any(name in letters for name in names) and all(
        part.unit is None and part.value in _OF_A_HALF for part in parts if isinstance(part, Num)
    )


def _in_usual_units(side: Expression, values: Mapping[str, Measure]) -> Value:
    """The worth of a side with every name counted in the usual unit, as bare numbers are."""
    plain = {
        name: Measure(times_ten(each.value, -each.power), bare=True)
        for name, each in values.items()
    }
    return evaluate(side, plain).value
