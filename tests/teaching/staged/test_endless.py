"""Stories of ladders without end: the question of what is left, the equation, the root."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from grammar.reading import read_network
from tests.teaching.staged.manners import at, check_manners, lines_of, story, told_rightly, verdict
from tutor.circuit.surds import settled, square_root
from tutor.teaching.exchange import hear
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.makers import story_of

F = Fraction
WHOLE = "ladder of (series 6 uF, shunt 3 uF) without end, across 12 V; find E"
SURD = "ladder of (series 2 uF, shunt 2 uF) without end"
HELD = "endless ladder of (series 6 uF, shunt 3 uF), holding 36 uC"
ONE_LETTER = "ladder of (series C, shunt 2C) without end"
TWO_LETTERS = "ladder of (series C1, shunt C2) without end, across V"
KEYS = ["left", "joined", "equation"]
TEXTS = {
    WHOLE: [*KEYS, "whole", "total charge", "whole energy"],
    SURD: [*KEYS, "whole"],
    HELD: [*KEYS, "whole", "whole pd"],
    ONE_LETTER: [*KEYS, "multiple"],
    TWO_LETTERS: [*KEYS, "root"],
}


@pytest.mark.parametrize("text", TEXTS)
def test_questions_and_manners(text: str) -> None:
    told = story(text)
    assert [ask.key for ask in told.asks] == TEXTS[text]
    check_manners(told)


@pytest.mark.parametrize("text", TEXTS)
def test_words_and_letters_of_the_settings(text: str) -> None:
    terms = Settings("voltage", "U", "W", "comma", 3)
    told = story(text, terms)
    for line in lines_of(told):
        assert "p.d" not in line, line
        assert not re.search(r"(?<!\d )\b[VE] =|\d\.\d", line), line
    told_rightly(told, terms)


def test_what_comes_out() -> None:
    found = story(WHOLE).results
    assert found["C"] == (F(3, 10**6), "capacitance")
    assert found["Q"] == (F(36, 10**6), "charge")
    assert found["E"] == (F(216, 10**6), "energy")
    assert story(HELD).results["V"] == (F(12), "voltage")
    surd, _ = story(SURD).results["C"]
    assert surd == settled((square_root(F(5)) - 1) / 10**6)


def test_a_surd_is_answered_by_a_decimal() -> None:
    turn = at(story(SURD), "whole")
    assert verdict(hear(turn.talk, "1.24 uF")).verdict == "right"
    assert verdict(hear(turn.talk, "1.28 uF")).verdict == "wrong"


def test_how_many_times_the_letter() -> None:
    turn = at(story(ONE_LETTER), "multiple")
    assert verdict(hear(turn.talk, "0.732")).verdict == "right"
    assert verdict(hear(turn.talk, "0.5")).verdict == "wrong"


def test_a_smaller_ladder_is_asked_back() -> None:
    turn = at(story(WHOLE), "left")
    said = verdict(hear(turn.talk, "a smaller one"))
    assert (said.verdict, said.text.endswith("?")) == ("wrong", True)
    assert verdict(hear(turn.talk, "the same ladder")).verdict == "right"


def test_cut_off_ladders_close_in() -> None:
    below, above = story(WHOLE).closing
    assert "2, 2.727, 2.930, 2.996 µF: always below" in below
    assert "6, 3.6, 3.143, 3.009 µF: always above" in above


def test_a_ladder_with_an_end_is_walked() -> None:
    text = "ladder of (series 6 uF, shunt 3 uF), 3 sections, across 12 V"
    assert story_of(read_network(text), DEFAULTS) is None
