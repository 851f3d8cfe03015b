"""Stars for triangles and triangles for stars leave everything around them as it was."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest
import sympy
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.circuit.routes import number, opinion
from tests.circuit.test_beyond import bridge, graphs, network
from tests.strategies import capacitances
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.star_delta import exchanged, to_delta, to_star

F = Fraction


def parts(drawn: Network) -> set[tuple[frozenset[str], object]]:
    return {(c.points, c.value) for c in drawn.capacitors}


def test_three_equal_sides_become_arms_three_times_as_large() -> None:
    """Sides of 6 give arms of 18. Source: computed for the project."""
    triangle = network([("AP", 6), ("PB", 6), ("AB", 6)])
    star = to_star(triangle, "APB", ())
    assert star is not None
    assert [c.value for c in star.new] == [18, 18, 18]
    assert {c.end for c in star.new} == {star.centre}


def test_each_arm_and_each_side_is_named_after_the_two_it_comes_from() -> None:
    star = to_star(bridge(1, 2, 2, 1, 1), ("P", "A", "Q"), ("C12",))
    assert star is not None
    assert [(c.name, c.value, c.start) for c in star.new] == [
        ("X1", 5, "A"), ("C15", F(5, 2), "P"), ("C25", 5, "Q")
    ]
    delta = to_delta(bridge(1, 2, 2, 1, 1), "P", ())
    assert delta is not None
    assert {c.name: (c.value, c.points) for c in delta.new} == {
        "C13": (F(1, 2), frozenset("AB")),
        "C15": (F(1, 4), frozenset("AQ")),
        "C35": (F(1, 2), frozenset("QB")),
    }


@given(st.lists(capacitances(), min_size=5, max_size=5))
@settings(deadline=None)
def test_there_and_back_is_the_same_network(values: list[Fraction]) -> None:
    drawn = bridge(*values)
    star = to_star(drawn, "APQ", ())
    assert star is not None
    there = exchanged(drawn, star)
    delta = to_delta(there, star.centre, ())
    assert delta is not None
    assert parts(exchanged(there, delta)) == parts(drawn)
    delta = to_delta(drawn, "P", ())
    assert delta is not None
    there = exchanged(drawn, delta)
    beside = [c for c in there.capacitors if c.points == delta.new[1].points]
    assume(len(beside) == 1)  # a triangle may come to lie beside another capacitor


@given(graphs(most=7), st.data())
@settings(deadline=None)
def test_all_around_stays_as_it_was(drawn: Network, data: st.DataObject) -> None:
    corners = data.draw(st.sampled_from([*combinations(drawn.points(), 3)]))
    centre = data.draw(st.sampled_from(drawn.points()))
    found = [to_star(drawn, corners, ()), to_delta(drawn, centre, ())]
    before = opinion(drawn)
    for exchange in found:
        if exchange is None:
            continue
        after = opinion(exchanged(drawn, exchange))
        assert after.capacitance == before.capacitance
        kept = {p: v for p, v in before.potentials.items() if p in after.potentials}
        assert kept == {p: after.potentials[p] for p in kept}
        assert len(kept) >= len(before.potentials) - (exchange.kind == "delta")


def test_letters() -> None:
    c = sympy.Symbol("C", positive=True)
    star = to_star(bridge(c, 2 * c, 2 * c, c, c), "APQ", ())
    assert star is not None
    assert [each.value for each in star.new] == [5 * c, sympy.Rational(5, 2) * c, 5 * c]


@pytest.mark.parametrize("points", ["AP", "APB", "APQB", ""])
def test_no_star_where_no_triangle_is(points: str) -> None:
    assert to_star(bridge(1, 2, 2, 1, 1), points, ()) is None


def test_no_star_where_two_stand_side_by_side() -> None:
    assert to_star(network([("AP", 1), ("PB", 1), ("AB", 1), ("BA", 1)]), "APB", ()) is None


def test_no_triangle_at_an_end_or_where_not_three_meet() -> None:
    drawn = network([("AP", 1), ("AQ", 1), ("AB", 1), ("PB", 1), ("PQ", 1), ("QB", 1)])
    assert to_delta(drawn, "A", ()) is None
    assert to_delta(drawn, "P", ()) is not None
    assert to_delta(network([("AP", 1), ("PB", 2)]), "P", ()) is None
    ring = Network((Capacitor("C1", F(1), "A", "P"), Capacitor("C2", F(1), "P", "P"),
                    Capacitor("C3", F(1), "P", "B")), ("A", "B"))
    assert to_delta(ring, "P", ()) is None
    assert number(opinion(ring).capacitance) == F(1, 2)
