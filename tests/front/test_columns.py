"""A column of values has one number of figures, on paper and at the end of a walk alike."""

from __future__ import annotations

import re

import pytest

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.circuit.solving import solve
from tutor.front.brief import brief_lines
from tutor.front.plain import Page
from tutor.front.printing import explained_lines
from tutor.teaching.closing_words import Closing
from tutor.teaching.exchange import begin
from tutor.teaching.settings import Settings
from tutor.teaching.speech import speech_for

NETWORKS = (
    "6 uF -- (9 uF || 5 uF), across 15 V",  # all end: 330.75 µJ is printed in full
    "6 uF -- 7 uF -- (9 uF || 3 uF), across 15 V",
    "3 uF -- 7 uF -- 0.1 uF, across 10 V",
    "6 uF || (1 uF -- 2 uF), across 5 V",
)
AMOUNT = re.compile(r"(\d[\d.]*) \S*[VCJ]")


def _on_paper(text: str) -> list[tuple[str, ...]]:
    lines = [*explained_lines(read_network(text), Settings(), Page(width=100, drawings=False))]
    start = lines.index("What each capacitor holds")
    rows = lines[start + 2 : lines.index("", start)]
    return [tuple(re.split(r" {2,}", row.strip())[1:4]) for row in rows]


def _in_the_chat(text: str) -> list[tuple[str, ...]]:
    problem = build(read_network(text))
    walk = begin(problem).walk
    assert walk is not None
    words = Closing(speech_for(problem, Settings()))
    rows = words.table(walk, solve(problem.network, problem.supply))[1:]
    return [tuple(row.partition(": ")[2].split(", ")[:3]) for row in rows]


def _figures(amount: str) -> int:
    found = AMOUNT.fullmatch(amount)
    assert found is not None, amount
    return len(found[1].replace(".", "").strip("0"))


@pytest.mark.parametrize("text", NETWORKS)
def test_paper_and_chat_have_the_same_columns(text: str) -> None:
    assert _on_paper(text) == _in_the_chat(text)


@pytest.mark.parametrize("text", NETWORKS[1:])
def test_a_column_with_a_rounded_value_has_four_figures_at_most(text: str) -> None:
    for column in zip(*_in_the_chat(text), strict=True):
        assert max(map(_figures, column)) <= 4


def test_after_a_rounded_value_no_fraction_is_printed_as_equal() -> None:
    """1/C ≈ 0.4541 per µF does not come to 447/203 µF, which only exact values lead to."""
    text = "3 uF -- (4 uF || (7 uF -- 11 uF)), across 12 V"
    lines = [*explained_lines(read_network(text), Settings(), Page(width=100, drawings=False))]
    assert "  C34 = 77/18 µF ≈ 4.278 µF" in lines
    assert "  C234 ≈ 8.278 µF" in lines
    assert "  C1234 ≈ 2.202 µF" in lines
    assert not [line for line in lines if "447/203" in line]


def test_a_story_prints_what_leads_to_what_is_asked_and_no_more() -> None:
    page = Page(width=200, drawings=False)
    joined = "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2"
    assert [*brief_lines(read_network(f"{joined}, asked: Q2"), Settings(), page)] == [
        "Q1 = C1 × V1 = 3 µF × 10 V = 30 µC",
        "V = Q1/(C1 + C2) = 30 µC / (3 µF + 7 µF) = 3 V",
        "Q2 = C2 × V = 7 µF × 3 V = 21 µC",
    ]
    for wanted in ("Q1", "E", "V"):
        lines = [*brief_lines(read_network(f"{joined}, find {wanted}"), Settings(), page)]
        assert lines[-1].startswith(wanted)
        assert len(set(lines)) == len(lines)


def test_a_sum_of_letters_is_printed_once() -> None:
    page = Page(width=200, drawings=False)
    lines = [*explained_lines(read_network("C1 || C2 || C3"), Settings(), page)]
    assert lines.count("  C123 = C1 + C2 + C3") == 1
    assert not [line for line in lines if line.count("C1 + C2 + C3") > 1]
    brief = [*brief_lines(read_network("C1 -- C2"), Settings(), page)]
    assert brief == ["1/C12 = 1/C1 + 1/C2 = (C1 + C2)/(C1 × C2), so C12 = C1 × C2/(C1 + C2)"]
