"""Two missing capacitances from two things known of both, exactly."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from grammar.records import PairTotal, SoughtPair
from tutor.circuit.surds import settled, square_root
from tutor.circuit.values import Value


class Straight(NamedTuple):
    """The first of two capacitances is ``times`` the second and ``more`` on top, in farads."""

    times: Fraction
    more: Fraction


def in_order(pair: SoughtPair) -> SoughtPair:
    """The same with the facts as they are used: a ratio first, then a difference, then a sum, a
    chain last. The names stand so that the first of the facts is told of the first of them.
    """
    rank = ("ratio", "difference", "parallel", "series")
    first, second = sorted(pair.facts, key=lambda fact: rank.index(fact.kind))
    if not first.turned:
        return SoughtPair(pair.names, (first, second))
    one, other = pair.names
    return SoughtPair(
        (other, one), (first._replace(turned=False), second._replace(turned=not second.turned))
    )


def equation_of(pair: SoughtPair) -> tuple[Fraction, ...]:
    """What the second capacitance of a pair in order, in farads, makes nought: the highest power
    first.
    """
    first, second = pair.facts
    one, other = _straight(first), _straight(second)
    assert one is not None, "at most one of two different facts is a chain"
    if other is not None:
        return (one.times - other.times, one.more - other.more)
    chain = second.worth.value
    # C1 C2 = C (C1 + C2), with C1 = times C2 + more
    return (one.times, one.more - chain * (1 + one.times), -chain * one.more)


def solution_of(pair: SoughtPair) -> tuple[Value, Value] | None:
    """Both values above nought, in the order of the names; None where no two fit.

    Of a sum and a chain the two may change places: the larger one is then taken as the first.
    """
    one = _straight(pair.facts[0])
    assert one is not None, "at most one of two different facts is a chain"
    found = [
        (settled(one.times * value + one.more), value) for value in _roots(equation_of(pair))
    ]
    above = [each for each in found if all(value > 0 for value in each)]
    return max(above, key=lambda each: each[0], default=None)


def _straight(fact: PairTotal) -> Straight | None:
    """What one fact makes of the first capacitance; None where the two are in series."""
    worth = fact.worth.value
    match fact.kind:
        case "parallel":
            return Straight(Fraction(-1), worth)
        case "difference":
            return Straight(Fraction(1), -worth if fact.turned else worth)
        case "ratio":
            return Straight(1 / worth if fact.turned else worth, Fraction(0))
        case _:
            return None


def _roots(equation: tuple[Fraction, ...]) -> list[Value]:
    *squares, slope, rest = equation
    (square,) = squares or [Fraction(0)]
    if square == 0:
        return [-rest / slope] if slope else []
    below = slope * slope - 4 * square * rest
    if below < 0:
        return []
    root = square_root(below)
    return [settled((-slope + sign * root) / (2 * square)) for sign in (1, -1)]
