"""Which capacitors a statement combines, by the numbers that stand in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from grammar.answers import DIMS, Measure, as_si, evaluate
from grammar.expressions import Expression, Num, Op, parts_of
from grammar.measures import PURE
from grammar.records import Refusal
from tutor.circuit.joining import JOININGS
from tutor.circuit.steps import Choice, Fault, choices, examine
from tutor.circuit.values import Value, in_letters, same
from tutor.teaching.marking.fitting import numbers_in
from tutor.teaching.marking.grading import Statement
from tutor.teaching.marking.routes import (
    Group,
    group_named,
    group_valued,
    groups_with,
    groups_worth,
    with_levels_joined,
)
from tutor.teaching.marking.script import Script, lookup
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.true_in_numbers import holds
from tutor.teaching.marking.unknowns import terms_of
from tutor.teaching.marking.which_fits import last_worth


def group_by_numbers(
    script: Script, statement: Statement, is_unnamed: bool = False
) -> Choice | None:
    """The group whose members' numbers, or values in letters, stand in the first side; where it is
    unnamed, beside their sum too, as in 15·10/25.
    """
    worth = lookup(script, script.own, statement)
    power = script.walk.problem.powers["capacitance"]
    numbers = _capacitances_in(script, statement)
    without_ones = [n for n in numbers if n != 1]
    *others, last = numbers or [Fraction(0)]
    without_sum = others if is_unnamed and sum(others) == last else numbers
    capacitances = _capacitances(script)
    reached: list[Value] = []
    for side in statement.sides:
        try:
            measure = evaluate(side, worth)
        except Refusal:
            return None
        if measure.value == 0:
            continue
        if in_letters(measure.value):
            reached.append(measure.value)
            continue
        scale = Fraction(10) ** power if measure.bare else Fraction(1)
        reached += [measure.value * scale, scale / measure.value, 1 / (measure.value * scale)]
    unit = Fraction(10) ** power
    in_numbers = [[n * unit for n in chosen] for chosen in (numbers, without_ones, without_sum)]
    for values in (*in_numbers, _added_in_letters(statement, worth)):
        choice = group_valued(script.walk, values, capacitances, reached)
        if choice is not None:
            return choice
    return None


def _added_in_letters(statement: Statement, worth: Mapping[str, Measure]) -> list[Value]:
    """The values in letters of which the first side is the sum, or the product over the sum."""
    first = statement.sides[0]
    terms = terms_of(first.right if isinstance(first, Op) and first.sign == "/" else first)
    values = [evaluate(term, worth).value for term in terms]
    return values if all(in_letters(value) for value in values) else []


def joined_wrongly_in_letters(script: Script, statement: Statement) -> Group | None:
    """The parallel set of whose values in letters the first side is the product over their sum, as
    if they stood in a chain, or the chain of which it is the sum.
    """
    worth, (first, *_) = lookup(script, script.own, statement), statement.sides
    if statement.turned or not isinstance(first, Op):
        return None
    is_chained = first.sign == "/"
    terms = _letters_of_product(first.left) if is_chained else terms_of(first)
    values = [evaluate(term, worth).value for term in terms]
    if len(values) < len("ab") or not all(map(in_letters, values)):
        return None
    made = JOININGS["series" if is_chained else "parallel"]
    reached = evaluate(statement.sides[-1], worth).value
    for group in groups_worth(script.walk, values, _capacitances(script)):
        kind = group.judged.kind if isinstance(group.judged, Choice) else made.way
        if kind != made.way and same(made.equivalent(values), reached):
            return group
    return None


def _letters_of_product(side: Expression) -> list[Expression]:
    """The factors of a product, each number with the letter behind it: 2C and 4C of 2C*4C."""
    found: list[Expression] = []
    for factor in _factors(side):
        if found and isinstance(found[-1], Num) and not isinstance(factor, Num):
            found[-1] = Op("*", found[-1], factor)
        else:
            found.append(factor)
    return found


def _factors(side: Expression) -> Iterator[Expression]:
    if isinstance(side, Op) and side.sign == "*":
        yield from _factors(side.left)
        yield from _factors(side.right)
    else:
        yield side


def broken_by_numbers(script: Script, said: Said) -> Group | None:
    """Capacitors that are no group, put together by their numbers to a value with its unit."""
    statement, last = said.statement, last_measure(script, said)
    if statement is None or last is None or last.dims != DIMS["capacitance"]:
        return None
    if len(statement.sides) < 2 or statement.turned or not holds(statement):
        return None
    numbers = [n for n in _capacitances_in(script, statement) if n != 1]
    capacitances = _capacitances(script)
    groups = list(groups_with(script.walk, numbers, capacitances))
    if any(isinstance(group.judged, Choice) for group in groups):
        return None  # that group, combined by a wrong rule
    for group in groups:
        values = [capacitances[name] for name in group.names]
        made = (joining.equivalent(values) for joining in JOININGS.values())
        if isinstance(group.judged, Fault) and any(same(last.value, each) for each in made):
            return group
    return None


def chains_all(script: Script, statement: Statement) -> bool:
    """Whether one over each capacitor that is left, by its number or its name, is added up as if
    all stood in one chain, which they do not.
    """
    values = list(_capacitances(script).values())
    group = group_named(script.walk, _capacitances(script))
    if group is None or isinstance(group.judged, Choice):
        return False
    first, power = statement.sides[0], script.walk.problem.powers["capacitance"]
    if not statement.turned or len(values) <= len("ab") or any(map(in_letters, values)):
        return False
    ones = [part for part in parts_of(first) if isinstance(part, Op) and part.sign == "/"]
    try:
        measure = evaluate(first, lookup(script, script.own, statement))
    except Refusal:
        return False
    if len(ones) != len(values) or not isinstance(measure.value, Fraction) or not measure.value:
        return False
    made = 1 / measure.value * (Fraction(10) ** power if measure.bare else 1)
    return same(made, JOININGS["series"].equivalent(values))


def level_by_numbers(script: Script, said: Said) -> Group | None:
    """Capacitors that are a group once points at one potential are made one, put together by their
    numbers to what they make so, or those that make a value that stands alone.
    """
    joined, last = with_levels_joined(script.walk), last_measure(script, said)
    if joined is None or last is None or said.statement is None or not holds(said.statement):
        return None
    if last.dims not in (PURE, DIMS["capacitance"]):
        return None
    worth = as_si(last, "capacitance", script.walk.problem.powers["capacitance"])
    capacitances = _capacitances(script)
    numbers = _capacitances_in(script, said.statement)
    tried = list(groups_with(script.walk, numbers, capacitances))
    if len(numbers) == 1:
        named = (group_named(script.walk, choice.names) for choice in choices(joined))
        tried = [each for each in named if each and capacitances.keys() >= set(each.names)]
    for group in tried:
        level = examine(joined, group.names)
        if not isinstance(group.judged, Fault) or not isinstance(level, Choice):
            continue
        values = [capacitances[name] for name in group.names]
        if same(JOININGS[level.kind].equivalent(values), worth):
            return group
    return None


def _capacitances_in(script: Script, statement: Statement) -> list[Fraction]:
    """The numbers of the first side, as capacitances in the usual unit."""
    power = script.walk.problem.powers["capacitance"]
    return [
        n.value * Fraction(10) ** (n.unit.power - power) if n.unit else n.value
        for n in numbers_in(statement.sides[0])
    ]


def _capacitances(script: Script) -> dict[str, Value]:
    """The learner's values of the capacitors that are left."""
    left = script.walk.network.capacitors
    return {c.name: value for c in left if (value := script.own.get("C", c.name)) is not None}


def last_measure(script: Script, said: Said) -> Measure | None:
    """What the last side of a statement comes to, None where that cannot be told."""
    assert said.statement is not None
    return last_worth(said.statement, lookup(script, script.own, said.statement))
