"""Every step in every order, judged by the nodal method and by networkx."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from tests import witness
from tests.circuit.routes import (
    Options,
    edges_of,
    every_choice,
    every_route,
    held_at_the_end,
    network_of,
    number,
    opinion,
    states,
    touching,
)
from tests.nodal import Edge
from tests.sampled import some
from tests.strategies import Drawn, joined_multigraphs, multigraphs
from tutor.circuit.network import Capacitor, Network, build
from tutor.circuit.steps import (
    Choice,
    Fault,
    Step,
    after,
    carry_out,
    choices,
    examine,
    joint_name,
)

F = Fraction
AB = ("A", "B")


def of(text: str) -> Network:
    """A network from lines such as ``C1 4 A P``, ends A and B."""
    lines = [line.split() for line in text.split(";")]
    return Network(tuple(Capacitor(n, F(v), p, q) for n, v, p, q in lines), AB)


BLOB = of("C1 4 A P; C2 2 P Q; C3 3 P Q; C4 5 Q B")
LADDER = of("C1 4 A P; C2 2 P B; C3 3 P B")
CHAIN = of("C1 4 A P; C2 2 P Q; C3 3 Q B")
BRIDGE = of("C1 1 A P; C2 2 A Q; C3 3 P Q; C4 4 P B; C5 5 Q B")
BRIDGE_WITH_CHAIN = of("C1 1 A P; C2 2 A Q; C3 3 P R; C6 6 R Q; C4 4 P B; C5 5 Q B")
HUNG = of("C1 4 A P; D1 1 P R; D2 1 R S; C2 2 P B; D3 1 R R; D4 7 P P")


# Every order


def check_step(before: Network, step: Step, later: Network) -> None:
    """The step changes nothing that can be measured at the ends or on any other capacitor."""
    old, new = opinion(before), opinion(later)
    assert new.capacitance == old.capacitance
    stayed = {c.name for c in before.capacitors} & {c.name for c in later.capacitors}
    assert all(old.capacitors[name] == new.capacitors[name] for name in stayed)
    assert all(old.capacitors[c.name].charge == 0 for c in step.swept)
    if step.makes is None:
        assert all(old.capacitors[c.name].charge == 0 for c in step.parts)
        return
    made = new.capacitors[step.makes.name]
    for part, turned in zip(step.parts, step.turned, strict=True):
        sign = -1 if turned else 1
        share = "voltage" if step.kind == "parallel" else "charge"
        assert getattr(old.capacitors[part.name], share) * sign == getattr(made, share)
    assert sum(old.capacitors[c.name].energy for c in step.parts) == made.energy


def check_record(before: Network, step: Step, later: Network) -> None:
    """What the record says of itself is true of the networks before and after."""
    own = {p for c in step.swept for p in c.points} - set(later.points())
    assert set(before.points()) - set(later.points()) == set(step.gone) | own
    assert set(later.points()) <= set(before.points())
    leaving = {c.name for c in (*step.parts, *step.swept)}
    coming = {step.makes.name} if step.makes else set()
    assert {c.name for c in later.capacitors} == (
        {c.name for c in before.capacitors} - leaving | coming
    )
    assert coming.isdisjoint({c.name for c in before.capacitors})
    for gone, kept in step.renamed:
        assert gone in step.gone
        assert kept in later.points()
    if step.makes is None:
        return
    values = [number(c.value) for c in step.parts]
    if step.kind == "parallel":
        assert {c.points for c in step.parts} == {frozenset(step.points)}
        assert number(step.makes.value) > max(values)
    else:
        dead = witness.dead_pieces(edges_of(before), (), before.ends)
        for point in step.points:
            ends = [c.name for c in touching(before, point) if c.name not in dead]
            assert len(ends) == 2
            assert set(ends) <= {c.name for c in step.parts}
            assert point not in before.ends
        assert (len(step.points) < len(step.parts) - 1) == bool(step.between or step.renamed)
        assert number(step.makes.value) < min(values)


@given(joined_multigraphs(most=5).filter(lambda drawn: len(drawn.edges) <= 5))
@settings(deadline=None, max_examples=some(50))
def test_every_order_of_every_step(drawn: Drawn) -> None:
    """All sets of two and more at each step, all the way: the same end, the same charges."""
    check_every_route(network_of(drawn), every_choice)


@given(joined_multigraphs(most=7))
@settings(deadline=None)
def test_every_order_of_the_largest_steps(drawn: Drawn) -> None:
    check_every_route(network_of(drawn), choices)


def check_every_route(network: Network, options: Options) -> None:
    expected = opinion(network)
    seen: set[tuple[Network, Step]] = set()
    sizes = set()
    for route in every_route(network, options):
        walk = states(network, route)
        for before, step, later in zip(walk, route, walk[1:], strict=False):
            if (before, step) not in seen:
                seen.add((before, step))
                check_step(before, step, later)
                check_record(before, step, later)
        sizes.add(len(walk[-1].capacitors))
        if len(walk[-1].capacitors) == 1:
            assert walk[-1].capacitors[0].value == expected.capacitance
            assert held_at_the_end(network, route) == expected.capacitors
    assert len(sizes) == 1, "one order gets further than another"


@given(joined_multigraphs(most=13), st.data())
@settings(deadline=None)
def test_any_order_of_larger_networks(drawn: Drawn, data: st.DataObject) -> None:
    """Steps by chance, down to one capacitor or to what series and parallel cannot combine."""
    network = network_of(drawn)
    walk, route = [network], []
    taken: set[str] = {c.name for c in network.capacitors}
    while options := choices(walk[-1]):
        kind, names = data.draw(st.sampled_from(options))
        least = 1 if kind == "removal" else 2
        some = data.draw(st.sets(st.sampled_from(names), min_size=least))
        judged = examine(walk[-1], some)
        assert isinstance(judged, Choice)
        step = carry_out(walk[-1], judged, taken)
        assert step.makes is None or step.makes.name not in taken
        taken |= {step.makes.name} if step.makes else set()
        walk.append(after(walk[-1], step))
        route.append(step)
        check_step(walk[-2], step, walk[-1])
        check_record(walk[-2], step, walk[-1])
    if len(walk[-1].capacitors) == 1:
        assert held_at_the_end(network, tuple(route)) == opinion(network).capacitors


# What may be done


@given(multigraphs(most=8))
@settings(deadline=None)
def test_examine_agrees_with_brute_force(drawn: Drawn) -> None:
    """Same points: parallel. Two-edge cuts, all of them: series. Outside the block: removal."""
    network = network_of(drawn)
    edges = edges_of(network)
    dead = witness.dead_pieces(edges, (), network.ends)
    cuts = witness.same_charge_pairs(edges, (), network.ends)
    for size in (1, 2, 3):
        for chosen in combinations(network.capacitors, size):
            names = {c.name for c in chosen}
            judged = examine(network, names)
            if names <= dead:
                expected = "removal"
            elif names & dead:
                expected = "idle"
            elif size == 1:
                expected = "one"
            elif len({c.points for c in chosen}) == 1:
                expected = "parallel"
            elif all(frozenset(pair) in cuts for pair in combinations(names, 2)):
                expected = "series"
            else:
                expected = "broken"
            if isinstance(judged, Choice):
                assert judged.kind == expected
                assert set(judged.names) == names
            else:
                assert judged.kind in FAULTS[expected]
                check_fault(network, names, judged)


FAULTS = {
    "idle": {"idle"},
    "one": {"one"},
    "broken": {"ends", "meeting", "apart", "mixed"},
    "removal": set[str](),
    "parallel": set[str](),
    "series": set[str](),
}


def check_fault(network: Network, chosen: set[str], fault: Fault) -> None:
    """The place that a fault names is there, and it does break the choice."""
    edges = edges_of(network)
    dead = witness.dead_pieces(edges, (), network.ends)
    cuts = witness.same_charge_pairs(edges, (), network.ends)
    points = {c.name: c.points for c in network.capacitors}
    named = set(fault.names)
    if fault.kind in ("one", "idle"):
        assert named == (chosen if fault.kind == "one" else chosen & dead)
        return
    if fault.kind == "mixed":
        first, second = fault.names
        assert named < chosen
        assert points[first] == points[second]
        assert len({points[name] for name in chosen}) > 1
        return
    differing = [
        (a, b) for a, b in combinations(sorted(chosen), 2) if frozenset((a, b)) not in cuts
    ]
    if fault.kind == "apart":
        assert tuple(sorted(fault.names)) in differing
        assert not any(points[a] & points[b] for a, b in differing)
        return
    assert fault.point is not None
    assert any(fault.point in points[a] & points[b] for a, b in differing)
    assert named == {c.name for c in touching(network, fault.point)}
    assert (fault.kind == "ends") == (fault.point in network.ends)
    if fault.kind == "meeting":
        assert len(named - dead) > 2


@given(multigraphs(most=8))
@settings(deadline=None)
def test_choices_are_all_there_is(drawn: Drawn) -> None:
    """Each pair that may be combined lies in a choice, and each part of a choice may be taken."""
    network = network_of(drawn)
    options = choices(network)
    assert len(set(options)) == len(options)
    for kind, names in every_choice(network):
        judged = examine(network, names)
        assert isinstance(judged, Choice)
        assert (judged.kind, set(judged.names)) == (kind, set(names))
    for pair in combinations([c.name for c in network.capacitors], 2):
        judged = examine(network, pair)
        if isinstance(judged, Choice) and judged.kind != "removal":
            assert any(judged.kind == kind and set(pair) <= set(all_) for kind, all_ in options)
    removable = {name for kind, names in options if kind == "removal" for name in names}
    assert removable == witness.dead_pieces(edges_of(network), (), network.ends)


@pytest.mark.parametrize(
    ("network", "expected"),
    [
        (LADDER, [("parallel", "C2 C3")]),
        (CHAIN, [("series", "C1 C2 C3")]),
        (BLOB, [("parallel", "C2 C3"), ("series", "C1 C4")]),
        (BRIDGE, []),
        (BRIDGE_WITH_CHAIN, [("series", "C3 C6")]),
        (HUNG, [("removal", "D3"), ("removal", "D4"), ("removal", "D1 D2"), ("series", "C1 C2")]),
        (
            of("C1 1 A P; C2 2 P Q; C3 3 Q R; C4 4 Q R; C5 5 R B"),
            [("parallel", "C3 C4"), ("series", "C1 C2"), ("series", "C1 C2 C5")],
        ),
        (of("C1 1 A P; C2 2 Q B"), [("removal", "C1"), ("removal", "C2")]),
    ],
    ids=["ladder", "chain", "blob", "bridge", "bridge-with-chain", "hung", "two-runs", "open"],
)
def test_choices_of_small_networks(network: Network, expected: list[tuple[str, str]]) -> None:
    assert [(kind, " ".join(names)) for kind, names in choices(network)] == expected


@pytest.mark.parametrize(
    ("network", "chosen", "fault"),
    [
        (LADDER, "C1 C2", Fault("meeting", ("C1", "C2", "C3"), "P")),
        (LADDER, "C1 C2 C3", Fault("mixed", ("C2", "C3"))),
        (BLOB, "C1 C2 C4", Fault("meeting", ("C1", "C2", "C3"), "P")),
        (BRIDGE, "C1 C5", Fault("apart", ("C1", "C5"))),
        (BRIDGE, "C1 C2", Fault("ends", ("C1", "C2"), "A")),
        (BRIDGE_WITH_CHAIN, "C3 C6 C1", Fault("meeting", ("C1", "C3", "C4"), "P")),
        (
            of("C1 1 A P; C2 2 P Q; C3 3 Q B; C4 4 Q B"),
            "C1 C2 C3",
            Fault("meeting", ("C2", "C3", "C4"), "Q"),
        ),
        (of("C1 1 A P; C2 2 P B; C3 3 A B"), "C1 C2 C3", Fault("ends", ("C1", "C3"), "A")),
        (HUNG, "C1 D1", Fault("idle", ("D1",))),
        (CHAIN, "C2", Fault("one", ("C2",))),
    ],
)
def test_faults_of_small_networks(network: Network, chosen: str, fault: Fault) -> None:
    assert examine(network, chosen.split()) == fault


# What a step records


def test_members_of_a_chain_that_are_no_neighbours() -> None:
    """A wire takes C4's place, so C14 stands from A to P and the pair hangs from P to B."""
    step = carry_out(BLOB, Choice("series", ("C1", "C4")))
    assert step.makes == Capacitor("C14", F(20, 9), "A", "P")
    assert (step.points, step.between) == ((), ("C2", "C3"))
    assert (step.gone, step.renamed) == (("Q",), (("Q", "B"),))
    assert after(BLOB, step) == of("C14 20/9 A P; C2 2 P B; C3 3 P B")


