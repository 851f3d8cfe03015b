"""Sequences of changes against the second opinion, and every joule accounted for."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import NamedTuple

import pytest

from grammar.outline import elements_of
from grammar.reading import read_network
from grammar.records import Amount, Change, Description
from tests.bench import Bench
from tests.bychance import change, described
from tutor.circuit.beginning import beginning
from tutor.circuit.changes import Broken
from tutor.circuit.islands import State, blocks, levels
from tutor.circuit.network import build
from tutor.circuit.structure import pieces
from tutor.circuit.switching import FILLED_OR_MOVED, PlateMisfit, Switched, make

F = Fraction
STRIPS = 400


def bench_of(description: Description) -> Bench:
    """The same capacitors, with what they hold beforehand, settled with the supply on."""
    lines = {}
    for join in description.joins:
        c = join.capacitor
        assert isinstance(c.worth, Amount)
        charge = F(0)
        if c.start is not None:
            assert isinstance(c.start.worth, Amount)
            given = c.start.worth.value
            charge = given * c.worth.value if c.start.quantity == "voltage" else given
        lines[c.name] = [c.worth.value, join.start, join.end, charge]
    bench = Bench(lines, description.ends)
    if description.supply is not None:
        assert isinstance(description.supply.worth, Amount)
        bench.supply = description.supply.worth.value
    bench.settle()
    return bench


class Inside(NamedTuple):
    """What is in a gap, with lengths as parts of the first gap."""

    material: Fraction
    thickness: Fraction
    gap: Fraction

    @property
    def way(self) -> Fraction:
        return self.gap - self.thickness + self.thickness / self.material


def do(bench: Bench, done: Change, inside: dict[str, Inside]) -> None:
    if done.kind == "remove supply":
        bench.supply = None
    elif done.kind == "supply":
        assert done.supply
        assert isinstance(done.supply.worth, Amount)
        bench.supply = done.supply.worth.value
    elif done.kind == "take out":
        for name in done.names:
            bench.lift(name)
    elif done.kind == "join":
        bench.join(done.names, done.crossed)
    elif done.kind == "wire":
        assert done.points
        bench.wire(*done.points)
    elif done.kind == "gap":
        assert isinstance(done.amount, Fraction)
        made_again(bench, done.names[0], inside, gap=done.amount)
    else:
        new = done.amount if isinstance(done.amount, Fraction) else F(1)
        for name in done.names:
            made_again(bench, name, inside, material=new)


def made_again(
    bench: Bench, name: str, inside: dict[str, Inside], material: Fraction | None = None,
    gap: Fraction | int = 1,
) -> None:
    """Another filling, all through the gap, or another gap, in which the filling is as it was.

    Way by way: 1/C goes as the thickness of the air, plus that of the filling over its k.
    """
    was = inside.get(name, Inside(F(1), F(1), F(1)))
    now = was._replace(gap=was.gap * gap)
    if material is not None:
        now = Inside(material, was.gap, was.gap)
    elif was.material == 1:
        now = now._replace(thickness=now.gap)
    bench.capacitors[name][0] *= was.way / now.way
    inside[name] = now


def agrees(state: State, bench: Bench, lifted: bool) -> None:
    """Equal charges; a capacitor that was taken out may have been turned round."""
    for c in state.network.capacitors:
        value, _, _, charge = bench.capacitors[c.name]
        assert c.value == value
        held = state.charges[c.name]
        assert abs(held) == abs(charge), c.name
        assert lifted or held == charge, c.name
    assert state.stored == bench.energy()


@pytest.mark.parametrize("values", [(6,), (6, 3), (2, 7, 9, 1)])
def test_a_charge_given_to_a_chain_is_on_each_and_its_energy_is_all_from_the_supply(
    values: tuple[int, ...]
) -> None:
    """A supply that gives a charge Q raises it to Q/C on the way: ½ Q²/C in all, and no heat."""
    description = read_network(
        " -- ".join(f"{value} uF" for value in values) + ", holding 7 uC"
    )
    first = beginning(description, build(description))
    assert isinstance(first, Switched)
    assert set(first.after.charges.values()) == {F(7, 10**6)}
    stored = sum(F(7, 10**6) ** 2 / F(value, 10**6) / 2 for value in values)
    assert first.account == (stored, stored, 0, 0)
    assert first.after.stored == stored


@pytest.mark.parametrize("seed", range(300))
def test_sequences_against_the_second_opinion(seed: int) -> None:
    rng = Random(seed)
    follow(described(rng), rng)


def follow(description: Description, rng: Random) -> None:
    """Up to six changes by chance, each held to the second opinion, energies too."""
    if description.supply is not None and description.supply.quantity == "charge":
        description = description._replace(supply=None)
    bench = bench_of(description)
    first = beginning(description, build(description))
    assert isinstance(first, Switched)
    state, lifted = first.after, False
    inside: dict[str, Inside] = {}
    agrees(state, bench, lifted)
    for _ in range(6):
        done = change(rng, state)
        try:
            found = make(state, done)
        except PlateMisfit:
            assert done.kind == "gap"
            continue
        if isinstance(found, Broken):
            assert found.kind == "shorted"
            continue
        pulled, before = bench.pulled, bench.energy()
        do(bench, done, inside)
        bench.settle()
        lifted = lifted or done.kind in ("take out", "join")
        agrees(found.after, bench, lifted)
        account = found.account
        assert account.gained == bench.energy() - before
        assert account.by_supply == bench.pulled - pulled
        assert account.gained == account.by_supply + account.on_plates - account.heat
        assert account.heat >= 0
        state = found.after


@pytest.mark.parametrize("seed", range(20))
def test_work_on_plates_is_force_times_way(seed: int) -> None:
    """At every moment it is −½ V² dC for the capacitor that is moved: added up in small strips,
    p.d.s by the second opinion. (The force on a plate at a p.d. V: common practice, no source.)
    """
    rng = Random(seed)
    description = described(rng)._replace(supply=rng.choice([None, *SUPPLIES]))
    first = beginning(description, build(description))
    assert isinstance(first, Switched)
    name = elements_of(description)[0].name
    found = make(first.after, Change("fill", (name,), amount=F(3)))
    assert isinstance(found, Switched)
    bench = bench_of(description)
    before = bench.capacitors[name][0]
    work = 0.0
    for strip in range(STRIPS):
        bench.capacitors[name][0] = before * (1 + 2 * F(2 * strip + 1, 2 * STRIPS))
        bench.settle()
        value, _, _, charge = bench.capacitors[name]
        work -= float(charge / value) ** 2 / 2 * float(2 * before / STRIPS)
        for each in bench.capacitors.values():  # short fractions, or they grow without end
            each[3] = each[3].limit_denominator(10**15)
    assert work == pytest.approx(float(found.account.on_plates), rel=1e-3, abs=1e-15)


SUPPLIES = [read_network(f"2 uF, across {volts} V").supply for volts in (5, 12)]


@pytest.mark.parametrize("seed", range(30))
def test_loss_of_two_joined_has_the_formula(seed: int) -> None:
    """½ · C1 C2/(C1 + C2) · (V1 ∓ V2)²: University Physics Volume 2, OpenStax, chapter 8 (from
    memory), follows from charge kept.
    """
    rng = Random(seed)
    c1, c2, v1, v2 = (rng.randint(1, 40) for _ in range(4))
    crossed = rng.random() < 0.5
    description = read_network(
        f"C1 = {c1} uF charged to {v1} V; C2 = {c2} uF charged to {v2} V; join C1 and C2"
        + " crossed" * crossed
    )
    first = beginning(description, build(description))
    assert isinstance(first, Switched)
    found = make(first.after, description.changes[0])
    assert isinstance(found, Switched)
    apart = v1 + v2 if crossed else v1 - v2
    assert found.account.heat == F(c1 * c2, 2 * (c1 + c2)) * apart**2 / 10**6
    between = sorted([v1, v2])
    if not crossed:
        assert between[0] <= abs(found.after.voltage("C1")) <= between[1]


@pytest.mark.parametrize("seed", range(60))
def test_order_and_names_do_not_matter(seed: int) -> None:
    rng = Random(seed)
    description = described(rng)
    other = {"P": "X", "R": "P", "S": "R"}
    joins = [
        j._replace(start=other.get(j.start, j.start), end=other.get(j.end, j.end))
        for j in description.joins
    ]
    rng.shuffle(joins)
    turned = description._replace(joins=tuple(joins))
    first, second = (beginning(each, build(each)) for each in (description, turned))
    assert isinstance(first, Switched)
    assert isinstance(second, Switched)
    for _ in range(4):
        done = change(rng, first.after)
        points = done.points and tuple(other.get(p, p) for p in done.points)
        one = make(first.after, done)
        two = make(second.after, done._replace(points=points))
        if isinstance(one, Broken) or isinstance(two, Broken):
            assert one == two
            continue
        assert one.account == two.account
        for name, held in one.after.charges.items():
            assert abs(held) == abs(two.after.charges[name])
        first, second = one, two


# Islands and blocks


def state_of(text: str) -> State:
    description = read_network(text)
    found = beginning(description, build(description))
    assert isinstance(found, Switched)
    return found.after


@pytest.mark.parametrize("seed", range(60))
def test_islands_keep_their_charge(seed: int) -> None:
    """Whatever is done but a supply put on: the charge of each piece of metal is what it was."""
    rng = Random(seed)
    description = described(rng)._replace(supply=None)
    first = beginning(description, build(description))
    assert isinstance(first, Switched)
    done = change(rng, first.after)
    if done.kind == "supply":
        return
    found = make(first.after, done)
    assert isinstance(found, Switched)
    for point in found.after.network.points():
        assert found.after.charge_at(point) == found.carried.charge_at(point)


def test_blocks_are_found_from_the_shape() -> None:
    network = state_of(
        "C1 = 1 uF from A to P; C2 = 2 uF from P to B; C3 = 3 uF from P to B; "
        "C4 = 4 uF from B to R; C5 = 5 uF from S to T; C6 = 6 uF from T to S; ends A and B"
    ).network
    assert [b.names for b in blocks(network, False)] == [
        ("C1",), ("C2", "C3"), ("C4",), ("C5", "C6")
    ]
    supplied = blocks(network, True)
    assert [b.names for b in supplied] == [("C1", "C2", "C3"), ("C4",), ("C5", "C6")]
    assert [b.supplied for b in supplied] == [True, False, False]


def test_potentials_of_one_floating_point() -> None:
    """V_P = (charge kept + ΣC_j V_j) / ΣC_j."""
    state = state_of("C1 = 4 uF charged to 10 V -- C2 = 6 uF, across 12 V")
    (block,) = blocks(state.network, True)
    level = levels(block, state)
    assert level["P"] == F(-40 + 4 * 12, 4 + 6)


def test_a_long_chain_needs_no_deep_stack() -> None:
    names = " -- ".join(["2 uF"] * 400)
    state = state_of(f"{names}, across 12 V")
    done = make(state, Change("remove supply"))
    assert isinstance(done, Switched)
    assert len(blocks(done.after.network, False)) == 400
    assert done.after.charges == state.charges


def test_joining_what_hangs_together_takes_it_apart_first() -> None:
    state = state_of("C1 = 2 uF -- C2 = 4 uF, across 9 V")._replace(supply=None)
    found = make(state, Change("join", ("C1", "C2")))
    assert isinstance(found, Switched)
    assert {abs(q) for q in found.carried.charges.values()} == {F(12, 10**6)}
    assert len(set(pieces(found.after.network.capacitors).values())) == 1
    assert found.after.voltage("C1") == found.after.voltage("C2") == 4


def test_taking_out_moves_no_charge() -> None:
    state = state_of("C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF), across 12 V")
    found = make(state, Change("take out", ("C3",)))
    assert isinstance(found, Switched)
    assert found.moved == ()
    assert found.account == (0, 0, 0, 0)


def test_a_wire_across_a_charged_capacitor_makes_heat_of_all_it_stores() -> None:
    state = state_of("C1 = 4 uF charged to 10 V; C2 = 3 uF; join C1 and C2")
    state = state._replace(network=state.network._replace(ends=("C1+", "C1-")))
    found = make(state, Change("wire", points=("C1+", "C1-")))
    assert isinstance(found, Switched)
    assert found.after.stored == 0
    assert found.account.heat == state.stored == F(200, 10**6)


def test_names_done_away_with_still_mean_their_metal() -> None:
    state = state_of("C1 = 1 uF -- C2 = 2 uF -- C3 = 3 uF, across 12 V")._replace(supply=None)
    once = make(state, Change("wire", points=("P", "R")))
    assert isinstance(once, Switched)
    twice = make(once.after, Change("wire", points=("R", "B")))
    assert isinstance(twice, Switched)
    assert twice.after.charges["C2"] == twice.after.charges["C3"] == 0
    assert twice.after.charges["C1"] != 0


@pytest.mark.parametrize("written", ["C1 = plates 100 cm2 gap 1 mm", "C1 = 2 uF"])
@pytest.mark.parametrize(("permittivity", "wider"), [(2, F(3, 2)), (5, F(3))])
def test_a_filling_keeps_its_thickness_in_a_wider_gap(
    written: str, permittivity: int, wider: Fraction
) -> None:
    """The filled gap in a chain with a layer of air: a solid does not stretch."""
    state = state_of(f"{written}, across 12 V")
    done = read_network(
        f"{written}; then fill C1 with {permittivity}; then gap of C1 times {wider}; then empty C1"
    ).changes
    values = [state.capacitor("C1").value]
    for each in done:
        found = make(state, each)
        assert isinstance(found, Switched)
        assert each.kind in FILLED_OR_MOVED
        state = found.after
        values.append(state.capacitor("C1").value)
    first = F(values[0])
    with_air = 1 / (1 / (first * permittivity) + (wider - 1) / first)
    assert values == [first, first * permittivity, with_air, first / wider]


@pytest.mark.parametrize("text", [
    "C1 = 2 uF; then fill C1 with 3; then gap of C1 halved",
    "C1 = plates 100 cm2 gap 1 mm filled 3; then gap of C1 halved",
    "C1 = plates 100 cm2 gap 1 mm filled 3 over 1/2; then gap of C1 doubled",
])
def test_a_filling_that_does_not_fit_is_refused(text: str) -> None:
    state, (*fillings, moved) = state_of(text.partition("; then")[0]), read_network(text).changes
    for each in fillings:
        found = make(state, each)
        assert isinstance(found, Switched)
        state = found.after
    with pytest.raises(PlateMisfit):
        make(state, moved)


def test_layers_keep_their_thickness_when_the_gap_grows() -> None:
    before = state_of("C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5")
    after = state_of("C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5, 1 mm of 1")
    change_ = read_network(
        "C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5; then gap of C1 doubled"
    ).changes[0]
    found = make(before, change_)
    assert isinstance(found, Switched)
    assert found.after.capacitor("C1").value == after.capacitor("C1").value
