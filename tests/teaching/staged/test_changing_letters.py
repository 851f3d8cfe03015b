"""Charged capacitors in letters: what comes out holds for any numbers put in for them."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Refusal
from tests.sampled import some
from tests.teaching.staged.manners import check, story, told_helplessly, verdict
from tutor.circuit.values import Undecided, in_letters, sign_of, size_of
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Ask, Story

# C and D are capacitances in µF, U and N a p.d. in volts, Q a charge in µC.
TEXTS = (
    "C1 = C charged to U; C2 = C; join C1 and C2",
    "C1 = C charged to U; C2 = 2C; join C1 and C2",
    "C1 = C charged to U; C2 = D; join C1 and C2",
    "C1 = C charged to 3U; C2 = 2C charged to U; join C1 and C2 crossed",
    "C1 = C charged to U; C2 = 2C charged to 3U; join C1 and C2 crossed",
    "C1 = C charged to U; C2 = C charged to U; join C1 and C2 crossed",
    "C1 = C holding Q; C2 = 2C; C3 = D; join C1 and C2; then join C1 and C3",
    "C, across U; then remove supply; then fill C1 with 4",
    "C, across U; then fill C1 with 4; then empty C1",
    "C -- 2C, across U; then remove supply; then fill C2 with 2",
    "C || 2C, across U; then gap of C1 doubled",
    "C -- (2C || D), across U; then fill C3 with 3",
    "C1 = C; C2 = 2C charged to U; C1 || C2; then fill C1 with 2",
    "C1 = C from A to P; C2 = 2C from P to B; C3 = C from P to S; C4 = D from S to B; "
    "ends A and B; across U; then remove supply; then wire from P to S",
    "C, across U; then remove supply; then fill C1 with k",
    "C || 2C, across U; then fill C1 with k; then empty C1",
    "C -- D, across U; then remove supply; then fill C2 with k",
    "C -- D, across U; then remove supply; then take out C1 and C2; then join C1 and C2",
)


def test_two_equal_ones_share_and_half_the_energy_is_lost() -> None:
    """V/2 on each and half of ½ C V² lost (a common fact of textbooks, from memory)."""
    told = story("C1 = C charged to V; C2 = C; join C1 and C2")
    c, v = sympy.Symbol("C", positive=True), sympy.Symbol("V", positive=True)
    found = {name: value for name, (value, _) in told.results.items()}
    assert found["1: voltage of C1"] == found["1: voltage of C2"] == v / 2
    assert found["1: charge of C1"] == c * v / 2
    assert found["0: stored energy"] == c * v**2 / 2
    assert found["1: stored energy"] == found["1: heat"] == c * v**2 / 4


def test_a_filling_after_the_supply_is_gone_divides_the_pd() -> None:
    """Charge fixed, C times 4: p.d. and energy a quarter (a common fact, from memory)."""
    told = story("C, across V; then remove supply; then fill C1 with 4")
    c, v = sympy.Symbol("C", positive=True), sympy.Symbol("V", positive=True)
    found = {name: value for name, (value, _) in told.results.items()}
    assert found["2: voltage of C1"] == v / 4
    assert found["2: stored energy"] == c * v**2 / 8
    assert found["2: work on plates"] == -3 * c * v**2 / 8


def _with_numbers(text: str, numbers: dict[str, int]) -> Story:
    """The same problem with a number for each letter."""
    units = {"C": " uF", "D": " uF", "U": " V", "Q": " uC", "k": ""}
    words = []
    for word in text.replace(";", " ;").replace(",", " ,").replace("(", "( ").split():
        letter = word.rstrip(")")[-1:]
        count = word.rstrip(")")[:-1].lstrip("(")
        if letter in numbers and (not count or count.isdigit()):
            value = int(count or 1) * numbers[letter]
            words.append(f"{value}{units[letter]}{')' if word.endswith(')') else ''}")
        else:
            words.append(word)
    return story(" ".join(words))


@pytest.mark.parametrize("text", TEXTS)
@settings(max_examples=some(5), deadline=None)
@given(numbers=st.fixed_dictionaries({letter: st.integers(2, 9) for letter in "CDUQk"}))
def test_letters_hold_for_every_number(text: str, numbers: dict[str, int]) -> None:
    in_numbers = _with_numbers(text, numbers)
    scale = {"C": -6, "D": -6, "Q": -6, "U": 0, "k": 0}
    values = {
        sympy.Symbol(letter, positive=True): sympy.Rational(number) * sympy.Rational(10) ** power
        for letter, number in numbers.items() for power in [scale[letter]]
    }
    found = lettered(text).results
    assert found.keys() == in_numbers.results.keys()
    for name, (value, dimension) in found.items():
        put_in = value.subs(values) if in_letters(value) else value
        assert put_in == in_numbers.results[name][0], name
        assert dimension == in_numbers.results[name][1]


lettered = cache(story)


@pytest.mark.parametrize("text", TEXTS)
def test_every_story_can_be_told_to_its_end(text: str) -> None:
    for message in told_helplessly(lettered(text)):
        check(message)


@pytest.mark.parametrize("text", TEXTS)
def test_answers_in_letters_are_taken(text: str) -> None:
    told = lettered(text)
    turn = begin_story(told)
    for ask in told.asks:
        turn = hear(turn.talk, _typed(ask))
        assert verdict(turn).verdict == "right", (ask.text, _typed(ask), turn.messages)
    assert turn.telling.over


def _typed(ask: Ask) -> str:
    if ask.options:
        return next(option for option in ask.options if option.is_right).words[0]
    assert ask.right is not None
    if not in_letters(ask.right):
        return str(ask.right)
    return str(sympy.factor(ask.right)).replace("**", "^")


def test_a_wrong_answer_in_letters_is_not_taken() -> None:
    told = story("C1 = C charged to U; C2 = 2C; join C1 and C2")
    turn = begin_story(told)
    for line in ("C*U", "C*U^2/2", "the charge"):
        turn = hear(turn.talk, line)
    assert verdict(hear(turn.talk, "U/2")).verdict == "wrong"
    assert verdict(hear(turn.talk, "U/3")).verdict == "right"


def test_a_filling_may_be_a_letter() -> None:
    told = story("5 uF, across 12 V; then remove supply; then fill C1 with k")
    k = sympy.Symbol("k", positive=True)
    assert told.results["2: voltage of C1"][0] == 12 / k
    assert "k stands for a relative permittivity, which is above 1." in told.opening
    for line in ("C/k", "k*C/2", "5 uF"):
        turn = begin_story(story("C, across V; then remove supply; then fill C1 with k"))
        for right in ("the p.d.", "C*V", "C*V^2/2", "the charge"):
            turn = hear(turn.talk, right)
        assert verdict(hear(turn.talk, line)).verdict == "wrong"
        assert verdict(hear(turn.talk, "kC")).verdict == "right"


def test_no_quantity_is_called_by_a_letter_of_the_text() -> None:
    told = story("C1 = C charged to V; C2 = C; join C1 and C2")
    assert {ask.name for ask in told.asks} >= {"V_now", "Q1", "Q2", "E"}
    told = story("C, across U; then remove supply; then fill C1 with 4", Settings(pd_letter="U"))
    assert "U1" in {ask.name for ask in told.asks}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("C1 = C charged to V; C2 = D charged to U; join C1 and C2 crossed",
         "leave open whether CV - DU is above or below zero"),
        ("C1 = C charged to V; C2 = C charged to 2V; join C1 and C2", "take U for the letter"),
        ("C1 = C charged to U; C2 = C charged to 3 V; join C1 and C2", "they cannot be added"),
        ("C1 = C charged to U; C2 = C holding Q; join C1 and C2", "A p.d. and a charge"),
        ("C1 = k, across V; then fill C1 with k", "stands for a capacitance here"),
        ("C, across V; then fill C1 with mica", "mica is no relative permittivity"),
        ("C1 = plates 100 cm2 gap 1 mm, across 9 V; then fill C1 with k", "worked in numbers"),
    ],
)
def test_what_letters_cannot_say_is_refused_with_what_would_do(text: str, says: str) -> None:
    with pytest.raises(Refusal, match=says) as caught:
        story(text)
    assert re.search("Give|Use|Write", caught.value.cure)


def test_one_letter_among_numbers_of_another_kind_is_no_mixture() -> None:
    told = story("C1 = 3 uF charged to U; C2 = 2 uF; join C1 and C2")
    u = sympy.Symbol("U", positive=True)
    assert told.results["1: voltage of C1"][0] == 3 * u / 5
    told = story("C1 = C charged to 6 V; C2 = 2C; join C1 and C2")
    assert told.results["1: voltage of C1"][0] == 2


# The sign of an expression


@given(st.integers(-4, 4), st.integers(-4, 4), st.integers(1, 5), st.integers(1, 5))
def test_a_sign_that_is_told_holds_for_numbers(a: int, b: int, c: int, d: int) -> None:
    first, second = (sympy.Symbol(name, positive=True) for name in "CD")
    value = a * first**2 + b * first * second
    sign = sign_of(value)
    number = Fraction(a * c * c + b * c * d)
    if sign is not None:
        assert sign == (number > 0) - (number < 0)
        size = size_of(value)
        assert not in_letters(size) or size.subs({first: c, second: d}) == abs(number)
    else:
        assert a * b < 0
        with pytest.raises(Undecided):
            size_of(value)


def test_the_square_of_a_difference_counts_as_above_nought() -> None:
    first, second = (sympy.Symbol(name, positive=True) for name in "CD")
    assert sign_of((first - second) ** 2 / (first + second)) == 1
    assert sign_of(-((first - second) ** 2)) == -1
    assert sign_of(2 * (first - second) ** 2 / 3) == 1
    assert sign_of(-((first - second) ** 2) / (first + second)) == -1
    assert sign_of(first - second) is None
