"""The tutor's own order: sound steps, innermost first, all the way where there is a way."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations_with_replacement
from typing import TypeAlias

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Amount, Chain, Description, Parallel, Part
from grammar.records import Element as Leaf
from tests.circuit.routes import edges_of, network_of, number, opinion, states
from tests.strategies import Drawn, as_drawn, capacitances, joined_multigraphs, multigraphs, nests
from tutor.circuit.network import Capacitor, Network, build
from tutor.circuit.reduction import Reduction, reduce
from tutor.circuit.steps import Choice, Fault, after, carry_out, choices, examine

F = Fraction
AB = ("A", "B")


@given(joined_multigraphs())
@settings(deadline=None)
def test_every_step_is_one_a_learner_may_take(drawn: Drawn) -> None:
    """Each step is valid where it is taken, is what ``carry_out`` gives, and keeps the whole."""
    network = network_of(drawn)
    capacitance = opinion(network).capacitance
    steps, left = reduce(network)
    walk = states(network, steps)
    taken: list[str] = []
    for before, step in zip(walk, steps, strict=False):
        judged = examine(before, [c.name for c in step.parts])
        assert isinstance(judged, Choice)
        assert judged.kind == step.kind
        again = carry_out(before, judged, taken)
        assert {c.name for c in again.parts} == {c.name for c in step.parts}
        assert set(again.points) == set(step.points)
        assert again.gone == step.gone or set(again.gone) == set(step.gone)
        if step.makes and again.makes:
            assert again.makes.value == step.makes.value
            assert again.makes.points == step.makes.points
            taken.append(step.makes.name)
        assert opinion(after(before, step)).capacitance == capacitance
    assert sorted(walk[-1].capacitors) == sorted(left.capacitors)
    assert len(taken) == len(set(taken))


def test_a_bridge_in_a_chain_leaves_the_bridge_and_one_more() -> None:
    """C1 and C7 are no neighbours, but all that C1 passes on goes through C7 in the end."""
    links = ["AP", "PQ", "PR", "QR", "QS", "RS", "SB"]
    network = Network(
        tuple(Capacitor(f"C{n}", F(n), *link) for n, link in enumerate(links, start=1)), AB
    )
    steps, left = reduce(network)
    assert [[c.name for c in step.parts] for step in steps] == [["C1", "C7"]]
    assert left.capacitors[0] == Capacitor("C17", F(7, 8), "A", "P")
    assert [c.points for c in left.capacitors[4:]] == [{"Q", "B"}, {"R", "B"}]


@given(multigraphs() | joined_multigraphs())
@settings(deadline=None)
def test_it_goes_on_as_long_as_it_can(drawn: Drawn) -> None:
    reduction = reduce(network_of(drawn))
    assert not choices(reduction.left)
    assert (reduction.equivalent is None) == (len(reduction.left.capacitors) != 1)


@given(joined_multigraphs(), st.sets(st.sampled_from(["C12", "C23", "C123", "C12'", "X1"])))
@settings(deadline=None)
def test_names_used_earlier_are_left_alone(drawn: Drawn, taken: set[str]) -> None:
    steps, _ = reduce(network_of(drawn), taken)
    made = [step.makes.name for step in steps if step.makes]
    assert not taken & set(made)
    assert len(set(made)) == len(made)


@given(nests(values=capacitances()))
@settings(deadline=None)
def test_nests_come_down_to_one_by_parallel_and_series(nest: Part) -> None:
    """One step for each bracket at the most, and no capacitor is taken off."""
    network = build(Description(nest=nest)).network
    steps, left = reduce(network)
    assert all(step.makes for step in steps)
    assert len(left.capacitors) == 1
    assert len(steps) == brackets(nest)
    assert left.capacitors[0].value == opinion(network).capacitance
    assert set(left.capacitors[0].points) == set(AB)


def brackets(part: Part) -> int:
    if isinstance(part, Leaf):
        return 0
    return 1 + sum(brackets(member) for member in part.members)


def test_innermost_comes_first() -> None:
    """C1 -- (C2 || (C3 -- C4)): the pair farthest from the ends, then what it leaves."""
    leaves = {n: Leaf(f"C{n}", Amount(F(n))) for n in range(1, 5)}
    inner = Parallel((leaves[2], Chain((leaves[3], leaves[4]))))
    steps, _ = reduce(build(Description(nest=Chain((leaves[1], inner)))).network)
    assert [(step.kind, " ".join(c.name for c in step.parts)) for step in steps] == [
        ("series", "C3 C4"),
        ("parallel", "C2 C34"),
        ("series", "C1 C234"),
    ]


def test_idle_pieces_go_first_each_in_one_step() -> None:
    lines = [("C1", "AP"), ("C2", "PB"), ("D1", "PR"), ("D2", "RS"), ("D3", "SP"), ("D4", "UV")]
    network = Network(tuple(Capacitor(n, F(1), *ends) for n, ends in lines), AB)
    steps, left = reduce(network)
    assert [[c.name for c in step.parts] for step in steps] == [
        ["D1", "D2", "D3"],
        ["D4"],
        ["C1", "C2"],
    ]
    assert left.capacitors == (Capacitor("C12", F(1, 2), "A", "B"),)


def test_nothing_between_the_ends_leaves_nothing() -> None:
    network = Network((Capacitor("C1", F(1), "A", "P"),), AB)
    reduction = reduce(network)
    assert [step.kind for step in reduction.steps] == ["removal"]
    assert reduction.left.capacitors == ()
    assert reduction.equivalent is None


def test_one_capacitor_is_its_own_equivalent() -> None:
    only = Capacitor("C1", F(3), "B", "A")
    assert reduce(Network((only,), AB)) == Reduction((), Network((only,), AB))


# Counting

Shape: TypeAlias = tuple[object, ...]


def all_networks(size: int) -> list[Network]:
    """Every way to join so many equal capacitors among A, B and as many points as can be of use."""
    points = ["A", "B", *(f"P{n}" for n in range(1, size))]
    links = [(p, q) for i, p in enumerate(points) for q in points[i + 1 :]]
    return [
        Network(tuple(Capacitor(f"C{n}", F(1), *link) for n, link in enumerate(choice)), AB)
        for choice in combinations_with_replacement(links, size)
    ]


def shape(reduction: Reduction) -> Shape:
    """The nest that the steps make, members in a fixed order whatever their places."""
    made: dict[str, Shape] = {}
    for step in reduction.steps:
        assert step.makes
        members: list[object] = []
        for part in step.parts:
            inner = made.get(part.name, ("one",))
            members += inner[1:] if inner[0] == step.kind else [inner]
        made[step.makes.name] = (step.kind, *sorted(members, key=repr))
    assert reduction.equivalent
    return made.get(reduction.equivalent.name, ("one",))


@pytest.mark.parametrize(
    ("size", "shapes", "values"), [(1, 1, 1), (2, 2, 2), (3, 4, 4), (4, 10, 9), (5, 24, 22)]
)
def test_number_of_series_parallel_networks(size: int, shapes: int, values: int) -> None:
    """OEIS A000084: series-parallel networks of n unlabelled pieces.

    OEIS A048211: different values that n equal resistors give; turned over they are the values
    of capacitors.
    Both from memory.
    """
    reductions = [reduce(network) for network in all_networks(size)]
    whole = [r for r in reductions if r.equivalent and all(step.makes for step in r.steps)]
    assert len({shape(reduction) for reduction in whole}) == shapes
    assert len({number(r.equivalent.value) for r in whole if r.equivalent}) == values


def test_no_fault_is_ever_reduced() -> None:
    """The bridge stays as it is: five capacitors and no step, and every pair has a fault."""
    links = ["AP", "AQ", "PQ", "PB", "QB"]
    network = Network(
        tuple(Capacitor(f"C{n}", F(n), *link) for n, link in enumerate(links, start=1)), AB
    )
    assert reduce(network) == Reduction((), network)
    names = [edge.name for edge in edges_of(network)]
    assert all(
        isinstance(examine(network, {a, b}), Fault) for a in names for b in names if a != b
    )


@given(nests(values=capacitances(), most=6))
@settings(deadline=None)
def test_a_nest_and_its_list_of_joins_reduce_alike(nest: Part) -> None:
    """The same network written two ways gives the same capacitance step by step."""
    as_nest = reduce(build(Description(nest=nest)).network)
    as_list = reduce(network_of(as_drawn(Description(nest=nest))))
    made = [sorted(str(s.makes.value) for s in r.steps if s.makes) for r in (as_nest, as_list)]
    assert made[0] == made[1]


def test_a_new_name_is_not_that_of_one_left_out() -> None:
    capacitors = [Capacitor(f"C{n}", Fraction(n), "A", "B") for n in (1, 2)]
    dead_end = Capacitor("C12", Fraction(5), "B", "P")
    steps, left = reduce(Network((*capacitors, dead_end), ("A", "B")))
    made = [step.makes.name for step in steps if step.makes]
    assert made == ["X1"]
    assert [c.name for c in left.capacitors] == made
