"""A slab over a part of the gap or of the area, or a metal sheet, with the supply on or off.

Slab of three quarters of the gap: NCERT, Physics Part I for Class XII, example 2.8, which finds
4 K/(K + 3) times the capacitance. The others are worked by hand.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
import sympy

from grammar.reading import read_network
from grammar.records import Refusal
from grammar.writing import write_network
from tests.teaching.staged.manners import at, check_manners, story, verdict
from tutor.teaching.exchange import hear

TEXTS = {
    "4 uF, across 12 V; then remove supply; then fill C1 with 3 over 1/2 of the gap": (
        "stacked", "6"),
    "4 uF, across 12 V; then fill C1 with 3 over half": ("side by side", "8"),
    "4 uF, across 12 V; then fill C1 with metal over 1/3 of the gap": ("gap beside metal", "6"),
}


@pytest.mark.parametrize("text", TEXTS)
def test_what_the_slab_makes_of_the_capacitance(text: str) -> None:
    told = story(text)
    key, microfarads = TEXTS[text]
    asked = next(ask for ask in told.asks if ask.name == "C1")
    assert (asked.key, asked.right) == (key, Fraction(microfarads) / 10**6)
    check_manners(told)
    assert read_network(write_network(read_network(text))) == read_network(text)


def test_a_slab_of_three_quarters_of_the_gap_in_letters() -> None:
    told = story("C, across V; then remove supply; then fill C1 with k over 3/4 of the gap")
    asked = next(ask for ask in told.asks if ask.name == "C1")
    c, k = sympy.symbols("C k", positive=True)
    assert sympy.simplify(asked.right - 4 * k * c / (k + 3)) == 0


def test_plates_in_numbers_come_to_the_same_as_their_layers() -> None:
    told = story("plates 100 cm2 gap 1 mm, across 10 V; then fill C1 with 2 over 1/4 of the gap")
    layered = story("plates 100 cm2 layers 0.25 mm of 2, 0.75 mm of 1")
    assert next(ask for ask in told.asks if ask.name == "C1").right == layered.results["C"][0]


def test_parts_of_a_gap_added_up_are_recognised() -> None:
    turn = at(story(next(iter(TEXTS))), "stacked")
    assert verdict(hear(turn.talk, "32 uF")).malrules == ("adds-stacked-layers",)


@pytest.mark.parametrize(("text", "words"), [
    ("4 uF, across 12 V; then fill C1 with metal", "would join the two"),
    ("4 uF, across 12 V; then fill C1 with 3 over 1 of the gap", "whole or more"),
])
def test_what_cannot_be_put_in(text: str, words: str) -> None:
    with pytest.raises(Refusal) as refused:
        read_network(text)
    assert words in str(refused.value)
