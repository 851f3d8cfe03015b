"""Potentials of floating points by charge balance: exact, for any network.

No charge can reach a piece of metal that only capacitor plates touch, so the charges of its
plates add to nought: Σ C (V_P − V_j) = 0 over the capacitors at P. For one point that is
V_P = Σ C_j V_j / Σ C_j; for several it is a set of linear equations, one for each point.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import lcm
from typing import NamedTuple

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.values import Value, in_letters, tidy


class Equation(NamedTuple):
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

    equations: tuple[Equation, ...]
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


def balance_equations(network: Network) -> tuple[Equation, ...]:
    """One equation for each inner point, in the order of the points."""
    around: dict[str, dict[str, Value]] = {p: {} for p in network.points()[1:-1]}
    for c in network.capacitors:
        if c.start == c.end:
            continue
        for here, there in ((c.start, c.end), (c.end, c.start)):
            if here in around:
                around[here][there] = around[here].get(there, Fraction(0)) + c.value
    return tuple(
        Equation(point, tidy(_total(list(others.values()))), tuple(others.items()))
        for point, others in around.items()
    )


def _total(values: list[Value]) -> Value:
    total: Value = Fraction(0)
    for value in values:
        total = total + value
    return total


def _solve(equations: tuple[Equation, ...], network: Network) -> list[Value]:
    if any(in_letters(e.own) for e in equations):
        return _solve_in_letters(equations, network)
    return list(_solve_in_numbers(equations, network))


def _solve_in_numbers(equations: tuple[Equation, ...], network: Network) -> list[Fraction]:
    """Bareiss elimination on whole numbers: every division comes out even, so nothing grows more
    than it must.
    """
    place = {e.point: at for at, e in enumerate(equations)}
    size = len(equations)
    rows: list[list[int]] = []
    for e in equations:
        values = [Fraction(e.own), *(Fraction(value) for _, value in e.others)]
        scale = lcm(*(value.denominator for value in values))
        row = [0] * (size + 1)
        row[place[e.point]] = int(values[0] * scale)
        for (other, _), value in zip(e.others, values[1:], strict=True):
            if other in place:
                row[place[other]] -= int(value * scale)
            elif other == network.ends[0]:
                row[size] += int(value * scale)
        rows.append(row)
    return solve_rows(rows)


def solve_rows(rows: list[list[int]]) -> list[Fraction]:
    """Solve as many balance equations as unknowns; the last number of a row is its right side.

    The rows are used up. They must be positive definite but for a positive factor each, as charge
    balances are.
    """
    size = len(rows)
    _triangle(rows)
    found = [Fraction(0)] * size
    for at in reversed(range(size)):
        rest = sum((rows[at][k] * found[k] for k in range(at + 1, size)), Fraction(0))
        found[at] = (rows[at][size] - rest) / rows[at][at]
    return found


def _triangle(rows: list[list[int]]) -> None:
    """Make all entries below the diagonal nought. The diagonal never is: each point is joined,
    over capacitors, to an end, so the equations are positive definite.
    """
    before = 1
    for at, pivot_row in enumerate(rows):
        pivot = pivot_row[at]
        for row in rows[at + 1 :]:
            factor = row[at]
            for k in range(at + 1, len(row)):
                row[k] = (row[k] * pivot - pivot_row[k] * factor) // before
            row[at] = 0
        before = pivot


def _solve_in_letters(equations: tuple[Equation, ...], network: Network) -> list[Value]:
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


def voltage_of(c: Capacitor, shares: Mapping[str, Value]) -> Value:
    """The p.d. of a capacitor, its start less its end, as a share of the p.d. between the ends."""
    return tidy(shares[c.start] - shares[c.end])
