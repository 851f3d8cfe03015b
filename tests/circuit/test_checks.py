"""The closing checks are true sums, made from the single capacitors."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.circuit.routes import network_of, number, second, touching
from tests.strategies import Drawn, joined_multigraphs, voltages
from tutor.circuit.checks import Checks, PointCheck, closing_checks
from tutor.circuit.network import Capacitor, Network, Supply
from tutor.circuit.solving import plus_point, solve

F = Fraction
AB = ("A", "B")
LADDER = Network(
    (
        Capacitor("C1", F(4), "A", "P"),
        Capacitor("C2", F(2), "B", "P"),
        Capacitor("C3", F(3), "P", "B"),
    ),
    AB,
)


def checks_of(network: Network, supply: Supply) -> Checks | None:
    solution = solve(network, supply)
    return closing_checks(solution, supply) if solution.whole else None


def test_ladder_worked_by_hand() -> None:
    checks = closing_checks(solve(LADDER, Supply("voltage", F(12))), Supply("voltage", F(12)))
    drops = (F(20, 3), F(16, 3))
    assert [tuple(c.name for c in path.capacitors) for path in checks.paths] == [
        ("C1", "C2"),
        ("C1", "C3"),
    ]
    assert [(path.points, path.drops, path.total) for path in checks.paths] == [
        (("A", "P", "B"), drops, 12)
    ] * 2
    assert checks.inner_points == (
        PointCheck("P", (("C1", F(-80, 3)), ("C2", F(32, 3)), ("C3", F(16))), F(0)),
    )
    assert checks.plus_end == PointCheck("A", (("C1", F(80, 3)),), F(80, 3))
    assert checks.energy.total == checks.energy.of_whole == 160
    assert checks.energy.supplied == 320


@given(joined_multigraphs(), voltages(), st.booleans())
@settings(deadline=None)
def test_all_sums_agree_with_the_nodal_method(
    drawn: Drawn, given_value: Fraction, charged: bool
) -> None:
    network = network_of(drawn)
    supply = Supply("charge" if charged else "voltage", given_value)
    checks = checks_of(network, supply)
    if checks is None:
        return
    expected = second(drawn, supply)
    sizes = {name: abs(r.voltage) for name, r in expected.capacitors.items()}
    for path in checks.paths:
        assert path.drops == tuple(sizes[c.name] for c in path.capacitors)
        assert path.total == sum(map(number, path.drops)) == expected.voltage
        assert (path.points[0], path.points[-1]) == network.ends
        for c, link in zip(path.capacitors, pairwise(path.points), strict=True):
            assert c.points == set(link)
    walked = {c.name for path in checks.paths for c in path.capacitors}
    assert walked == {name for name, size in sizes.items() if size}
    for check in (*checks.inner_points, checks.plus_end):
        here = [edge for edge in network.capacitors if check.point in edge.points]
        assert [name for name, _ in dict(check.plates).items()] == [c.name for c in here]
        assert check.total == sum(number(charge) for _, charge in check.plates)
        assert check.total == (expected.charge if check.point == network.ends[0] else 0)
    assert {c.point for c in checks.inner_points} == (
        set(network.points()) & set(expected.potentials) - set(network.ends)
    )
    assert [number(e) for _, e in checks.energy.stored] == [
        expected.capacitors[c.name].energy for c in network.capacitors
    ]
    assert checks.energy.total == checks.energy.of_whole == expected.energy
    assert checks.energy.supplied == (None if charged else 2 * expected.energy)


@given(joined_multigraphs(), voltages())
@settings(deadline=None)
def test_plates_have_the_sign_of_their_point(drawn: Drawn, voltage: Fraction) -> None:
    """At each point a plate is positive if its capacitor's + plate is there."""
    network = network_of(drawn)
    supply = Supply("voltage", voltage)
    solution = solve(network, supply)
    if solution.whole is None:
        return
    checks = closing_checks(solution, supply)
    for check in (*checks.inner_points, checks.plus_end):
        for c in touching(network, check.point):
            charges = [number(q) for name, q in check.plates if name == c.name]
            plus = plus_point(c, solution.holdings[c.name])
            if c.start == c.end:
                assert charges == [0, 0]
            elif plus is None:
                assert charges == [0]
            else:
                assert (charges[0] > 0) == (plus == check.point)


def test_nothing_charged_leaves_no_path() -> None:
    checks = closing_checks(solve(LADDER, Supply("charge", F(0))), Supply("charge", F(0)))
    assert checks.paths == ()
    assert checks.energy.total == checks.energy.of_whole == 0


def test_checks_in_letters() -> None:
    """C with (C beside 2C) behind it across V: the p.d.s add to V and P stays without charge."""
    c, v = sympy.symbols("C V", positive=True)
    network = Network(
        tuple(
            Capacitor(name, value, *ends)
            for name, value, ends in [("C1", c, "AP"), ("C2", c, "BP"), ("C3", 2 * c, "PB")]
        ),
        AB,
    )
    supply = Supply("voltage", v)
    checks = closing_checks(solve(network, supply), supply)
    assert [path.total for path in checks.paths] == [v, v]
    assert [path.drops for path in checks.paths] == [(3 * v / 4, v / 4)] * 2
    assert [check.total for check in checks.inner_points] == [0]
    assert checks.plus_end.total == 3 * c * v / 4
    assert checks.energy.total == checks.energy.of_whole == 3 * c * v**2 / 8


def test_a_bridge_has_all_its_checks() -> None:
    """1, 2, 2, 1 and 1 between at 12 V: P at 4.8 V and Q at 7.2 V (computed for the project)."""
    links = ["AP", "AQ", "PB", "QB", "PQ"]
    values = zip(links, (1, 2, 2, 1, 1), strict=True)
    bridge = Network(
        tuple(Capacitor(f"C{n}", F(c), *link) for n, (link, c) in enumerate(values, start=1)), AB
    )
    supply = Supply("voltage", F(12))
    checks = closing_checks(solve(bridge, supply), supply)
    assert [[c.name for c in path.capacitors] for path in checks.paths] == [
        ["C1", "C3"], ["C2", "C4"], ["C2", "C5", "C3"]
    ]
    assert [path.total for path in checks.paths] == [12, 12, 12]
    assert [check.total for check in checks.inner_points] == [0, 0]
    assert checks.plus_end.total == F(84, 5)
    assert checks.energy.total == checks.energy.of_whole == F(504, 5)


def test_a_network_that_nothing_joins_to_both_ends_has_none() -> None:
    apart = Network((Capacitor("C1", F(1), "A", "P"), Capacitor("C2", F(1), "Q", "B")), AB)
    supply = Supply("voltage", F(1))
    with pytest.raises(ValueError, match="not reduced"):
        closing_checks(solve(apart, supply), supply)
