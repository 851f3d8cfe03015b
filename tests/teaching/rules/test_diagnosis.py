"""A typed number is met where a rule's number rounds to it, and named where one remedy serves."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grammar.reading import read_network
from tests.misled import at_figures
from tutor.circuit.network import build
from tutor.teaching.exchange import begin, hear
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext, SolvedRoute, context_of, route_of
from tutor.teaching.rules.diagnosis import (
    Diagnosis,
    Typed,
    cuts_off,
    diagnose,
    diagnose_on,
    grouped,
    matches,
    suspected,
)

HALF = Fraction(1, 2)
PAIR = "3 uF -- 7 uF, across 12 V"


def solved(text: str, *lines: str) -> SolvedRoute:
    turn = begin(build(read_network(text)))
    for line in lines:
        turn = hear(turn.talk, line)
    return route_of(turn.walk)


def scene(text: str, symbol: str, of: str | None = None) -> RuleContext:
    found = context_of(solved(text), Quantity(symbol, of))  # type: ignore[arg-type]
    assert found is not None
    return found


def exact(number: str) -> Typed:
    return Typed(Fraction(number), None, 0)


def codes(found: Diagnosis | None) -> list[list[str]]:
    return [] if found is None else [[m.code for m in group] for group in found.groups]


# A number as typed


@pytest.mark.parametrize(("typed", "short"), [
    (Typed(Fraction(5), HALF, 1), True),
    (Typed(Fraction(50), HALF, 2), False),
    (Typed(Fraction(0), HALF, 1), False),
    (exact("5"), False),
])
def test_one_figure_is_too_short_to_tell_by(typed: Typed, short: bool) -> None:
    assert typed.is_one_figure == short


def test_what_rounds_to_a_number_meets_it() -> None:
    typed = Typed(Fraction(84, 10), Fraction(1, 20), 2)  # 8.4
    assert [typed.is_met(Fraction(n, 1000)) for n in (8349, 8350, 8400, 8450, 8451)] == [
        False, True, True, True, False,
    ]


def test_a_sum_and_nought_are_met_exactly() -> None:
    assert exact("8.4").is_met(Fraction(42, 5))
    assert not exact("8.4").is_met(Fraction(8401, 1000))
    assert Typed(Fraction(0), HALF, 1).is_met(Fraction(0))
    assert not Typed(Fraction(0), HALF, 1).is_met(Fraction(1, 4))


def test_a_number_in_another_unit() -> None:
    assert Typed(Fraction(84, 10), Fraction(1, 20), 2).scaled(Fraction(1000)) == Typed(
        Fraction(8400), Fraction(50), 2
    )
    assert exact("8.4").scaled(Fraction(1000)) == exact("8400")


# Which rules lead there


def test_a_number_is_named_by_the_rules_it_rounds() -> None:
    """10/21 is 0.476 to three figures, 3/7 of 12 V is 5.14, and the pair's sum is 10."""
    route, whole = solved(PAIR), Quantity("C", "C12")
    assert codes(diagnose(route, whole, at_figures(Fraction(476, 1000), 3))) == [["C2", "C7"]]
    assert codes(diagnose(route, whole, at_figures(Fraction(477, 1000), 3))) == []
    assert codes(diagnose(route, whole, at_figures(Fraction(10), 2))) == [["C1"], ["C12"]]


def test_likely_remedies_come_first() -> None:
    """12 V is the supply's, the likeliest (rank 0), or Q over the whole capacitance (rank 1)."""
    found = diagnose(solved(PAIR), Quantity("V", "C1"), at_figures(Fraction(12), 2))
    assert [(m.code, m.rank) for group in found.groups for m in group] == [("G3", 0), ("G14", 1)]
    assert found.names == ("full-supply-pd-on-each", "whole-equivalent-for-a-part")
    backwards = sorted(CATALOGUE, key=lambda m: -m.rank)
    ranks = [group[0].rank for group in grouped(backwards)]
    assert ranks == sorted(ranks)
    assert sum(map(len, grouped(backwards))) == len(CATALOGUE)
    assert all(len({m.remedy for m in group}) == 1 for group in grouped(backwards))


def test_one_figure_names_nothing_though_rules_meet_it() -> None:
    route, short = solved(PAIR), Typed(Fraction(6), HALF, 1)
    found = diagnose(route, Quantity("V", "C1"), short)
    assert (found.groups, found.at) == ((), Quantity("V", "C1"))
    context = scene(PAIR, "V", "C1")
    assert diagnose_on([context], short) == Diagnosis((), context)
    assert diagnose_on([], short) == Diagnosis((), None)
    assert [m.code for m in matches(context, short)] == ["G1"]


def test_numbers_are_taken_in_the_usual_unit() -> None:
    """In nF and V charges are typed in nC, with p.d.s in kV still in nC and not in µC."""
    route = solved("3 nF -- 7 nF, across 12 kV")
    charge = Quantity("Q", "C1")
    context = context_of(route, charge)
    assert context is not None
    typed = at_figures(3 * 12 / context.scale, 2)
    assert codes(diagnose(route, charge, typed)) == [["G4"]]


