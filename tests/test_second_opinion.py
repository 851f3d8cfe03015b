"""The second opinion, the networkx witness and the strategies, held to facts known elsewhere."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given

from grammar.reading import read_network
from grammar.records import Amount, Chain, Charging, Description, Element, Parallel, Part
from tests import nodal, witness
from tests.nodal import Edge, NoAnswerError
from tests.strategies import (
    Drawn,
    Written,
    amount_text,
    as_description,
    as_drawn,
    capacitances,
    decimals,
    joined_multigraphs,
    joins_text,
    multigraphs,
    nest_text,
    nested_descriptions,
    nests,
    supply_text,
    voltages,
)

F = Fraction
AB = ("A", "B")
LADDER = (
    Edge("C1", F(4), "A", "P"),
    Edge("C2", F(2), "P", "B"),
    Edge("C3", F(3), "P", "B"),
)


def cube(dimension: int) -> tuple[Edge, ...]:
    """Equal capacitors on the edges of a cube of any dimension; points are strings of bits."""
    corners = ["".join(bits) for bits in product("01", repeat=dimension)]
    links = [
        (corner, f"{corner[:axis]}1{corner[axis + 1 :]}")
        for corner in corners
        for axis in range(dimension)
        if corner[axis] == "0"
    ]
    return tuple(Edge(f"C{n}", F(1), *link) for n, link in enumerate(links, start=1))


def bridge(*values: int) -> tuple[Edge, ...]:
    links = ["AP", "AQ", "PQ", "PB", "QB"]
    return tuple(
        Edge(f"C{n}", F(value), *link)
        for n, (value, link) in enumerate(zip(values, links, strict=True), start=1)
    )


BRIDGE_TO_Z = tuple(edge._replace(end=edge.end.replace("B", "Z")) for edge in bridge(1, 2, 3, 4, 5))


@pytest.mark.parametrize(("dimension", "inverse"), [(2, F(1)), (3, F(5, 6)), (4, F(2, 3))])
def test_cubes_of_equal_capacitors(dimension: int, inverse: Fraction) -> None:
    """OEIS A046878/A046879: resistance between opposite corners; capacitances are reciprocal."""
    outcome = nodal.solve(cube(dimension), (), ("0" * dimension, "1" * dimension))
    assert outcome.capacitance == 1 / inverse


def test_bridge_of_five_equal_capacitors() -> None:
    """OEIS A174283: the bridge of five unit pieces has the value 1, and its middle is idle."""
    outcome = nodal.solve(bridge(1, 1, 1, 1, 1), (), AB, voltage=F(6))
    assert outcome.capacitance == 1
    assert outcome.capacitors["C3"].charge == 0
    assert outcome.potentials["P"] == outcome.potentials["Q"] == 3


def test_ladder_worked_by_hand() -> None:
    """4 with (2 beside 3) behind it, at 12 V: 20/9 in all, so 80/3 C and 16/3 V over the pair."""
    outcome = nodal.solve(LADDER, (), AB, voltage=F(12))
    assert outcome.capacitance == F(20, 9)
    assert outcome.charge == F(80, 3)
    assert outcome.potentials == {"A": 12, "B": 0, "P": F(16, 3)}
    assert outcome.capacitors["C3"] == (F(16), F(16, 3), F(128, 3))
    assert nodal.solve(LADDER, (), AB, charge=F(80, 3)) == outcome


def test_signs_follow_the_way_a_capacitor_is_written() -> None:
    turned = Edge("C1", F(4), "P", "A")
    outcome = nodal.solve((turned, *LADDER[1:]), (), AB, voltage=F(12))
    assert outcome.capacitors["C1"].charge == F(-80, 3)
    assert outcome.capacitors["C1"].voltage == F(-20, 3)


def test_idle_pieces_hold_nothing_and_loose_points_have_no_potential() -> None:
    idle = (
        Edge("D1", F(1), "P", "R"),  # a dead end
        Edge("D2", F(1), "R", "R"),  # both ends on one point, out on the dead end
        Edge("D3", F(1), "A", "S"),  # a ring that hangs on A
        Edge("D4", F(2), "S", "T"),
        Edge("D5", F(3), "T", "A"),
        Edge("D6", F(5), "U", "V"),  # a loose piece
    )
    wires = (("V", "W"), ("X", "B"), ("A", "A"))
    outcome = nodal.solve((*LADDER, *idle), wires, AB, voltage=F(12))
    assert outcome.capacitance == F(20, 9)
    assert all(outcome.capacitors[edge.name] == (0, 0, 0) for edge in idle)
    assert outcome.potentials == {
        **dict.fromkeys("AST", 12),
        **dict.fromkeys("PR", F(16, 3)),
        **dict.fromkeys("BX", 0),
    }
    assert witness.dead_pieces((*LADDER, *idle), wires, AB) == {edge.name for edge in idle}


def test_ends_that_nothing_joins() -> None:
    edges = (Edge("C1", F(1), "A", "P"),)
    outcome = nodal.solve(edges, (), AB, voltage=F(5))
    assert (outcome.capacitance, outcome.charge) == (0, 0)
    assert outcome.potentials == {"A": 5, "P": 5, "B": 0}
    with pytest.raises(NoAnswerError, match="nothing joins"):
        nodal.solve(edges, (), AB, charge=F(1))


@pytest.mark.parametrize(
    ("edges", "wires", "given_", "message"),
    [
        (LADDER, (("A", "Q"), ("Q", "B")), {}, "one point"),
        (LADDER, (), {"voltage": F(1), "charge": F(1)}, "not both"),
        ((Edge("C1", F(0), "A", "B"),), (), {}, "above zero"),
    ],
)
def test_what_the_second_opinion_refuses(
    edges: tuple[Edge, ...],
    wires: tuple[tuple[str, str], ...],
    given_: dict[str, Fraction],
    message: str,
) -> None:
    with pytest.raises(NoAnswerError, match=message):
        nodal.solve(edges, wires, AB, **given_)


def test_elimination_says_when_equations_fix_nothing() -> None:
    assert nodal.eliminate([[F(0), F(2), F(6)], [F(1), F(1), F(5)]]) == [2, 3]
    with pytest.raises(NoAnswerError, match="do not fix"):
        nodal.eliminate([[F(1), F(1), F(2)], [F(2), F(2), F(4)]])


@given(joined_multigraphs(), voltages())
def test_islands_stay_uncharged_and_energy_adds_up(drawn: Drawn, voltage: Fraction) -> None:
    """Charge balance at every point, summed afresh; and E = QV/2 for the whole."""
    outcome = nodal.solve(*drawn, voltage=voltage)
    standing: dict[str, Fraction] = {}
    for edge in drawn.edges:
        charge = outcome.capacitors[edge.name].charge
        for point, share in ((edge.start, charge), (edge.end, -charge)):
            standing[point] = standing.get(point, F(0)) + share
    for start, end in drawn.wires:
        standing[start] = standing.get(start, F(0)) + standing.pop(end, F(0))
    assert standing.pop("A") == -standing.pop("B") == outcome.charge
    assert set(standing.values()) <= {0}
    assert sum(reading.energy for reading in outcome.capacitors.values()) == outcome.energy
    assert nodal.solve(*drawn, charge=outcome.charge) == outcome


@given(nests(values=capacitances()))
def test_nests_have_the_capacitance_of_their_parts(nest: Part) -> None:
    """Sums for parallel parts and reciprocal sums for chains, part by part."""

    def whole(part: Part) -> Fraction:
        if isinstance(part, Element):
            assert isinstance(part.worth, Amount)
            return part.worth.value
        members = [whole(member) for member in part.members]
        return (
            1 / sum(1 / member for member in members) if isinstance(part, Chain) else sum(members)
        )

    drawn = as_drawn(Description(nest=nest))
    assert nodal.solve(*drawn).capacitance == whole(nest)
    assert witness.series_parallel_by_networkx(*drawn)
    assert not witness.dead_pieces(*drawn)


@given(multigraphs(), voltages())
def test_shape_alone_decides_who_is_idle_and_who_shares(drawn: Drawn, voltage: Fraction) -> None:
    """The witness looks at the shape only; the charges worked out must obey it."""
    try:
        outcome = nodal.solve(*drawn, voltage=voltage)
    except NoAnswerError:
        assert len(witness.dead_pieces(*drawn)) == len(drawn.edges)
        return
    size = {name: abs(reading.charge) for name, reading in outcome.capacitors.items()}
    assert {size[name] for name in witness.dead_pieces(*drawn)} <= {0}
    for first, second in witness.same_charge_pairs(*drawn):
        assert size[first] == size[second]


@pytest.mark.parametrize(
    ("edges", "wires", "reducible"),
    [
        (LADDER, (), True),
        (bridge(1, 2, 3, 4, 5), (), False),
        (bridge(1, 2, 3, 4, 5), (("P", "Q"),), True),
        (bridge(1, 2, 3, 4, 5), (("A", "B"),), True),
        (
            (*BRIDGE_TO_Z, Edge("C6", F(1), "A", "B")),
            (),
            True,
        ),
        (
            (*BRIDGE_TO_Z, Edge("C6", F(1), "Z", "B")),
            (),
            False,
        ),
        (tuple(edge._replace(name=f"{edge.name}'") for edge in LADDER) + LADDER, (), True),
        ((Edge("C1", F(1), "A", "A"),), (), True),
    ],
    ids=[
        "ladder",
        "bridge",
        "bridge-shorted-inside",
        "bridge-shorted",
        "bridge-hanging",
        "bridge-in-chain",
        "doubled",
        "nothing-between",
    ],
)
def test_witness_knows_series_parallel(
    edges: tuple[Edge, ...], wires: tuple[tuple[str, str], ...], reducible: bool
) -> None:
    assert witness.series_parallel_by_networkx(edges, wires, AB) is reducible


def test_witness_knows_cubes_are_not_series_parallel() -> None:
    assert not witness.series_parallel_by_networkx(cube(3), (), ("000", "111"))


def test_witness_pairs_capacitors_of_equal_charge() -> None:
    """C1 and C4 of C1 -- (C2 || C3) -- C4 share their charge without being neighbours."""
    edges = (
        *LADDER[:1],
        Edge("C2", F(2), "P", "Q"),
        Edge("C3", F(3), "P", "Q"),
        Edge("C4", F(1), "Q", "B"),
    )
    assert witness.same_charge_pairs(edges, (), AB) == {frozenset({"C1", "C4"})}
    assert not witness.same_charge_pairs(bridge(1, 2, 3, 4, 5), (), AB)
    assert not witness.same_charge_pairs(edges, (("A", "B"),), AB)


@given(nested_descriptions())
def test_text_of_a_nest_says_the_same_as_its_record(written: Written) -> None:
    assert read_network(written.text) == written.description


@given(joined_multigraphs(values=decimals().map(lambda number: number / 10**6), loops=False))
def test_text_of_a_list_says_the_same_as_its_record(drawn: Drawn) -> None:
    assert read_network(joins_text(drawn)) == as_description(drawn, power=-6)
    assert as_drawn(as_description(drawn)) == drawn


def test_text_of_networks() -> None:
    def micro(name: str, hundredths: int) -> Element:
        return Element(name, Amount(F(hundredths, 10**8), -6))

    nest = Chain((micro("C1", 400), Parallel((micro("C2", 250), micro("C3", 305)))))
    said = "C1 = 4 uF -- (C2 = 2.5 uF || C3 = 3.05 uF)"
    assert nest_text(nest) == said
    assert supply_text(Charging("charge", Amount(F(24, 10**6), -6))) == ", holding 24 uC"
    drawn = Drawn((Edge("C1", F(4, 10**6), "A", "P"),), (("P", "B"),), AB)
    assert joins_text(drawn) == "C1 = 4 uF from A to P; wire from P to B; ends A and B"
    with pytest.raises(ValueError, match="no short decimal"):
        amount_text(Amount(F(1, 3)), "F")
