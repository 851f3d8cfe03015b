"""The series of preferred values against public lists of IEC 60063 (not read itself)."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest

from tutor.circuit.preferred import PER_DECADE, preferred_values

LISTS = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "preferred.toml").read_text(encoding="utf-8")
)
PICO, MILLI = Fraction(1, 10**12), Fraction(1, 1000)


@pytest.mark.parametrize("series", LISTS)
def test_a_series_is_the_listed_one(series: str) -> None:
    assert PER_DECADE[series] == tuple(LISTS[series])


def test_e192_is_the_rounded_power_of_ten_but_for_one_value() -> None:
    rounded = [round(100 * 10 ** (place / 192)) for place in range(192)]
    different = [
        (rule, used) for rule, used in zip(rounded, PER_DECADE["E192"], strict=True) if rule != used
    ]
    assert different == [(919, 920)]


def test_each_series_is_every_second_of_the_next() -> None:
    for smaller, larger in (("E3", "E6"), ("E6", "E12"), ("E12", "E24"), ("E96", "E192")):
        assert PER_DECADE[larger][::2] == PER_DECADE[smaller]
    assert PER_DECADE["E96"][::2] == PER_DECADE["E48"]


@pytest.mark.parametrize("series", PER_DECADE)
def test_a_decade_is_repeated_ten_times_larger(series: str) -> None:
    low = [*preferred_values(series, PICO, 10 * PICO)]
    high = [*preferred_values(series, MILLI, 10 * MILLI)]
    assert [value / PICO for value in low] == [value / MILLI for value in high]
    assert len(low) == len(PER_DECADE[series]) + 1
    assert low == sorted(set(low))


def test_both_ends_of_a_range_count() -> None:
    found = [*preferred_values("E6", Fraction("4.7e-9"), Fraction("0.15e-6"))]
    assert [str(each / Fraction(1, 10**9)) for each in found] == [
        "47/10", "34/5", "10", "15", "22", "33", "47", "68", "100", "150"
    ]  # fmt: skip
    assert not [*preferred_values("E3", Fraction(11), Fraction(21))]
