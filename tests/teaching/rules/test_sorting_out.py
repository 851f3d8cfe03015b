"""Near and equal numbers of made-up rules: which count, and which are so by algebra."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from grammar.reading import read_network
from tests.teaching.rules.test_diagnosis import scene, solved
from tutor.circuit.beyond import balance
from tutor.circuit.network import build
from tutor.circuit.reduction import reduce
from tutor.teaching.problem_questions import to_the_end
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.context import RuleContext, SolvedRoute, route_of
from tutor.teaching.rules.malrule import Malrule, Numbers
from tutor.teaching.rules.separation import (
    OtherValues,
    Separation,
    Wrong,
    hides_malrules,
    other_values,
    separation,
    sort_out,
)

F = Fraction
BRIDGE = (
    "C1 = 1 uF from A to P; C2 = 4 uF from A to R; C3 = 10 uF from P to B; "
    "C4 = 2 uF from R to B; C5 = 14 uF from P to R; ends A and B; across 12 V"
)
WIRED = (
    "C1 = 3 uF from A to p; C2 = 7 uF from q to B; C3 = 5 uF from A to q; wire from p to q; "
    "C4 = 2 uF from q to d; C5 = 9 uF from q to r; wire from q to r; ends A and B; holding 4 uC"
)
OWN_KIND = RuleContext("of its own", F(100))


def rule(name: str, numbers: Callable[[RuleContext], Numbers], remedy: str = "") -> Malrule:
    return Malrule(name, "X1", "S01", ("of its own",), numbers, remedy or name)


def sorted_out(
    right: str, *rules: Malrule, elsewhere: tuple[RuleContext, ...] = ()
) -> Separation:
    context = OWN_KIND._replace(right=F(right), parts=(F(6), F(3)))
    beside = OtherValues(context, ())
    beside.found = elsewhere
    return sort_out(
        [Wrong(each, tuple(each.numbers(context)), beside) for each in rules], F(right), beside
    )


def fixed(name: str, *numbers: str, remedy: str = "") -> Malrule:
    return rule(name, lambda _: [F(number) for number in numbers], remedy)


# Near numbers, with nothing known of other values


@pytest.mark.parametrize(("number", "hides"), [
    ("105", True), ("105.1", False), ("95", True), ("94.9", False), ("-100", False), ("100", True),
])
def test_a_number_within_a_twentieth_of_what_is_right_is_hidden(number: str, hides: bool) -> None:
    found = sorted_out("100", fixed("one", number))
    assert (found.hidden, found.tells) == ((("one",), ()) if hides else ((), ("one",)))
    assert found.is_diagnostic == (not hides)
    assert found.right == 100
    assert found.numbers == {"one": (F(number),)}


@pytest.mark.parametrize(("one", "other", "meet"), [
    ("200", "203.9", True), ("200", "204", True), ("200", "204.1", False),
    ("203.9", "200", True), ("200", "-200", False), ("-200", "-203.9", True),
    ("200", "200", True), ("0", "0", True), ("0", "1", False), ("1/3", "100/301", True),
])
def test_two_numbers_within_a_fiftieth_of_the_larger_collide(
    one: str, other: str, meet: bool
) -> None:
    found = sorted_out("100", fixed("one", one), fixed("other", other))
    assert found.colliding == ((("one", "other"),) if meet else ())
    assert found.tells == (() if meet else ("one", "other"))
    assert found.is_diagnostic == (not meet)


def test_each_number_meets_all_that_are_near_and_no_others() -> None:
    found = sorted_out(
        "100", fixed("d", "300"), fixed("b", "200", "500"), fixed("c", "201"), fixed("a", "202"),
    )
    assert set(found.colliding) == {("b", "c"), ("a", "b"), ("a", "c")}
    assert found.tells == ("d",)


def test_one_remedy_does_not_collide_nor_do_rules_that_give_one_number_by_nature() -> None:
    assert sorted_out(
        "100", fixed("one", "200", remedy="help"), fixed("other", "200", remedy="help")
    ).is_diagnostic
    assert sorted_out(
        "100", fixed("keeps-the-pd", "200"), fixed("supply-off-keeps-the-pd", "200")
    ).is_diagnostic


def test_rules_that_give_nothing_are_not_met() -> None:
    nothing = rule("none", lambda _: (None,))
    assert sorted_out("100", nothing) == Separation()
    assert sorted_out("100") == Separation()
    assert sorted_out("100", nothing, fixed("one", "300")).tells == ("one",)


# Equal numbers, with other values to compare


def others(*pairs: tuple[str, str, str]) -> tuple[RuleContext, ...]:
    """Contexts of two parts, and what is right there."""
    return tuple(
        OWN_KIND._replace(right=F(right), parts=(F(a), F(b))) for right, a, b in pairs
    )


ADDED = others(("12", "5", "7"), ("16", "13", "3"))  # where right is the sum
by_sum = rule("by-sum", lambda s: (s.parts[0] + s.parts[1],))
by_half = rule("by-half", lambda s: (s.parts[0] * F(3, 2),))  # 9 of 6 and 3, and else not the sum
by_both = rule("by-both", lambda s: (F(50), s.parts[1] + s.parts[0]))
unsteady = rule("unsteady", lambda s: (F(9),) if s.parts == (6, 3) else (F(12), F(50)))


def test_what_is_right_by_algebra_is_no_wrong_number() -> None:
    assert sorted_out("9", by_sum, elsewhere=ADDED) == Separation()
    assert sorted_out("9", by_half, elsewhere=ADDED).hidden == ("by-half",)
    assert sorted_out("9", by_sum).hidden == ("by-sum",)
    assert sorted_out("9", by_both, elsewhere=ADDED).numbers == {"by-both": (F(50),)}


def test_a_rule_that_applies_otherwise_elsewhere_is_not_known_to_be_right() -> None:
    assert sorted_out("9", unsteady, elsewhere=ADDED).hidden == ("unsteady",)


def test_numbers_that_agree_by_algebra_do_not_collide() -> None:
    again = by_sum._replace(name="again", remedy="again")
    assert sorted_out("100", by_sum, again, elsewhere=ADDED).is_diagnostic
    assert sorted_out("100", by_sum, by_both, elsewhere=ADDED).is_diagnostic
    assert sorted_out("100", by_both, by_sum, elsewhere=ADDED).is_diagnostic
    assert sorted_out("100", by_sum, by_half, elsewhere=ADDED).colliding == (
        ("by-half", "by-sum"),
    )
    assert sorted_out("100", by_sum, again).colliding == (("again", "by-sum"),)
    assert not sorted_out("100", by_half, unsteady, elsewhere=ADDED).is_diagnostic


def test_agreeing_once_is_not_enough() -> None:
    """Double the first is the sum where both are equal, and else not."""
    doubled = rule("doubled", lambda s: (s.parts[0] + F(3),))
    once = others(("12", "5", "3"), ("16", "13", "4"))
    assert not sorted_out("100", by_sum, doubled, elsewhere=once).is_diagnostic


# The same network on other values


@pytest.mark.parametrize("text", [
    "6 uF -- (1 uF || 2 uF), across 12 V", "(3 uF -- 7 uF) || 4 uF, holding 61 uC", BRIDGE, WIRED,
    "5 uF", "3 nF -- 7 nF -- 4 nF, across 2 kV",
])
def test_other_values_of_a_network_are_worked_through_anew(text: str) -> None:
    route = route_of(to_the_end(build(read_network(text)))[0])
    for other in other_values(route):
        network = other.problem.network
        assert {(c.name, c.start, c.end) for c in network.capacitors} == {
            (c.name, c.start, c.end) for c in route.problem.network.capacitors
        }
        assert other.truth.keys() == route.truth.keys()
        equivalent = reduce(network).equivalent
        right = balance(network).capacitance if equivalent is None else equivalent.value
        assert other.truth[Quantity("C")] == right
        assert other.whole is not None
        assert other.whole.value == right
        assert [s.kind for s in other.plan] == [s.kind for s in route.plan]
        held = {c.name: c.value for c in network.capacitors}
        assert all(held.get(c.name, c.value) == c.value for s in other.plan for c in s.parts)
        assert all(held[c.name] == c.value for s in other.plan for c in s.swept)
        supply, given = other.problem.supply, route.problem.supply
        assert (supply is None) == (given is None)
        if supply is not None and given is not None:
            assert supply.quantity == given.quantity
            assert supply.value != given.value
            assert other.truth[Quantity("V" if supply.quantity == "voltage" else "Q")] == (
                supply.value
            )


def sizes(route: SolvedRoute) -> list[Fraction]:
    return [F(c.value) for c in route.problem.network.capacitors]


def test_other_values_go_up_and_down_and_keep_the_unit() -> None:
    route = solved("3 nF -- 3 nF -- 3 nF, across 2 kV")
    up, down = other_values(route)
    assert sizes(up) == sorted(set(sizes(up)))
    assert sizes(down) == sorted(set(sizes(down)), reverse=True)
    assert min(sizes(up)) > max(sizes(down)) > F(1, 10**12)


def test_a_drawing_has_the_same_other_values() -> None:
    route = solved(WIRED)
    for other in other_values(route):
        drawn = other.problem.drawn
        assert drawn is not None
        assert {c.name: c.value for c in drawn.capacitors} == {
            c.name: c.value for c in other.problem.network.capacitors
        }
        assert drawn.ends == ("A", "B")
    assert build(read_network(WIRED)).drawn == route.problem.drawn


def test_other_values_are_worked_out_only_where_they_are_needed() -> None:
    context = scene("6 uF -- (1 uF || 2 uF), across 12 V", "V", "C1")
    route = context.route
    assert route is not None
    beside = OtherValues(context, None)
    assert beside.found is None
    assert [each.place for each in beside.contexts] == ["voltage", "voltage"]
    assert beside.right == tuple(each.truth[Quantity("V", "C1")] for each in other_values(route))
    assert separation(context, other_values(route)) == separation(context)


# A right answer that shows little


@pytest.mark.parametrize(("text", "symbol", "of", "hides"), [
    ("4 uF -- 4 uF, across 10 V", "V", "C1", True),  # half each is right
    ("3 uF -- 7 uF, across 12 V", "V", "C1", False),  # the potential of a point is a rare rule
    ("2 uF -- 3 uF -- 6 uF", "C", "C123", True),  # one over it is the same
    ("4 uF -- 6 uF -- 12 uF", "C", "C123", False),
    ("3 uF -- 7 uF", "C", "C12", False),  # product over sum is right for two, and no wrong idea
    ("3 uF || 7 uF, across 12 V", "V", "C1", True),  # the p.d. of the block is that of the supply
])
def test_a_likely_rule_may_give_what_is_right(
    text: str, symbol: str, of: str, hides: bool
) -> None:
    assert hides_malrules(scene(text, symbol, of)) == hides
