"""Ladders without end: the root of the equation, and cut-off ladders closing in on it.

The self-similar argument is common practice, no source; the second opinion is the nodal method on
ladders of many sections.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Letter
from tests import nodal
from tests.nodal import Edge
from tests.sampled import some
from tests.strategies import small_fractions
from tutor.circuit.ladders import cut_off, endless, times_shunt
from tutor.circuit.surds import near, settled, square_root
from tutor.circuit.values import Value, value_of

F = Fraction


def by_nodes(series: Fraction, shunt: Fraction, sections: int, wired: bool) -> Fraction:
    points = ["A", *(f"P{n}" for n in range(1, sections + 1))]
    edges = []
    for n, (here, onward) in enumerate(pairwise(points), start=1):
        edges.append(Edge(f"S{n}", series, here, onward))
        edges.append(Edge(f"X{n}", shunt, onward, "B"))
    wires = ((points[-1], "B"),) if wired else ()
    return nodal.solve(edges, wires, ("A", "B")).capacitance


@settings(max_examples=some(30))
@given(small_fractions(), small_fractions(), st.integers(1, 6), st.booleans())
def test_a_cut_off_ladder_is_that_of_the_nodal_method(
    series: Fraction, shunt: Fraction, sections: int, wired: bool
) -> None:
    assert cut_off(series, shunt, sections, wired) == by_nodes(series, shunt, sections, wired)


@settings(max_examples=some(50))
@given(small_fractions(), small_fractions())
def test_the_whole_lies_between_and_fits_its_own_equation(
    series: Fraction, shunt: Fraction
) -> None:
    whole = endless(series, shunt).whole
    one_section_more = 1 / (1 / series + 1 / (shunt + whole))
    assert settled(one_section_more) == settled(whole)
    below = [cut_off(series, shunt, n) for n in (1, 2, 8)]
    above = [cut_off(series, shunt, n, wired=True) for n in (8, 2, 1)]
    ordered = [*below, near(whole), *above]
    assert ordered == sorted(ordered)
    assert len(set(ordered)) == len(ordered)


@pytest.mark.parametrize(
    ("series", "shunt", "whole"),
    [(2, 1, F(1)), (6, 3, F(3)), (6, 1, F(2)), (12, 1, F(3)), (3, 4, F(2))],
)
def test_ladders_that_come_out_whole(series: int, shunt: int, whole: Fraction) -> None:
    assert endless(F(series), F(shunt)).whole == whole


def test_equal_capacitors_give_the_golden_section() -> None:
    """(√5 − 1)/2: two neighbours of the Fibonacci numbers are one over the other, more and more."""
    whole = endless(F(1), F(1)).whole
    assert whole == settled((square_root(F(5)) - 1) / 2)
    assert cut_off(F(1), F(1), 5) == F(55, 89)
    assert times_shunt(F(1)) == whole


def test_letters() -> None:
    def letter(symbol: str, factor: int = 1) -> Value:
        return value_of(Letter(symbol, F(factor)))

    c = letter("C")
    assert endless(letter("C", 2), c).whole == c
    one, two = letter("C1"), letter("C2")
    whole = endless(one, two).whole
    assert (whole**2 + two * whole - one * two).expand() == 0
    at = whole.subs({one: 6, two: 3})
    assert at == 3