def test_what_hangs_at_a_vanishing_point_goes_with_it() -> None:
    step = carry_out(HUNG, Choice("series", ("C1", "C2")))
    assert [c.name for c in step.swept] == ["D4", "D1", "D2"]
    assert step.gone == ("P",)
    assert after(HUNG, step) == of("C12 4/3 A B; D3 1 R R")


def test_removals_say_where_they_touched_the_rest() -> None:
    step = carry_out(HUNG, Choice("removal", ("D1", "D2", "D3")))
    assert (step.points, step.gone) == (("P",), ("R", "S"))
    assert after(HUNG, step) == of("C1 4 A P; C2 2 P B; D4 7 P P")


def test_a_chain_is_told_from_the_plus_end_on() -> None:
    turned = of("C3 3 B Q; C2 2 P Q; C1 4 P A")
    step = carry_out(turned, Choice("series", ("C3", "C2", "C1")))
    assert [c.name for c in step.parts] == ["C1", "C2", "C3"]
    assert step.points == ("P", "Q")
    assert step.turned == (True, False, True)
    assert step.makes == Capacitor("C123", F(12, 13), "A", "B")


# Names


@pytest.mark.parametrize(
    ("names", "used", "made"),
    [
        (["C2", "C3"], [], "C23"),
        (["C3", "C2"], [], "C23"),
        (["C3", "C12"], [], "C123"),
        (["C10", "C2"], [], "C102"),
        (["C1", "C2"], ["C12"], "X1"),
        (["C1", "C2"], ["C12", "X1"], "X2"),
        (["C1", "X2"], [], "X1"),
        (["C12'", "C3"], [], "X1"),
        (["C12", "C3"], [], "C123"),
        (["C123456", "C7"], [], "X1"),
        (["C123456", "C7"], ["X1", "X2"], "X3"),
        (["A", "B"], [], "AB"),
    ],
)
def test_joint_names(names: list[str], used: list[str], made: str) -> None:
    assert joint_name(names, used) == made


