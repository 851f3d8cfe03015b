"""Printed solutions read again: every sum comes out, every reason is so of its network.

Set PLATEWALK_SENTENCES to a number of problems for more; ``python -m tests.sentences_report``
prints what it finds.
"""

from __future__ import annotations

import os
from fractions import Fraction

import pytest

from tests.nodal import Edge
from tests.printed_sums import Names, false_equalities
from tests.sentences import false_sentences
from tests.sentences_report import faults
from tests.strategies import Drawn

SAMPLE = int(os.environ.get("PLATEWALK_SENTENCES", "60"))
MICRO = Fraction(1, 10**6)
CHAIN = Drawn(
    (Edge("C1", 3 * MICRO, "A", "P"), Edge("C2", 6 * MICRO, "P", "B")), (), ("A", "B")
)


@pytest.mark.parametrize("seed", range(SAMPLE))
def test_no_sentence_is_false(seed: int) -> None:
    assert faults(seed) == []


@pytest.mark.parametrize("line", [
    "Q = 3 µF × 4 V = 13 µC", "Q = 3 µF × 4 V = 12 nC",
    "1/C = 1/(3 µF) + 1/(1.333 µF) = 13/12 per µF",
    "9 V + 3.333 V = 12.33 V", "Q = 2 µF × 3 V ≈ 6.1 µC", "E = ½ × 3 µC × 4 V = 6 µC",
    "V = 12 µC / (3 µF) = 3 V",
])
def test_a_false_sum_is_seen(line: str) -> None:
    assert list(false_equalities(line, {}, rebind=True))


@pytest.mark.parametrize("line", [
    "Q = 3 µF × 4 V = 12 µC", "Q = 3 µF × 4.333 V ≈ 13 µC",
    "1/C = 1/(3 µF) + 1/(6 µF) = 1/2 per µF",
    "C = 159/71 µF ≈ 2.239 µF", "Plates at P: −6309 pC + 6309 pC ≈ 0 pC",
])
def test_a_true_sum_passes(line: str) -> None:
    names: Names = {}
    assert not list(false_equalities(line, names, rebind=True))


@pytest.mark.parametrize("line", [
    "C1 and C2 both join the same two points, A and P, so they share one p.d.",
    "At A only C1 and C2 meet, and that metal is cut off.",
    "C2 touches the rest at P only.",
    "2 µF is less than the 3 µF of C2: 2 µF is less than the 3 µF of C2.",
    "C1  4 V  24 µC  48 µJ  A",
    "P: 8 V",
    "It must lie between 1 µF, with C1 left out, and 1.5 µF, with it made a wire, and does.",
    "Exchanging A with P leaves every join and every value as it was, so A and P cannot differ.",
    "Left now: C1, 3 µF, A to P; C2, 7 µF, P to B.",
])
def test_a_false_reason_is_seen(line: str) -> None:
    listed = ["C1, 3 µF, from A to P", "C2, 6 µF, from P to B"]
    assert not false_sentences(listed, CHAIN, Fraction(12))
    assert false_sentences([*listed, line], CHAIN, Fraction(12))
