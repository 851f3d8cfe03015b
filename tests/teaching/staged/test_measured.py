"""Stories of one capacitor by its measures, and of a supply to be found: questions and manners."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grammar.reading import read_network
from grammar.records import Refusal
from grammar.writing import write_network
from tests.teaching.staged.manners import at, check_manners, story, verdict
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of

# The keys are the questions in order, worked by hand for each.
TEXTS = {
    "C1 = plates 300 cm2 gap ? filled 2.4; C1 = 2 nF": ["area", "d by plates"],
    "plates ? gap 1 mm; C = 10 pF": ["A by plates"],
    "plates 0.03 m2 gap 1 mm filled ?; C = 1 nF": ["epsr by plates"],
    "? plates 100 cm2 gap 1 mm; C1 = 1 nF": ["area", "n by plates"],
    "19 plates 75 mm by 75 mm gap 0.2 mm filled 5": ["area", "filled"],
    "rolled plates 4 cm by 2 m gap 50 um filled 2.5, across 100 V": [
        "area", "filled", "charge of plates", "energy of plates",
    ],
    "plates 0.01 m2 gap 2 mm, across 500 V; find field, force": [
        "field by even field", "plates", "charge of plates", "force by pull",
    ],
    "plates ? gap ? filled 3 strength 20 MV/m, across 4 kV; C = 50 nF": [
        "field by limit", "d by even field", "A by plates",
    ],
    "plates 0.01 m2 gap 1 mm strength 3 kV/mm, across 2 kV": [
        "plates", "field by even field", "does it bear the field",
    ],
    "sphere radius ?; C = 1 F": ["r by sphere"],
    "sphere diameter 20 cm, across 20 kV; find C, field": ["C by sphere", "field by round field"],
    "spheres radii 5 cm and 8 cm filled 3": ["C by spheres"],
    "cable 100 m radii 1 mm and ? filled 2.3; C = 9 nF": ["b by cable"],
    "cable 100 m radii 1 mm and 4 mm strength 20 MV/m": ["C by cable", "field by limit",
                                                        "V by field at the wire"],
    "C1 = 2 uF -- C2 = 3 uF; V1 = 6 V; find V": [
        "shared", "what adds", "by sum", "by law", "by share", "by law",
    ],
    "6 uF; E = 3 J": ["by law", "by law"],
}


@pytest.mark.parametrize("text", TEXTS)
def test_questions_and_manners(text: str) -> None:
    told = story(text)
    assert [ask.key for ask in told.asks] == TEXTS[text]
    check_manners(told)


@pytest.mark.parametrize("text", TEXTS)
def test_written_and_read_again(text: str) -> None:
    description = read_network(text)
    again = read_network(write_network(description))
    assert write_network(again) == write_network(description)


def test_letters_are_answered_in_letters() -> None:
    turn = at(story("plates A gap d filled k, across V"), "filled")
    turn = hear(turn.talk, "e0 k A/d")
    assert verdict(turn).verdict == "right"
    turn = hear(turn.talk, "k e0 A V / d")
    assert verdict(turn).verdict == "right"
    assert verdict(hear(turn.talk, "½ C V²")).verdict == "right"


@pytest.mark.parametrize("said", [
    "250 kV/m", "2.5e5 V/m", "250 V/mm", "250000 N/C", "E = 2.5e5 V/m", "field = 500 V / 2 mm",
])
def test_a_field_in_any_unit_and_under_either_name(said: str) -> None:
    turn = at(story("plates 0.01 m2 gap 2 mm, across 500 V; find field"), "field by even field")
    assert verdict(hear(turn.talk, said)).verdict == "right"


@pytest.mark.parametrize("said", ["0.005625 m2", "5625 mm2", "56.25 cm²", "5.625e-3"])
def test_an_area_in_any_unit(said: str) -> None:
    turn = at(story("19 plates 75 mm by 75 mm gap 0.2 mm filled 5"), "area")
    assert verdict(hear(turn.talk, said)).verdict == "right"


@pytest.mark.parametrize(("said", "is_so"), [("12 V", True), ("1 nC", False), ("30 V", False)])
def test_only_what_is_given_is_called_so_where_another_quantity_is_asked(said, is_so) -> None:
    turn = at(story("plates 100 cm2 gap 1 mm filled 2.5, across 12 V"), "area")
    assert ("That is so" in verdict(hear(turn.talk, said)).text) is is_so


REFUSED = {
    "plates 100 cm2 gap ?": "does not lead to d",
    "plates 0.03 m2 gap 1 mm filled ?; C = 10 pF": "relative permittivity would be",
    "plates A gap 1 mm": "letters and others are numbers",
    "spheres radii 8 cm and 5 cm": "not smaller",
    "spheres radii 5 cm and ?; C = 1 pF": "would be",
    "1 plates 1 m2 gap 1 mm": "two plates",
    "plates 1 m2 gap 1 mm filled 3, across 5 V; find force": "air between",
    "C1 = sphere radius 10 cm; Q = 5 nC; V = 4 kV": "do not agree",
}


@pytest.mark.parametrize("text", REFUSED)
def test_what_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(Refusal) as refused:
        story_of(read_network(text), DEFAULTS)
    assert REFUSED[text] in str(refused.value)


def test_what_does_not_agree_is_told() -> None:
    told = story("C1 = 2 uF -- C2 = 3 uF; V1 = 6 V; V2 = 5 V")
    assert told.kind == "impossible data"
    assert "cannot be so" in told.asks[-1].reveal


def test_the_field_in_each_layer() -> None:
    """D = ε0 εr E is one in all layers: fields as 1/εr, and the p.d.s add up to the whole."""
    told = story("plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5, across 100 V; find field")
    first, second = (ask.right for ask in told.asks if ask.key == "field in a layer")
    assert isinstance(first, Fraction)
    assert isinstance(second, Fraction)
    assert first / second == Fraction(5, 2)
    assert first * Fraction(4, 10**4) + second * Fraction(6, 10**4) == 100
    check_manners(told)


def test_a_problem_in_stages_ends_with_what_is_asked() -> None:
    told = story("C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2; find V")
    assert told.asks[-1].name == "V"
    assert told.asks[-1].right == 3


def test_a_field_of_a_whole_network_is_refused() -> None:
    with pytest.raises(Refusal) as refused:
        read_network("3 uF -- 7 uF, across 12 V; find field")
    assert "one capacitor by its measures" in str(refused.value)


def test_letters_of_round_plates_keep_pi() -> None:
    (ask,) = story("C1 = spheres radii a and b").asks[:1]
    assert ask.reveal == "C = 4 × π × ε0 × a × b / (b − a) = 4 × a × b × ε0 × π/(b - a)"
    turn = hear(begin_story(story("C1 = sphere radius r")).talk, "4 pi eps0 r")
    assert verdict(turn).verdict == "right"
