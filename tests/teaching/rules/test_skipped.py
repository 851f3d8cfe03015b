"""Wrong rules at steps that were skipped: everything after them is done rightly."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.misled import at_figures
from tests.teaching.rules.test_diagnosis import exact, solved
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import SolvedRoute, context_of
from tutor.teaching.rules.diagnosis import Diagnosis, Typed
from tutor.teaching.rules.malrule import Malrule
from tutor.teaching.rules.skipped import diagnose_skipped, worked_out, wrong_numbers

INNER = "6 uF -- (1 uF || 2 uF), across 12 V"
BRANCH = "(3 uF -- 7 uF) || 4 uF, across 10 V"
WHOLE = Quantity("C")


def seen(
    route: SolvedRoute, quantity: Quantity, number: str | Fraction, figures: int = 3
) -> tuple[str | None, list[set[str]]]:
    """Where the wrong rule was found at work, and the codes of each remedy."""
    found = diagnose_skipped(route, quantity, at_figures(Fraction(number), figures))
    if found is None:
        return None, []
    assert found.at is not None
    return found.at.name, [{m.code for m in group} for group in found.groups]


def rule(code: str) -> Malrule:
    return next(m for m in CATALOGUE if m.code == code)


def test_what_no_way_back_leads_to_is_traced_to_no_earlier_step() -> None:
    """The supply's work, 288 µJ on the true 2 µF, is not worked out with the values."""
    assert diagnose_skipped(solved(INNER), Quantity("W"), at_figures(Fraction(100), 3)) is None


# One wrong rule


@pytest.mark.parametrize(("text", "of", "number", "at", "codes"), [
    # 1 and 2 as a chain are 2/3; that and 6 in a chain 0.6
    (INNER, None, "0.6", "C23", [{"D1"}]),
    (INNER, "C123", "0.6", "C23", [{"D1"}]),
    # 3 and 7 added up are 10; beside the 4 that is 14, which D6 gives at once, so not this;
    # their product is 21, with the 4 it is 25
    (BRANCH, None, "25", "C12", [{"C8"}]),
    # half of 3 for the chain, and 4
    (BRANCH, None, "5.5", "C12", [{"C6"}]),
])
def test_a_wrong_rule_at_an_earlier_step(
    text: str, of: str | None, number: str, at: str, codes: list[set[str]]
) -> None:
    assert seen(solved(text), Quantity("C", of), number) == (at, codes)


def test_a_wrong_rule_on_the_way_back() -> None:
    """The 3 µF of the chain at half of 10 V would hold 15 µC and so 37.5 µJ."""
    route = solved(BRANCH)
    assert seen(route, Quantity("E", "C1"), "37.5") == ("V1", [{"G1"}])
    assert seen(route, Quantity("Q", "C1"), "15") == ("V1", [{"G1"}])


def test_the_block_comes_before_its_parts_on_the_way_back() -> None:
    """24 µC make 12 V in all: all of it on the block of 3 µF would leave 12 µC on its 1 µF."""
    route = solved("6 uF -- (1 uF || 2 uF), holding 24 uC")
    assert seen(route, Quantity("Q", "C2"), "12") == (
        "V23", [{"G3", "G11"}, {"G14"}, {"K8"}],
    )


def test_what_is_not_given_of_the_whole_is_worked_out_first() -> None:
    """24 µC counted twice, for both plates or for both in the chain, would put 8 V on the 6 µF;
    6 + 3 µF at 12 V, 108 µC, would put 18 V on it.
    """
    assert seen(solved(INNER), Quantity("V", "C1"), "8.0") == ("Q", [{"A5"}, {"G5"}])
    assert seen(solved(INNER), Quantity("V", "C1"), "18") == ("C123", [{"C1"}, {"C12"}])