def test_no_number_is_diagnosed_where_nothing_is_known() -> None:
    found = diagnose(solved("3 uF -- 7 uF"), Quantity("V", "C1"), at_figures(Fraction(12), 2))
    assert found == Diagnosis((), None, Quantity("V", "C1"))


def test_the_whole_is_told_under_the_name_of_what_its_last_step_makes() -> None:
    found = diagnose(solved(PAIR), Quantity("C"), at_figures(Fraction(21), 2))
    assert (codes(found), found.at) == ([["C8"]], Quantity("C", "C12"))
    single = diagnose(solved("6 uF, across 12 V"), Quantity("C"), at_figures(Fraction(21), 2))
    assert single.at == Quantity("C")
    charge = diagnose(solved(PAIR), Quantity("Q"), at_figures(Fraction(36), 2))
    assert charge.at == Quantity("Q")


def test_rules_run_on_a_learners_own_values_too() -> None:
    """Own 2.5 for the pair of 6.1: with it the 4 beside it makes 1.54 by the chain's rule."""
    route = solved("(3 uF -- 7 uF) || 4 uF, across 10 V")
    own = {Quantity("C", "C12"): Fraction(25, 10**7)}
    typed = at_figures(Fraction(10, 65) * 10, 3)
    assert codes(diagnose(route, Quantity("C"), typed)) == []
    found = diagnose(route, Quantity("C"), typed, own)
    assert codes(found) == [["D1"], ["E10"]]
    assert found.context is not None
    assert set(found.context.parts) == {Fraction(4), Fraction(5, 2)}


def test_true_values_are_told_of_where_both_lead_there() -> None:
    route = solved("(3 uF -- 7 uF) || 4 uF, across 10 V")
    own = {Quantity("C", "C12"): Fraction(25, 10**7)}
    found = diagnose(route, Quantity("C"), at_figures(Fraction(14), 3), own)
    assert codes(found) == [["D6"]]
    assert found.context is not None
    assert set(found.context.parts) == {Fraction(4), Fraction(21, 10)}


# Numbers of one figure, and numbers cut off


def test_a_number_of_one_figure_is_asked_about_where_one_remedy_serves() -> None:
    context = scene(PAIR, "V", "C1")
    assert codes(suspected(context, Typed(Fraction(6), HALF, 1))) == [["G1"]]
    found = suspected(context, Typed(Fraction(6), HALF, 1))
    assert found is not None
    assert (found.context, found.at) == (context, Quantity("V", "C1"))


@pytest.mark.parametrize("typed", [
    Typed(Fraction(60, 10), Fraction(1, 20), 2),  # 6.0 is named, not asked about
    Typed(Fraction(5), HALF, 1),  # nothing gives it
    Typed(Fraction(7), HALF, 1),  # nor this: it is near 6 and 8.4 alone
])
def test_other_numbers_are_not_asked_about(typed: Typed) -> None:
    assert suspected(scene(PAIR, "V", "C1"), typed) is None
    assert suspected(None, Typed(Fraction(6), HALF, 1)) is None


def test_two_remedies_and_rare_rules_are_not_asked_about() -> None:
    """Of 2 µF and 6 µF the average is 4, and so is the difference; a copied value is rare."""
    context = scene("2 uF -- 6 uF", "C", "C12")
    assert suspected(context, Typed(Fraction(4), HALF, 1)) is None
    rare = scene("6 uF -- (1 uF || 2 uF), across 12 V", "C", "C23")
    assert [m.code for m in matches(rare, exact("7"))] == ["K8"]
    assert suspected(rare, Typed(Fraction(7), HALF, 1)) is None
    unlikely = scene("6 uF -- (1 uF || 2 uF), across 12 V", "C", "C123")
    assert [m.code for m in matches(unlikely, exact("1"))] == ["E9"]
    assert suspected(unlikely, Typed(Fraction(1), HALF, 1)) is None


@pytest.mark.parametrize(("number", "figures", "cut"), [
    ("1.22", 3, True), ("1.2", 2, True), ("1", 1, False), ("1.23", 3, False), ("1.21", 3, False),
])
def test_a_number_cut_off_instead_of_rounded(number: str, figures: int, cut: bool) -> None:
    """1.5 µF and 6.8 µF in a chain are 1.2289 µF, 1.23 to three figures."""
    typed = at_figures(Fraction(number), figures)
    assert cuts_off(scene("1.5 uF -- 6.8 uF", "C", "C12"), typed) == cut


def test_a_sum_is_not_cut_off() -> None:
    assert not cuts_off(scene("1.5 uF -- 6.8 uF", "C", "C12"), exact("1.22"))
    assert not cuts_off(scene("1.5 uF -- 6.8 uF", "C", "C12"), Typed(Fraction(61, 50), None, 3))
