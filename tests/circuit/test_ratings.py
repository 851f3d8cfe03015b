"""The greatest supply of rated networks, against the nodal method on any network."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from tests import nodal
from tests.sampled import some
from tests.strategies import Drawn, joined_multigraphs, small_fractions
from tutor.circuit.network import Capacitor, Network, build
from tutor.circuit.ratings import Greatest, greatest_supply, ratings_of

F = Fraction
A_LITTLE = F(1, 10**9)


def greatest(text: str) -> Greatest:
    description = read_network(text)
    found = greatest_supply(build(description).network, ratings_of(description))
    assert found is not None
    return found


@st.composite
def rated(draw: st.DrawFn) -> tuple[Drawn, dict[str, Fraction]]:
    drawn = draw(joined_multigraphs(most=9, loops=False))
    names = [edge.name for edge in drawn.edges]
    some = draw(st.lists(st.sampled_from(names), min_size=1, unique=True))
    return drawn._replace(wires=()), {name: draw(small_fractions()) for name in some}


def over(drawn: Drawn, ratings: dict[str, Fraction], volts: Fraction) -> set[str]:
    """Who is above its rating at that supply, by the nodal method."""
    outcome = nodal.solve(*drawn, voltage=volts)
    return {
        name for name, rating in ratings.items()
        if abs(outcome.capacitors[name].voltage) > rating
    }


@settings(max_examples=some(120), deadline=None)
@given(rated())
def test_any_network(case: tuple[Drawn, dict[str, Fraction]]) -> None:
    drawn, ratings = case
    network = Network(tuple(Capacitor(*edge) for edge in drawn.edges), drawn.ends)
    found = greatest_supply(network, ratings)
    unit = nodal.solve(*drawn, voltage=F(1))
    shares = {name: abs(unit.capacitors[name].voltage) for name in ratings}
    if found is None:
        assert not any(shares.values())
        return
    assert not over(drawn, ratings, found.voltage)
    assert over(drawn, ratings, found.voltage * (1 + A_LITTLE)) == set(found.first)
    assert {limit.name: limit.share for limit in found.limits} == shares
    assert set(found.unrated) == {edge.name for edge in drawn.edges} - set(ratings)
    for limit in found.limits:
        assert (limit.supply is None) is (limit.share == 0)


def test_a_chain_and_a_parallel_set() -> None:
    """The examples of the catalogue of wrong rules, worked the right way."""
    chain = greatest("C1 = 3 uF rated 100 V -- C2 = 7 uF rated 100 V")
    assert (chain.voltage, chain.first) == (F(1000, 7), ("C1",))
    side = greatest("C1 = 2 uF rated 63 V || C2 = 5 uF rated 100 V")
    assert (side.voltage, side.first) == (63, ("C1",))


def test_all_that_reach_it_together_are_named() -> None:
    found = greatest("C1 = 4 uF rated 50 V -- C2 = 2 uF rated 100 V -- C3 = 1 uF rated 300 V")
    assert found.first == ("C1", "C2")
    assert found.voltage == 350


def test_unrated_ones_are_told_and_bear_anything() -> None:
    found = greatest("C1 = 1 nF -- C2 = 1 uF rated 1 V")
    assert (found.voltage, found.unrated) == (1001, ("C1",))


def test_letters_that_cancel_and_letters_that_do_not() -> None:
    assert greatest("C rated 100 V -- 2C rated 60 V").voltage == 150
    for text, name in (("C -- 2D", "C1"), ("C || D", "C1")):
        network = build(read_network(text)).network
        found = greatest_supply(network, {name: F(5)})
        assert (found is None) is (text == "C -- 2D")


@pytest.mark.parametrize("kind", ["idle", "rated"])
def test_what_no_charge_comes_to_sets_nothing(kind: str) -> None:
    network = Network(
        (Capacitor("C1", F(1), "A", "B"), Capacitor("C2", F(1), "A", "P")), ("A", "B")
    )
    found = greatest_supply(network, {"C2": F(1)} | ({"C1": F(9)} if kind == "rated" else {}))
    if kind == "idle":
        assert found is None
    else:
        assert found is not None
        assert (found.voltage, found.first) == (9, ("C1",))
