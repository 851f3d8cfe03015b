"""Working in the hands of pupils: right work gets its marks, and no right line is called wrong."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from grammar.reading import read_network
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import GENERAL_PRACTICE

CASES = Path(__file__).parents[2] / "cases" / "marked_pupils.toml"
SCRIPTS = tomllib.loads(CASES.read_text("utf-8"))["script"]


@pytest.mark.parametrize("script", SCRIPTS, ids=[script["name"] for script in SCRIPTS])
def test_a_pupil_loses_what_an_examiner_takes_off(script: dict[str, Any]) -> None:
    text = script["script"].strip("\n")
    found = mark_working(read_network(script["problem"]), text, GENERAL_PRACTICE)
    wrong = [line.line for line in found.lines if line.verdict == "wrong"]
    assert wrong == script.get("wrong", [])
    lost = script.get("lost", None if wrong else 0)
    assert lost in (None, found.of - found.total)