def test_the_later_of_two_steps_is_taken() -> None:
    """Two 4 µF in a chain taken as 8 µF make 9 µF with the 1 µF beside them, and so does adding
    all three at once: 6 · 9 / 15 is 3.6.
    """
    route = solved("6 uF -- (1 uF || (4 uF -- 4 uF)), across 12 V")
    assert seen(route, WHOLE, "3.6") == ("C234", [{"D6"}])
    earlier = diagnose_skipped(route, WHOLE, exact("3.6"), lambda q: q.name == "C34")
    assert earlier is not None
    assert [{m.code for m in group} for group in earlier.groups] == [
        {"C1", "C14"}, {"C12"}, {"C15"},
    ]


def test_a_quantity_is_not_a_step_before_itself() -> None:
    """Both plates of 24 µC counted: a wrong idea at the charge itself, and at no step before it."""
    assert seen(solved(INNER), Quantity("Q"), "48") == (None, [])
    assert seen(solved(INNER), Quantity("E"), "288") == ("Q", [{"A5"}, {"G5"}])


def test_steps_that_are_settled_are_not_looked_at() -> None:
    route, typed = solved(INNER), at_figures(Fraction(6, 10), 3)
    assert diagnose_skipped(route, WHOLE, typed, lambda quantity: quantity.name != "C23") is None
    assert diagnose_skipped(route, WHOLE, typed, lambda quantity: quantity.name == "C23")


def test_what_tells_nothing() -> None:
    route = solved(INNER)
    assert diagnose_skipped(route, WHOLE, Typed(Fraction(6), Fraction(1, 2), 1)) is None
    assert diagnose_skipped(route, Quantity("V", "C9"), exact("0.6")) is None
    assert diagnose_skipped(route, WHOLE, exact("2")) is None
    bridge = solved(
        "C1 = 1 uF from A to P; C2 = 4 uF from A to R; C3 = 10 uF from P to B; "
        "C4 = 2 uF from R to B; C5 = 14 uF from P to R; ends A and B; across 12 V"
    )
    assert diagnose_skipped(bridge, Quantity("Q", "C1"), exact("7")) is None


def test_a_sum_must_be_met_exactly() -> None:
    route = solved(INNER)
    found = diagnose_skipped(route, WHOLE, exact("0.6"))
    assert found is not None
    assert diagnose_skipped(route, WHOLE, exact("0.601")) is None


def ladder(rungs: int) -> SolvedRoute:
    """1 µF again and again, two steps for each rung but the first."""
    text = "1 uF -- 1 uF"
    for _ in range(rungs - 1):
        text = f"1 uF -- (1 uF || ({text}))"
    return solved(text)


@pytest.mark.parametrize(("rungs", "told"), [(10, True), (11, False)])
def test_longer_ways_than_anyone_skips_are_left_alone(rungs: int, told: bool) -> None:
    """The innermost two added up, and 19 or 21 steps with it."""
    route = ladder(rungs)
    first = route.makers[0].makes
    assert first is not None
    added = worked_out(route, {Quantity("C", first.name): Fraction(2, 10**6)})[WHOLE]
    typed = exact(str(Fraction(added) * 10**6))
    found = diagnose_skipped(route, WHOLE, typed, lambda q: q.of == first.name)
    assert (found is not None) == told


# Two wrong rules


NESTED = "6 uF -- (3 uF || (4 uF -- 2 uF)), across 12 V"


@pytest.mark.parametrize(("text", "number", "at", "codes"), [
    # one over each, never turned over again: 1/4 + 1/2 = 0.75, and 1/6 + 1/3.75
    (NESTED, "0.4333", "C34", [{"C2"}]),
    # each kind of step by the rule of the other, as for resistors
    (INNER, "6.667", "C23", [{"D1"}, {"C1"}]),
    # each chain halved, 1.5 or 3.5 and 1 or 3: 1.5 + 1
    ("(3 uF -- 7 uF) || (2 uF -- 6 uF), across 10 V", "2.500", "C12", [{"C6"}]),
    # 6 for 4 and 2, with the 3 beside it as a chain 2, with the 6 rightly 1.5
    (NESTED, "1.500", "C34", [{"C1"}, {"D1"}]),
])
def test_two_wrong_rules_where_one_does_not_lead_there(
    text: str, number: str, at: str, codes: list[set[str]]
) -> None:
    assert seen(solved(text), WHOLE, number, 4) == (at, codes)
    assert seen(solved(text), WHOLE, number, 3) == (at, codes)
    assert seen(solved(text), WHOLE, number, 2) == (None, [])


