"""Arrangements that are found, against the nodal method and against all there are."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import lcm
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Description, Refusal
from grammar.wishing import read_wish
from tests import nodal, plain_closure
from tests.sampled import some
from tests.strategies import as_drawn
from tutor.circuit import looking
from tutor.circuit.arranging import Findings, Order, arrange, every_value
from tutor.circuit.ordering import nest_of_tree, order_of, stock_of
from tutor.circuit.stock import Stock, StockGroup, StockKind, splits, unit_of
from tutor.circuit.trees import Joined, Tree, leaves, value_of_tree, voltages

CASES: Sequence[Mapping[str, Any]] = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "arrangements.toml").read_text(encoding="utf-8")
)["case"]
# oeis.org/A006351: series-parallel networks of n pieces that are all different.
A006351 = (1, 2, 8, 52, 472, 5504)
A000084 = (1, 2, 4, 10, 24, 66, 180)
PRIMES = (101, 211, 307, 401, 503, 601)  # no two arrangements of these are alike by chance
EVERYTHING = 100_000


def different(*values: Fraction | int, rating: Fraction | None = None) -> Stock:
    groups = tuple(StockGroup((StockKind(Fraction(value), rating),), 1) for value in values)
    return Stock(groups, len(groups))


def equal(number: int, value: Fraction | int = 1, rating: Fraction | None = None) -> Stock:
    return Stock((StockGroup((StockKind(Fraction(value), rating),), number),), number)


def exactly(stock: Stock, target: Fraction, across: Fraction | None = None) -> Order:
    return Order(stock, target, target, target, across)


def all_of_it(stock: Stock) -> Order:
    """Whatever the whole stock makes."""
    return Order(stock._replace(fewest=stock.most), Fraction(1), Fraction(0), Fraction(10**9))


def closure(values: Sequence[Fraction]) -> dict[int, set[Fraction]]:
    """Every value of every part of a stock by its size, found in the plain way."""
    scale = lcm(*(value.denominator for value in values))
    made = plain_closure.of_different([int(value * scale) for value in values])
    by_size: dict[int, set[Fraction]] = {}
    for part, pairs in enumerate(made[1:], start=1):
        found = {Fraction(*pair) / scale for pair in pairs}
        by_size.setdefault(part.bit_count(), set()).update(found)
    return by_size


def check_with_nodal(order: Order, tree: Tree, value: Fraction) -> None:
    """Capacitance, and p.d. against rating, by the second opinion."""
    drawn = as_drawn(Description(nest=nest_of_tree(order.stock, tree)))
    outcome = nodal.solve(*drawn, voltage=order.across)
    assert outcome.capacitance == value
    if order.across is None:
        return
    told = [voltage for _, voltage in voltages(tree, order.stock.kinds, order.across)]
    assert sorted(told) == sorted(abs(each.voltage) for each in outcome.capacitors.values())
    # Names that the stock does not give are given in the order in which the tree is written.
    in_order = sorted(drawn.edges, key=lambda edge: int(edge.name[1:]))
    for edge, place in zip(in_order, leaves(tree), strict=True):
        rating = order.stock.kinds[place].rating
        assert rating is None or abs(outcome.capacitors[edge.name].voltage) <= rating


def is_tidy(tree: Tree) -> bool:
    """No chain directly in a chain, no parallel set directly in a parallel set."""
    if not isinstance(tree, Joined):
        return True
    inner = [each for each in tree.members if isinstance(each, Joined)]
    return len(tree.members) > 1 and all(e.way != tree.way and is_tidy(e) for e in inner)


capacitances = st.integers(1, 30).map(Fraction) | st.builds(
    Fraction, st.integers(1, 60), st.integers(1, 6)
)


@pytest.mark.parametrize("size", range(1, 6))
def test_all_arrangements_of_different_capacitors_are_there_once(size: int) -> None:
    found = arrange(all_of_it(different(*PRIMES[:size])), EVERYTHING).arrangements
    assert len({each.tree for each in found}) == len(found) == A006351[size - 1]
    assert all(is_tidy(each.tree) for each in found)


@pytest.mark.parametrize("size", range(1, 8))
def test_all_arrangements_of_equal_capacitors_are_there_once(size: int) -> None:
    found = arrange(all_of_it(equal(size)), EVERYTHING).arrangements
    assert len({each.tree for each in found}) == len(found) == A000084[size - 1]


def test_three_small_groups_side_by_side_are_not_missed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where only halves are listed, six capacitors may fall into three pairs."""
    monkeypatch.setattr(looking, "MOST_BAGS_OF_TWO_THIRDS", 0)
    found = arrange(all_of_it(different(*PRIMES)), EVERYTHING).arrangements
    assert len({each.tree for each in found}) == len(found) == A006351[5]


