"""From what a text says to points joined by capacitors."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings

from grammar.reading import read_network
from grammar.records import (
    Amount,
    Asked,
    Chain,
    Charging,
    Description,
    Join,
    Letter,
    Parallel,
    Part,
    Wire,
)
from grammar.records import Element as Leaf
from tests import nodal
from tests.circuit.routes import edges_of
from tests.strategies import Drawn, as_description, as_drawn, capacitances, multigraphs, nests
from tutor.circuit.network import INNER_POINT_LETTERS, Capacitor, Network, build

F = Fraction
AB = ("A", "B")


def leaf(name: str, value: int = 1, power: int = 0) -> Leaf:
    return Leaf(name, Amount(F(value), power))


def build_list(joins: str, wires: str = "", ends: tuple[str, str] = AB) -> Network:
    """The network of joins such as ``C1 A P``, with wires such as ``P Q``."""
    lines = [line.split() for line in joins.split(";")]
    pairs = [line.split() for line in wires.split(";") if line]
    return build(
        Description(
            joins=tuple(Join(leaf(name), p, q) for name, p, q in lines),
            wires=tuple(Wire(p, q) for p, q in pairs),
            ends=ends,
        )
    ).network


def links(network: Network) -> dict[str, str]:
    return {c.name: c.start + c.end for c in network.capacitors}


# Nests


def test_a_nest_is_laid_out_from_end_to_end() -> None:
    nest = Chain((leaf("C1"), Parallel((leaf("C2"), Chain((leaf("C3"), leaf("C4")))))))
    network = build(Description(nest=nest)).network
    assert links(network) == {"C1": "AP", "C2": "PB", "C3": "PR", "C4": "RB"}
    assert network.points() == ("A", "P", "R", "B")


def test_ends_keep_their_order() -> None:
    """The first end is the one joined to the + side of the supply."""
    network = build(Description(nest=leaf("C1"), ends=("X", "K"))).network
    assert network.ends == ("X", "K")
    assert network.capacitors == (Capacitor("C1", F(1), "X", "K"),)
    assert build_list("C1 A P; C2 P B", ends=("B", "A")).points() == ("B", "P", "A")


@pytest.mark.parametrize(
    ("names", "letters", "ends", "expected"),
    [
        (["C1", "C2", "C3"], [], AB, ["P", "R"]),
        (["P", "C2", "C3"], [], AB, ["R", "S"]),
        (["C1", "C2", "C3"], ["R"], AB, ["P", "S"]),
        (["C1", "C2", "C3"], [], ("P", "R"), ["S", "T"]),
    ],
)
def test_inner_points_are_named_like_nothing_else(
    names: list[str], letters: list[str], ends: tuple[str, str], expected: list[str]
) -> None:
    worths = [Letter(letter) for letter in letters] + [Amount(F(1))] * (len(names) - len(letters))
    members = tuple(Leaf(name, worth) for name, worth in zip(names, worths, strict=True))
    network = build(Description(nest=Chain(members), ends=ends)).network
    assert list(network.points()[1:-1]) == expected


def test_there_are_names_for_any_number_of_points() -> None:
    """Past the letters come P2, R2, … and no name that a capacitor has."""
    names = [f"C{n}" for n in range(1, 45)] + ["P2", "S3"]
    network = build(Description(nest=Chain(tuple(leaf(name) for name in names)))).network
    inner = network.points()[1:-1]
    assert len(set(inner)) == len(names) - 1
    assert not set(inner) & {*names, *AB}
    assert inner[: len(INNER_POINT_LETTERS)] == tuple(INNER_POINT_LETTERS)
    assert inner[len(INNER_POINT_LETTERS)] == "R2"


@given(nests(values=capacitances()))
@settings(deadline=None)
def test_nests_keep_their_values_and_their_shape(nest: Part) -> None:
    """Laid out by the tutor or by the tests, the nodal method gives one capacitance."""
    network = build(Description(nest=nest)).network
    drawn = as_drawn(Description(nest=nest))
    assert {c.name: c.value for c in network.capacitors} == {
        edge.name: edge.capacitance for edge in drawn.edges
    }
    assert [c.name for c in network.capacitors] == [f"C{n + 1}" for n in range(len(drawn.edges))]
    mine, theirs = nodal.solve(edges_of(network), (), AB), nodal.solve(*drawn)
    assert mine.capacitance == theirs.capacitance
    assert mine.capacitors == theirs.capacitors


def test_deep_nests_need_no_recursion() -> None:
    nest: Part = leaf("C0")
    for n in range(1, 4000):
        kind = Chain if n % 2 else Parallel
        nest = kind((leaf(f"C{n}"), nest))
    assert len(build(Description(nest=nest)).network.capacitors) == 4000


# Lists of joins


def test_wires_make_points_one() -> None:
    """The name first mentioned is kept, and every group is listed with it in front."""
    description = Description(
        joins=(Join(leaf("C1"), "A", "P"), Join(leaf("C2"), "Q", "B"), Join(leaf("C3"), "S", "A")),
        wires=(Wire("Q", "P"), Wire("S", "T"), Wire("T", "Q")),
        ends=AB,
    )
    problem = build(description)
    assert links(problem.network) == {"C1": "AP", "C2": "PB", "C3": "PA"}
    assert problem.joined == (("P", "Q", "S", "T"),)


def test_a_point_joined_to_an_end_takes_its_name() -> None:
    assert links(build_list("C1 P Q; C2 Q R", "A P; R B")) == {"C1": "AQ", "C2": "QB"}


def test_wires_between_two_ends_of_one_capacitor_bypass_it() -> None:
    network = build_list("C1 A P; C2 P Q; C3 Q B", "P Q")
    assert links(network) == {"C1": "AP", "C2": "PP", "C3": "PB"}
    assert [c.name for c in network.meeting("P")] == ["C1", "C2", "C2", "C3"]


def test_a_wire_said_twice_or_in_a_ring_is_one_wire() -> None:
    network = build_list("C1 A P; C2 Q B", "P Q; Q P; Q R; R P")
    assert links(network) == {"C1": "AP", "C2": "PB"}


@given(multigraphs())
@settings(deadline=None)
def test_lists_mean_what_the_nodal_method_means(drawn: Drawn) -> None:
    """Wires drawn in by the tutor or by the nodal method: the same potentials and charges."""
    problem = build(as_description(drawn))
    try:
        expected = nodal.solve(*drawn, voltage=F(1))
    except nodal.NoAnswerError:
        kept = {point: group[0] for group in problem.joined for point in group}
        assert kept["A"] == kept["B"]
        return
    found = nodal.solve(edges_of(problem.network), (), AB, voltage=F(1))
    assert found.capacitance == expected.capacitance
    assert found.capacitors == expected.capacitors
    kept_points = {group[0] for group in problem.joined}
    dropped = {point for group in problem.joined for point in group[1:]}
    assert not dropped & set(problem.network.points())
    for group in problem.joined:
        assert len({expected.potentials.get(point) for point in group}) == 1
    assert not kept_points & dropped


# Around the network


def test_what_is_joined_and_asked_is_handed_on() -> None:
    asked = (Asked("charge", "C1"), Asked("energy"))
    supply = Charging("charge", Amount(F(24, 10**6), -6))
    problem = build(Description(nest=leaf("C1"), supply=supply, asked=asked))
    assert problem.supply == ("charge", F(24, 10**6))
    assert problem.asked == asked
    assert build(Description(nest=leaf("C1"))).supply is None


@pytest.mark.parametrize(
    ("powers", "supply", "expected"),
    [
        ([-6, -6, -9], None, (-6, 0, -6, -6)),
        ([-9], Charging("voltage", Amount(F(12))), (-9, 0, -9, -9)),
        ([-6], Charging("voltage", Amount(F(2000), 3)), (-6, 3, -3, 0)),
        ([-6], Charging("charge", Amount(F(1, 10**6), -6)), (-6, 0, -6, -6)),
        ([-12], Charging("charge", Amount(F(1, 10**9), -9)), (-12, 3, -9, -6)),
        ([-6], Charging("charge", Letter("Q")), (-6, 0, -6, -6)),
        ([-12], Charging("voltage", Amount(F(1, 1000), -3)), (-12, -3, -12, -12)),
        ([], None, (0, 0, 0, 0)),
    ],
    ids=["commonest", "nF-V", "kV", "uC", "nC-on-pF", "letter", "below-pico", "letters-only"],
)
def test_prefixes_people_would_use(
    powers: list[int], supply: Charging | None, expected: tuple[int, int, int, int]
) -> None:
    """C, V, Q and E: Q = C V and E = C V V set the powers of ten, between pico and mega."""
    members = [leaf(f"C{n}", 1, power) for n, power in enumerate(powers)] or [
        Leaf("C1", Letter("C")),
        Leaf("C2", Letter("D")),
    ]
    problem = build(Description(nest=Chain(tuple(members)), supply=supply))
    found = [problem.powers[d] for d in ("capacitance", "voltage", "charge", "energy")]
    assert found == list(expected)


def test_named_capacitors_come_in_the_order_of_the_network() -> None:
    network = build_list("C2 A P; C1 P B; C3 P B")
    assert [c.name for c in network.named({"C3", "C2", "C9"})] == ["C2", "C3"]


@pytest.mark.parametrize("backwards", [False, True])
def test_wires_make_one_point_in_whatever_order_they_are_named(backwards: bool) -> None:
    wires = [f"wire from P{at} to P{at + 1}" for at in range(2_000)]
    text = "; ".join([
        *(reversed(wires) if backwards else wires),
        "C1 = 2 uF from A to P0; C2 = 3 uF from P2000 to B; ends A and B",
    ])
    problem = build(read_network(text))
    (first, second) = problem.network.capacitors
    assert first.end == second.start == "P0"
    assert len(problem.joined[0]) == 2_001
