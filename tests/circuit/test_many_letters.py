"""Answers in letters: a bound on their length, and their worth against the nodal method."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import combinations

import pytest
import sympy

from grammar.reading import read_network
from grammar.records import Refusal
from tests.nodal import Edge
from tests.nodal import solve as by_nodes
from tutor.circuit.charge_balance import balance
from tutor.circuit.many_letters import MOST_TERMS, ValueBetween, most_terms
from tutor.circuit.network import Network, build
from tutor.circuit.values import in_letters


def complete(points: int) -> str:
    """Every two of so many points joined by a capacitor with a letter of its own."""
    names = "ABPRSTX"[:points]
    joins = (
        f"C{at} = c{at} from {one} to {other}"
        for at, (one, other) in enumerate(combinations(names, 2), start=1)
    )
    return "; ".join(joins) + "; ends A and B"


def built(text: str) -> Network:
    return build(read_network(text)).network


def terms(text: str) -> int:
    network = built(text)
    between = [ValueBetween(c.value, c.start, c.end) for c in network.capacitors]
    return most_terms(between, network.ends)


def in_order(letters: int) -> str:
    """A ladder with a letter of its own on every rung and between."""
    text = f"c{letters}"
    for at in range(letters - 1, 0, -1):
        text = f"(c{at} {'--' if at % 2 else '||'} {text})"
    return text


@pytest.mark.parametrize("text", [complete(5), in_order(12)])
def test_the_bound_is_reached_where_every_letter_stands_once(text: str) -> None:
    network = built(text)
    capacitance = balance(network).capacitance
    assert in_letters(capacitance)
    both = [sympy.Poly(sympy.expand(part)).terms() for part in sympy.fraction(capacitance)]
    assert sum(map(len, both)) == terms(text) <= MOST_TERMS


def test_five_points_have_the_trees_that_cayley_counts() -> None:
    """n^(n−2), and 2 n^(n−3) with two points made one (A. Cayley, Quart. J. Math. 23, 1889)."""
    assert terms(complete(5)) == 5**3 + 2 * 5**2


def test_ten_letters_between_five_points_are_worth_what_the_nodal_method_finds() -> None:
    network = built(complete(5))
    capacitance = balance(network).capacitance
    assert in_letters(capacitance)
    worth = {f"c{at}": Fraction(at * at + 3, at + 2) for at in range(1, 11)}
    by_letter = {s: sympy.Rational(worth[str(s)]) for s in capacitance.free_symbols}
    found = Fraction(str(capacitance.subs(by_letter)))
    edges = [Edge(c.name, worth[f"c{c.name[1:]}"], c.start, c.end) for c in network.capacitors]
    assert found == by_nodes(edges, [], ("A", "B")).capacitance


@pytest.mark.parametrize("text", [complete(6), complete(7), in_order(16), in_order(30)])
def test_what_could_fill_pages_is_refused_with_what_would_do(text: str) -> None:
    with pytest.raises(Refusal, match="numbers, or the same letter"):
        build(read_network(text))


def test_one_letter_for_all_and_long_chains_are_taken() -> None:
    assert terms(re.sub("c[0-9]+", "C", in_order(30))) == 31
    assert terms(" -- ".join(f"c{at}" for at in range(1, 41))) == 41


def test_a_part_joined_to_nothing_else_does_not_hide_the_rest() -> None:
    apart = "; C16 = c16 from Y to Z; C17 = c17 from Y to Z"
    assert terms(complete(5) + apart) == 2 * terms(complete(5))
