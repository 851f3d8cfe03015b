"""Stories of plates: which questions, what is taken as right, and how it is said."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings

from grammar.reading import read_network
from grammar.records import Amount, Charging, Description, Element, Plates
from tests.circuit.test_plates import fillings
from tests.sampled import some
from tests.strategies import decimals
from tests.teaching.staged.manners import (
    at,
    check_manners,
    lines_of,
    story,
    told_rightly,
    typed,
    verdict,
)
from tutor.circuit.plates import ELECTRIC_CONSTANT
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.makers import story_of

F = Fraction
TEXTS = {
    "plates 100 cm2 gap 1 mm": ["area", "gap in metres", "plates"],
    "plates 0.01 m2 gap 0.001 m, across 12 V": ["plates", "charge of plates", "energy of plates"],
    "plates 100 cm2 gap 1 mm filled 2.5, holding 2 nC": [
        "area", "gap in metres", "filled", "p.d. of plates", "energy of plates",
    ],
    "plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5, across 400 V": [
        "area", "what fillings share", "filled", "filled", "stacked", "charge of plates",
        "energy of plates",
    ],
    "plates 8 cm square gap 1 mm filled 4 over 1/4": [
        "area", "gap in metres", "what fillings share", "filled", "plates", "side by side",
    ],
    "plates 8 cm by 5 cm gap 1 mm metal 0.2 mm": ["area", "gap beside metal", "plates"],
    "plates 600 mm2 gap 20 um side by side 1/2 of 2, 1/2 of 6; asked: E; across 5 V": [
        "area", "gap in metres", "what fillings share", "filled", "filled", "side by side",
        "energy of plates",
    ],
    "C1 = plates 100 cm2 gap 1 mm from A to B; ends A and B; across 20 kV": [
        "area", "gap in metres", "plates", "charge of plates", "energy of plates",
    ],
}
BOOKS = ("8.85e-12", "8.854e-12", "8.8541878188e-12", "8.8541878128e-12", "8.85418782e-12")


@pytest.mark.parametrize("text", TEXTS)
def test_questions_and_manners(text: str) -> None:
    told = story(text)
    assert [ask.key for ask in told.asks] == TEXTS[text]
    check_manners(told)


@pytest.mark.parametrize("text", TEXTS)
def test_words_and_letters_of_the_settings(text: str) -> None:
    terms = Settings(difference="voltage", pd_letter="U", energy_letter="W", decimal_sign="comma")
    told = story(text, terms)
    for line in lines_of(told):
        assert "p.d" not in line, line
        assert not re.search(r"(?<!\d )\b[VE] [=/]", line), line
    check_manners(told, terms)


@pytest.mark.parametrize("constant", BOOKS)
@pytest.mark.parametrize("figures", [3, 4, 5])
@pytest.mark.parametrize("text", TEXTS)
def test_answers_from_a_rounded_constant_are_right(text: str, figures: int, constant: str) -> None:
    told = story(text)
    turn = begin_story(told)
    for ask in told.asks:
        line = typed(ask)
        if ask.dimension is not None:
            assert isinstance(ask.right, Fraction)
            ratio = F(constant) / ELECTRIC_CONSTANT
            other = ask.right / ratio if ask.dimension == "voltage" else ask.right * ratio
            line = typed(ask._replace(right=other), figures)
            if ask.dimension == "energy" and "holding" in text:
                line = typed(ask._replace(right=ask.right / ratio), figures)
        turn = hear(turn.talk, line)
        assert verdict(turn).verdict == "right", line
    assert turn.telling.over


def test_another_constant_is_another_answer() -> None:
    """8.9e-12 F/m is half a per cent off, as far as rounding to three figures shows."""
    turn = at(story("plates 100 cm2 gap 1 mm"), "plates")
    assert verdict(hear(turn.talk, "89.0 pF")).verdict == "wrong"
    assert verdict(hear(turn.talk, "88.5 pF")).verdict == "right"
    assert verdict(hear(turn.talk, "8.85e-12 F * 0.01 / 0.001")).verdict == "right"


def test_earlier_values_may_be_used_in_sums() -> None:
    text = "plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5, across 12 V"
    turn = at(story(text), "stacked")
    turn = hear(turn.talk, "1/(1/Ca + 1/Cb)")
    assert verdict(turn).verdict == "right"
    assert verdict(hear(turn.talk, "Q = C * 12 V")).verdict == "right"


def test_letters_for_the_supply() -> None:
    told = story("plates 100 cm2 gap 1 mm, across V")
    charge = told.asks[-2]
    assert charge.key == "charge of plates"
    assert "88.54 pF × V" in charge.reveal
    turn = at(told, "charge of plates")
    assert turn.messages[-1].kind == "ask"
    assert told.cautions == ()


def test_high_p_d_brings_a_caution_and_low_none() -> None:
    assert story("plates 100 cm2 gap 1 mm, across 20 kV").cautions
    assert not story("plates 100 cm2 gap 1 mm, across 12 V").cautions
    assert not story("plates 100 cm2 gap 1 mm").cautions


def test_results_for_machines() -> None:
    told = story("plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5, across 12 V")
    assert list(told.results) == ["Ca", "Cb", "C", "Q", "V", "E"]
    farads, volts, coulombs, joules = (told.results[name][0] for name in "CVQE")
    assert isinstance(farads, Fraction)
    assert (volts, coulombs, joules) == (12, 12 * farads, 72 * farads)
    assert 1 / farads == 1 / F(told.results["Ca"][0]) + 1 / F(told.results["Cb"][0])


@pytest.mark.parametrize(
    "text",
    [
        "5 uF, across 12 V",
        "plates 100 cm2 gap 1 mm -- 5 pF",
        "C1 = plates 100 cm2 gap 1 mm, across 12 V; then fill C1 with 4",
        "C1 = plates 100 cm2 gap 1 mm charged to 5 V; C2 = 3 pF; join C1 and C2",
    ],
)
def test_other_texts_have_no_such_story(text: str) -> None:
    found = story_of(read_network(text), DEFAULTS)
    assert found is None or found.kind != "plates"


@settings(max_examples=some(60), deadline=None)
@given(fillings(decimals()))
def test_any_plates(plates: Plates) -> None:
    """The last capacitance is that of the pair, whatever is between; bounds hold in words."""
    written = plates._replace(written="plates 100 cm² gap 1 mm")
    described = Description(Element("C1", written), supply=Charging("voltage", Amount(F(2))))
    told = story_of(described, DEFAULTS)
    assert told is not None
    last = [ask for ask in told.asks if ask.dimension == "capacitance"][-1]
    assert told.network is not None
    many = len(plates.layers) > 1 or len(plates.beside) > 1
    assert (last.key in ("stacked", "side by side")) is many
    assert last.right == told.network.capacitors[0].value
    assert told_rightly(told)
