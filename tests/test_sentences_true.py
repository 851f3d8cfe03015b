"""Printed solutions read again: every sum comes out, every reason is so of its network.

Set PLATEWALK_SENTENCES to a number of problems for more; ``python -m tests.sentences_report``
prints what it finds.
"""

from __future__ import annotations

import os
from fractions import Fraction

import pytest

from grammar.reading import read_network
from tests.nodal import Edge
from tests.printed_sums import Names, false_equalities
from tests.sentences import false_in_stages, false_sentences
from tests.sentences_report import faults
from tests.stage_reasons import false_reasons
from tests.strategies import Drawn

SAMPLE = int(os.environ.get("PLATEWALK_SENTENCES", "60"))
MICRO = Fraction(1, 10**6)
CHAIN = Drawn(
    (Edge("C1", 3 * MICRO, "A", "P"), Edge("C2", 6 * MICRO, "P", "B")), (), ("A", "B")
)


@pytest.mark.parametrize("seed", [*range(SAMPLE), 5513])  # the last once had a sum that was off
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


def test_after_a_rounded_constant_equal_is_seen_to_be_false() -> None:
    worked = "C = ε0 × A / d = 8.854 × 10^-12 × 0.01 / 0.002 {} 44.27 pF"
    assert false_in_stages([worked.format("=")])
    assert not false_in_stages([worked.format("≈")])


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


STAGED = "C1 = 4 uF from A to P; C2 = 12 uF from P to B; ends A and B; across 20 V"
OFF = "; then remove supply; then fill C1 with 3"


@pytest.mark.parametrize(("changes", "true", "false"), [
    (OFF, "Only C1 has a plate at A now, and no charge crosses a gap.",
     "Only C1 and C2 have plates at A now, and no charge crosses a gap."),
    ("; then fill C1 with 3", "The supply is joined to A and B and holds 20 V there;",
     "Only C1 has a plate at A now, and no charge crosses a gap."),
    ("; then put 25 V across", "The supply is joined to A and B and holds 25 V there;",
     "The supply is joined to A and P and holds 25 V there;"),
    (OFF, "Nothing is joined to A and B any more, so the charge there has no way to leave.",
     "The supply is joined to A and B and holds 25 V there;"),
    ("; then remove supply; then take out C2; then take out C1; then join C1 and C2",
     "The joined plates of C1 and C2 are one piece of metal, and nothing else touches it.",
     "Only C1 has a plate at B now, and no charge crosses a gap."),
])
def test_a_reason_in_stages_is_held_to_the_metal(changes: str, true: str, false: str) -> None:
    description = read_network(STAGED + changes)
    assert false_reasons([true], description) == []
    assert false_reasons([false], description) == [f"so at no stage: {false}"]


def test_reasons_in_stages_are_read_in_their_order() -> None:
    lines = [
        "Nothing is joined to A and B any more, so the charge there has no way to leave.", "",
        "The supply is joined to A and B and holds 20 V there;",
    ]
    assert len(false_reasons(lines, read_network(STAGED + OFF))) == 1
