"""Equations said in place of a value: whether they hold in a problem in stages."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from grammar.answers import Claim, Measure, evaluate, known, read_claims
from grammar.expressions import Expression, Name, Num, names_in, parts_of
from grammar.measures import times_ten
from grammar.quantity import UNIT_SIGN
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters, same
from tutor.teaching.staged.measuring import letters_in, lookup_of, only_capacitor
from tutor.teaching.staged.potentials_said import with_own_letters, with_potentials
from tutor.teaching.staged.story import Ask, Telling, twin

_CONSTANTS = ("eps0", "epsr", "pi")
HOLDS_WITHIN = Fraction(1, 200)


def holds_as_equation(telling: Telling, line: str) -> bool | None:
    """Whether a line is an equation that holds here and in which the value asked for, or another
    one still to be found, stands among others; None for another line, or where one side is a name
    and it does not hold. Letters of one's own stand for potentials in the way in which it holds.
    """
    ways = [_holds(telling, each) for each in with_own_letters(telling, line)]
    return True if True in ways else False if False in ways else _holds(telling, line)


def _holds(telling: Telling, line: str) -> bool | None:
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
            return None
        if not open_names.intersection(names_in(*claim.sides)):
            return None
        one, other = (_in_usual_units(side, values) for side in claim.sides)
    except (Refusal, ValueError):
        return None
    if in_letters(one) or in_letters(other):
        holds = same(one, other)
    else:
        largest = max(abs(one), abs(other), Fraction(1))
        holds = bool(abs(one - other) <= largest * HOLDS_WITHIN)
    is_value = claim.target or any(isinstance(side, Name) for side in claim.sides)
    return None if is_value and not holds else holds


_CALLED_SO = re.compile(r"(?i)\bCall\b.* (?P<letter>[a-z])\. ")
_LEADS = re.compile(
    r"(?i)^\W*(?:(?:i|we|you|it)(?:['’]m|['’]?ve)?\s+)?(?:(?:solve|use|using|with|from|by|try|get|got|have|at|am|now|reach(?:ed)?|set\s+up|is)\s+)+(?=.*=)"
)


def with_its_letter(ask: Ask, line: str) -> str:
    """x(16 - x) = 48 in the name that the question has, where it calls the value x; an equation
    without what leads to it: solve …, from ….
    """
    line = _LEADS.sub("", line)
    found = _CALLED_SO.match(ask.text)
    if found is None or not ask.name:
        return line
    letter = found["letter"]
    return re.sub(
        rf"(?<![A-Za-z_'])(?P<times>\d\s*)?{letter}(?![\w'])(?!\s*\d)",
        lambda each: f"{each['times']}*{ask.name}" if each["times"] else ask.name, line,
    )


def is_the_rule_alone(telling: Telling, claim: Claim) -> bool:
    """Whether a claim ends in letters of quantities in general, with no number among them that has
    a unit: the way to a value, and not yet what it comes to. Q1 + Q2 is a sum of values that were
    found, and where values are letters these are values.
    """
    parts = [*parts_of(claim.sides[-1])]
    names = [part.text for part in parts if isinstance(part, Name)]
    letters = letters_in(telling.story)
    in_general = all(
        len(name) == 1 or name in _CONSTANTS or re.fullmatch(r"[a-z]+", name) for name in names
    )
    return len(names) > 1 and in_general and not any(name in letters for name in names) and all(
        part.unit is None for part in parts if isinstance(part, Num)
    )


def is_of_letters_alone(telling: Telling, claim: Claim) -> bool:
    """Whether a claim is one product or quotient of Q, V or C in general, with no number in it."""
    is_general = len(claim.sides) == 1 and is_the_rule_alone(telling, claim)
    return is_general and all(
        part.text in "QVUC" if isinstance(part, Name) else not isinstance(part, Num)
        for part in parts_of(claim.sides[-1])
    )


def comes_to_in_usual_units(telling: Telling, ask: Ask, claim: Claim) -> bool:
    """Whether names and numbers without units come to the right value as they stand: C1 times 30,
    where 30 V is meant.
    """
    parts = [*parts_of(claim.sides[-1])]
    numbers = [part for part in parts if isinstance(part, Num)]
    if ask.right is None or in_letters(ask.right) or not numbers or any(
        number.unit is not None for number in numbers
    ) or not names_in(claim.sides[-1]):
        return False
    try:
        worth = _in_usual_units(claim.sides[-1], lookup_of(telling))
    except (Refusal, ValueError):
        return False
    usual = Fraction(1)
    if ask.dimension is not None and not ask.pure:
        usual = Fraction(10) ** telling.story.powers[ask.dimension]
    return not in_letters(worth) and bool(
        abs(worth * usual - ask.right) <= abs(ask.right) * HOLDS_WITHIN
    )


def _in_usual_units(side: Expression, values: Mapping[str, Measure]) -> Value:
    """The worth of a side with every name counted in the usual unit, as bare numbers are."""
    plain = {
        name: Measure(times_ten(each.value, -each.power), bare=True)
        for name, each in values.items()
    }
    return evaluate(side, plain).value


_NO_EQUALS = re.compile(
    r"(?<![\w.])(?P<name>(?:[QUEW]|(?<!\d\s)V)\d?'*|(?<!\d\s)C'*)\s+"
    r"(?=\d[\d.]*\s*(?:[,;]|$|[pnu\u00b5\u03bcm]?[FCVJ]\b|(?:and\s+)?[A-Z]\d?'*\s*[=\d]))"
)
# C = 12 Q = 120, where C = 3 V = 2 leaves open whether V is a unit.
_NEXT_BARE = re.compile(
    rf"(=\s*\d[\d.]*)(?:(\s?{UNIT_SIGN})?\s+(?=[QUEW]\d?'*\s*=)|(\s?{UNIT_SIGN})\s+(?=[CV]'*\s*=))"
)


def with_equals_signs(telling: Telling, line: str) -> str:
    """Q 240 as Q = 240; C of the only capacitor by its name."""
    alone = only_capacitor(telling.story)
    line = _NO_EQUALS.sub(
        lambda found: f"{found['name']} = " if alone or found["name"][0] != "C" else found[0], line
    )
    line = _NEXT_BARE.sub(lambda found: f"{''.join(filter(None, found.groups()))}, ", line)
    names = {ask.name for ask in telling.story.asks}
    if not alone or alone not in names or "C" in names:
        return line
    return re.sub(r"(?<![\w.])(?<!\d\s)C(?='*\s*(?:=|is\b)\s*\d)", alone, line)
