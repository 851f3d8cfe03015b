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
    complete,
    of_capacitor,
    of_step,
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
