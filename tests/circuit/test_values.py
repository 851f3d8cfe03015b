"""Exact values: numbers as fractions, letters by algebra, and the two together."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Amount, Letter
from tests.sampled import some
from tests.strategies import capacitances
from tutor.circuit.values import (
    Value,
    add_up,
    chain_sum,
    in_letters,
    parallel_sum,
    same,
    tidy,
    value_of,
)

F = Fraction
SYMBOLS = sympy.symbols("C D V", positive=True)


def test_numbers_stay_fractions() -> None:
    assert value_of(Amount(F(4, 10**6), -6)) == F(1, 250000)
    assert isinstance(tidy(3), Fraction)
    assert isinstance(add_up([F(1, 3), F(2, 3)]), Fraction)
    assert not in_letters(F(0))


def test_letters_are_positive_and_keep_their_factor() -> None:
    value = value_of(Letter("C", F(2, 3)))
    assert in_letters(value)
    (symbol,) = value.free_symbols
    assert (symbol.name, symbol.is_positive) == ("C", True)
    assert value == sympy.Rational(2, 3) * symbol


def test_names_of_sympy_are_mere_letters() -> None:
    """S, N, I and E mean something to sympy; here they are capacitances like any other."""
    for name in ("S", "N", "I", "E", "Q", "C1"):
        value = value_of(Letter(name))
        assert in_letters(value)
        assert value.is_Symbol
        assert tidy(value - value) == 0


def test_a_letter_that_cancels_leaves_a_fraction() -> None:
    c, d, _ = SYMBOLS
    assert tidy(c * d / (2 * d * c)) == F(1, 2)
    assert isinstance(tidy(c * d / (2 * d * c)), Fraction)
    assert tidy(c - c) == F(0)
    assert isinstance(tidy(c - c), Fraction)


def test_sums_are_one_fraction_in_lowest_terms() -> None:
    c, d, _ = SYMBOLS
    assert chain_sum([c, c]) == c / 2
    assert chain_sum([c, d]) == c * d / (c + d)
    assert parallel_sum([c, 2 * c, c / 2]) == 7 * c / 2
    assert chain_sum([2 * c, parallel_sum([c, c])]) == c
    assert chain_sum([F(4), F(5)]) == F(20, 9)


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        (F(1, 2), F(2, 4), True),
        (F(1, 2), F(1, 3), False),
        (SYMBOLS[0] ** 2 - 1, (SYMBOLS[0] - 1) * (SYMBOLS[0] + 1), True),
        (SYMBOLS[0], SYMBOLS[1], False),
        (SYMBOLS[0] / SYMBOLS[0], F(1), True),
        (SYMBOLS[0] + F(1, 3), SYMBOLS[0], False),
        (SYMBOLS[0], F(1), False),
    ],
)
def test_sameness_is_by_algebra(first: Value, second: Value, expected: bool) -> None:
    assert same(first, second) is expected
    assert same(second, first) is expected


@given(st.lists(capacitances(), min_size=2, max_size=6))
def test_sums_keep_their_bounds(values: list[Fraction]) -> None:
    """A chain stays below its smallest, a parallel set above its largest."""
    assert chain_sum(list(values)) < min(values)
    assert parallel_sum(list(values)) > max(values)
    assert 1 / chain_sum([1 / value for value in values]) == sum(values)


@st.composite
def expressions(draw: st.DrawFn) -> Value:
    """Sums, products and quotients of letters and fractions, never divided by nought."""
    value: Value = draw(st.sampled_from(SYMBOLS)) * sympy.Rational(draw(st.integers(1, 9)), 4)
    for _ in range(draw(st.integers(1, 5))):
        other = draw(st.sampled_from(SYMBOLS)) + draw(st.integers(0, 3))
        how = draw(st.sampled_from("+*/~"))
        if how == "+":
            value = value + other
        elif how == "*":
            value = value * other
        elif how == "/":
            value = value / other
        else:
            value = 1 / (1 / value + 1 / other)
    return value


@given(expressions(), st.lists(capacitances(), min_size=3, max_size=3))
@settings(deadline=None, max_examples=some(60))
def test_tidying_changes_no_value(value: Value, numbers: list[Fraction]) -> None:
    """Numbers in place of the letters give the same before and after."""
    at = dict(zip(SYMBOLS, (sympy.Rational(str(n)) for n in numbers), strict=True))
    neat = tidy(value)
    assert in_letters(value)
    before = value.subs(at)
    after = neat.subs(at) if in_letters(neat) else sympy.Rational(str(neat))
    assert before == after
    assert same(value, neat)
    assert tidy(neat) == neat
