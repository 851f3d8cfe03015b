"""Potentials of floating points by charge balance: exact, for any network.

No charge can reach a piece of metal that only capacitor plates touch, so the charges of its
plates add to nought: Σ C (V_P − V_j) = 0 over the capacitors at P. For one point that is
V_P = Σ C_j V_j / Σ C_j; for several it is a set of linear equations, one for each point.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from functools import reduce
from math import gcd, lcm
from operator import floordiv
from typing import Any, Final, NamedTuple, TypeAlias

from tutor.circuit.network import Network
from tutor.circuit.values import Value, fraction_field, in_field, in_letters, of_field, tidy

# Whole numbers, or polynomials, by the place of their unknown; the right side has one of its own.
_Row: TypeAlias = dict[int, Any]
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
    place = {e.point: at for at, e in enumerate(equations)}
    rows: list[dict[int, Value]] = []
    for e in equations:
        row = {place[e.point]: e.own}
        for other, value in e.others:
            if other in place:
                row[place[other]] = -value
            elif other == network.ends[0]:
                row[_RIGHT] = value
        rows.append(row)
    return _solve_sparse(rows)


def solve_rows(rows: Sequence[Sequence[Value]]) -> list[Value]:
    """Solve as many balance equations as unknowns; the last value of a row is its right side.

    They must be charge balances but for a positive factor each: whatever pulls a point is pulled
    by it, with the sign of a pull, and every point is joined, over others, to a known one.
    """
    size = len(rows)
    return _solve_sparse([
        {_RIGHT if at == size else at: value for at, value in enumerate(row) if value != 0}
        for row in rows
    ])


class _Arithmetic(NamedTuple):
    """Work without fractions: on whole numbers, or on polynomials where there are letters.

    ``share`` is what is left of the right side less each pull times what is known of its point,
    over the last entry; ``value`` what is found so as a value.
    """

    common: Callable[..., Any]
    part: Callable[[Any, Any], Any]
    share: Callable[[Any, list[tuple[Any, Any]], Any], Any]
    value: Callable[[Any], Value]


def _share(right: int, pulls: list[tuple[int, Fraction]], own: int) -> Fraction:
    """In whole numbers over one denominator, so that only the last is brought to lowest terms."""
    below = lcm(*(known.denominator for _, known in pulls))
    above = right * below - sum(
        number * known.numerator * (below // known.denominator) for number, known in pulls
    )
    return Fraction(above, own * below)


def _solve_sparse(given: list[dict[int, Value]]) -> list[Value]:
    """Put in the point with the fewest neighbours first, so that little fills up.

    What the entries of a row have in common is divided out, which keeps them short. No entry
    beside the diagonal can cancel, since all pulls have one sign, and the diagonal stays above
    nought, since the equations are positive definite.
    """
    rows, arithmetic = _whole(given)
    waiting = set(range(len(rows)))
    order: list[int] = []
    while waiting:
        at = min(waiting, key=lambda place: len(rows[place]))
        waiting.remove(at)
        order.append(at)
        for other in rows[at]:
            if other not in (at, _RIGHT):
                rows[other] = _put_in(rows[other], rows[at], at, arithmetic)
    found: list[Any] = [None] * len(rows)
    for at in reversed(order):
        row = rows[at]
        pulls = [(row[other], found[other]) for other in row if other not in (at, _RIGHT)]
        found[at] = arithmetic.share(row.get(_RIGHT, 0), pulls, row[at])
    return [arithmetic.value(each) for each in found]


def _whole(given: list[dict[int, Value]]) -> tuple[list[_Row], _Arithmetic]:
    """The same rows without fractions, each multiplied by what its entries need."""
    values = [value for row in given for value in row.values()]
    if not any(map(in_letters, values)):
        rows: list[_Row] = []
        for row in given:
            scale = lcm(*(value.denominator for value in row.values()))
            rows.append({
                at: value.numerator * (scale // value.denominator) for at, value in row.items()
            })
        return rows, _Arithmetic(gcd, floordiv, _share, lambda found: found)
    field = fraction_field(values)
    rows = []
    for row in given:
        within = {at: in_field(field, value) for at, value in row.items()}
        scale = reduce(lambda one, other: one.lcm(other), (v.denom for v in within.values()))
        rows.append({at: value.numer * scale.exquo(value.denom) for at, value in within.items()})
    return rows, _Arithmetic(
        lambda *several: reduce(lambda one, other: one.gcd(other), several),
        lambda whole, common: whole.exquo(common),
        lambda right, pulls, own: (
            sum((-field(number) * known for number, known in pulls), field(right)) / field(own)
        ),
        of_field,
    )


def _put_in(row: _Row, solved: _Row, at: int, arithmetic: _Arithmetic) -> _Row:
    """The row without its entry at a place, by the row of that place."""
    part = arithmetic.part
    common = arithmetic.common(solved[at], row[at])
    pivot, factor = part(solved[at], common), part(row[at], common)
    grown = {other: number * pivot for other, number in row.items() if other != at}
    for other, number in solved.items():
        if other != at:
            grown[other] = grown.get(other, 0) - number * factor
    common = arithmetic.common(*grown.values())
    return {other: part(number, common) for other, number in grown.items()}
