"""The engine and the second opinion against the printed answers of published problems."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from grammar.reading import read_network
from grammar.records import Amount
from tests import nodal
from tests.strategies import as_drawn
from tutor.circuit.network import build
from tutor.circuit.solving import solve

Case: TypeAlias = Mapping[str, Any]
Answer: TypeAlias = Callable[[str, str, str | None], Fraction]

CASES: list[Case] = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "published.toml").read_text(encoding="utf-8")
)["case"]
BY_ID = {case["id"]: case for case in CASES}
AGREEING = [case for case in CASES if case["agrees"]]
EXCEPTIONS = [case for case in CASES if not case["agrees"]]
PREFIXES = {"p": -12, "n": -9, "u": -6, "m": -3, "": 0, "k": 3, "M": 6}


def answer(text: str, quantity: str, of: str | None) -> Fraction:
    """What the engine says, as a magnitude in the SI unit; ``of`` None asks for the whole."""
    problem = build(read_network(text))
    solution = solve(problem.network, problem.supply)
    assert solution.whole is not None, f"{text} was not reduced"
    name = of or solution.whole.name
    if quantity == "capacitance":
        made = [solution.whole, *solution.network.capacitors]
        value = next(c.value for c in made if c.name == name)
    else:
        value = getattr(solution.holdings[name].size, quantity)
    assert isinstance(value, Fraction)
    return value


def second_answer(text: str, quantity: str, of: str | None) -> Fraction:
    """What the nodal method says of the same text."""
    description = read_network(text)
    given = {}
    if description.supply is not None:
        assert isinstance(description.supply.worth, Amount)
        given[description.supply.quantity] = description.supply.worth.value
    outcome = nodal.solve(*as_drawn(description), **given)
    return abs(getattr(outcome if of is None else outcome.capacitors[of], quantity))


@pytest.fixture(params=[answer, second_answer], ids=["engine", "nodal"])
def answerer(request: pytest.FixtureRequest) -> Answer:
    return request.param  # type: ignore[no-any-return]


@pytest.mark.parametrize("case", AGREEING, ids=lambda case: case["id"])
def test_printed_answer(case: Case, answerer: Answer) -> None:
    for exact in worked(case, answerer):
        assert as_printed(exact, case["figures"]) == Fraction(case["si"]), case["source"]


@pytest.mark.parametrize("case", EXCEPTIONS, ids=lambda case: case["id"])
def test_known_exception(case: Case, answerer: Answer) -> None:
    """The printed number comes from another number that was rounded first, not from the law."""
    for exact in worked(case, answerer):
        rounded = as_printed(exact, case["figures"])
        assert rounded == Fraction(case["rounds_to"]) != Fraction(case["si"]), case["note"]
    source = BY_ID[case["follows_from"]]
    assert case["times"] * Fraction(source["si"]) == Fraction(case["si"])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_si_value_is_what_is_printed(case: Case) -> None:
    """Guards the file against a slip in copying a power of ten."""
    match = re.fullmatch(r"([\d.,]+)(?:e(-?\d+))?(?: ([pnumkM]?)[FVCJ])?", case["printed"])
    assert match is not None
    digits, power, prefix = match.groups()
    places = int(power or 0) + PREFIXES[prefix or ""]
    assert Fraction(digits.replace(",", ".")) * Fraction(10) ** places == Fraction(case["si"])


def test_every_case_is_there() -> None:
    """46 rows of the published list are networks; one of them is a known exception."""
    assert len(BY_ID) == len(CASES) == 46
    assert [case["id"] for case in EXCEPTIONS] == ["UP2-C8.5a-d"]


def test_rounding_is_half_up() -> None:
    assert half_up(Fraction("2.25e-12"), 2) == Fraction("2.3e-12")
    assert half_up(Fraction("2.2499"), 2) == Fraction("2.2")
    assert half_up(Fraction("9.96"), 2) == 10
    assert half_up(Fraction(128), 2) == 130
    assert half_up(Fraction(0), 2) == 0


def worked(case: Case, answerer: Answer) -> list[Fraction]:
    """Every number the printed answer stands for, exact: both, where it is of two capacitors."""
    compare = case.get("compare")
    numbers = []
    for of in case["of"] or [None]:
        values = [answerer(text, case["asked"], of) for text in case["network"]]
        if compare == "increase":
            numbers.append(values[1] - values[0])
        elif compare == "ratio":
            numbers.append(values[1] / values[0])
        else:
            assert compare is None
            numbers += values
    return numbers


def as_printed(value: Fraction, figures: int | str) -> Fraction:
    return value if figures == "exact" else half_up(value, int(figures))


def half_up(value: Fraction, figures: int) -> Fraction:
    """Round a value that is not below zero to significant figures; a tie goes up, as in print."""
    if not value:
        return value
    place = Fraction(10) ** (1 - figures)
    while value >= 10**figures * place:
        place *= 10
    while value < 10 ** (figures - 1) * place:
        place /= 10
    return (value / place + Fraction(1, 2)).__floor__() * place
