"""Potentials of floating points by charge balance: exact, for any network.

No charge can reach a piece of metal that only capacitor plates touch, so the charges of its
plates add to nought: Σ C (V_P − V_j) = 0 over the capacitors at P. For one point that is
V_P = Σ C_j V_j / Σ C_j; for several it is a set of linear equations, one for each point.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import gcd, lcm
from typing import Final, NamedTuple, TypeAlias

from tutor.circuit.network import Network
from tutor.circuit.values import Value, in_letters, tidy

# Whole numbers by the place of their unknown; the right side has a place of its own.
_Row: TypeAlias = dict[int, int]
_RIGHT: Final = -1


class PointBalance(NamedTuple):
    """The balance at one point: ``own`` times its potential less each ``others`` value times the
    potential of that point is nought. Values are capacitances in farads.
    """

    point: str
    own: Value
    others: tuple[tuple[str, Value], ...]


class Balance(NamedTuple):
    """The equations, and the potential of every point as a share of the p.d. between the ends.

    A share is 1 at the + end and 0 at the − end. ``capacitance`` is that of the whole: the charge
    on all plates at the + end over the p.d.
    """

    equations: tuple[PointBalance, ...]
    shares: Mapping[str, Value]
    capacitance: Value


def balance(network: Network) -> Balance:
    """Solve a network in which every point is joined to the ends by capacitors."""
    equations = balance_equations(network)
    shares = dict(zip((e.point for e in equations), _solve(equations, network), strict=True))
    plus, minus = network.ends
    shares[plus], shares[minus] = Fraction(1), Fraction(0)
    drawn: Value = Fraction(0)
    for c in network.meeting(plus):
        other = c.end if c.start == plus else c.start
        drawn = drawn + c.value * (1 - shares[other])
    ordered = {point: shares[point] for point in network.points()}
    return Balance(equations, ordered, tidy(drawn))


def balance_equations(network: Network) -> tuple[PointBalance, ...]:
    """One equation for each inner point, in the order of the points."""
    around: dict[str, dict[str, Value]] = {p: {} for p in network.points()[1:-1]}
    for c in network.capacitors:
        if c.start == c.end:
            continue
        for here, there in ((c.start, c.end), (c.end, c.start)):
            if here in around:
                around[here][there] = around[here].get(there, Fraction(0)) + c.value
    return tuple(
        PointBalance(point, tidy(_total(list(others.values()))), tuple(others.items()))
        for point, others in around.items()
    )


def _total(values: list[Value]) -> Value:
    total: Value = Fraction(0)
    for value in values:
        total = total + value
    return total


def _solve(equations: tuple[PointBalance, ...], network: Network) -> list[Value]:
    if any(in_letters(e.own) for e in equations):
        return _solve_in_letters(equations, network)
    return list(_solve_in_numbers(equations, network))


def _solve_in_numbers(equations: tuple[PointBalance, ...], network: Network) -> list[Fraction]:
    """Whole numbers only: each equation is multiplied by what its fractions need."""
    place = {e.point: at for at, e in enumerate(equations)}
    rows: list[_Row] = []
    for e in equations:
        values = [Fraction(e.own), *(Fraction(value) for _, value in e.others)]
        scale = lcm(*(value.denominator for value in values))
        own, *others = (value.numerator * (scale // value.denominator) for value in values)
        row = {place[e.point]: own}
        for (other, _), number in zip(e.others, others, strict=True):
            if other in place:
                row[place[other]] = -number
            elif other == network.ends[0]:
                row[_RIGHT] = number
        rows.append(row)
    return _solve_sparse(rows)


def solve_rows(rows: list[list[int]]) -> list[Fraction]:
    """Solve as many balance equations as unknowns; the last number of a row is its right side.

    They must be charge balances but for a positive factor each: whatever pulls a point is pulled
    by it, with the sign of a pull, and every point is joined, over others, to a known one.
    """
    size = len(rows)
    return _solve_sparse([
        {_RIGHT if at == size else at: number for at, number in enumerate(row) if number}
        for row in rows
    ])


def solve_values(rows: list[list[Value]]) -> list[Value]:
    """The same for values that may be in letters."""
    import sympy

    unknown = [sympy.Symbol(f"level_{at}") for at in range(len(rows))]
    sums = [
        sum((value * level for value, level in zip(row, unknown, strict=False)), -row[-1])
        for row in rows
    ]
    (solution,) = sympy.linsolve(sums, unknown)
    return [tidy(value) for value in solution]


def _solve_sparse(rows: list[_Row]) -> list[Fraction]:
    """Put in the point with the fewest neighbours first, so that little fills up.

    The whole numbers of a row are divided by what they have in common, which keeps them short. No
    entry beside the diagonal can cancel, since all pulls have one sign, and the diagonal stays
    above nought, since the equations are positive definite.
    """
    waiting = set(range(len(rows)))
    order: list[int] = []
    while waiting:
        at = min(waiting, key=lambda place: len(rows[place]))
        waiting.remove(at)
        order.append(at)
        for other in rows[at]:
            if other not in (at, _RIGHT):
                rows[other] = _put_in(rows[other], rows[at], at)
    found = [Fraction(0)] * len(rows)
    for at in reversed(order):
        row = rows[at]
        total = Fraction(row.get(_RIGHT, 0))
        for other, number in row.items():
            if other not in (at, _RIGHT):
                total -= number * found[other]
        found[at] = total / row[at]
    return found


def _put_in(row: _Row, solved: _Row, at: int) -> _Row:
    """The row without its entry at a place, by the row of that place."""
    pivot, factor = solved[at], row[at]
    common = gcd(pivot, factor)
    pivot, factor = pivot // common, factor // common
    grown = {other: number * pivot for other, number in row.items() if other != at}
    for other, number in solved.items():
        if other != at:
            grown[other] = grown.get(other, 0) - number * factor
    common = gcd(*grown.values())
    return {other: number // common for other, number in grown.items()}


def _solve_in_letters(equations: tuple[PointBalance, ...], network: Network) -> list[Value]:
    import sympy

    unknown = {e.point: sympy.Symbol(f"share_{e.point}") for e in equations}
    known = {network.ends[0]: sympy.Integer(1), network.ends[1]: sympy.Integer(0)}
    level = {**unknown, **known}
    sums = [
        e.own * level[e.point] - sum(value * level[other] for other, value in e.others)
        for e in equations
    ]
    (solution,) = sympy.linsolve(sums, list(unknown.values()))
    return [tidy(value) for value in solution]
