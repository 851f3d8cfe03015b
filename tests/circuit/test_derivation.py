"""'Why' rests on facts that are true of the network, and on nothing else."""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.circuit.routes import every_choice, network_of, number, opinion
from tests.nodal import Outcome
from tests.sampled import some
from tests.strategies import Drawn, joined_multigraphs
from tutor.circuit.derivation import MOST_PARTS, Derivation, derive
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import Choice, Step, after, carry_out

F = Fraction
AB = ("A", "B")


def chain(size: int) -> Step:
    points = ["A", *(f"P{n}" for n in range(1, size)), "B"]
    network = Network(
        tuple(Capacitor(f"C{n}", F(n), points[n - 1], points[n]) for n in range(1, size + 1)), AB
    )
    return carry_out(network, Choice("series", tuple(c.name for c in network.capacitors)))


def side_by_side(size: int) -> Step:
    network = Network(tuple(Capacitor(f"C{n}", F(n), *AB) for n in range(1, size + 1)), AB)
    return carry_out(network, Choice("parallel", tuple(c.name for c in network.capacitors)))


def test_two_in_a_chain() -> None:
    """Q = C V twice, one island and one path: C1 C2/(C1 + C2)."""
    c1, c2, q1, q2, v1, v2 = sympy.symbols("C_C1 C_C2 Q_C1 Q_C2 V_C1 V_C2", positive=True)
    charge, voltage = sympy.symbols("Q V", positive=True)
    derived = derive(chain(2))
    assert [(fact.ground, fact.equation) for fact in derived.facts] == [
        ("plates", sympy.Eq(q1, c1 * v1)),
        ("plates", sympy.Eq(q2, c2 * v2)),
        ("charges", sympy.Eq(q1, charge)),
        ("island", sympy.Eq(-q1 + q2, 0)),
        ("path", sympy.Eq(voltage, v1 + v2)),
    ]
    assert derived.equivalent == c1 * c2 / (c1 + c2)
    assert derived.rule == 1 / (1 / c1 + 1 / c2)


def test_two_side_by_side() -> None:
    """Q = C V twice, the same two points twice, and charges that add: C1 + C2."""
    c1, c2, q1, q2, v1, v2 = sympy.symbols("C_C1 C_C2 Q_C1 Q_C2 V_C1 V_C2", positive=True)
    charge, voltage = sympy.symbols("Q V", positive=True)
    derived = derive(side_by_side(2))
    assert [(fact.ground, fact.equation) for fact in derived.facts[2:]] == [
        ("same points", sympy.Eq(v1, voltage)),
        ("same points", sympy.Eq(v2, voltage)),
        ("charges", sympy.Eq(charge, q1 + q2)),
    ]
    assert derived.equivalent == derived.rule == c1 + c2


@given(joined_multigraphs(most=6), st.data())
@settings(deadline=None, max_examples=some(30))
def test_facts_hold_in_the_network(drawn: Drawn, data: st.DataObject) -> None:
    """Charges and p.d.s of the nodal method fit every equation; the equivalent is the step's."""
    network = network_of(drawn)
    options = [choice for choice in every_choice(network) if choice.kind != "removal"]
    if not options:
        return
    step = carry_out(network, data.draw(st.sampled_from(options)))
    assert step.makes is not None
    derived = derive(step)
    outcome, later = opinion(network), opinion(after(network, step))
    values = measured(step, outcome)
    whole = later.capacitors[step.makes.name]
    values |= {"Q": abs(whole.charge), "V": abs(whole.voltage)}
    for fact in derived.facts:
        assert put_in(fact.equation.lhs, values) == put_in(fact.equation.rhs, values)
    assert put_in(derived.equivalent, values) == number(step.makes.value)
    assert put_in(derived.rule, values) == number(step.makes.value)


def measured(step: Step, outcome: Outcome) -> dict[str, Fraction]:
    """Sizes of what each part holds, by the symbols of a derivation."""
    values: dict[str, Fraction] = {}
    for part in step.parts:
        reading = outcome.capacitors[part.name]
        values[f"C_{part.name}"] = number(part.value)
        values[f"Q_{part.name}"] = abs(reading.charge)
        values[f"V_{part.name}"] = abs(reading.voltage)
    return values


def put_in(expression: sympy.Expr, values: dict[str, Fraction]) -> Fraction:
    at = {s: sympy.Rational(str(values[s.name])) for s in expression.free_symbols}
    result = expression.subs(at)
    return Fraction(int(result.p), int(result.q))


@pytest.mark.parametrize("make", [chain, side_by_side])
@pytest.mark.parametrize("size", [2, 3, MOST_PARTS, MOST_PARTS + 3])
def test_long_sets_are_derived_for_their_first_members(make: object, size: int) -> None:
    assert callable(make)
    derived = derive(make(size))
    shown = min(size, MOST_PARTS)
    assert isinstance(derived, Derivation)
    assert (derived.shown, derived.of) == (shown, size)
    assert sum(fact.ground == "plates" for fact in derived.facts) == shown
    assert len(derived.equivalent.free_symbols) == shown
    ones = dict.fromkeys((f"C_C{n}" for n in range(1, shown + 1)), F(1))
    assert put_in(derived.equivalent, ones) == (F(1, shown) if make is chain else shown)


def test_islands_lie_between_neighbours_in_order() -> None:
    islands = [fact.parts for fact in derive(chain(4)).facts if fact.ground == "island"]
    assert islands == [("C1", "C2"), ("C2", "C3"), ("C3", "C4")]


def test_members_that_are_no_neighbours_are_derived_too() -> None:
    network = Network(
        tuple(
            Capacitor(f"C{n}", F(n), *link) for n, link in enumerate(["AP", "PQ", "PQ", "QB"], 1)
        ),
        AB,
    )
    derived = derive(carry_out(network, Choice("series", ("C1", "C4"))))
    assert put_in(derived.equivalent, {"C_C1": F(1), "C_C4": F(4)}) == F(4, 5)


def test_a_removal_has_nothing_to_derive() -> None:
    network = Network((Capacitor("C1", F(1), *AB), Capacitor("D1", F(1), "A", "P")), AB)
    with pytest.raises(ValueError, match="removal"):
        derive(carry_out(network, Choice("removal", ("D1",))))