@settings(max_examples=some(40), deadline=None)
@given(st.lists(capacitances, min_size=1, max_size=5), capacitances, st.booleans())
def test_the_nearest_is_the_nearest_of_all(
    values: list[Fraction], target: Fraction, halves: bool
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        if halves:
            patch.setattr(looking, "MOST_BAGS_OF_TWO_THIRDS", 0)
        order = exactly(different(*values), target)
        found = arrange(order, EVERYTHING)
    by_size = closure(values)
    distance = min(abs(value - target) for made in by_size.values() for value in made)
    sizes = {
        size
        for size, made in by_size.items()
        if any(abs(value - target) == distance for value in made)
    }
    assert found.met == (distance == 0)
    assert not found.cut_short
    assert not found.more
    assert {each.parts for each in found.arrangements} == sizes
    for each in found.arrangements:
        assert abs(each.value - target) == distance
        check_with_nodal(order, each.tree, each.value)
    assert list(found.arrangements) == sorted(found.arrangements, key=lambda each: each.parts)


@settings(max_examples=some(30), deadline=None)
@given(st.lists(capacitances, min_size=1, max_size=4), capacitances, st.integers(0, 40))
def test_a_tolerance_lets_in_what_is_within_it_and_nothing_else(
    values: list[Fraction], target: Fraction, percent: int
) -> None:
    off = target * percent / 100
    order = Order(different(*values), target, target - off, target + off)
    found = arrange(order, EVERYTHING)
    allowed = {v for made in closure(values).values() for v in made if abs(v - target) <= off}
    assert found.met == bool(allowed)
    if found.met:
        assert {each.value for each in found.arrangements} == allowed


@settings(max_examples=some(25), deadline=None)
@given(st.lists(capacitances, min_size=2, max_size=4), st.data())
def test_ratings_are_respected_and_nothing_that_respects_them_is_missed(
    values: list[Fraction], data: st.DataObject
) -> None:
    ratings = [Fraction(data.draw(st.sampled_from([10, 25, 63, 100]))) for _ in values]
    groups = tuple(
        StockGroup((StockKind(value, rating),), 1)
        for value, rating in zip(values, ratings, strict=True)
    )
    stock = Stock(groups, len(groups))
    target = data.draw(st.sampled_from(sorted(set().union(*closure(values).values()))))
    order = exactly(stock, target, Fraction(60))
    found = arrange(order, EVERYTHING)
    for each in found.arrangements:
        check_with_nodal(order, each.tree, each.value)
    free = arrange(exactly(stock, target), EVERYTHING)
    kinds = stock.kinds
    safe = {
        each.tree
        for each in free.arrangements
        if all(
            volts <= (kinds[place].rating or volts)
            for place, volts in voltages(each.tree, kinds, Fraction(60))
        )
    }
    assert found.met == bool(safe)
    if safe:
        assert {each.tree for each in found.arrangements} == safe




def test_the_nearest_from_eight_is_proven() -> None:
    stock = different(47, 33, 22, 15, 10, 68, 91, 56)
    found = arrange(exactly(stock, Fraction("31.4159")))
    assert found.nearest_is_proven
    assert found.searched == 8
    (best,) = found.arrangements
    check_with_nodal(exactly(stock, best.value), best.tree, best.value)
    shuffled = different(10, 91, 22, 68, 47, 56, 15, 33)
    again = arrange(exactly(shuffled, Fraction("31.4159")))
    assert [each.value for each in again.arrangements] == [best.value]


def test_a_search_that_is_cut_short_says_so() -> None:
    stock = different(47, 33, 22, 15, 10, 68, 91, 56, 82, 39)
    order = exactly(stock, Fraction("31.4159"))
    short = arrange(order, budget=20_000)
    assert short.cut_short
    assert not short.met
    assert not short.nearest_is_proven
    assert short.searched < 10
    longer = arrange(order, budget=200_000)
    assert longer.cut_short
    for found in (short, longer):
        assert found.arrangements[0].value == value_of_tree(
            found.arrangements[0].tree, stock.kinds
        )
    assert abs(longer.arrangements[0].value - order.target) <= abs(
        short.arrangements[0].value - order.target
    )


@pytest.mark.parametrize("number", [25, 60, 2000])
def test_a_large_stock_ends_within_its_steps(number: int) -> None:
    for stock in (different(*range(101, 101 + min(number, 60))), equal(number)):
        found = arrange(exactly(stock, Fraction(355, 113)), budget=30_000)
        assert found.cut_short
        assert found.steps < 100_000


def test_what_is_found_before_the_end_is_still_the_fewest() -> None:
    found = arrange(exactly(equal(40), Fraction(1)), most=3)
    assert [each.parts for each in found.arrangements] == [1, 4, 4]
    assert found.fewest_is_proven
    assert found.more


def test_a_value_out_of_reach_is_still_made_as_a_ladder() -> None:
    found = arrange(exactly(equal(2000), Fraction(1001, 2)), budget=20_000)
    assert found.cut_short
    assert found.met
    assert [each.parts for each in found.arrangements] == [502]
    assert found.arrangements[0].value == Fraction(1001, 2)
    assert found.searched == 500


@settings(max_examples=some(25), deadline=None)
@given(st.lists(capacitances, min_size=1, max_size=4))
def test_every_value_of_a_stock(values: list[Fraction]) -> None:
    found, searched, cut_short = every_value(different(*values))
    assert set(found) == set().union(*closure(values).values())
    assert found == sorted(found)
    assert (searched, cut_short) == (len(values), False)


def test_every_value_can_be_cut_short() -> None:
    few, searched, cut_short = every_value(different(*PRIMES), budget=500)
    assert cut_short
    assert searched < 6
    assert few
    _, searched, cut_short = every_value(equal(30), budget=1000)
    assert (searched, cut_short) == (7, True)


@given(st.lists(capacitances, min_size=1, max_size=6))
def test_all_are_whole_multiples_of_the_unit(values: list[Fraction]) -> None:
    unit = unit_of(values)
    multiples = [value / unit for value in values]
    assert all(each.denominator == 1 for each in multiples)
    assert unit_of(multiples) == 1


def test_a_bag_is_parted_each_way_once() -> None:
    parted = list(splits((2, 1)))
    assert sorted(parted) == [((0, 1), (2, 0)), ((1, 0), (1, 1))]
    assert len(list(splits((1,) * 6))) == 2**5 - 1


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_printed_answer(case: Mapping[str, Any]) -> None:
    wish = read_wish(case["wish"])
    stock = stock_of(wish)
    if case["asked"] == "fewest":
        found = arrange(order_of(wish, stock), most=1)
        assert found.fewest_is_proven
        assert found.arrangements[0].parts == int(case["si"])
        return
    values, _, cut_short = every_value(stock)
    assert not cut_short
    extreme = values[-1] if case["asked"] == "greatest" else values[0]
    unit = Fraction(1, 10**6)
    assert round(extreme / unit, case["figures"]) == Fraction(case["si"]) / unit


def found_for(text: str, most: int = 10) -> tuple[Order, Findings]:
    wish = read_wish(text)
    order = order_of(wish, stock_of(wish))
    return order, arrange(order, most)


def test_a_series_by_name() -> None:
    order, found = found_for("5 nF from E12 between 1 nF and 100 nF, up to 3 parts", EVERYTHING)
    names = {kind.value for kind in order.stock.kinds}
    assert len(names) == 25
    triples = {
        (a, b, c)
        for a in names
        for b in names
        for c in names
        if a <= b <= c and a + b + c == order.target
    }
    side_by_side = [
        each
        for each in found.arrangements
        if each.parts == 3
        and isinstance(each.tree, Joined)
        and each.tree.way == "parallel"
        and len(each.tree.members) == 3
    ]
    assert len(side_by_side) == len(triples) > 0
    for each in found.arrangements:
        check_with_nodal(order, each.tree, each.value)
    assert found.arrangements[0].parts == 2


def test_a_bank_that_stands_the_voltage() -> None:
    order, found = found_for("3 uF for 450 V from 12 x 2 uF rated 250 V", most=1)
    assert found.fewest_is_proven
    assert found.arrangements[0].parts == 6
    check_with_nodal(order, found.arrangements[0].tree, order.target)


def test_all_of_a_stock() -> None:
    _, found = found_for("5 uF from all of 2 uF, 3 uF, 6 uF")
    assert not found.met
    assert {each.parts for each in found.arrangements} == {3}


def test_names_are_those_of_the_stock() -> None:
    order, found = found_for("6 uF from 2 uF, 3 uF, 2 uF, 9 uF, up to 3 parts")
    nests = [nest_of_tree(order.stock, each.tree) for each in found.arrangements]
    names = [[edge.name for edge in as_drawn(Description(nest=nest)).edges] for nest in nests]
    assert all(len(set(each)) == len(each) for each in names)
    assert set().union(*names) <= {"C1", "C2", "C3", "C4"}


def test_a_range_without_values_is_refused() -> None:
    with pytest.raises(Refusal, match="no value in that range"):
        stock_of(read_wish("5 uF from E3 between 1.1 uF and 2.1 uF"))


def test_all_of_a_stock_may_be_just_what_a_ladder_takes() -> None:
    """Forty equal ones, all to be used: 3 + 1/(17 + 1/20) takes 3 + 17 + 20 of them."""
    stock = equal(40)._replace(fewest=40)
    found = arrange(exactly(stock, 3 + 1 / (17 + Fraction(1, 20))), budget=50)
    assert found.met
    assert found.arrangements[0].parts == 40
    one_less = arrange(exactly(stock, 3 + 1 / (17 + Fraction(1, 19))), budget=50)
    assert not one_less.met, "its ladder would leave one over"


@pytest.mark.parametrize(("most", "more"), [(7, True), (8, False), (9, False)])
def test_there_are_more_only_where_some_are_left_out(most: int, more: bool) -> None:
    """Three different ones make 8 arrangements (OEIS A006351), all of them wanted here."""
    found = arrange(all_of_it(different(101, 211, 307)), most)
    assert len(found.arrangements) == min(most, 8)
    assert found.more is more


def test_one_capacitor_alone_may_be_what_is_wanted() -> None:
    wish = read_wish("3 uF from 3 uF, 8 uF")
    found = arrange(order_of(wish, stock_of(wish)))
    assert [each.parts for each in found.arrangements] == [1]
