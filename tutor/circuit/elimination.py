"""The balances of floating points solved by hand: one potential after the other put into the rest.

The last point is put into the others first, so that the first point is found first and the others
follow in order. Everything is exact; letters are sympy expressions.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.charge_balance import PointBalance
from tutor.circuit.values import Value, same, tidy


class EliminationRow(NamedTuple):
    """``own`` times the potential of ``point`` is ``given`` times the potential of the + end and
    each of ``others`` times the potential of that point. The − end is at nought.
    """

    point: str
    own: Value
    given: Value
    others: tuple[tuple[str, Value], ...]


class Elimination(NamedTuple):
    """``put`` are the points from the last to the second, each by those before it (``own`` is 1);
    ``first`` is what is then left for the first point, no other in it.
    """

    put: tuple[EliminationRow, ...]
    first: EliminationRow


def eliminate(equations: Sequence[PointBalance], ends: tuple[str, str]) -> Elimination:
    """Put one point after the other into the balances of those before it."""
    rows = [_row(equation, ends) for equation in equations]
    put: list[EliminationRow] = []
    while len(rows) > 1:
        *rest, last = rows
        solved = _divided(last)
        put.append(solved)
        rows = [_with(row, solved) for row in rest]
    return Elimination(tuple(put), rows[0])


def _row(equation: PointBalance, ends: tuple[str, str]) -> EliminationRow:
    values = dict(equation.others)
    given = values.pop(ends[0], Fraction(0))
    values.pop(ends[1], None)
    return EliminationRow(equation.point, equation.own, given, tuple(values.items()))


def _divided(row: EliminationRow) -> EliminationRow:
    others = tuple((point, tidy(value / row.own)) for point, value in row.others)
    return EliminationRow(row.point, Fraction(1), tidy(row.given / row.own), others)


def _with(row: EliminationRow, solved: EliminationRow) -> EliminationRow:
    """A row with another point put in; its own point may come back, and is taken to the left."""
    values = dict(row.others)
    weight = values.pop(solved.point, Fraction(0))
    if same(weight, Fraction(0)):
        return row
    own = row.own
    for point, value in solved.others:
        if point == row.point:
            own = tidy(own - weight * value)
        else:
            values[point] = tidy(values.get(point, Fraction(0)) + weight * value)
    given = tidy(row.given + weight * solved.given)
    return EliminationRow(row.point, own, given, tuple(values.items()))
