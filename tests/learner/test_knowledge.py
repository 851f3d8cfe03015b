"""The model of knowledge: check values worked out exactly elsewhere, and what must always hold."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any, TypeAlias

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.learner.answers import answer
from tutor.learner.knowledge import (
    LEARNS,
    PRIOR,
    SLIP,
    Likelihood,
    Parameters,
    expected,
    guess_of,
    is_clean,
    parameters_of,
    posteriors,
    prior,
    updated_together,
)
from tutor.learner.standing import MASTERED

Case: TypeAlias = Mapping[str, Any]

CASES = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "knowledge.toml").read_text(encoding="utf-8")
)
LEARNERS = 4000
CHANCES = 10


def posterior(known: Likelihood, p: Parameters[Likelihood], correct: bool) -> Likelihood:
    """Of one skill alone."""
    return posteriors((known,), p, correct)[0]


def updated(known: Likelihood, p: Parameters[Likelihood], correct: bool) -> Likelihood:
    """Of one skill alone."""
    return updated_together((known,), p, correct)[0]



def _exact(case: Case) -> Parameters[Fraction]:
    return Parameters(*(Fraction(case[name]) for name in ("learns", "slip", "guess")))


@pytest.mark.parametrize("case", CASES["trace"], ids=str)
def test_answers_in_order_give_the_check_values(case: Case) -> None:
    known = Fraction(case["prior"])
    foreseen, found = [], []
    for correct in case["answers"]:
        foreseen.append(expected(known, _exact(case)))
        known = updated(known, _exact(case), bool(correct))
        found.append(known)
    if "exact" in case:
        assert found == [Fraction(value) for value in case["exact"]]
        assert foreseen[0] == Fraction(case["expected"][0])
        # The likelihood before each answer is that after the one before it.
        assert [case["prior"], *case["exact"][:-1]] == case["expected"]
    else:
        assert [round(float(value), case["places"]) for value in found] == case["rounded"]


@pytest.mark.parametrize(
    ("known", "right", "then"),
    [("0.4", 0.4, 0.2), ("7/25", 0.34, 0.576471), ("263/425", 0.509412, 0.850346),
     ("9367/10825", 0.632656, 0.706677), ("48779/66275", 0.568005, 0.511123)],
)
def test_each_row_of_the_lecture_example(known: str, right: float, then: float) -> None:
    p = Parameters(Fraction(1, 10), Fraction(3, 10), Fraction(1, 5))
    assert round(float(expected(Fraction(known), p)), 6) == right
    was_right = then > float(Fraction(known))
    assert round(float(posterior(Fraction(known), p, was_right)), 6) == then


@pytest.mark.parametrize("case", CASES["joint"], ids=str)
def test_an_answer_that_needed_several_skills(case: Case) -> None:
    p = Parameters(LEARNS, SLIP, 0.10)
    every = 1.0
    for one in case["known"]:
        every *= one
    assert expected(every, p) == pytest.approx(case["expected"])

    def rounded(found: tuple[float, ...]) -> list[float]:
        return [round(value, case["places"]) for value in found]

    assert rounded(posteriors(case["known"], p, case["correct"])) == case["posterior"]
    if "after" in case:
        assert rounded(updated_together(case["known"], p, case["correct"])) == case["after"]


@pytest.mark.parametrize("case", CASES["straight"], ids=str)
def test_right_answers_in_a_row_until_mastery(case: Case) -> None:
    p = Parameters(Fraction(3, 20), Fraction(1, 10), Fraction(case["guess"]))
    known, right = Fraction(1, 5), 0
    while known < Fraction(19, 20):
        known, right = updated(known, p, True), right + 1
    assert right == case["right"]


@pytest.mark.parametrize("case", CASES["settles"], ids=str)
def test_endless_wrong_answers_settle(case: Case) -> None:
    known = 0.9
    for _ in range(200):
        known = updated(known, Parameters(LEARNS, SLIP, case["guess"]), False)
    assert round(known, 4) == case["at"]


@pytest.mark.parametrize("case", CASES["guesser"], ids=str)
def test_how_many_pure_guessers_are_called_masters(case: Case) -> None:
    """Exactly, over all ways to guess, and for so many learners by chance."""
    p, luck = Parameters(LEARNS, SLIP, case["guess"]), case["luck"]
    share = sum(_shares(p, luck))
    assert round(100 * share) == case["percent"]
    chance = Random(f"guessers {case['guess']} {luck}")
    masters = sum(_comes_to_mastery(p, luck, chance) for _ in range(LEARNERS))
    error = (share * (1 - share) / LEARNERS) ** 0.5
    assert abs(masters / LEARNERS - share) < 4 * error


@pytest.mark.parametrize("case", CASES["master"], ids=str)
def test_how_many_chances_a_master_needs(case: Case) -> None:
    shares = _shares(Parameters(LEARNS, SLIP, case["guess"]), 1 - SLIP)
    mean = sum(used * share for used, share in enumerate(shares, start=1)) / sum(shares)
    assert round(mean, 1) == case["chances"]


def _shares(p: Parameters[float], luck: float) -> list[float]:
    """The shares of learners, right so often, who come to mastery at the 1st, 2nd … chance."""
    going, shares = [(PRIOR, 1.0)], []
    for _ in range(CHANCES):
        going = [
            (updated(known, p, correct), share * (luck if correct else 1 - luck))
            for known, share in going for correct in (True, False)
        ]
        shares.append(sum(share for known, share in going if known >= MASTERED))
        going = [(known, share) for known, share in going if known < MASTERED]
    return shares


def _comes_to_mastery(p: Parameters[float], luck: float, chance: Random) -> bool:
    known = PRIOR
    for _ in range(CHANCES):
        known = updated(known, p, chance.random() < luck)
        if known >= MASTERED:
            return True
    return False


# What must always hold

parts = st.fractions(Fraction(1, 50), Fraction(49, 50), max_denominator=50)


@st.composite
def parameters(draw: st.DrawFn) -> Parameters[Fraction]:
    slip, guess = draw(parts), draw(parts)
    assume(slip + guess < 1)
    return Parameters(draw(parts), slip, guess)


@given(parts, parameters(), st.lists(st.booleans(), max_size=8))
def test_a_likelihood_stays_between_0_and_1(
    known: Fraction, p: Parameters[Fraction], answers: list[bool]
) -> None:
    for correct in answers:
        known = updated(known, p, correct)
        assert 0 < known < 1


@given(parts, parameters())
def test_a_right_answer_raises_and_a_wrong_one_lowers(
    known: Fraction, p: Parameters[Fraction]
) -> None:
    assert posterior(known, p, False) < known < posterior(known, p, True)


@given(parts, parameters())
def test_the_posterior_is_right_on_average(known: Fraction, p: Parameters[Fraction]) -> None:
    """The two posteriors, weighed by how likely each answer is, come to what was known before."""
    right = expected(known, p)
    mean = right * posterior(known, p, True) + (1 - right) * posterior(known, p, False)
    assert mean == known


@given(parts, parameters(), parts)
def test_a_right_answer_counts_less_the_easier_it_is_to_guess(
    known: Fraction, p: Parameters[Fraction], guess: Fraction
) -> None:
    assume(p.guess < guess and guess + p.slip < 1)
    assert updated(known, p._replace(guess=guess), True) < updated(known, p, True)


@given(parts, parameters())
def test_the_order_of_answers_matters(known: Fraction, p: Parameters[Fraction]) -> None:
    """Of one right and one wrong answer the later one weighs more, since learning lies between."""
    later_right = updated(updated(known, p, False), p, True)
    later_wrong = updated(updated(known, p, True), p, False)
    assert later_right > later_wrong


@given(parameters(), st.booleans())
def test_certainty_is_not_shaken(p: Parameters[Fraction], correct: bool) -> None:
    assert updated(Fraction(1), p, correct) == 1
    assert updated(Fraction(0), p._replace(learns=Fraction(0)), correct) == 0


@given(st.lists(parts, min_size=2, max_size=4), parameters(), st.booleans())
def test_several_skills_share_the_blame(
    known: list[Fraction], p: Parameters[Fraction], correct: bool
) -> None:
    """All move the same way, and a wrong answer takes most from the least known, in proportion."""
    after = posteriors(known, p, correct)
    if correct:
        assert all(now > then for now, then in zip(after, known, strict=True))
    else:
        assert all(now < then for now, then in zip(after, known, strict=True))
        least = known.index(min(known))
        kept = [now / then for now, then in zip(after, known, strict=True)]
        assert kept[least] == min(kept)


@given(parts, parameters(), st.booleans())
def test_a_skill_that_is_certain_leaves_the_other_alone(
    known: Fraction, p: Parameters[Fraction], correct: bool
) -> None:
    one, other = updated_together((known, Fraction(1)), p, correct)
    assert (one, other) == (updated(known, p, correct), 1)


def test_an_answer_that_cannot_be_changes_nothing() -> None:
    p = Parameters(Fraction(1, 10), Fraction(0), Fraction(1, 5))
    assert posterior(Fraction(1), p, False) == 1


# From answers to the model


@pytest.mark.parametrize(
    ("kind", "options", "weak", "guess"),
    [
        ("number", 0, False, 0.10), ("names", 0, False, 0.15),
        ("menu", 4, False, 0.25), ("menu", 3, False, 1 / 3), ("menu", 0, False, 0.50),
        ("two-way", 2, False, 0.50), ("two-way with reason", 0, False, 0.15),
        ("number", 0, True, 0.50), ("menu", 4, True, 0.50),
    ],
)
def test_how_easily_an_answer_is_guessed(
    kind: str, options: int, weak: bool, guess: float
) -> None:
    one = answer("S10", answer=kind, options=options, weak=weak)
    assert guess_of(one) == guess
    assert parameters_of(one) == (0.15, 0.10, guess)


def test_help_and_not_knowing_are_no_clean_answers() -> None:
    assert [is_clean(answer("S10", letter)) for letter in "rhwus"] == [True] + [False] * 4


def test_what_is_known_beforehand() -> None:
    assert [prior(f"S{n:02}") for n in (1, 5, 6, 35, 36, 39, 40)] == [
        0.30, 0.30, 0.20, 0.20, 0.10, 0.10, 0.20
    ]
