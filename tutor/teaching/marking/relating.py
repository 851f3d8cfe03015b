"""Relations between quantities of one kind: V1 + V2 = 12, V1/V2 = 3/6, 6 V1 = 3 V2.

They state no value of one quantity, so they are held against all values at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Op, names_in
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import RELATIVE_TOLERANCE
from tutor.teaching.marking.grading import Grade, Statement
from tutor.teaching.marking.script import Script, lookup, meant_by, measured
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.unknowns import equal_in_usual_units, plain
from tutor.teaching.quantities import Quantity
from tutor.teaching.ways_of_walk import canonical

KINDS: Final = frozenset("QVE")


def related(script: Script, said: Said, fewest: int = 2) -> dict[str, Quantity]:
    """The quantities that a statement relates, by the names they have there; none where it is
    no relation of ``fewest`` or more quantities of one kind, with capacitances as their factors.
    """
    assert said.statement is not None
    if said.names or said.statement.turned or len(said.statement.sides) < 2:
        return {}
    found = _all_named(script, said.statement)
    related = {name: q for name, q in found.items() if q.symbol != "C"}
    symbols = {q.symbol for q in related.values()}
    is_one = len(symbols) == 1 and symbols <= KINDS
    return found if len(related) >= fewest and is_one else {}


def _all_named(script: Script, statement: Statement) -> dict[str, Quantity]:
    """The quantities that the names of a statement stand for; none where one has no value here."""
    found = meant_by(script, statement.sides)
    is_whole = len(found) == len(set(names_in(*statement.sides)))
    return found if is_whole and script.walk.truth.keys() >= set(found.values()) else {}


def is_sum(statement: Statement) -> bool:
    """Whether the first side is a sum, which may state the value of a whole."""
    first = statement.sides[0]
    return isinstance(first, Op) and first.sign == "+"


def judge_relation(script: Script, said: Said, named: Mapping[str, Quantity]) -> Grade:
    """Judge it by the true values, then by the learner's. What it shows is the way to the first
    of its quantities that has no value yet.
    """
    assert said.statement is not None
    known_now = {canonical(script.walk, q) for q in (*script.walk.known, *script.stated)}
    kept = [q for q in named.values() if q.symbol != "C"]
    about = next((q for q in kept if q not in known_now), kept[0])
    true = measured(script, named, script.walk.truth)
    found = Grade(about, "right", method=True, relation=True)
    if _holds(said.statement, true):
        return found
    if script.wrong and _holds(said.statement, lookup(script, script.own, said.statement)):
        return found._replace(verdict="carried")
    return found._replace(verdict="wrong", method=False)


def _holds(statement: Statement, names: Mapping[str, Measure]) -> bool:
    """Whether all sides are equal within what was typed, units left out where one lacks them."""
    first, *others = statement.sides
    return all(_equal(first, other, names) for other in others)


def _equal(left: Expression, right: Expression, names: Mapping[str, Measure]) -> bool:
    try:
        one, other = evaluate(left, names), evaluate(right, names)
        if one.dims != other.dims:
            numbers = {name: plain(measure) for name, measure in names.items()}
            one, other = evaluate(left, numbers), evaluate(right, numbers)
    except Refusal:
        return False
    if one.dims != other.dims:
        return False
    half = other.half if other.one_number and other.figures > 1 else None
    return _near(one.value, other.value, half)


def _near(one: Value, other: Value, half: Fraction | None) -> bool:
    if in_letters(one) or in_letters(other):
        return bool(one == other)
    room = max(half or Fraction(0), RELATIVE_TOLERANCE * abs(Fraction(one)))
    return abs(Fraction(one) - Fraction(other)) <= room


def true_in_values(script: Script, said: Said) -> Grade | None:
    """A statement in names that holds with their true values, if it gives none a value."""
    assert said.statement is not None
    if said.names or said.statement.turned or len(said.statement.sides) < 2:
        return None
    found, powers = _all_named(script, said.statement), script.walk.problem.powers
    values = measured(script, found, script.walk.truth)
    if not found or not equal_in_usual_units(said.statement.sides, values, powers):
        return None
    last = found[names_in(*said.statement.sides)[-1]]
    about = next((q for q in found.values() if q not in script.stated), last)
    return Grade(about, "right", method=True, relation=True)
