"""Missing values: every one that the nodal method gives data for is found again, exactly."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from grammar.outline import elements_of
from grammar.reading import read_network
from grammar.records import (
    Amount,
    Chain,
    Charging,
    Description,
    Element,
    Given,
    Parallel,
    Part,
    Unknown,
)
from tests import nodal
from tests.nodal import Outcome
from tests.sampled import some
from tests.strategies import as_drawn, nests, small_fractions
from tutor.circuit.deduction import Trail, follow
from tutor.circuit.missing import Lack, coefficients, find, forwards, lack_of, quantity_of
from tutor.circuit.prefixes import usual_prefixes
from tutor.circuit.relations import Fact
from tutor.circuit.surds import near, settled, square_root

F = Fraction
KINDS = ("charge", "voltage", "energy")


def hidden(part: Part, name: str) -> Part:
    """The same with ? for one capacitor."""
    if isinstance(part, Element):
        return part._replace(worth=Unknown()) if part.name == name else part
    return part._replace(members=tuple(hidden(member, name) for member in part.members))


def value(outcome: Outcome, kind: str, of: str | None) -> Fraction:
    if kind == "capacitance":
        return outcome.capacitance
    return abs(getattr(outcome if of is None else outcome.capacitors[of], kind))


def given_of(outcome: Outcome, kind: str, of: str | None) -> Given:
    return Given(kind, of, Amount(value(outcome, kind, of)))  # type: ignore[arg-type]


def trail_of(lack: Lack) -> Trail:
    whole = lack.unit.whole
    assert whole is not None
    names = [c.name for c in lack.problem.network.capacitors]
    known = {
        Fact("capacitance", c.name): c.value
        for c in lack.problem.network.capacitors
        if c.name not in lack.missing
    }
    known |= {Fact(g.quantity, g.of or whole.name): g.worth.value for g in lack.knowns}
    made = [step.makes.name for step in lack.unit.steps if step.makes]
    return follow([*names, *made], lack.unit.steps, known)


@settings(max_examples=some(60))
@given(nests(small_fractions(), most=6), st.data())
def test_a_hidden_value_is_found_again(nest: Part, data: st.DataObject) -> None:
    """From the whole capacitance, or from any quantity at a known p.d. that depends on it."""
    whole = Description(nest=nest)
    capacitors = elements_of(whole)
    chosen = data.draw(st.sampled_from(capacitors))
    volts = data.draw(small_fractions())
    outcome = nodal.solve(*as_drawn(whole), voltage=volts)
    places = [("capacitance", None), *((k, None) for k in ("charge", "energy"))]
    places += [(kind, c.name) for c in capacitors for kind in KINDS]
    kind, of = data.draw(st.sampled_from(places))
    description = Description(
        nest=hidden(nest, chosen.name),
        supply=Charging("voltage", Amount(volts)),
        givens=(given_of(outcome, kind, of),),
    )
    assert isinstance(chosen.worth, Amount)
    lack = lack_of(description)
    found = find(lack)
    assume(found.settles)
    assert {chosen.name: chosen.worth.value} in found.fitting
    assert not found.doubted
    assert len(found.fitting) == 1 or kind == "energy"
    again = forwards(lack, {chosen.name: chosen.worth.value})
    assert near(quantity_of(again, description.givens[0])) == value(outcome, kind, of)
    move = trail_of(lack).moves.get(Fact("capacitance", chosen.name))
    if move is not None:
        assert {chosen.name: move.value} in found.fitting


@settings(max_examples=some(40))
@given(nests(small_fractions(), most=6), st.data())
def test_every_fact_that_follows_is_that_of_the_nodal_method(
    nest: Part, data: st.DataObject
) -> None:
    """Also those that come out of square roots, where the root is a fraction."""
    whole = Description(nest=nest)
    outcome = nodal.solve(*as_drawn(whole), voltage=data.draw(small_fractions()))
    capacitors = elements_of(whole)
    chosen = data.draw(st.sampled_from(capacitors))
    name = data.draw(st.sampled_from([c.name for c in capacitors]))
    description = Description(nest=hidden(nest, chosen.name), givens=(
        given_of(outcome, "capacitance", None), given_of(outcome, "energy", name),
    ))
    trail = trail_of(lack_of(description))
    for fact, move in trail.moves.items():
        if fact.of in outcome.capacitors and fact.dimension != "capacitance":
            assert move.value == value(outcome, fact.dimension, fact.of)


def test_two_values_fit_one_energy() -> None:
    lack = lack_of(read_network("C1 = 3 uF -- C2 = ?, across 12 V; E2 = 45.36 uJ"))
    assert [root["C2"] for root in find(lack).fitting] == [F(9, 7 * 10**6), F(7, 10**6)]
    a, b, c = coefficients(lack)
    assert (b / a * 10**6, c / a * 10**12) == (F(-58, 7), 9)


def test_a_surd_stays_exact() -> None:
    lack = lack_of(read_network("C1 = 3 uF -- C2 = ?, across 12 V; E1 = 100 uJ"))
    (root,) = find(lack).fitting
    assert root["C2"] == settled((15 + 9 * square_root(F(6))) / 5800000)
    assert trail_of(lack).moves[Fact("capacitance", "C2")].value == root["C2"]


@pytest.mark.parametrize(
    ("text", "roots"),
    [
        ("C1 = 8 uF || C2 = ?; C = 5 uF", [F(-3, 10**6)]),
        ("C1 = 3 uF -- C2 = ?; C = 4 uF", [F(-12, 10**6)]),
        ("C1 = 3 uF || C2 = ?; C = 3 uF", [F(0)]),
        ("C1 = 3 uF -- C2 = ?; C = 3 uF", []),
        ("C1 = 3 uF -- C2 = ?, across 12 V; E2 = 55 uJ", []),
    ],
)
def test_impossible_data(text: str, roots: list[Fraction]) -> None:
    found = find(lack_of(read_network(text)))
    assert [root["C2"] for root in found.roots] == roots
    assert not found.fitting
    assert found.settles


def test_data_that_disagree() -> None:
    text = "C1 = 3 uF -- C2 = ?, across 12 V; C = 2.1 uF; Q1 = {} uC"
    found = find(lack_of(read_network(text.format("30"))))
    assert [(given.quantity, given.of) for given in found.doubted] == [("charge", "C1")]
    rounded = find(lack_of(read_network(text.format("25"))))
    assert [given.of for given in rounded.doubted] == ["C1"]
    assert not find(lack_of(read_network(text.format("25.3")))).doubted


def test_data_that_leave_it_open() -> None:
    assert not find(lack_of(read_network("3 uF || C2 = ?, across 12 V; V1 = 12 V"))).settles


def test_either_sign_of_a_bridge() -> None:
    """A size of the p.d. across the middle of a bridge belongs to two values, one of each sign."""
    text = """C1 = 2 uF from A to P; C2 = ? from P to B; C3 = 1 uF from A to R;
    C4 = 1 uF from R to B; C5 = 1 uF from P to R; ends A and B; across 12 V; V5 = 1 V"""
    roots = [root["C2"] for root in find(lack_of(read_network(text))).fitting]
    assert len(roots) == 2
    for root in roots:
        joins = text.replace("C2 = ?", f"C2 = {float(near(root)):.15e} F").split("; V5")[0]
        outcome = nodal.solve(*as_drawn(read_network(joins)), voltage=F(12))
        assert abs(abs(outcome.capacitors["C5"].voltage) - 1) < F(1, 10**9)


def test_a_deep_nest_is_no_trouble() -> None:
    nest: Part = Element("C1", Unknown())
    for number in range(2, 120):
        more = Element(f"C{number}", Amount(F(1)))
        nest = Chain((more, nest)) if number % 2 else Parallel((more, nest))
    whole = Given("capacitance", None, Amount(F(61803, 10**5)))
    lack = lack_of(Description(nest=nest, givens=(whole,)))
    move = trail_of(lack).moves[Fact("capacitance", "C1")]
    assert {"C1": move.value} in find(lack).roots


def test_roots_of_numbers() -> None:
    assert square_root(F(4, 9)) == F(2, 3)
    assert square_root(F(2)) ** 2 == 2
    with pytest.raises(ValueError, match="below zero"):
        square_root(F(-1))
    assert abs(near(square_root(F(2))) ** 2 - 2) < F(1, 10**28)


def test_prefixes_follow_from_what_is_typed() -> None:
    assert usual_prefixes([("charge", -6), ("voltage", 3)])["capacitance"] == -9
    assert usual_prefixes([("energy", -3), ("voltage", 0)])["charge"] == -3
    assert usual_prefixes([])["voltage"] == 0
    many = usual_prefixes([("capacitance", -6), ("capacitance", -9), ("capacitance", -9)])
    assert (many["capacitance"], many["charge"]) == (-9, -9)
