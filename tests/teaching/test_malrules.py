"""Wrong rules: each gives the numbers of its worked examples, and what is said of it fits."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any, TypeAlias

import pytest

from grammar.reading import read_network
from tests.conversing import about
from tests.misled import ON_WALKS, chances, verdict_of
from tutor.circuit.network import build
from tutor.teaching.claims import Stated, names_now, read, state
from tutor.teaching.exchange import begin, hear
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.catalogue import BY_OTHER_SIGNS
from tutor.teaching.rules.context import context_on, route_of
from tutor.teaching.rules.diagnosis import diagnose
from tutor.teaching.rules.malrule import Malrule
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Walk, next_question

Case: TypeAlias = Mapping[str, Any]

CASES = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "malrules.toml").read_text(encoding="utf-8")
)
NETWORKS = 10
IN_SCOPE = (
    *(f"A{n}" for n in range(1, 7)), *(f"B{n}" for n in range(1, 15)),
    *(f"C{n}" for n in range(1, 17)), *(f"D{n}" for n in range(1, 8)),
    *(f"E{n}" for n in range(1, 11)), "E14", "E15", "F1", "F2",
    *(f"G{n}" for n in range(1, 17)), *(f"K{n}" for n in range(1, 9)), "Z1", "Z2", "Z3",
)
by_code = pytest.mark.parametrize("malrule", ON_WALKS, ids=lambda m: f"{m.code}-{m.places[0]}")


# The catalogue


def test_catalogue_is_complete() -> None:
    codes = {m.code for m in ON_WALKS} | {code for code, _ in BY_OTHER_SIGNS.values()}
    assert codes == {*IN_SCOPE, "E13"}
    worked = {case["code"] for kind in ("number", "sign") for case in CASES[kind]}
    assert worked == set(IN_SCOPE)


def test_names_tell_rules_apart() -> None:
    codes = {m.name: m.code for m in ON_WALKS} | {n: c for n, (c, _) in BY_OTHER_SIGNS.items()}
    for malrule in ON_WALKS:
        assert codes[malrule.name] == malrule.code
        assert re.fullmatch(r"[a-z]+(-[a-z]+)+", malrule.name)
    for code in {m.code for m in ON_WALKS}:
        assert len({m.name for m in ON_WALKS if m.code == code}) == 1


# Worked examples


@pytest.mark.parametrize("case", CASES["number"], ids=lambda c: f"{c['code']} {c['asked']}")
def test_worked_example(case: Case) -> None:
    walk = begin(build(read_network(case["text"]))).walk
    quantity = names_now(walk)[case["asked"]]
    right = stated(walk, f"{case['asked']} = {case['right']}")
    assert right.judged.value == walk.truth[quantity]
    for wrong in case["wrong"]:
        given = stated(walk, f"{case['asked']} = {wrong}")
        assert given.judged.verdict != "right", wrong
        assert given.typed is not None
        found = diagnose(route_of(walk), quantity, given.typed)
        assert case["name"] in found.names, wrong
        assert {m.code for g in found.groups for m in g if m.name == case["name"]} == {case["code"]}


@pytest.mark.parametrize(
    "case",
    list(CASES["sign"]),
    ids=lambda c: f"{c['code']} {c['lines'][-1]}",
)
def test_worked_sign(case: Case) -> None:
    turn = begin(build(read_network(case["text"])))
    for line in case["lines"]:
        turn = hear(turn.talk, line)
    assert case["name"] in verdict_of(turn).malrules
    assert BY_OTHER_SIGNS[case["name"]][0] == case["code"]


def stated(walk: Walk, line: str) -> Stated:
    question = next_question(walk)
    assert question is not None
    (claim,) = read(walk, line)
    found = state(walk, question, claim)
    assert found is not None
    return found


def test_one_figure_names_nothing_and_nought_does() -> None:
    walk = begin(build(read_network("3 uF -- 7 uF, across 12 V"))).walk
    assert verdict_of(hear(about(walk), "V1 = 6.0 V")).malrules
    assert not verdict_of(hear(about(walk), "V1 = 6 V")).malrules
    assert verdict_of(hear(about(walk), "V1 = 0 V")).malrules == ("charged-capacitor-is-a-wire",)


# What is said


def texts(malrule: Malrule, settings: Settings) -> Iterator[tuple[Walk, Quantity, list[str]]]:
    rng = Random(f"texts {malrule.name}")
    for chance in chances(malrule, rng, NETWORKS):
        walk = chance.walk
        scene = context_on(walk, chance.quantity)
        assert scene is not None
        speech = Speech(walk.problem.powers, settings)
        said = [
            rule_text.route(malrule, scene, speech),
            rule_text.cannot_be(malrule, scene, speech),
            rule_text.question(malrule, scene, speech),
        ]
        yield walk, chance.quantity, said


@by_code
def test_texts_fit_and_keep_the_value(malrule: Malrule) -> None:
    for walk, quantity, said in texts(malrule, Settings()):
        way, cannot, ask = said
        speech = speech_of(walk)
        assert cannot.endswith(".")
        assert not cannot.endswith("..")
        assert ask.endswith("?")
        assert way[0] == way[0].lower() or not way[0].isalpha() or way.startswith(("C V", "Q"))
        text = " ".join(said)
        assert "{" not in text
        assert "  " not in text
        assert not re.search(r"!|\b(simply|obviously|just|of course|flows?)\b|you think", text)
        unit = speech.unit("capacitance")
        assert set(re.findall(r"[pnµm]F", text)) <= {unit}
        right = speech.amount(Fraction(walk.truth[quantity]), quantity.dimension)
        given = {
            speech.amount(c.value, "capacitance") for c in walk.problem.network.capacitors
        } | {f"0 {speech.unit(quantity.dimension)}"}
        if right not in given:
            assert not re.search(rf"(?<![\d.]){re.escape(right)}", text)


@by_code
def test_texts_use_the_learners_words(malrule: Malrule) -> None:
    settings = Settings(difference="voltage", pd_letter="U", energy_letter="W")
    for _, _, said in texts(malrule, settings):
        text = " ".join(said)
        assert "p.d" not in text
        assert not re.search(r"\b[VE]\b(?!\d)(?<!\d V)", re.sub(r"[\d.]+ [kmµ]?V", "", text))
