"""Lines in the hands of pupils: what is right earns something, what is wrong is called so."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from grammar.reading import read_network
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import GENERAL_PRACTICE

CASES = Path(__file__).parents[2] / "cases"
PROBLEMS = tomllib.loads((CASES / "marked_lines.toml").read_text("utf-8"))["problem"]
LINES = [
    (problem["text"], script, verdict)
    for problem in PROBLEMS for verdict in ("right", "wrong") for script in problem[verdict]
]


@pytest.mark.parametrize(("problem", "script", "verdict"), LINES)
def test_a_line_is_judged_as_it_is_meant(problem: str, script: str, verdict: str) -> None:
    text = script.replace(" // ", "\n")
    found = [line.verdict for line in mark_working(
        read_network(problem), text, GENERAL_PRACTICE).lines]
    assert found[-1] == verdict
    assert verdict == "wrong" or "wrong" not in found
