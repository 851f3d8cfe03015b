"""Sequences of changes against the second opinion, and every joule accounted for."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from grammar.records import Amount, Change, Description, Supply
from grammar.records import Capacitor as Written
from grammar.records import Join
from tests.bench import Bench
from tutor.circuit.beginning import beginning
from tutor.circuit.changes import Broken
from tutor.circuit.islands import State, blocks, levels
from tutor.circuit.network import build
from tutor.circuit.switching import Misfit, Outcome, make

F = Fraction


def start(
    lines: list[tuple[str, int, str, str, int]], supply: int | None, ends: tuple[str, str]
) -> tuple[Description, Bench]:
    """Capacitors (name, farads, from, to, coulombs beforehand), in whole numbers."""
    joins = tuple(
        Join(Written(n, Amount(F(c)), start=Supply("charge", Amount(F(q))) if q else None), a, b)
        for n, c, a, b, q in lines
    )
    given = None if supply is None else Supply("voltage", Amount(F(supply)))
    bench = Bench({n: [F(c), a, b, F(q)] for n, c, a, b, q in lines}, ends)
    bench.supply = None if supply is None else F(supply)
    bench.settle()
    return Description(joins=joins, ends=ends, supply=given), bench


def by_chance(rng: Random) -> tuple[Description, Bench]:
    points = ["A", "B", "P", "R", "S"][: rng.randint(2, 5)]
    lines = []
    for at in range(rng.randint(1, 7)):
        a, b = rng.sample(points, 2)
        lines.append((f"C{at + 1}", rng.randint(1, 9), a, b, rng.choice([0, 0, rng.randint(1, 40)])))
    return start(lines, rng.choice([None, rng.randint(1, 30)]), ("A", "B"))


def change_by_chance(rng: Random, state: State, points: list[str]) -> Change:
    names = [c.name for c in state.network.capacitors]
    some = tuple(rng.sample(names, rng.randint(1, min(3, len(names)))))
    kind = rng.choice(
        ["remove supply", "supply", "wire", "take out", "fill", "empty", "gap", "join"]
    )
    if kind == "supply":
        return Change(kind, supply=Supply("voltage", Amount(F(rng.randint(1, 30)))))
    if kind == "wire" and len(points) > 1:
        first, second = rng.sample(points, 2)
        return Change(kind, points=(first, second))
    if kind == "fill":
        return Change(kind, some, amount=F(rng.randint(2, 9), 2))
    if kind == "gap":
        return Change(kind, some[:1], amount=F(rng.randint(1, 6), 2))
    if kind == "join" and len(some) > 1:
        return Change(kind, some, crossed=len(some) == 2 and rng.random() < 0.5)
    if kind in ("take out", "empty"):
        return Change(kind, some)
    return Change("remove supply")


def do(bench: Bench, change: Change, inside: dict[str, Fraction]) -> None:
    if change.kind == "remove supply":
        bench.supply = None
    elif change.kind == "supply":
        assert change.supply
        assert isinstance(change.supply.worth, Amount)
        bench.supply = change.supply.worth.value
    elif change.kind == "take out":
        for name in change.names:
            bench.lift(name)
    elif change.kind == "join":
        bench.join(change.names, change.crossed)
    elif change.kind == "wire":
        assert change.points
        bench.wire(*change.points)
    elif change.kind == "gap":
        assert isinstance(change.amount, Fraction)
        bench.capacitors[change.names[0]][0] /= change.amount
    else:
        new = change.amount if isinstance(change.amount, Fraction) else F(1)
        for name in change.names:
            bench.capacitors[name][0] *= new / inside.get(name, F(1))
            inside[name] = new


def agrees(state: State, bench: Bench, lifted: bool) -> None:
    for c in state.network.capacitors:
        value, _, _, charge = bench.capacitors[c.name]
        assert c.value == value
        held = state.charges[c.name]
        assert abs(held) == abs(charge), c.name
        assert lifted or held == charge, c.name
    assert state.stored == bench.energy()


@pytest.mark.parametrize("seed", range(300))
def test_sequences_against_the_second_opinion(seed: int) -> None:
    rng = Random(seed)
    description, bench = by_chance(rng)
    first = beginning(description, build(description))
    assert isinstance(first, Outcome)
    state, inside, lifted = first.after, {}, False
    agrees(state, bench, lifted)
    for _ in range(6):
        change = change_by_chance(rng, state, ["A", "B", "P"])
        found = make(state, change)
        if isinstance(found, Broken):
            assert found.kind == "shorted"
            continue
        pulled, before = bench.pulled, bench.energy()
        do(bench, change, inside)
        bench.settle()
        lifted = lifted or change.kind in ("take out", "join")
        agrees(found.after, bench, lifted)
        account = found.account
        assert account.gained == bench.energy() - before
        assert account.by_supply == bench.pulled - pulled
        assert account.gained == account.by_supply + account.on_plates - account.heat
        assert account.heat >= 0
        state = found.after
