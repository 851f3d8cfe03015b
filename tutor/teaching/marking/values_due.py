"""What is due next in working about a network, and how well a value fits it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from grammar.answers import DIMS
from grammar.expressions import Num, Op
from tutor.circuit.steps import Choice
from tutor.circuit.values import in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.by_numbers import last_measure
from tutor.teaching.marking.carrying import gauge_of, subject_of
from tutor.teaching.marking.grading import Statement, how_well, recognised
from tutor.teaching.marking.routes import Group
from tutor.teaching.marking.scheme import in_order, needs, scheme_lines
from tutor.teaching.marking.script import Script, lookup, meant_by
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.which_fits import best_fitting
from tutor.teaching.quantities import DIMENSION, Quantity, Symbol
from tutor.teaching.ways_of_walk import canonical


class Target(NamedTuple):
    """A quantity that a statement is about; ``guessed`` where only its value suggests it, and
    ``broken`` where it would be the equivalent of a group that is none. ``level`` is a group once
    points at one potential are made one; ``is_shown`` where a wrong way shows what it is meant for.
    """

    quantity: Quantity
    guessed: bool = False
    broken: Group | None = None
    level: Choice | None = None
    is_shown: bool = False


def symbol_of(script: Script, said: Said) -> Symbol | None:
    """What kind of quantity the unit of the last side says it is."""
    measure = last_measure(script, said)
    if measure is None:
        return None
    if measure.bare:
        return _symbol_of_sum(script, said)
    symbols: tuple[Symbol, ...] = ("C", "Q", "V", "E")
    kinds = {DIMS[Quantity(symbol).dimension]: symbol for symbol in symbols}
    return kinds.get(measure.dims)


def is_of_another_kind(script: Script, target: Target, said: Said) -> bool:
    """Whether the unit of the last side is that of a quantity of another kind."""
    symbol = (
        symbol_of(script, said) if (last := last_measure(script, said)) and not last.bare else None
    )
    return symbol is not None and DIMENSION[symbol] != target.quantity.dimension


def _symbol_of_sum(script: Script, said: Said) -> Symbol | None:
    """The one kind of quantity in a sum of names, or of the known values one of which is taken off
    the other, whose value has that kind too.
    """
    assert said.statement is not None
    first = said.statement.sides[0]
    if isinstance(first, Op) and first.sign == "-":
        one, other = first.left, first.right
        if isinstance(one, Num) and isinstance(other, Num):
            kinds = _symbols_worth(script, one) & _symbols_worth(script, other)
            return next(iter(kinds), None)
    symbols = {each.symbol for each in meant_by(script, (first,)).values()}
    is_sum = isinstance(first, Op) and first.sign in "+-"
    return next(iter(symbols)) if is_sum and len(symbols) == 1 else None


def _symbols_worth(script: Script, number: Num) -> set[Symbol]:
    """The kinds of quantity, charge or p.d., of which a known value is this number."""
    known_now = {**script.walk.known, **script.stated}
    powers = script.walk.problem.powers
    return {
        quantity.symbol
        for quantity, value in known_now.items()
        if quantity.symbol in ("Q", "V") and not in_letters(value)
        if close(number.value * Fraction(10) ** powers[quantity.dimension], value)
    }


def due_next(script: Script, symbol: Symbol | None) -> Iterator[Quantity]:
    """What is not stated yet, in the order of working: what earns marks before the rest."""
    scheme = [line.quantity for line in scheme_lines(script.walk)]
    known_now = {canonical(script.walk, q) for q in script.walk.known}
    for quantity in dict.fromkeys([*scheme, *in_order(script.walk)]):
        if quantity in known_now or quantity.point is not None:
            continue
        if quantity in script.stated and quantity not in script.doubtful:
            continue
        if quantity in script.walk.truth and symbol in (None, quantity.symbol):
            yield quantity


def by_value(
    script: Script, statement: Statement, symbol: Symbol | None
) -> Quantity | None:
    """The first quantity due that the value is right for, or follows for."""
    due = due_next(script, symbol)
    ready = (q for q in due if symbol is not None or _is_ready(script, q))
    return best_fitting(ready, lambda quantity: rank_of(script, quantity, statement))


def states_whole(script: Script, said: Said, parts: Mapping[str, Quantity]) -> bool:
    """Whether a sum of charges, p.d.s or energies is given the value of one that is due."""
    assert said.statement is not None
    symbol = next(q.symbol for q in parts.values() if q.symbol != "C")
    last = said.statement._replace(sides=said.statement.sides[-1:])
    found = by_value(script, last, symbol)
    return found is not None and found not in parts.values()


def _is_ready(script: Script, quantity: Quantity) -> bool:
    """Whether a number without name and unit may be this: what it rests on stands already."""
    if quantity.symbol == "C":
        return True
    known_now = {canonical(script.walk, q) for q in (*script.walk.known, *script.stated)}
    return needs(script.walk, quantity) <= known_now


def rank_of(script: Script, quantity: Quantity, statement: Statement) -> int:
    """How well a statement fits a quantity."""
    worth = lookup(script, script.own, statement)
    return how_well(gauge_of(script.own, quantity), statement, worth)


def is_recognised(script: Script, quantity: Quantity, statement: Statement) -> bool:
    """Whether a value that fits nothing is what a known slip gives for this quantity."""
    worth = lookup(script, script.own, statement)
    found = recognised(subject_of(script.own, quantity), statement, worth)
    return found is not None and bool(found.malrules)
