"""How the tutor speaks wherever it is: short, kind, one question at a time, one set of words."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sampled import WHOLE, some
from tests.teaching.learner import Pen, answer, problems
from tests.teaching.talking import LADDER, converse, said
from tutor.circuit.network import Capacitor, Network
from tutor.teaching.exchange import begin, hear
from tutor.teaching.messages import Message
from tutor.teaching.reasons import meetings
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.speech import Terms, some_names

WALKS = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "walks.toml").read_text(encoding="utf-8")
)["walk"]
MOST_SENTENCES = 3
ASK = re.compile(r"[^?]*\?(?: \([^()?]*\))?(?:\n[a-d]\) [^?\n]*)*")
NEVER = re.compile(
    r"!|\b(?:simply|obviously|just|clearly|of course|easy|trivial|lightning|stupid|smart)\b"
    r"|flows? through|used up|voltage in\b"
    r"|(?<!\.)\.\.(?!\.)|(?<!p\.d)\.\?|\?\.|,,|  | [,;:?]|\(\)|: \.|But \.",
    re.IGNORECASE,
)
NAMES = re.compile("|".join(re.escape(m.name) for m in CATALOGUE if "-" in m.name))
CODES = {malrule.code for malrule in CATALOGUE if not malrule.code.startswith(("C", "E"))}
TALK = ("hint", "C1 C2", "hint", "hint", "why", "where are we", "?", "?", "?", "what can I type",
        "charge", "a", "P", "7.7 uF", "list", "6.6 nF", "8 V", "C1 + V", "show me", "1/0", "V1 up",
        "energy", "banana", "undo", "charge", "9.87", "b", "idk", "idk", "idk", "C1", "all", "0")
STARTS = range(0, len(TALK), 4 if WHOLE else 12)
NETWORKS = (
    LADDER,
    "4 uF -- (2 uF || 3 uF), holding 24 uC",
    "C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF) -- C4 = 6 uF, across 12 V",
    "C -- (2C || C/2), across V",
    "3 uF -- 6 uF -- 9 uF",
    "5 uF, across 2 kV",
    "C1 = 4 uF from A to P; C2 = 2 uF from P to B; C3 = 1 uF from P to S; C4 = 1 uF from S to T; "
    "wire from S to T; ends A and B; across 12 V",
    "C1 = 1 uF from A to P; C2 = 2 uF from A to R; C3 = 3 uF from P to R; C4 = 4 uF from P to B; "
    "C5 = 5 uF from R to B; ends A and B; across 12 V",
)


def sentences(text: str) -> int:
    text = re.sub(r"\bp\.d\.s?(?= [a-z0-9(])", "pd", text)
    return len(re.findall(r"[.?](?=\s|$)", re.sub(r"p\.d\.", "pd.", text)))


def check(message: Message) -> None:
    text = message.text
    assert not NEVER.search(text), text
    assert not NAMES.search(text), text
    assert not CODES & set(re.findall(r"\b[A-Z]\d+\b", text)), text
    assert text == text.strip()
    if message.kind == "ask":
        assert ASK.fullmatch(text), text
    if message.kind == "verdict":
        assert sentences(text) <= MOST_SENTENCES, text


def heard(text: str, lines: tuple[str, ...], terms: Terms | None = None) -> Iterator[Message]:
    for turn in converse(text, lines, terms):
        yield from turn.messages


@pytest.mark.parametrize("walk", WALKS, ids=lambda walk: walk["name"])
def test_walks(walk: dict[str, list[dict[str, str]]]) -> None:
    for message in heard(str(walk["network"]), tuple(line["say"] for line in walk["line"])):
        check(message)


@pytest.mark.parametrize("network", NETWORKS)
def test_muddled_talk(network: str) -> None:
    for start in STARTS:
        for message in heard(network, (*TALK[start:], *TALK[:start])):
            check(message)


@pytest.mark.parametrize("network", NETWORKS)
@pytest.mark.parametrize("word", ["voltage", "potential difference"])
def test_one_word_for_a_difference_throughout(network: str, word: str) -> None:
    terms = Terms()._replace(difference=word)  # type: ignore[arg-type]
    for start in STARTS:
        for message in heard(network, (*TALK[start:], *TALK[:start]), terms):
            assert not re.search(r"(?i)\bp\.\s?d\b|\bpd\b", message.text), message.text
            assert word != "potential difference" or "voltage" not in message.text.lower()


def test_the_word_voltage_stands_where_p_d_stood() -> None:
    plain, other = (
        "\n".join(said(turn) for turn in converse(LADDER, ["C2 C3", "voltage, P and B"], terms))
        for terms in (Terms(), Terms()._replace(difference="voltage"))
    )
    assert plain.replace("p.d.", "voltage").replace("voltage\n", "voltage.\n") == other


@settings(max_examples=some(60), deadline=None)
@given(problems(most=7), st.data())
def test_any_network(problem: object, data: st.DataObject) -> None:
    pen = Pen(data.draw)
    turn = begin(problem)  # type: ignore[arg-type]
    for _ in range(60):
        for message in turn.messages:
            check(message)
        if turn.walk.over:
            return
        wild = data.draw(st.integers(0, 3)) == 0
        line = data.draw(st.sampled_from(TALK)) if wild else answer(pen, turn.talk)
        turn = hear(turn.talk, line)


def test_of_a_long_list_of_names_the_first_three_and_the_last_are_said() -> None:
    assert some_names(["C1", "C2"]) == "C1 and C2"
    names = [f"C{at}" for at in range(1, 41)]
    assert some_names(names) == "C1, C2, C3, … and C40 (40 of them)"


def test_what_meets_is_told_of_the_first_points_of_a_large_network() -> None:
    points = [f"P{at}" for at in range(1, 21)]
    ring = zip(["A", *points], [*points, "B"], strict=True)
    capacitors = tuple(
        Capacitor(f"C{at}", Fraction(1), *ends) for at, ends in enumerate(ring, start=1)
    )
    told = meetings(Network(capacitors, ("A", "B")))
    assert told.startswith("P1: C1 and C2; P2: C2 and C3;")
    assert told.endswith("P12: C12 and C13; …")


def test_what_has_no_value_without_a_supply_is_told_and_the_rest_is_walked() -> None:
    turns = converse("30 nF -- 60 nF; asked: Q2", ["C1 C2", "charge, at P", "20 nF"])
    opening = said(turns[0])
    assert "the charge of C2 has no value until a p.d. or a charge is given" in opening
    assert "what can be found is the capacitance of the whole network" in opening
    assert "C12 = 20 nF: right." in said(turns[-1])
    assert turns[-1].talk.over
