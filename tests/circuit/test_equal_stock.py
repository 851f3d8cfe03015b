"""Equal capacitors against the On-Line Encyclopedia of Integer Sequences (CC BY-SA 4.0).

The sequences count values of equal resistors; the values of equal capacitors are the same set, as
chain and parallel set change places when each value is turned upside down.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests import plain_closure
from tutor.circuit.equal_stock import count_arrangements, ladder_terms, values_of_equal

# oeis.org/A048211, A153588, A051389 and A000084, from the first term on.
A048211 = (1, 2, 4, 9, 22, 53, 131, 337, 869, 2213, 5691)
A153588 = (1, 3, 7, 15, 35, 77, 179, 429, 1039, 2525, 6235)
A051389 = (1, 2, 4, 8, 20, 42, 102, 250, 610, 1486, 3710)
A000084 = (1, 2, 4, 10, 24, 66, 180, 522, 1532, 4624)

# Printed in A048211 for four, and in A051389 for what needs exactly five.
SETS = {
    2: "1/2 2",
    3: "1/3 2/3 3/2 3",
    4: "1/4 2/5 3/5 3/4 1 4/3 5/3 5/2 4",
}
NEED_FIVE = "5 5/4 7/3 7/4 7/2 7/5 8/3 8/5 5/6 7/6"


def values(count: int, up_to: bool = False) -> list[Fraction]:
    return [Fraction(*pair) for pair in values_of_equal(count, up_to)]


@pytest.mark.parametrize("count", range(1, 12))
def test_the_number_of_values(count: int) -> None:
    exactly, up_to = values_of_equal(count), values_of_equal(count, up_to=True)
    assert len(exactly) == len(set(exactly)) == A048211[count - 1]
    assert len(up_to) == len(set(up_to)) == A153588[count - 1]
    fewer = set(values_of_equal(count - 1, up_to=True)) if count > 1 else set()
    assert len(set(up_to) - fewer) == A051389[count - 1]


@pytest.mark.parametrize("count", SETS)
def test_the_printed_sets(count: int) -> None:
    assert set(values(count)) == {Fraction(each) for each in SETS[count].split()}


def test_the_printed_values_that_need_five() -> None:
    printed = {Fraction(each) for each in NEED_FIVE.split()}
    need = set(values(5, up_to=True)) - set(values(4, up_to=True))
    assert need == printed | {1 / each for each in printed}


def test_values_are_in_lowest_terms_and_below_the_bound() -> None:
    fibonacci = [1, 1]
    for count in range(1, 10):
        fibonacci.append(fibonacci[-1] + fibonacci[-2])
        for n, d in values_of_equal(count):
            assert (n, d) == Fraction(n, d).as_integer_ratio()
            assert max(n, d) <= fibonacci[count]


@pytest.mark.parametrize("count", range(1, 9))
def test_the_values_of_a_plain_closure(count: int) -> None:
    assert set(values(count)) == plain_closure.of_equal(count)[count]


def test_the_number_of_arrangements() -> None:
    assert tuple(count_arrangements(count) for count in range(1, 11)) == A000084


@pytest.mark.parametrize("value", ["1", "5/3", "1/4", "355/113", "500", "7/12"])
def test_a_ladder_has_the_value_it_is_made_for(value: str) -> None:
    wanted = Fraction(value)
    terms = ladder_terms(wanted)
    made = Fraction(terms[-1])
    for term in reversed(terms[:-1]):
        made = term + 1 / made
    assert made == wanted
