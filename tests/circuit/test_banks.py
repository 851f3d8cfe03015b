"""The fewest capacitors of a bank, against every small series-parallel network there is."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Amount, Bank
from tests import nodal
from tests.nodal import Edge
from tests.sampled import some
from tutor.circuit.banks import Built, equal_chains, fewest_of_any, smallest_bank

F = Fraction
MOST = 7


def bank(each: int | Fraction, rating: int | Fraction, wanted: Fraction, volts: Fraction) -> Bank:
    return Bank(*(Amount(F(value)) for value in (each, rating, wanted, volts)))


@cache
def networks(parts: int) -> frozenset[tuple[Fraction, Fraction]]:
    """Capacitance and largest part of the p.d. of every series-parallel network of equal ones."""
    if parts == 1:
        return frozenset({(F(1), F(1))})
    found = set()
    for one in range(1, parts // 2 + 1):
        for c, worst in networks(one):
            for d, other in networks(parts - one):
                found.add((c + d, max(worst, other)))
                found.add((c * d / (c + d), max(worst * d, other * c) / (c + d)))
    return frozenset(found)


def fewest(wanted: Fraction, ratio: Fraction) -> int | None:
    """The least number of which some network will do, up to ``MOST``."""
    return next(
        (
            parts for parts in range(1, MOST + 1)
            if any(c >= wanted and worst * ratio <= 1 for c, worst in networks(parts))
        ),
        None,
    )


eighths = st.integers(1, 40).map(lambda n: F(n, 8))


@settings(max_examples=some(200), deadline=None)
@given(eighths, eighths)
def test_no_small_network_does_better(wanted: Fraction, ratio: Fraction) -> None:
    asked = bank(1, 1, wanted, ratio)
    found, bound = smallest_bank(asked), fewest_of_any(asked)
    best = fewest(wanted, ratio)
    assert bound <= found.parts <= equal_chains(asked).parts
    if found.parts <= MOST:
        assert best is not None
    if best is not None:
        assert bound <= best <= found.parts
        if found.parts == bound:
            assert best == found.parts


def groups(built: Built) -> list[int]:
    return [built.size] * (built.length - built.larger) + [built.size + 1] * built.larger


@settings(max_examples=some(100), deadline=None)
@given(eighths, eighths)
def test_banks_do_what_is_wanted(wanted: Fraction, ratio: Fraction) -> None:
    """Each bank worked out as a network: enough capacitance, no rating passed."""
    asked = bank(1, 1, wanted, ratio)
    for built in (equal_chains(asked), smallest_bank(asked)):
        points = ["A", *map(str, range(1, built.length)), "B"]
        edges = [
            Edge(f"{at}.{n}", F(1), points[at], points[at + 1])
            for at, size in enumerate(groups(built)) for n in range(size)
        ]
        outcome = nodal.solve(edges, (), ("A", "B"), voltage=ratio)
        assert outcome.capacitance == built.times >= wanted
        worst = max(reading.voltage for reading in outcome.capacitors.values())
        assert worst == built.greatest_share * ratio <= 1
        assert len(edges) == built.parts


@settings(max_examples=some(100))
@given(eighths, eighths)
def test_equal_chains_are_the_fewest_of_their_kind(wanted: Fraction, ratio: Fraction) -> None:
    built = equal_chains(bank(1, 1, wanted, ratio))
    assert built.length >= ratio > built.length - 1
    assert built.size >= wanted * built.length > built.size - 1


@given(eighths, st.integers(1, 12))
def test_proven_where_the_p_d_is_a_multiple_of_the_rating(wanted: Fraction, times: int) -> None:
    asked = bank(1, 1, wanted, F(times))
    assert smallest_bank(asked).parts == fewest_of_any(asked) == times * ceil(wanted * times)


@pytest.mark.parametrize(
    ("asked", "built"),
    [
        (bank(F("10e-6"), 50, F("20e-6"), F(200)), Built(4, 8)),
        # A common examination question, from memory.
        (bank(F("1e-6"), 300, F("2e-6"), F(1000)), Built(4, 8)),
        # OpenStax, University Physics Volume 2, 8.2 problem 34, which speaks of no rating.
        (bank(F("1.5e-3"), 10, F("0.75"), F(10)), Built(1, 500)),
    ],
)
def test_known_banks(asked: Bank, built: Built) -> None:
    assert smallest_bank(asked) == equal_chains(asked) == built
    assert fewest_of_any(asked) == built.parts


def test_unequal_groups_save_some_where_the_ratings_leave_room() -> None:
    asked = bank(1, 1, F("1.7"), F("1.7"))
    assert equal_chains(asked).parts == 8
    assert smallest_bank(asked) == Built(2, 3, 1)
    assert smallest_bank(bank(1, 1, F("1.7"), F(2))).parts == 8
