"""What the words of a wrong idea are filled with, and how several ways are asked about."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from tests.misled import at_figures
from tests.teaching.rules.test_diagnosis import exact, scene, solved
from tests.teaching.staged.manners import story
from tutor.circuit.network import build
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.diagnosis import diagnose
from tutor.teaching.rules.malrule import Malrule
from tutor.teaching.rules.rule_text import (
    cannot_be,
    cut_off,
    fields,
    in_terms,
    menu,
    origin,
    question,
    route,
    routes,
    several_ways,
    step_before,
)
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech

PAIR = "3 uF -- 7 uF, across 12 V"
INNER = "6 uF -- (1 uF || 2 uF), across 12 V"


def speech(text: str, terms: Settings = DEFAULTS) -> Speech:
    return Speech(build(read_network(text)).powers, terms)


def rule(name: str) -> Malrule:
    return next(malrule for malrule in CATALOGUE if malrule.name == name)


# What texts may speak of


def test_fields_of_a_part_of_a_chain() -> None:
    assert fields(scene("7 uF -- 3 uF -- 5 uF, across 12 V", "V", "C2"), speech(PAIR)) == {
        "parts": "C1, C2 and C3", "values": "7 µF, 3 µF and 5 µF",
        "plus": "7 µF + 3 µF + 5 µF", "least": "3 µF", "least_name": "C2",
        "most": "7 µF", "most_name": "C1", "n": "3", "at": "A and B", "part": "C2",
        "own_points": "P and R", "c": "3 µF", "unit": "µF",
        "supply": "12 V between the ends", "total": "charge of the whole network",
    }


def test_fields_of_a_set_and_of_the_whole() -> None:
    inner = fields(scene(INNER, "C", "C23"), speech(INNER))
    assert (inner["at"], inner["own_points"], inner["part"]) == ("P and B", "P and B", "C23")
    assert (inner["least_name"], inner["most_name"], inner["n"]) == ("C2", "C3", "2")
    whole = fields(scene(INNER, "Q"), speech(INNER))
    assert (whole["parts"], whole["values"], whole["plus"]) == ("", "", "")
    assert (whole["least"], whole["least_name"]) == ("", "")
    assert (whole["most"], whole["most_name"]) == ("", "")
    assert (whole["n"], whole["part"], whole["own_points"]) == ("0", "C123", "A and B")
    assert whole["c"] == "2 µF"


@pytest.mark.parametrize(("text", "supply", "total"), [
    ("3 uF -- 7 uF", "p.d. between the ends", "charge of the whole network"),
    (PAIR, "12 V between the ends", "charge of the whole network"),
    ("3 uF -- 7 uF, holding 42 uC", "p.d. between the ends", "42 µC moved in all"),
])
def test_only_what_is_given_of_the_whole_stands_there_as_a_number(
    text: str, supply: str, total: str
) -> None:
    found = fields(scene(text, "C", "C12"), speech(text))
    assert (found["supply"], found["total"]) == (supply, total)


def test_fields_of_a_story() -> None:
    told = story("C1 = 3 uF rated 50 V -- C2 = 6 uF rated 40 V")
    (ask,) = (ask for ask in told.asks if ask.key == "greatest in a chain")
    context = context_of_ask(ask, told.powers)
    assert context is not None
    found = fields(context, Speech(told.powers, DEFAULTS))
    assert (found["at"], found["own_points"], found["c"]) == ("the same two points", "", "")
    assert found["supply"] == "p.d. between the ends"
    assert found["first"] == ask.told["first"]


# Texts


def test_texts_are_filled_and_end_once() -> None:
    context, words = scene(PAIR, "V", "C1"), speech(PAIR)
    malrule = rule("splits-the-pd-equally")
    way, cannot = route(malrule, context, words), cannot_be(malrule, context, words)
    assert origin("6 V", malrule, context, words) == (
        f"6 V is what you get by {way}, if that is what you did. {cannot}"
    )
    assert cannot[0].isupper()
    assert cannot.endswith(".")
    assert question(malrule, context, words).endswith("?")


def test_a_route_is_told_in_the_numbers_of_the_network() -> None:
    found = route(rule("adds-a-series-pair"), scene(PAIR, "C", "C12"), speech(PAIR))
    assert found == "adding 3 µF and 7 µF"


def test_what_is_said_of_a_number_names_it() -> None:
    for told in (cut_off, step_before, several_ways):
        assert told("4.2 µF").startswith("4.2 µF ")
        assert told("4.2 µF").endswith(".")


def test_a_pd_that_ends_a_sentence_keeps_one_stop() -> None:
    assert in_terms("it is a p.d.. So it adds.", speech(PAIR)) == "it is a p.d. So it adds."


@pytest.mark.parametrize(("text", "said"), [
    ("the p.d.", "the voltage"), ("it is a p.d..", "it is a voltage."),
    ("the p.d.s add", "the voltages add"),
])
def test_the_learners_word_for_a_pd(text: str, said: str) -> None:
    assert in_terms(text, speech(PAIR, Settings(difference="voltage"))) == said


def test_several_ways_are_asked_about_likely_ones_first() -> None:
    """12 V is the supply's p.d., or Q over the whole capacitance."""
    words = speech(PAIR)
    found = diagnose(solved(PAIR), Quantity("V", "C1"), at_figures(exact("12").number, 2))
    assert routes(found) == (("full-supply-pd-on-each",), ("whole-equivalent-for-a-part",))
    context = scene(PAIR, "V", "C1")
    one = route(rule("full-supply-pd-on-each"), context, words)
    other = route(rule("whole-equivalent-for-a-part"), context, words)
    assert menu(found, "12 V", words) == (
        f"How did 12 V come about?\na) {one}\nb) {other}\nc) something else"
    )


def test_three_ways_at_most_are_offered() -> None:
    """6 µF for three 2 µF in a chain: added up, by fractions kept over 1, or as a product."""
    text = "2 uF -- 2 uF -- 2 uF"
    found = diagnose(solved(text), Quantity("C"), at_figures(exact("6").number, 2))
    assert len(found.groups) > 1
    many = found._replace(groups=found.groups * 3)
    assert len(routes(many)) == 3
    assert menu(many, "6 µF", speech(text)).splitlines()[-1] == "d) something else"
