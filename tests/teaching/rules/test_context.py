"""What surrounds a value, in plain numbers: checked by hand on small networks."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from grammar.records import Dimension
from tests.teaching.rules.test_diagnosis import scene, solved
from tutor.teaching.exchange import begin
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import (
    Held,
    RuleContext,
    SolvedRoute,
    context_of,
    context_on,
    plain_power,
    route_of,
)

F = Fraction
MICRO = F(1, 10**6)
INNER = "6 uF -- (1 uF || 2 uF), across 12 V"
BY_PAIRS = ("4 uF -- 6 uF -- 12 uF, across 12 V", "C1 C2", "the charge, P", "2.4 uF")
DEAD_END = "C1 = 4 uF from A to B; C2 = 5 uF from B to d; ends A and B; across 12 V"


def nothing() -> RuleContext:
    return RuleContext("charge", F(1))


def names(step: object) -> tuple[str, ...]:
    return tuple(c.name for c in step.parts)  # type: ignore[attr-defined]


def test_plain_units_fit_together() -> None:
    """With nF and kV a charge is in µC and an energy in mJ, so that no power of ten is left."""
    powers: Mapping[Dimension, int] = {
        "capacitance": -9, "voltage": 3, "charge": -9, "energy": -6, "length": -3,
    }
    found = [plain_power(powers, d) for d in ("capacitance", "voltage", "charge", "energy")]
    assert found == [-9, 3, -6, -3]
    assert plain_power(powers, "length") == -3


# The route


def test_steps_and_capacitors_of_a_route() -> None:
    route = solved(INNER)
    made = route.made_by("C23")
    assert made is not None
    assert (names(made), made.kind) == (("C2", "C3"), "parallel")
    assert route.made_by("C1") is None
    assert route.made_by(None) is None
    assert route.part_of("C2") == made
    last = route.part_of("C23")
    assert last is not None
    assert set(names(last)) == {"C1", "C23"}
    assert route.part_of("C123") is None
    assert [s.makes.name for s in route.makers if s.makes] == ["C23", "C123"]
    for name, value in (("C1", 6), ("C23", 3), ("C123", 2)):
        found = route.capacitor(name)
        assert found is not None
        assert found.value == value * MICRO
    assert route.capacitor("C9") is None


def test_what_is_idle_is_no_part_of_a_step() -> None:
    route = solved(DEAD_END)
    assert route.makers == ()
    assert route.part_of("C2") is None
    assert scene(DEAD_END, "C").given == (4,)
    bypassed = "C1 = 3 uF from A to m; C2 = 7 uF from m to B; wire from m to B; ends A and B"
    assert scene(bypassed, "C").given == (3,)


def test_a_chain_taken_by_pairs_is_one_run() -> None:
    route = solved(*BY_PAIRS)
    first, last = route.makers
    assert route.run(first) == (("C1", "C2", "C3"), "C123")
    assert route.run(last) == (("C1", "C2", "C3"), "C123")
    inner = solved(INNER)
    one, two = inner.makers
    assert inner.run(one) == (("C2", "C3"), "C23")
    assert inner.run(two) == (("C1", "C23"), "C123")


# The context


@pytest.mark.parametrize(("text", "quantity"), [
    (INNER, Quantity("C", "C1")),
    (INNER, Quantity("V", point="P")),
    (INNER, Quantity("V", "C9")),
    ("6 uF -- (1 uF || 2 uF)", Quantity("V", "C1")),
    ("C -- 2C, across V", Quantity("V", "C1")),
])
def test_no_rule_makes_these(text: str, quantity: Quantity) -> None:
    assert context_of(solved(text), quantity) is None


def test_own_values_in_letters_are_left_alone() -> None:
    sympy = pytest.importorskip("sympy")
    route, letter = solved(INNER), sympy.Symbol("C", positive=True)
    assert context_of(route, Quantity("C"), {Quantity("C", "C23"): letter}) is None
    assert context_of(route, Quantity("C"), {Quantity("C", "C23"): 4 * MICRO}) is not None


def test_the_part_that_is_asked_about() -> None:
    found = scene("6 uF -- (1 uF || 2 uF), across 12 V", "V", "C3")
    assert (found.place, found.right, found.of) == ("voltage", 8, "C3")
    assert (found.parts, found.names, found.at) == ((1, 2), ("C2", "C3"), 1)
    assert found.held == (Held(F(2), F(16), F(8)),)
    assert (found.c, found.q, found.v) == (2, 16, 8)
    assert (found.supply, found.total, found.whole) == (12, 24, 2)
    assert (found.made, found.is_whole) == ("C23", False)
    assert (found.power, found.usual, found.scale) == (0, 0, 1)
    assert found.run() == ((1, 2), "C23")


@pytest.mark.parametrize(("symbol", "of", "place", "parts"), [
    ("C", None, "series", {"C1", "C23"}),
    ("C", "C123", "series", {"C1", "C23"}),
    ("C", "C23", "parallel", {"C2", "C3"}),
    ("Q", None, "total charge", set()),
    ("Q", "C123", "total charge", set()),
    ("Q", "C23", "charge", {"C1", "C23"}),
    ("E", None, "total energy", set()),
    ("E", "C123", "total energy", set()),
    ("E", "C2", "energy", {"C2", "C3"}),
    ("V", None, "voltage", set()),
    ("V", "C123", "voltage", set()),
    ("V", "C1", "voltage", {"C1", "C23"}),
    ("W", None, "work", set()),
])
def test_kinds_of_question(symbol: str, of: str | None, place: str, parts: set[str]) -> None:
    found = scene(INNER, symbol, of)
    assert (found.place, set(found.names), found.at) == (
        place, parts, 0 if of is None or of not in found.names else found.names.index(of)
    )
    assert found.of == (of or "C123")


def test_one_capacitor_and_a_bridge_are_wholes() -> None:
    one = scene("6 uF, across 12 V", "C")
    assert (one.place, one.names, one.made, one.is_whole) == ("whole", ("C1",), None, False)
    bridge = (
        "C1 = 1 uF from A to P; C2 = 4 uF from A to R; C3 = 10 uF from P to B; "
        "C4 = 2 uF from R to B; C5 = 14 uF from P to R; ends A and B; across 12 V"
    )
    assert scene(bridge, "C").place == "whole"


def test_numbers_of_several_leave_out_what_is_not_known() -> None:
    found = scene(INNER, "C", "C23")
    assert found.numbers("C", ("C1", "C9", "C3")) == (6, 2)
    assert found.number("V", "C9") is None
    assert nothing().number("C", "C1") is None
    kilo = scene("2 uF -- 6 uF, across 4 kV", "E", "C1")
    assert (kilo.number("E"), kilo.number("Q", "C1"), kilo.number("V")) == (12, 6, 4)
    assert (kilo.power, kilo.usual, kilo.scale) == (0, 0, 1)


def test_units_too_small_for_a_prefix() -> None:
    """Energies of pF and mV are in 10⁻¹⁸ J, for which there is no usual prefix."""
    tiny = scene("2 pF -- 6 pF, across 4 mV", "E", "C1")
    assert (tiny.right, tiny.power) == (9, -18)
    assert tiny.usual > -18
    assert tiny.scale == F(10) ** (tiny.usual + 18)


def test_capacitances_that_steps_have_made_by_then() -> None:
    text = "(2 uF -- (1 uF || 3 uF)) || (5 uF -- 20 uF), across 10 V"
    assert scene(text, "C").merged == (4, F(4, 3), 4)
    assert scene(text, "C", "C12345").merged == (4, F(4, 3), 4)
    assert scene(text, "C", "C23").merged == ()
    assert scene(text, "C", "C123").merged == (4,)
    # on the way back all but what is asked about and its own block
    assert scene(text, "V", "C45").merged == (4, F(4, 3))
    assert scene(text, "V", "C2").merged == (F(4, 3), 4, F(16, 3))
    assert scene(text, "Q").merged == (4, F(4, 3), 4, F(16, 3))
    assert nothing().merged == ()
    assert scene(text, "C").given == (2, 1, 3, 5, 20)
    assert nothing()._replace(others=(F(5),)).given == (5,)


def test_parts_that_were_made() -> None:
    found = scene("(2 uF -- (1 uF || 3 uF)) || (5 uF -- 20 uF)", "C")
    assert sorted(found.inside("series")) == [(F(4, 3), (2, 4)), (4, (5, 20))]
    assert found.inside("parallel") == []
    assert scene(INNER, "C").inside("parallel") == [(3, (1, 2))]
    assert scene(INNER, "Q").inside("parallel") == []
    assert nothing().inside("series") == []


def test_a_wire_overlooked_that_leaves_no_way_gives_no_number() -> None:
    """Without the wire nothing leads to B; with it C2 hangs on P alone."""
    text = (
        "C1 = 4 uF from A to P; wire from P to B; C2 = 5 uF from P to Q; ends A and B; across 12 V"
    )
    rule = next(each for each in CATALOGUE if each.name == "misses-that-a-wire-makes-one-point")
    assert tuple(rule.numbers(scene(text, "C"))) == ()


def test_energies_are_added_up_only_where_all_are_known() -> None:
    rule = next(each for each in CATALOGUE if each.name == "leaves-out-the-half")
    known, unknown = Held(F(2), F(16), F(8)), Held(F(2))
    both = RuleContext("total energy", F(1), held=(known, known))
    assert tuple(rule.numbers(both)) == (2 * 2 * 8 * 8,)
    assert tuple(rule.numbers(both._replace(held=(known, unknown)))) == ()
    assert tuple(rule.numbers(both._replace(held=()))) == ()


def test_facts_of_one_sort() -> None:
    found = nothing()._replace(facts={"v0": F(1), "voltage": F(12), "v1": F(2), "c0": F(3)})
    assert found.listed("v") == (1, 2)
    assert found.listed("c") == (3,)
    assert found.listed("q") == ()


def test_nothing_is_known_where_nothing_is_said() -> None:
    found = nothing()
    assert found.one == Held()
    assert (found.c, found.q, found.v, found.made, found.network) == (None,) * 5
    assert (found.supply, found.total, found.whole, found.is_whole) == (None, None, None, False)
    assert found.run() == ((), None)
    given = scene(INNER, "C", "C23").network
    assert given is not None
    assert given.ends == ("A", "B")


# A learner's own values


def own(route: SolvedRoute, mine: Mapping[Quantity, Fraction]) -> RuleContext:
    found = context_of(route, Quantity("V", "C1"), mine)
    assert found is not None
    return found


def test_own_values_take_the_place_of_true_ones() -> None:
    found = own(solved(INNER), {Quantity("C", "C23"): 4 * MICRO, Quantity("Q"): 30 * MICRO})
    assert set(found.parts) == {6, 4}
    assert (found.number("C", "C23"), found.number("C", "C2"), found.right) == (4, 1, 4)


@pytest.mark.parametrize("symbol", ["C", "Q", "V"])
def test_own_values_of_the_whole_have_both_its_names(symbol: str) -> None:
    unit = F(1) if symbol == "V" else MICRO
    short, long = (Quantity(symbol, of) for of in (None, "C123"))  # type: ignore[arg-type]
    for mine in (short, long):
        found = own(solved(INNER), {mine: 5 * unit})
        assert [found.number(q.symbol, q.of) for q in (short, long)] == [5, 5]
    both = own(solved(INNER), {short: 5 * unit, long: 7 * unit})
    assert [both.number(q.symbol, q.of) for q in (short, long)] == [5, 7]


def test_a_potential_is_no_pd_of_the_whole() -> None:
    found = own(solved(INNER), {Quantity("V", point="P"): F(9)})
    assert found.number("V") == found.number("V", "C123") == 12


def test_on_a_walk() -> None:
    route = solved(INNER)
    walk = begin(route.problem).walk
    assert route_of(walk) == route
    assert context_on(walk, Quantity("V", "C1")) == context_of(route, Quantity("V", "C1"))
    assert context_on(walk, None) is None
    mine = {Quantity("C", "C23"): 4 * MICRO}
    found = context_on(walk, Quantity("V", "C1"), mine)
    assert found == context_of(route, Quantity("V", "C1"), mine)
    assert route_of(begin(solved("C -- 2C, across V").problem).walk).is_lettered
    assert not route.is_lettered
