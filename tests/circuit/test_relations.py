"""Relations: each with its inverse, its text and its value, held against the nodal method."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grammar.reading import read_network
from tests.nodal import Edge, solve
from tutor.circuit.network import build
from tutor.circuit.reduction import reduce
from tutor.circuit.relations import (
    Fact,
    Relation,
    balance,
    by_law,
    complete,
    finding,
    of_capacitor,
    of_step,
    taken_up,
    worked_back,
)
from tutor.circuit.values import Value

NETWORK = "C1 = 4 uF -- (C2 = 2 uF || (C3 = 3 uF -- C4 = 6 uF)), across 12 V"


def every_relation(text: str) -> tuple[list[Relation], dict[Fact, Value]]:
    """All relations of a network, and what is true of each capacitor."""
    problem = build(read_network(text))
    steps = reduce(problem.network).steps
    made = [step.makes for step in steps if step.makes]
    values = {c.name: c.value for c in (*problem.network.capacitors, *made)}
    whole = made[-1]
    assert problem.supply is not None
    held: dict[Fact, Value] = {
        Fact("capacitance", whole.name): whole.value,
        Fact("voltage", whole.name): problem.supply.value,
    }
    complete(held, whole.name)
    truth = worked_back(steps, values, held)
    relations = [r for name in values for r in of_capacitor(name)]
    return relations + [r for step in steps for r in of_step(step)], truth


def test_every_relation_holds_and_so_does_every_inverse_of_it() -> None:
    relations, truth = every_relation(NETWORK)
    assert len(relations) > 80
    for relation in relations:
        for each in (relation, *map(relation.inverse, relation.uses)):
            values = [truth[fact] for fact in each.uses]
            assert each.value(values) == truth[each.finds], each.text(lambda f: f.of)


def test_what_is_worked_back_is_what_the_nodal_method_finds() -> None:
    _, truth = every_relation(NETWORK)
    values = {name: truth[Fact("capacitance", name)] for name in ("C1", "C2", "C3", "C4")}
    ends = {"C1": "AP", "C2": "PB", "C3": "PR", "C4": "RB"}
    edges = [Edge(name, Fraction(v), *ends[name]) for name, v in values.items()]
    found = solve(edges, [], ("A", "B"), voltage=Fraction(12))
    for name, each in found.capacitors.items():
        assert truth[Fact("charge", name)] == each.charge
        assert truth[Fact("voltage", name)] == each.voltage
        assert truth[Fact("energy", name)] == each.energy


def test_a_part_that_holds_by_itself_what_adds_up_is_worked_on_from_that() -> None:
    """6 V and 3 V on 3 µF and 6 µF of a chain; whoever takes 4.5 V for the first goes on to
    13.5 µC and 30.375 µJ on it, while the other keeps the 18 µC of the chain.
    """
    problem = build(read_network("C1 = 3 uF -- C2 = 6 uF, across 9 V"))
    (step,) = reduce(problem.network).steps
    assert step.makes is not None
    values = {c.name: c.value for c in (*problem.network.capacitors, step.makes)}
    whole = Fact("charge", step.makes.name)
    held: dict[Fact, Value] = {whole: Fraction(18, 10**6), Fact("voltage", "C1"): Fraction(9, 2)}
    found = worked_back((step,), values, held)
    assert found[Fact("charge", "C1")] == Fraction(135, 10**7)
    assert found[Fact("energy", "C1")] == Fraction(30375, 10**9)
    assert found[Fact("voltage", "C1")] == Fraction(9, 2)
    assert found[Fact("charge", "C2")] == Fraction(18, 10**6)
    assert found[Fact("voltage", "C2")] == 3


def test_a_relation_says_its_rule_in_names_and_in_numbers() -> None:
    relations, truth = every_relation(NETWORK)
    names = {"capacitance": "", "charge": "Q of ", "voltage": "V of ", "energy": "E of "}
    texts = {r.text(lambda f: f"{names[f.dimension]}{f.of}") for r in relations}
    assert {"Q of C1 / C1", "½ × C1 × V of C1²", "C2 + C34", "1/(1/C3 + 1/C4)",
            "V of C234", "Q of C234 − Q of C34"} <= texts
    summed = next(r for r in relations if r.text(lambda f: f.of) == "C2 + C34")
    micro = Fraction(10) ** -6
    assert summed.text(lambda f: f"{Fraction(truth[f]) / micro}") == "2 + 2"


def test_a_balance_is_the_mean_of_the_far_potentials() -> None:
    """2 (10 − v) = 3 v, so v = 4."""
    found = balance("P", [("C1", "A"), ("C2", "B")])
    assert found.text(lambda f: f.of) == "(C1 × A + C2 × B)/(C1 + C2)"
    assert found.value([Fraction(2), Fraction(10), Fraction(3), Fraction(0)]) == 4
    with pytest.raises(ValueError, match="does not follow"):
        found.inverse(found.uses[0])


def test_what_leaves_no_number_is_none() -> None:
    law = next(r for r in of_capacitor("C1") if r.finds.dimension == "capacitance")
    assert law.value([Fraction(1), Fraction(0)]) is None


def test_what_finds_one_fact_is_all_of_a_step_that_does() -> None:
    problem = build(read_network(NETWORK))
    for step in reduce(problem.network).steps:
        every = list(of_step(step))
        for fact in {relation.finds for relation in every}:
            found = list(finding(step, fact))
            assert len(found) == len(set(found))
            assert set(found) == {relation for relation in every if relation.finds == fact}


def test_one_law_is_picked_by_what_it_finds_and_uses() -> None:
    names = {"charge": "Q", "voltage": "V", "capacitance": "C", "energy": "E"}
    told = [
        by_law(*each).text(lambda fact: names[fact.dimension])
        for each in (("charge", "C1"), ("voltage", "C1"), ("energy", "C1", "capacitance", "charge"))
    ]
    assert told == ["C × V", "Q / C", "½ × Q² / C"]
    with pytest.raises(StopIteration):
        by_law("charge", "C1", "voltage", "voltage")


def test_a_relation_tells_what_is_squared_and_what_it_divides_by() -> None:
    energy = by_law("energy", "C1", "charge", "capacitance")
    charge, capacitance = energy.uses
    assert energy.squares(charge)
    assert not energy.squares(capacitance)
    assert energy.divides(capacitance)
    assert not energy.divides(charge)
    chain = next(r for r in every_relation(NETWORK)[0] if r.kind == "reciprocals")
    assert all(chain.divides(fact) and not chain.squares(fact) for fact in chain.uses)


def test_a_capacitor_is_followed_up_to_the_whole() -> None:
    steps = reduce(build(read_network(NETWORK)).network).steps
    followed = [(part.name, made.name) for _, part, made in taken_up(steps, "C4")]
    assert followed == [("C4", "C34"), ("C34", "C234"), ("C234", "C1234")]
    assert not list(taken_up(steps, "C1234"))
