"""Charged networks and things done to them, by chance."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from grammar.apart import put_apart
from grammar.records import Amount, Change, Charging, Description, Element, Join
from tutor.circuit.beginning import beginning
from tutor.circuit.changes import Broken
from tutor.circuit.islands import State
from tutor.circuit.network import build
from tutor.circuit.switching import PlateMisfit, Switched, make

KINDS = ("remove supply", "supply", "wire", "take out", "fill", "empty", "gap", "join")
MICRO = Fraction(1, 10**6)


def capacitor(rng: Random, name: str) -> Element:
    start = None
    if rng.random() < 0.4:
        start = rng.choice([
            Charging("voltage", Amount(Fraction(rng.randint(1, 40)))),
            Charging("charge", Amount(rng.randint(1, 90) * MICRO, -6)),
        ])
    return Element(name, Amount(rng.randint(1, 30) * MICRO / 2, -6), None, start)


def described(rng: Random) -> Description:
    """Capacitors that stand apart, or between up to five points, with a supply or none."""
    count = rng.randint(1, 7)
    written = [capacitor(rng, f"C{at + 1}") for at in range(count)]
    supply = rng.choice([None, Charging("voltage", Amount(Fraction(rng.randint(1, 30))))])
    if rng.random() < 0.3:
        return Description(
            joins=tuple(map(put_apart, written)), ends=("C1+", "C1-"), supply=supply
        )
    points = ["A", "B", "P", "R", "S"][: rng.randint(2, 5)]
    joins = []
    for at, each in enumerate(written):
        first, second = ("A", "B") if at == 0 else rng.sample(points, 2)
        joins.append(Join(each, first, second))
    if supply is None and rng.random() < 0.3:
        joins = [join._replace(capacitor=join.capacitor._replace(start=None)) for join in joins]
        supply = Charging("charge", Amount(rng.randint(1, 90) * MICRO, -6))
    return Description(joins=tuple(joins), ends=("A", "B"), supply=supply)


def change(rng: Random, state: State) -> Change:
    names = [c.name for c in state.network.capacitors]
    some = tuple(rng.sample(names, rng.randint(1, min(3, len(names)))))
    kind = rng.choice(KINDS)
    if kind == "supply":
        return Change(kind, supply=Charging("voltage", Amount(Fraction(rng.randint(1, 30)))))
    if kind == "wire" and state.network.ends == ("A", "B"):
        first, second = rng.sample(["A", "B", "P"], 2)
        return Change(kind, points=(first, second))
    if kind == "fill":
        return Change(kind, some, amount=Fraction(rng.randint(2, 9), 2))
    if kind == "gap":
        return Change(kind, some[:1], amount=Fraction(rng.randint(1, 6), 2))
    if kind == "join" and len(some) > 1:
        return Change(kind, some, crossed=len(some) == 2 and rng.random() < 0.5)
    if kind in ("take out", "empty"):
        return Change(kind, some)
    return Change("remove supply")


def sequence(description: Description, rng: Random) -> tuple[Change, ...]:
    """Up to five changes, none of which shorts a supply."""
    first = beginning(description, build(description))
    assert isinstance(first, Switched)
    state, found = first.after, []
    for _ in range(rng.randint(0, 5)):
        tried = change(rng, state)
        try:
            done = make(state, tried)
        except PlateMisfit:  # a filling that a narrower gap would not hold
            continue
        if not isinstance(done, Broken):
            found.append(tried)
            state = done.after
    return tuple(found)
