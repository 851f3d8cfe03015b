"""Stories of charged capacitors: every question can be answered, wrong rules are known again."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any, TypeAlias

import pytest

from grammar.reading import read_network
from grammar.records import Description, Refusal
from tests.bychance import described, sequence
from tests.conversing import about
from tests.misled import at_figures
from tests.sampled import some
from tests.teaching.staged.manners import (
    check,
    check_manners,
    lines_of,
    story,
    told_helplessly,
    told_rightly,
    typed,
    verdict,
)
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.charged import CHARGED
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.changing import changing_story, is_changing
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Ask, Story, Telling

Case: TypeAlias = Mapping[str, Any]
CASES = tomllib.loads(
    (Path(__file__).parents[2] / "cases" / "changing.toml").read_text(encoding="utf-8")
)
JOINED = "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2"
FILLED = "5 uF, across 12 V; then remove supply; then fill C1 with 4"


def up_to(found: Story, fits: Callable[[Ask], bool], skipped: int = 0) -> Telling:
    """Right answers up to the first question that fits, or one after it."""
    telling = begin_story(found).telling
    while telling.ask is not None:
        if fits(telling.ask):
            if not skipped:
                return telling
            skipped -= 1
        telling = hear(about(telling), typed(telling.ask)).telling
    raise AssertionError("no question fits")


# Wrong rules


def test_every_family_has_its_examples() -> None:
    wanted = {f"H{n}" for n in range(1, 11)} | {"I1", "I2", "I4", "B14"}
    assert {rule.code for rule in CHARGED} == wanted - {"B14"}
    assert wanted <= {case["code"] for kind in ("wrong", "word") for case in CASES[kind]}


@pytest.mark.parametrize("case", CASES["wrong"], ids=lambda c: f"{c['code']} {c['key']}")
def test_wrong_number_shows_its_rule(case: Case) -> None:
    last = case["key"] in ("held p.d.",)  # the first such question comes before the change
    telling = up_to(story(case["text"]), lambda ask: ask.key == case["key"], int(last))
    for wrong in case["wrong"]:
        said = verdict(hear(about(telling), wrong))
        assert said.verdict == "wrong", wrong
        assert case["name"] in said.malrules, said
    assert verdict(hear(about(telling), case["right"])).verdict == "right"


@pytest.mark.parametrize("case", CASES["word"], ids=lambda c: f"{c['code']} {c['key']}")
def test_wrong_word_shows_its_rule(case: Case) -> None:
    found = story(case["text"])
    telling = up_to(found, lambda ask: ask.key == case["key"], case.get("at", 0))
    said = verdict(hear(about(telling), case["word"]))
    assert (said.verdict, said.malrules) == ("wrong", (case["name"],))


def test_no_loss_is_what_that_rule_gives() -> None:
    """Worked example of H9: 3 µF at 10 V with an empty 7 µF, energy lost 0 for 105 µJ."""
    ask = up_to(story(JOINED), lambda a: a.key == "energy lost").ask
    assert ask is not None
    assert ask.right == Fraction(105, 10**6)
    rule = next(rule for rule in CHARGED if rule.code == "H9")
    context = context_of_ask(ask, story(JOINED).powers)
    assert context is not None
    assert list(rule.numbers(context)) == [0]
    assert rule.fits(context)


# Printed answers


@pytest.mark.parametrize("case", CASES["published"], ids=lambda c: c["id"])
def test_printed_answer(case: Case) -> None:
    results = story(case["text"]).results
    value = Fraction(results[case["value"]][0])
    if "over" in case:
        value /= Fraction(case["over"])
    if "ratio_to" in case:
        value /= Fraction(results[case["ratio_to"]][0])
    printed = Fraction(case["si"])
    if "figures" in case:
        value = at_figures(value, case["figures"]).number
    assert (value == printed) == case["agrees"]


# Whole stories


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        (JOINED, ["charge beforehand", "stored energy", "held", "common p.d.", "share of charge",
                  "share of charge", "energy change", "energy after", "energy lost"]),
        (FILLED, ["held", "held p.d.", "stored energy", "held", "filled", "kept charge",
                  "energy change", "energy after", "energy went"]),
        ("5 uF, across 12 V; then fill C1 with 4",
         ["held", "held p.d.", "stored energy", "held", "filled", "held p.d.", "supply work",
          "energy after", "on plates"]),
        ("5 uF, across 12 V; then remove supply", ["held", "held p.d.", "stored energy", "held"]),
        ("C1 = 3 uF -- C2 = 6 uF, across 9 V; then take out C2",
         ["held", "network charge", "network charge", "stored energy", "at rest"]),
        ("C1 = 4 uF charged to 10 V -- C2 = 6 uF, across 12 V",
         ["charge beforehand", "stored energy", "held", "island", "balance", "network charge",
          "network charge", "supply work", "stored energy", "energy lost"]),
        ("C1 = 3 uF charged to 10 V; C2 = 7 uF charged to 10 V; join C1 and C2",
         ["charge beforehand", "charge beforehand", "stored energy", "at rest"]),
        ("2 uF; then fill C1 with 3", ["filled"]),
        ("C1 = 2 uF from A to P; C2 = 4 uF from P to B; C3 = 3 uF from A to R; C4 = 6 uF from R to "
         "B; C5 = 5 uF from P to R; ends A and B; across 12 V; then fill C5 with 2; "
         "then wire from P to R",
         ["held", "island", "island", "balance", "balance", *["network charge"] * 4,
          "stored energy", "held", "filled", "island", "island", "balance", "balance",
          "kept charge", "energy change", "energy after", "at rest"]),
    ],
)
def test_questions_come_in_this_order(text: str, keys: list[str]) -> None:
    assert [ask.key for ask in story(text).asks] == keys


@pytest.mark.parametrize(
    ("text", "wanted", "last"),
    [
        (
            "C1 = 6 uF charged to 50 V; C2 = 9 uF; join C1 and C2; asked: V1",
            "Wanted: the p.d. across C1 at the end.",
            "V",
        ),
        (
            "C1 = 6 uF charged to 50 V; C2 = 9 uF; join C1 and C2; asked: V2, heat",
            "Wanted: the p.d. across C2 and the energy that leaves as heat and radiation at the "
            "end.",
            "E_lost",
        ),
        (
            "50 pF, across 80 V; then remove supply; then gap of C1 doubled; asked: C1",
            "Wanted: the capacitance of C1 at the end.",
            "C1",
        ),
        (
            "50 pF, across 80 V; then remove supply; then gap of C1 doubled; asked: C, V",
            "Wanted: the capacitance and the p.d. at the end.",
            "V",
        ),
    ],
)
def test_it_says_what_is_wanted_and_ends_there(text: str, wanted: str, last: str) -> None:
    told = story_of(read_network(text), DEFAULTS)
    assert told is not None
    assert told.opening[-1] == wanted
    assert told.asks[-1].name == last


def test_what_is_held_is_asked_first_at_each_stage() -> None:
    found = story(
        "C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF), across 12 V; then fill C2 with 2; then remove "
        "supply; then gap of C1 doubled; then put 20 V across; then wire from A to P"
    )
    leads = [ask.text for ask in found.asks if ask.key == "held"]
    assert len(leads) == 5
    rights = [next(o for o in ask.options if o.is_right).words[0]
              for ask in found.asks if ask.key == "held"]
    assert rights == ["the p.d.", "the p.d.", "the charge", "the p.d.", "the p.d."]
    assert "supply is taken away" in leads[2]
    assert "gap of C1" in leads[2]


@pytest.mark.parametrize("seed", range(some(60)))
def test_any_sequence_can_be_told(seed: int) -> None:
    rng = Random(seed)
    description = described(rng)
    description = description._replace(changes=sequence(description, rng))
    if not is_changing(description):
        return
    settings = rng.choice([
        DEFAULTS, Settings("voltage", "U", "W"), Settings(decimal_sign="comma", figures=3),
    ])
    found = changing_story(description, settings)
    for message in (*told_rightly(found, settings), *told_helplessly(found, settings)):
        check(message)
    assert all(ask.because.endswith(".") and ask.hints for ask in found.asks)
    if settings.difference == "voltage":
        every = " ".join(lines_of(found))
        assert "p.d" not in every
        letters = re.sub(r"[\d.]+ [kmµ]?V", "", every)
        assert not re.search(r"\bV_?[A-Z0-9]|\bE\b|(?<!\d )\bV\b", letters)


@pytest.mark.parametrize("text", [
    JOINED, FILLED, "C1 = 3 uF -- C2 = 6 uF, across 9 V; then gap of C2 doubled",
    "C1 = 3 uF charged to 10 V; C2 = 7 uF charged to 10 V; join C1 and C2 crossed",
    "C1 = 4 uF charged to 10 V -- (C2 = 2 uF || C3 = 3 uF charged to 4 V), across 12 V",
    "C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF), across 12 V; then take out C3; then wire from A to P",
])
def test_manners(text: str) -> None:
    check_manners(story(text))


def test_every_joule_is_in_the_results() -> None:
    results = story(
        "C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF), across 12 V; then fill C2 with 2; "
        "then put 20 V across; then remove supply; then wire from A to P"
    ).results
    for at in range(1, 5):
        gained = results[f"{at}: stored energy"][0] - results[f"{at - 1}: stored energy"][0]
        supply, plates, heat = (
            results[f"{at}: {name}"][0] for name in ("work of the supply", "work on plates", "heat")
        )
        assert gained == supply + plates - heat


# What cannot be, and cautions


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("C1 = 3 uF -- C2 = 6 uF, across 9 V; then wire from A to B", "shorts the supply"),
        ("C1 = 3 uF || C2 = 6 uF; then wire from A to B; then put 9 V across", "shorts the supply"),
        ("C1 = 3 uF charged to 9 V || C2 = 6 uF, holding 24 uC", "the one or the other"),
        ("C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5, across 9 V; "
         "then gap of C1 to 0.5 mm", "gap"),
    ],
)
def test_what_cannot_be_is_refused(text: str, words: str) -> None:
    with pytest.raises(Refusal) as refused:
        story_of(read_network(text), DEFAULTS)
    assert words in str(refused.value)


def test_a_number_said_of_the_charge_is_no_energy_that_is_asked_later():
    """180 is the energy in uJ in the end, and the sum of both charges in uC."""
    told = story("C1 = 4 uF charged to 30 V; C2 = 6 uF charged to 10 V; join C1 and C2 crossed")
    telling = up_to(told, lambda ask: len(ask.options) == 3)
    turn = hear(about(telling), "the charge, it's 180 in total")
    assert "180" not in " ".join(message.text for message in turn.messages)


def test_joining_has_its_caution_once_and_low_filling_none() -> None:
    (line,) = [c for c in story(JOINED).cautions if "spark" in c]
    assert "resistor" in line
    assert story(FILLED).cautions == ()
    assert any("p.d." in c for c in story(FILLED.replace("12 V", "400 V")).cautions)


def test_rating_passed_on_the_way_is_told() -> None:
    found = story("C1 = 5 uF rated 16 V, across 12 V; then remove supply; then gap of C1 doubled")
    assert any("above its rating" in line for line in found.closing)


def test_only_changes_make_such_a_story() -> None:
    assert not is_changing(read_network("4 uF -- (2 uF || 3 uF), across 12 V"))
    assert is_changing(Description(read_network("2 uF charged to 5 V").nest))


def test_a_question_that_stands_by_itself_has_nothing_to_suppose() -> None:
    told = begin_story(story("C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2"))
    after = hear(told.talk, "what if C1 is doubled")
    assert "there is no value in it to change" in after.messages[0].text
    assert after.messages[-1] == told.messages[-1]
    assert after.telling == told.telling
