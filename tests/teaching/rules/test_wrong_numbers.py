"""All wrong numbers of a question, worked by hand: which ideas lead to each, and no others."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from grammar.answers import read_claims
from grammar.measures import evaluate
from grammar.reading import read_network
from tests.teaching.staged.manners import on_facts, story
from tutor.circuit.network import build
from tutor.teaching.claims import names_now
from tutor.teaching.exchange import begin, hear
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext, context_on

Case: TypeAlias = Mapping[str, Any]
CASES = tomllib.loads(
    (Path(__file__).parents[2] / "cases" / "wrong_numbers.toml").read_text(encoding="utf-8")
)


def worked(sum_: str) -> Fraction:
    """The worth of a sum, by the reader of answers."""
    (claim,) = read_claims(sum_, ())
    value = evaluate(claim.sides[0], {}).value
    assert isinstance(value, Fraction)
    return value


def by_number(rows: Iterable[list[str]]) -> dict[Fraction, set[str]]:
    found: dict[Fraction, set[str]] = {}
    for sum_, *codes in rows:
        found.setdefault(worked(sum_), set()).update(codes)
    return found


def given(context: RuleContext) -> dict[Fraction, set[str]]:
    """What the catalogue gives at a question, and the codes of the ideas that give it."""
    found: dict[Fraction, set[str]] = {}
    for malrule in CATALOGUE:
        if malrule.fits(context):
            for number in malrule.wrong(context):
                found.setdefault(number, set()).add(malrule.code)
    return found


@pytest.mark.parametrize("case", CASES["question"], ids=lambda c: f"{c['text']}; {c['asked']}")
def test_all_wrong_numbers_of_a_question(case: Case) -> None:
    turn = begin(build(read_network(case["text"])))
    for line in case.get("lines", ()):
        turn = hear(turn.talk, line)
    context = context_on(turn.walk, names_now(turn.walk)[case["asked"]])
    assert context is not None
    check(context, case)


@pytest.mark.parametrize("case", CASES["stage"], ids=lambda c: f"{c['text']}; {c['key']}")
def test_all_wrong_numbers_of_a_stage(case: Case) -> None:
    told = story(case["text"])
    asks = [ask for ask in told.asks if ask.key == case["key"]]
    context = context_of_ask(asks[case.get("at", 0)], told.powers)
    assert context is not None
    check(context, case)


@pytest.mark.parametrize("case", CASES["fact"], ids=lambda c: f"{c['place']} {c['facts']}")
def test_all_wrong_numbers_of_facts(case: Case) -> None:
    check(on_facts(case["facts"], case["right"])._replace(place=case["place"]), case)


def check(context: RuleContext, case: Case) -> None:
    """All that the catalogue gives is in the case; `roots` tell the square of what has no end."""
    assert context.right == worked(case["right"])
    found, squares = given(context), by_number(case.get("roots", ()))
    rooted = {number: codes for number, codes in found.items() if codes in squares.values()}
    for number, square in zip(rooted, squares, strict=True):
        assert abs(number**2 - square) < Fraction(1, 10**12)
        del found[number]
    assert found == by_number(case["wrong"])


# Of long chains and wide sets no one tries every part in turn


def of(text: str, asked: str, code: str) -> set[Fraction]:
    """What the ideas of one code give; `first` is the capacitance that the first step makes."""
    walk = begin(build(read_network(text))).walk
    made = walk.plan[0].makes
    assert made is not None
    first = Quantity("C", made.name)
    context = context_on(walk, first if asked == "first" else names_now(walk)[asked])
    assert context is not None
    return {number for number, codes in given(context).items() if code in codes}


@pytest.mark.parametrize("code", ["C13", "K8"])
def test_parts_of_a_long_chain_are_not_tried_in_turn(code: str) -> None:
    assert of(" -- ".join(f"{n} uF" for n in range(1, 13)), "C", code)
    assert not of(" -- ".join(f"{n} uF" for n in range(1, 14)), "C", code)
    assert not of("3 uF -- 7 uF", "C", code)


def test_values_of_two_dozen_neighbours_are_tried() -> None:
    branches = " || ".join(f"{n} uF" for n in range(10, 41))
    text = f"(3 uF -- 7 uF) || {branches}, across 10 V"
    near = [Fraction(n) for n in range(10, 34)]
    assert of(text, "first", "K8") == {
        1 / (1 / kept + 1 / n) for kept in (Fraction(3), Fraction(7)) for n in near
    }
    assert of(text, "V1", "K8") == {21 / n for n in (Fraction(7), *near[:-1])}
