"""What every capacitor holds, against the nodal method; letters against numbers in their place."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from typing import Literal

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Amount, Chain, Description, Letter, Parallel, Part
from grammar.records import Charging as Given
from grammar.records import Element as Leaf
from tests.circuit.routes import network_of, number, opinion, readings, second
from tests.sampled import some
from tests.strategies import (
    Drawn,
    as_drawn,
    capacitances,
    joined_multigraphs,
    nests,
    small_fractions,
    voltages,
)
from tutor.circuit.network import Capacitor, Network, Supply, build
from tutor.circuit.solving import NOTHING, Holding, Solution, holding_of, plus_point, solve
from tutor.circuit.values import Value, in_letters

F = Fraction
AB = ("A", "B")
LADDER = Network(
    (
        Capacitor("C1", F(4), "A", "P"),
        Capacitor("C2", F(2), "B", "P"),
        Capacitor("C3", F(3), "P", "B"),
    ),
    AB,
)


def test_ladder_worked_by_hand() -> None:
    """4 with (2 beside 3) behind it at 12 V: 20/9 in all, so 80/3 C, and 16/3 V over the pair."""
    solution = solve(LADDER, Supply("voltage", F(12)))
    assert solution.whole == Capacitor("C123", F(20, 9), "A", "B")
    assert solution.holdings["C1"] == Holding(F(20, 3), F(80, 3), F(800, 9))
    assert solution.holdings["C2"] == Holding(F(-16, 3), F(-32, 3), F(256, 9))
    assert solution.holdings["C2"].size == Holding(F(16, 3), F(32, 3), F(256, 9))
    assert solution.potentials == {"A": 12, "P": F(16, 3), "B": 0}
    plus = {c.name: plus_point(c, solution.holdings[c.name]) for c in LADDER.capacitors}
    assert plus == {"C1": "A", "C2": "P", "C3": "P"}


@given(joined_multigraphs() | nests(values=capacitances()), voltages(), st.booleans())
@settings(deadline=None)
def test_every_reading_agrees_with_the_nodal_method(
    shape: Drawn | Part, given_value: Fraction, charged: bool
) -> None:
    """Signs and all, of given and of made capacitors, and the potential of every point."""
    drawn = shape if isinstance(shape, Drawn) else as_drawn(Description(nest=shape))
    network = network_of(drawn)
    supply = Supply("charge" if charged else "voltage", given_value)
    solution = solve(network, supply)
    assert solution.whole is not None
    expected = second(drawn, supply)
    assert solution.whole.value == expected.capacitance
    for edge in drawn.edges:
        assert readings(solution.holdings[edge.name]) == expected.capacitors[edge.name]
    shown = {point: expected.potentials[point] for point in solution.potentials}
    assert solution.potentials == shown
    assert set(solution.potentials) == set(network.points()) & set(expected.potentials)
    for step in solution.steps:
        if step.makes:
            made = holding_of(step.makes, level(solution, step.makes))
            assert solution.holdings[step.makes.name] == made


def level(solution: Solution, c: Capacitor) -> Fraction:
    """The p.d. of any capacitor that stands between points of the network."""
    potentials = solution.potentials
    return number(potentials[c.start]) - number(potentials[c.end])


@given(joined_multigraphs(), voltages())
@settings(deadline=None)
def test_the_plus_plate_is_at_the_higher_potential(drawn: Drawn, voltage: Fraction) -> None:
    network = network_of(drawn)
    expected = opinion(network, voltage)
    solution = solve(network, Supply("voltage", voltage))
    for c in network.capacitors if solution.holdings else ():
        plus = plus_point(c, solution.holdings[c.name])
        if plus is None:
            assert expected.capacitors[c.name].charge == 0
        else:
            other = c.end if plus == c.start else c.start
            assert expected.potentials[plus] > expected.potentials[other]


def test_idle_pieces_hold_nothing() -> None:
    """A dead end, a capacitor whose ends are one point, and a loose one."""
    idle = (
        Capacitor("D1", F(1), "P", "R"),
        Capacitor("D2", F(1), "P", "P"),
        Capacitor("D3", F(1), "U", "W"),
    )
    network = Network((*LADDER.capacitors, *idle), AB)
    solution = solve(network, Supply("voltage", F(12)))
    assert [solution.holdings[c.name] for c in idle] == [NOTHING] * 3
    assert [plus_point(c, NOTHING) for c in idle] == [None] * 3
    assert solution.potentials == {"A": 12, "P": F(16, 3), "R": F(16, 3), "B": 0}


def test_nought_is_a_supply() -> None:
    """0 V is a value: everything is known, and is nought."""
    for supply in (Supply("voltage", F(0)), Supply("charge", F(0))):
        solution = solve(LADDER, supply)
        assert {name: solution.holdings[name] for name in ("C1", "C2", "C3")} == dict.fromkeys(
            ("C1", "C2", "C3"), NOTHING
        )
        assert solution.potentials == dict.fromkeys("APB", 0)


def test_without_a_supply_there_is_only_the_capacitance() -> None:
    solution = solve(LADDER, None)
    assert solution.whole is not None
    assert solution.whole.value == F(20, 9)
    assert (solution.holdings, solution.potentials) == ({}, {})


def test_ends_that_nothing_joins_leave_nothing() -> None:
    apart = Network((Capacitor("C1", F(1), "A", "P"), Capacitor("C2", F(1), "Q", "B")), AB)
    solution = solve(apart, Supply("voltage", F(12)))
    assert solution.whole is None
    assert (solution.holdings, solution.potentials) == ({}, {})


@given(st.lists(st.sampled_from("CD"), min_size=3, max_size=8), voltages())
@settings(deadline=None)
def test_long_ladders(kinds: list[str], voltage: Fraction) -> None:
    """Rungs and rails by chance: charge goes down the rails, what a rung takes is not passed on."""
    points = ["A", *(f"P{n}" for n in range(1, len(kinds))), "B"]
    rails = [Capacitor(f"C{n}", F(n + 1), *link) for n, link in enumerate(pairwise(points))]
    rungs = [
        Capacitor(f"D{n}", F(n + 2), point, "B")
        for n, (kind, point) in enumerate(zip(kinds, points, strict=False))
        if kind == "D"
    ]
    network = Network((*rails, *rungs), AB)
    solution = solve(network, Supply("voltage", voltage))
    assert {c.name: readings(solution.holdings[c.name]) for c in network.capacitors} == (
        opinion(network, voltage).capacitors
    )


# Letters


def in_numbers(value: Value, worth: Mapping[str, Fraction]) -> Fraction:
    """A value with a number in place of every letter."""
    if not in_letters(value):
        return number(value)
    at = {
        symbol: sympy.Rational(worth[symbol.name].numerator, worth[symbol.name].denominator)
        for symbol in value.free_symbols
    }
    result = value.subs(at)
    assert result.is_Rational
    return Fraction(int(result.p), int(result.q))


@st.composite
def lettered(draw: st.DrawFn) -> tuple[Part, Part, dict[str, Fraction]]:
    """A nest in letters such as 2C and C/2, the same in numbers, and what the letters are worth."""
    nest = draw(nests(values=capacitances(), most=5))
    worth = {letter: draw(small_fractions()) for letter in ("C", "D", "V")}

    def turn(part: Part) -> tuple[Part, Part]:
        if isinstance(part, Leaf):
            letter, factor = draw(st.sampled_from("CD")), draw(small_fractions())
            value = worth[letter] * factor
            return (
                Leaf(part.name, Letter(letter, factor)),
                Leaf(part.name, Amount(value)),
            )
        both = [turn(member) for member in part.members]
        kind = Chain if isinstance(part, Chain) else Parallel
        return kind(tuple(a for a, _ in both)), kind(tuple(b for _, b in both))

    return (*turn(nest), worth)


@given(lettered(), st.sampled_from(["voltage", "charge"]))
@settings(deadline=None, max_examples=some(25))
def test_letters_give_what_numbers_give(
    nest: tuple[Part, Part, dict[str, Fraction]], quantity: Literal["voltage", "charge"]
) -> None:
    """Numbers put in at the end agree with numbers put in at the start."""
    letters, numbers, worth = nest
    one = Description(nest=letters, supply=Given(quantity, Letter("V", F(3))))
    other = Description(nest=numbers, supply=Given(quantity, Amount(worth["V"] * 3)))
    lettered_, numbered = (solve(p.network, p.supply) for p in (build(one), build(other)))
    assert lettered_.whole is not None
    assert numbered.whole is not None
    assert in_numbers(lettered_.whole.value, worth) == numbered.whole.value
    for name, held in numbered.holdings.items():
        found = lettered_.holdings[name]
        assert [in_numbers(value, worth) for value in found] == list(held)
        assert [in_numbers(value, worth) for value in found.size] == list(held.size)
        made = {c.name: c for s in numbered.steps if (c := s.makes)}
        c = made.get(name) or numbered.network.named([name])[0]
        assert plus_point(c, found) == plus_point(c, held)
    for point, potential in numbered.potentials.items():
        assert in_numbers(lettered_.potentials[point], worth) == potential


def test_signs_of_letters() -> None:
    """Turned against the supply, a capacitor in letters has a p.d. with a minus sign."""
    c, v = sympy.symbols("C V", positive=True)
    network = Network((Capacitor("C1", c, "P", "A"), Capacitor("C2", 2 * c, "P", "B")), AB)
    solution = solve(network, Supply("voltage", v))
    assert solution.holdings["C1"].voltage == -2 * v / 3
    assert solution.holdings["C1"].size.voltage == 2 * v / 3
    assert plus_point(network.capacitors[0], solution.holdings["C1"]) == "A"
    assert plus_point(network.capacitors[1], solution.holdings["C2"]) == "P"


def test_a_letter_that_cancels_leaves_a_number() -> None:
    """C with 2C in a chain over 12 V: 8 V and 4 V, whatever C is."""
    c = sympy.Symbol("C", positive=True)
    network = Network((Capacitor("C1", c, "A", "P"), Capacitor("C2", 2 * c, "P", "B")), AB)
    solution = solve(network, Supply("voltage", F(12)))
    assert solution.potentials == {"A": F(12), "P": F(4), "B": F(0)}
    assert all(isinstance(value, Fraction) for value in solution.potentials.values())


@pytest.mark.parametrize("supply", [Supply("voltage", F(6)), Supply("charge", F(12))])
def test_whole_that_stands_the_other_way_round(supply: Supply) -> None:
    """One capacitor written from the − end to the + end: its start holds the negative plate."""
    network = Network((Capacitor("C1", F(2), "B", "A"),), AB)
    assert solve(network, supply).holdings["C1"] == Holding(F(-6), F(-12), F(36))