@given(st.sets(st.sampled_from(["X1", "X2", "X3", "X5", "X9", "C12"])))
def test_joint_names_are_free(used: set[str]) -> None:
    """Gaps in the numbers, as a learner's own names may leave them, do no harm."""
    assert joint_name(["C123456", "C7"], used) not in used
    assert joint_name(["C1", "C2"], used) not in used


CLASHING = ("C1", "C2", "C12", "C3", "C123", "C12'", "X1", "X2", "C", "X")


@given(joined_multigraphs(most=9), st.permutations(CLASHING), st.data())
@settings(deadline=None)
def test_no_two_capacitors_share_a_name(
    drawn: Drawn, names: list[str], data: st.DataObject
) -> None:
    """Neither with one another, nor with any earlier on the way, nor with a point."""
    edges = tuple(
        edge._replace(name=name) for edge, name in zip(drawn.edges, names, strict=False)
    )
    network = network_of(Drawn(edges, drawn.wires, drawn.ends))
    taken = {c.name for c in network.capacitors}
    while options := choices(network):
        step = carry_out(network, data.draw(st.sampled_from(options)), taken)
        if step.makes:
            assert step.makes.name not in taken | set(network.points())
            taken.add(step.makes.name)
        network = after(network, step)


def test_a_made_capacitor_is_not_named_like_a_point() -> None:
    network = of("C1 1 A C12; C2 2 C12 B")
    step = carry_out(network, Choice("series", ("C1", "C2")))
    assert step.makes is not None
    assert step.makes.name == "X1"


def test_edges_are_handed_over_whole() -> None:
    """Guards the tests themselves: the second opinion is asked about the same network."""
    assert edges_of(LADDER)[0] == Edge("C1", F(4), "A", "P")
    assert [len(route) for route in every_route(CHAIN, every_choice)] == [2, 2, 2, 1]
    assert all(a != b for a, b in pairwise(states(CHAIN, next(every_route(CHAIN, every_choice)))))


def test_what_lies_between_members_of_a_chain_is_only_what_both_of_them_shut_in() -> None:
    pairs = ("(C2 = 2 uF || C3 = 3 uF)", "(C5 = 5 uF || C6 = 6 uF)")
    text = f"C1 = 1 uF -- {pairs[0]} -- C4 = 4 uF -- {pairs[1]} -- C7 = 7 uF -- C8 = 8 uF"
    network = build(read_network(text)).network
    step = carry_out(network, Choice("series", ("C1", "C4")))
    assert step.between == ("C2", "C3")
    assert carry_out(network, Choice("series", ("C4", "C7"))).between == ("C5", "C6")
