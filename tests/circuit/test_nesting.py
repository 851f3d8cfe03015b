"""Nests got back from points: the shape that was laid out, the same value, the names' outline."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given

from grammar.outline import outline
from grammar.reading import read_network
from grammar.records import Amount, Chain, Description, Element, Letter, Parallel, Part
from tests import nodal
from tests.strategies import Drawn, as_description, as_drawn, joined_multigraphs, nests
from tutor.circuit.nesting import names_only, nest_of
from tutor.circuit.network import Problem, build
from tutor.circuit.reduction import reduce
from tutor.circuit.steps import Choice, carry_out


def problem_of(text: str) -> Problem:
    return build(read_network(text))


def nest_in(text: str) -> Part | None:
    problem = problem_of(text)
    return nest_of(problem.network, problem.powers)


def leaves(nest: Part) -> list[Element]:
    if isinstance(nest, Element):
        return [nest]
    return [leaf for member in nest.members for leaf in leaves(member)]


def assert_merged(nest: Part) -> None:
    """No group has one member, or a member of its own kind."""
    if isinstance(nest, Element):
        return
    assert len(nest.members) > 1
    for member in nest.members:
        assert not isinstance(member, type(nest))
        assert_merged(member)


@given(nests())
def test_a_nest_comes_back_as_it_was_laid_out(nest: Part) -> None:
    """Members of a parallel set come in order of the network, and so in reading order."""
    problem = build(Description(nest=nest))
    assert nest_of(problem.network, problem.powers) == nest


@given(joined_multigraphs())
def test_the_nest_of_any_network_is_worth_what_the_network_is(drawn: Drawn) -> None:
    problem = build(as_description(drawn))
    found = nest_of(problem.network, problem.powers)
    assert (found is None) == (reduce(problem.network).equivalent is None)
    if found is None:
        return
    assert_merged(found)
    laid = nodal.solve(*as_drawn(Description(nest=found)), voltage=Fraction(1))
    whole = nodal.solve(*drawn, voltage=Fraction(1))
    assert laid.capacitance == whole.capacitance
    for leaf in leaves(found):
        there, here = laid.capacitors[leaf.name], whole.capacitors[leaf.name]
        assert abs(there.charge) == abs(here.charge)
    idle = {edge.name for edge in drawn.edges} - {leaf.name for leaf in leaves(found)}
    assert all(whole.capacitors[name].charge == 0 for name in idle)


@pytest.mark.parametrize(
    ("text", "shape"),
    [
        ("4 uF -- (2 uF || 3 uF)", "C1 -- (C2 || C3)"),
        ("C = 5 uF", "C"),
        ("C2 = 1 uF from P to B; C1 = 2 uF from A to P; ends A and B", "C1 -- C2"),
        ("C2 = 1 uF from P to B; C1 = 2 uF from A to P; ends B and A", "C2 -- C1"),
        (
            "C1 = 1 uF from A to P; C2 = 1 uF from P to R; C3 = 1 uF from R to B; "
            "C4 = 1 uF from B to R; ends A and B",
            "C1 -- C2 -- (C3 || C4)",
        ),
        (
            "C1 = 1 uF from B to R; C2 = 1 uF from A to P; C3 = 1 uF from P to R; "
            "C4 = 1 uF from R to A; ends A and B",
            "((C2 -- C3) || C4) -- C1",
        ),
        (
            "C1 = 1 uF from A to P; C2 = 2 uF from P to B; C3 = 3 uF from P to D; ends A and B",
            "C1 from A to P; C2 from P to B; C3 from P to D; ends A and B",
        ),
        (
            "C1 = 1 uF from A to P; C2 = 2 uF from A to Q; C3 = 3 uF from P to Q; "
            "C4 = 4 uF from P to B; C5 = 5 uF from Q to B; ends A and B",
            "C1 from A to P; C2 from A to Q; C3 from P to Q; C4 from P to B; C5 from Q to B; "
            "ends A and B",
        ),
    ],
)
def test_the_shape_in_names(text: str, shape: str) -> None:
    assert names_only(problem_of(text).network, nest_in(text)) == shape


@given(nests(most=7))
def test_the_outline_reads_as_the_same_shape(nest: Part) -> None:
    again = build(read_network(outline(nest))).network
    laid = build(Description(nest=nest)).network
    # Read alone, the names are letters, and capacitors get names of their own in reading order.
    assert [(c.start, c.end, str(c.value)) for c in again.capacitors] == [
        (c.start, c.end, c.name) for c in laid.capacitors
    ]


def test_what_a_step_made_keeps_the_usual_power_of_ten() -> None:
    problem = problem_of("4 uF -- (2 uF || 3 uF)")
    left = carry_out(problem.network, Choice("parallel", ("C2", "C3"))).makes
    assert left is not None
    network = problem.network._replace(capacitors=(problem.network.capacitors[0], left))
    assert nest_of(network, problem.powers) == Chain(
        (
            Element("C1", Amount(Fraction(4, 10**6), -6)),
            Element("C23", Amount(Fraction(5, 10**6), -6)),
        )
    )


def test_letters_stay_letters_and_sums_of_them_take_the_capacitors_name() -> None:
    assert nest_in("2C || C/3") == Parallel(
        (Element("C1", Letter("C", Fraction(2))), Element("C2", Letter("C", Fraction(1, 3))))
    )
    problem = problem_of("C -- (2D || D1)")
    made = reduce(problem.network).steps[0].makes
    assert made is not None
    alone = problem.network._replace(capacitors=(made._replace(start="A", end="B"),))
    assert nest_of(alone, problem.powers) == Element(made.name, Letter(made.name))


def test_a_deep_nest_does_not_recurse() -> None:
    ladder = "; ".join(
        f"C{n} = 1 uF from P{n} to P{n + 1}; D{n} = 1 uF from P{n + 1} to B" for n in range(1500)
    )
    problem = problem_of(f"{ladder}; ends P0 and B")
    nest = nest_of(problem.network, problem.powers)
    assert nest is not None
    text = outline(nest)
    assert text.startswith("C0 -- (D0 || (C1 -- (D1 || (")
    assert text.endswith("C1499 -- D1499" + ")" * 2998)
