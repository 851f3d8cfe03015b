"""Scripts in many hands: totals within one mark of an examiner's, no right line called wrong; and
published questions, marked to the totals that are printed beside them.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from grammar.reading import read_network
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import GENERAL_PRACTICE
from tutor.teaching.marking.marked import Marked

CASES = Path(__file__).parents[2] / "cases"
SCRIPTS = [
    script
    for name in ("marked_hands.toml", "marked_laid_out.toml")
    for script in tomllib.loads((CASES / name).read_text("utf-8"))["script"]
]
QUESTIONS = tomllib.loads((CASES / "published_marks.toml").read_text("utf-8"))["question"]
# Lists that only shrink, by the numbers of the scripts: whoever mends one takes it off.
CALLED_WRONG: frozenset[int] = frozenset()
FAR: frozenset[int] = frozenset(
    {
        48,
        168,
        210,
        232,
        264,
        269,
        292,
        297,
        299,
        301,
        313,
        331,
        417,
        431,
        644,
        687,
        690,
        887,
        922,
    }
)
SHORT: frozenset[int] = frozenset(
    {
        37,
        93,
        154,
        168,
        210,
        299,
        310,
        356,
        417,
        644,
        687,
        754,
        839,
        897,
        916,
        955,
    }
)


def marked(script: dict[str, Any]) -> Marked:
    text = "\n".join(script["lines"])
    return mark_working(read_network(script["problem"]), text, GENERAL_PRACTICE)


def number(script: dict[str, Any]) -> int:
    return int(script["name"].partition(":")[0])


@pytest.mark.parametrize("script", SCRIPTS, ids=[script["name"] for script in SCRIPTS])
def test_a_script_is_marked_as_an_examiner_would(script: dict[str, Any]) -> None:
    found = marked(script)
    wrong = {line.line for line in found.lines if line.verdict == "wrong"}
    assert bool(wrong & set(script["right"])) == (number(script) in CALLED_WRONG)
    is_far = abs(found.total - script["of_full"] * found.of) > 1
    assert is_far == (number(script) in FAR)
    if script["of_full"] == 1:
        assert (found.total < found.of) == (number(script) in SHORT)


def test_the_lists_name_scripts() -> None:
    assert {number(script) for script in SCRIPTS} >= (CALLED_WRONG | FAR | SHORT)


@pytest.mark.parametrize("question", QUESTIONS, ids=[each["source"] for each in QUESTIONS])
def test_a_published_question_is_marked_to_its_total(question: dict[str, Any]) -> None:
    for text, marks in question["scripts"]:
        found = mark_working(read_network(question["problem"]), text, GENERAL_PRACTICE)
        assert found.of == question["marks"]
        assert found.total == marks, text