def test_two_pairs_of_wrong_rules_are_none() -> None:
    """4 and 2 taken as 6, and 6 and 9 as 15: by adding, or by adding fractions with 1 on top."""
    assert seen(solved(NESTED), WHOLE, "15.00", 4) == (None, [])


def test_two_are_not_looked_for_among_more_than_four_steps() -> None:
    """Halved twice: in three steps still looked for, one step more and with five no longer."""
    wide = "(3 uF -- 7 uF) || (2 uF -- 6 uF)"
    four = f"{wide} || (10 uF -- 14 uF), across 10 V"
    five = f"{wide} || (10 uF -- 14 uF) || (18 uF -- 22 uF), across 10 V"
    right = Fraction(1) / (Fraction(1, 10) + Fraction(1, 14))
    assert seen(solved(four), WHOLE, Fraction(5, 2) + right, 5) == ("C12", [{"C6"}])
    right += 1 / (Fraction(1, 18) + Fraction(1, 22))
    assert seen(solved(five), WHOLE, Fraction(5, 2) + right, 5) == (None, [])


# What wrong rules give, and what follows from it


def test_wrong_numbers_of_a_question() -> None:
    context = context_of(solved(INNER), Quantity("C", "C23"))
    assert context is not None
    all_of_them = {(m.code, number) for m, number in wrong_numbers(context)}
    assert ("D1", Fraction(2, 3) / 10**6) in all_of_them
    assert "E14" not in {code for code, _ in all_of_them}  # nought leads nowhere


def test_a_second_rule_is_the_same_again_or_as_likely() -> None:
    context = context_of(solved(INNER), Quantity("C"))
    assert context is not None

    def after(code: str) -> set[str]:
        return {m.code for m, _ in wrong_numbers(context, rule(code))}

    assert after("C5") == {"C5"}
    assert after("C1") == {"C1", "C2", "Z1"}
    assert after("D1") == {"C1", "C2", "Z1"}
    assert after("K8") == set()
    assert after("D2") == set()


def test_all_follows_from_what_was_wrong() -> None:
    """C23 taken as 2/3 µF: C is 0.6 µF, Q 7.2 µC, V1 1.2 V, V23 10.8 V, E 43.2 µJ."""
    found = worked_out(solved(INNER), {Quantity("C", "C23"): Fraction(2, 3) / 10**6})
    assert {
        name: found[quantity] for name, quantity in {
            "C": WHOLE, "C123": Quantity("C", "C123"), "Q": Quantity("Q"),
            "V": Quantity("V"), "V1": Quantity("V", "C1"), "V23": Quantity("V", "C23"),
            "V2": Quantity("V", "C2"), "Q2": Quantity("Q", "C2"), "E": Quantity("E"),
        }.items()
    } == {
        "C": Fraction(6, 10**7), "C123": Fraction(6, 10**7), "Q": Fraction(72, 10**7),
        "V": 12, "V1": Fraction(12, 10), "V23": Fraction(108, 10), "V2": Fraction(108, 10),
        "Q2": Fraction(108, 10**7), "E": Fraction(432, 10**7),
    }
    assert worked_out(solved("3 uF -- 7 uF"), {}) == {
        Quantity("C", "C1"): Fraction(3, 10**6), Quantity("C", "C2"): Fraction(7, 10**6),
        Quantity("C", "C12"): Fraction(21, 10**7), WHOLE: Fraction(21, 10**7),
    }


def test_a_wrong_total_is_worked_on_from() -> None:
    """48 µC instead of 24 on all: 8 V on the 6, 16 V on the block."""
    found = worked_out(solved(INNER), {Quantity("Q"): Fraction(48, 10**6)})
    assert found[Quantity("V", "C1")] == 8
    assert found[Quantity("V", "C23")] == 16
    assert Diagnosis((), None).names == ()
