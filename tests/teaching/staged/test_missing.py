"""Stories of missing values: which questions, what is found, and data that cannot be."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from grammar.outline import elements_of
from grammar.reading import read_network
from grammar.records import Amount, Charging, Description, Refusal
from tests import nodal
from tests.circuit.test_missing import given_of, hidden
from tests.sampled import some
from tests.strategies import as_drawn, nests, small_fractions
from tests.teaching.staged.manners import (
    at,
    check_manners,
    lines_of,
    on_facts,
    story,
    told_rightly,
    verdict,
)
from tutor.circuit.missing import find, lack_of
from tutor.circuit.surds import near
from tutor.teaching.conversation import Conversation
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.plates_and_ratings import MISSING
from tutor.teaching.settings import DEFAULTS, USUAL, Settings
from tutor.teaching.staged.makers import TextSource, story_of

Case: TypeAlias = Mapping[str, Any]
CASES = tomllib.loads(
    (Path(__file__).parents[2] / "cases" / "missing.toml").read_text(encoding="utf-8")
)
BY_NAME = {rule.name: rule for rule in CATALOGUE if "missing" in str(rule.places)}
F = Fraction
by_text = pytest.mark.parametrize("case", CASES["worked"], ids=lambda case: case["text"][:60])


@pytest.mark.parametrize("case", CASES["published"], ids=lambda case: case["id"])
def test_published_answers(case: Case) -> None:
    """To the figures printed; what the source calls impossible is told as impossible."""
    told = story(case["text"])
    asked = next(ask for ask in told.asks if ask.name == case["name"] and ask.right is not None)
    printed = F(case["si"])
    half = F(5) * F(10) ** -case["figures"]
    assert isinstance(asked.right, Fraction)
    assert abs(asked.right - printed) <= half * abs(printed)
    assert (told.kind == "impossible data") == ("impossible" in case["printed"])
    check_manners(told)


@by_text
def test_worked_ones(case: Case) -> None:
    told = story(case["text"])
    assert [ask.key for ask in told.asks] == case["keys"]
    assert told.kind == case["kind"]
    found = {name: value for name, (value, _) in told.results.items()}
    assert {name: near(value) for name, value in found.items()} == {
        name: F(value) for name, value in case["found"].items()
    }
    check_manners(told)


@by_text
def test_words_and_letters_of_the_settings(case: Case) -> None:
    terms = Settings("potential difference", "U", "W", "comma", 3)
    told = story(case["text"], terms)
    for line in lines_of(told):
        assert "p.d" not in line, line
        assert not re.search(r"(?<!\d )\b[VE]\d? =", line), line
        assert not re.search(r"\d\.\d", line), line
    told_rightly(told, terms)


@pytest.mark.parametrize("case", CASES["refused"], ids=lambda case: case["words"])
def test_refused(case: Case) -> None:
    with pytest.raises(Refusal) as refused:
        story_of(read_network(case["text"]), DEFAULTS)
    assert case["words"] in str(refused.value)


def test_a_network_with_all_its_values_has_no_such_story() -> None:
    assert story_of(read_network("C1 = 3 uF -- C2 = 7 uF, across 12 V"), DEFAULTS) is None


# Wrong rules


def test_all_rules_are_there_and_worked() -> None:
    assert {rule.code for rule in MISSING} == {"L3", "L4", "L6", "L7", "L8", "L9", "L10", "L11"}
    for kind in ("fact", "told"):
        assert {case["name"] for case in CASES[kind]} == set(BY_NAME)
    assert set(MISSING) <= set(CATALOGUE)


@pytest.mark.parametrize("case", CASES["fact"], ids=lambda case: case["code"])
def test_rules_on_facts(case: Case) -> None:
    rule = BY_NAME[case["name"]]
    numbers = [*rule.numbers(on_facts(case["facts"], case["right"]))]
    assert rule.code == case["code"]
    assert F(case["wrong"]) in numbers
    assert F(case["right"]) not in numbers


@pytest.mark.parametrize("case", CASES["told"], ids=lambda c: f"{c['code']} {c['key']}")
def test_rules_in_the_dialogue(case: Case) -> None:
    turn = at(story(case["text"]), case["key"])
    assert verdict(hear(turn.talk, case["right"])).verdict == "right"
    for wrong in case["wrong"]:
        said = verdict(hear(turn.talk, wrong))
        assert (said.verdict, said.malrules) == ("wrong", (case["name"],)), wrong


def test_one_figure_names_no_rule() -> None:
    turn = at(story("C1 = 3 uF -- C2 = ?; C = 2.1 uF"), "missing in a chain")
    assert verdict(hear(turn.talk, "0.9 uF")).malrules == ()


# What is said


def test_what_cannot_be_is_explained_where_it_shows() -> None:
    last = story("C1 = 8 uF || C2 = ?; C = 5 uF").asks[-1]
    assert "a parallel set is above its largest member" in last.reveal
    assert "8 µF" in last.reveal
    assert "C cannot be 5 µF" in last.reveal
    chain = story("C1 = 3 uF -- C2 = ?; C = 4 uF").asks[-1]
    assert "C stays below 3 µF, so it cannot be 4 µF" in chain.reveal


def test_nothing_is_said_before_it_is_asked() -> None:
    """The opening of each question holds no value that a later question asks for."""
    for case in CASES["worked"]:
        told = story(case["text"])
        given_away = [*told.opening]
        for ask in told.asks:
            for value in case["found"].values():
                amount = f"{float(F(value) * 10**6):g} µF"
                if ask.right == F(value):
                    assert not any(f"= {amount}" in line for line in [*given_away, ask.text])
            given_away.append(ask.reveal)


def test_a_learner_may_use_what_was_found() -> None:
    turn = at(story("C1 = 4 uF -- (C2 = 2 uF || C3 = ?); C = 2.4 uF"), "missing side by side")
    assert verdict(hear(turn.talk, "C3 = C23 - 2 uF")).verdict == "right"


def test_both_of_two_values_are_asked() -> None:
    told = story("C1 = 3 uF -- C2 = ?, across 12 V; E2 = 45.36 uJ")
    turn = hear(begin_story(told).talk, "one")
    assert verdict(turn).verdict == "wrong"
    turn = hear(turn.talk, "two")
    assert verdict(turn).verdict == "right"
    assert "smaller" in turn.messages[-1].text


@settings(max_examples=some(25))
@given(nests(small_fractions().map(lambda n: n / 10**6), most=5), st.data())
def test_any_hidden_value_is_asked_for_and_found(nest: Any, data: st.DataObject) -> None:
    whole = Description(nest=nest)
    capacitors = elements_of(whole)
    chosen = data.draw(st.sampled_from(capacitors))
    outcome = nodal.solve(*as_drawn(whole), voltage=F(12))
    of = data.draw(st.sampled_from([None, *(c.name for c in capacitors)]))
    kind = data.draw(st.sampled_from(["charge", "energy", "voltage"]))
    givens = (given_of(outcome, "capacitance", None),)
    if of is not None and (of, kind) != (chosen.name, "energy"):
        givens = (given_of(outcome, kind, of),)
    description = Description(
        nest=hidden(nest, chosen.name), supply=Charging("voltage", Amount(F(12))), givens=givens
    )
    assume(find(lack_of(description)).settles)
    told = story_of(description, DEFAULTS)
    assert told is not None
    assert told.kind == "missing value"
    values = [value for value, _ in told.results.values()]
    assert isinstance(chosen.worth, Amount)
    assert chosen.worth.value in [near(value) for value in values]
    check_manners(told)


# Two missing values


@settings(max_examples=some(50))
@given(
    small_fractions(), small_fractions(), st.sampled_from(["--", "||", "-", "/"]),
    st.sampled_from(["--", "||", "-", "/"]),
)
def test_any_two_are_found_from_two_things_known_of_both(
    first: Fraction, second: Fraction, one: str, other: str
) -> None:
    assume(one != other and first != second)
    larger, smaller = max(first, second), min(first, second)
    worth = {
        "--": larger * smaller / (larger + smaller), "||": larger + smaller,
        "-": larger - smaller, "/": larger / smaller,
    }
    texts = [f"C1 {sign} C2 = {float(worth[sign]):.15g}{'' if sign == '/' else ' uF'}"
             for sign in (one, other)]
    told = story(f"C1 = ?; C2 = ?; {'; '.join(texts)}")
    found = [near(value) * 10**6 for value, _ in told.results.values()]
    if {one, other} == {"--", "||"}:
        assert found[0] >= found[1]
    for got, true in zip(found, (larger, smaller), strict=True):
        assert abs(got - true) < true / 10**5
    check_manners(told)


def test_values_below_nought_are_printed_with_a_true_minus() -> None:
    said = " ".join(ask.reveal for ask in story("C1 = 6 uF -- C2 = ?; C = 8 uF").asks)
    assert "= −1/24 per µF, so C2 = −24 µF" in said


def test_it_goes_on_from_a_value_of_the_learners_own() -> None:
    """What is still open is asked again, what has been answered is not, and the way after it leads
    by the value that was found.
    """
    text = "C1 = 6 uF -- C2 = ?, across 15 V; Q1 = 54 uC; find C2"
    asked = [m.text for m in hear(_begun(text), "V2 = 6 V").messages if m.kind == "ask"]
    assert asked == ["C1 and C2 stand in series. What is the same on both, the p.d. or the charge?"]
    then = hear(hear(_begun(text), "the charge").talk, "V2 = 6 V")
    assert then.messages[-1].text == "What is the value of C2 (Q2 = 54 µC, V2 = 6 V)?"
    undone = hear(then.talk, "undo")
    assert "equivalent capacitance" in undone.messages[-1].text
    assert "6 V" not in " ".join(m.text for m in hear(undone.talk, "where are we").messages)
    reworded = hear(hear(then.talk, "say voltage").talk, "9 uF")
    assert [m.verdict for m in reworded.messages if m.verdict] == ["right"]


def test_it_shows_no_answer_that_is_still_to_be_given() -> None:
    """A working with one over each in it would answer what adds up."""
    begun = _begun("C1 = 6 uF -- C2 = ?; C = 2 uF; find C2")
    told = hear(begun, "3 uF").messages
    assert "1/" not in " ".join(m.text for m in told if m.kind != "ask")
    assert "what adds up" in told[-1].text


def _begun(text: str) -> Conversation:
    source = TextSource(read_network(text))
    return begin_story(source.story(USUAL), USUAL, source=source).talk
