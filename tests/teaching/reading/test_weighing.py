"""Reasons are read as statements about the network and judged on it; cases/reasons_said.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.teaching.talking import converse, problem_of, said, shape
from tutor.circuit.steps import Choice, carry_out, examine
from tutor.teaching.reading.conclusion import conclusion_in
from tutor.teaching.reading.lexicon import CONCEPTS, PHRASES
from tutor.teaching.reading.propositions import propositions_in
from tutor.teaching.reading.spoken_words import MEANINGS, mended
from tutor.teaching.reading.truth import InQuestion
from tutor.teaching.reading.weighing import reason_in, reply, weigh
from tutor.teaching.speech import Speech, Terms

CASES: dict[str, dict[str, list[str]]] = tomllib.loads(
    (Path(__file__).parents[2] / "cases" / "reasons_said.toml").read_text(encoding="utf-8")
)
NETWORKS = {
    "chain": ("3 uF -- 7 uF, across 12 V", ("C1", "C2")),
    "long": ("2 uF -- 3 uF -- 6 uF, across 12 V", ("C1", "C2", "C3")),
    "beside": ("4 uF || 6 uF, across 10 V", ("C1", "C2")),
    "inner": ("2 uF -- (5 uF || 7 uF), across 9 V", ("C2", "C3")),
}
LINES = [
    (name, how, line)
    for name, groups in CASES.items() for how, lines in groups.items() for line in lines
]


def place_of(name: str) -> InQuestion:
    text, names = NETWORKS[name]
    network = problem_of(text).network
    judged = examine(network, names)
    assert isinstance(judged, Choice)
    return InQuestion(network, carry_out(network, judged))


@pytest.mark.parametrize(("name", "how", "line"), LINES)
def test_a_reason_is_taken_as_a_good_teacher_takes_it(name: str, how: str, line: str) -> None:
    place = place_of(name)
    weighed = reason_in(line, place.network, place.step)
    assert weighed.worth == how
    problem = problem_of(NETWORKS[name][0])
    text = reply(weighed, place, Speech(problem.powers, Terms()))
    assert bool(text) == (how != "none")


@pytest.mark.parametrize(("name", "how", "line"), [c for c in LINES if c[1] == "enough"])
def test_a_reason_put_upside_down_is_never_praised(name: str, how: str, line: str) -> None:
    """'It is not so that …' before each thing said."""
    del how
    place = place_of(name)
    turned = [p._replace(holds=not p.holds) for p in propositions_in(line, place.network)]
    statements = [p for p in turned if p.says not in ("points", "transfer")]
    assert not statements or weigh(statements, place).worth != "enough"


@pytest.mark.parametrize("name", ["chain", "long", "beside", "inner"])
def test_a_reason_of_another_network_is_not_praised(name: str) -> None:
    place = place_of(name)
    kind = "beside" if name in ("chain", "long") else "chain"
    for line in CASES[kind]["enough"]:
        assert reason_in(line, place.network, place.step).worth != "enough", line


def test_the_lexicon_holds_stems() -> None:
    from snowballstemmer import stemmer

    stem = stemmer("english").stemWord
    as_they_are = CONCEPTS["plural"].split()
    words = {word for stems in CONCEPTS.values() for word in stems.split()} - {*as_they_are}
    spelt = {stem(word) for word in (*PHRASES.values(), "else", "only", "enclosed", "stranded")}
    lost = {w for w in words if stem(w) != w and w not in spelt and stem(w) not in MEANINGS}
    assert lost <= {"els", "onli", "anywher", "elsewher", "condens", "enclos", "equalsize",
                    "nothingels", "nowhereels", "splitting"}


@pytest.mark.parametrize(("typed", "meant"), [
    ("paralell", "parallel"), ("seires", "series"), ("volatge", "voltage"), ("isolatd", "isolated"),
    ("conected", "connected"), ("chrage", "charge"), ("bananas", "bananas"), ("midle", "middle"),
])
def test_small_misspellings_are_mended(typed: str, meant: str) -> None:
    assert mended(typed) == meant


@pytest.mark.parametrize(("line", "quantity"), [
    ("the charge, because P is cut off", "charge"), ("charge not voltage", "charge"),
    ("not the p.d. but the charge", "charge"), ("same q on both", "charge"),
    ("since nothing else meets at P, the charge", "charge"), ("p.d. or charge", "both"),
    ("voltage because charge splits", "voltage"), ("P is isolated so charge", "charge"),
    ("they have the same volts", "voltage"), ("charge rather than pd", "charge"), ("no idea", None),
    ("charge splits between them so not charge", "voltage"), ("not charge", "voltage"),
    ("charge and not p.d.", "charge"), ("it is not the p.d.", "charge"),
    ("same potential difference across each", "voltage"), ("the charge can not leave P", "charge"),
])
def test_what_is_shared_is_the_conclusion(line: str, quantity: str | None) -> None:
    assert conclusion_in(line, place_of("chain").network) == quantity


@given(st.text(max_size=80))
def test_no_line_breaks_the_reading(line: str) -> None:
    place = place_of("long")
    reason_in(line, place.network, place.step)
    conclusion_in(line, place.network)


@pytest.mark.parametrize(("line", "start", "about"), [
    ("charge, since P is joined to the battery",
     "The charge, yes. The supply is joined to A and B.", "reason"),
    ("charge, nothing else meets at P", "Yes. At P only C1 and C2 meet", "value"),
    ("charge because charge flows through both",
     "The charge, yes. They share the charge, but no charge goes through", "reason"),
    ("the charge because they are equal", "The charge, yes. They are 3 µF and 7 µF", "reason"),
    ("charge as they meet at P", "The charge, yes. They do meet there. And what", "reason"),
])
def test_the_conclusion_stands_and_the_reason_is_answered(
    line: str, start: str, about: str
) -> None:
    turn = converse(NETWORKS["chain"][0], ["C1 C2", line])[-1]
    assert said(turn).replace("\n", " ").startswith(start)
    assert shape(turn)[-1] == f"ask {about}"


@pytest.mark.parametrize("way", ["{letter}", "{number}", "option {letter}", "the {ordinal} one",
                                 "I was thinking {letter}", "it's {letter})", "{words}",
                                 "because {words}"])
def test_an_entry_of_the_menu_is_meant_in_many_ways(way: str) -> None:
    menu = converse(NETWORKS["chain"][0], ["C1 C2", "charge"])[-1]
    lines = [line for line in said(menu).splitlines() if line[1:2] == ")"]
    at = next(n for n, line in enumerate(lines) if "touches nothing but" in line)
    line = way.format(letter="abcd"[at], number=at + 1, words=lines[at][3:],
                      ordinal=("first", "second", "third", "last")[at])
    assert shape(converse(NETWORKS["chain"][0], ["C1 C2", "charge", line])[-1])[0] == (
        "verdict right reason"
    )
