"""Networks as people write them: each text is read as the notation says that it is meant.

Two texts mean the same where all that can be measured of what they describe is the same.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import pytest

from grammar.any_text import readings_of
from grammar.reading import read_network
from grammar.records import Refusal
from tutor.circuit.network import build
from tutor.circuit.solving import solve
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of

CASES = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "networks_as_written.toml").read_text(encoding="utf-8")
)["text"]


@cache  # most texts are read as the very one that says what they mean
def essence(text):
    """What can be measured of the network that a text of the notation describes."""
    description = read_network(text)
    story = story_of(description, DEFAULTS)
    if story is not None:
        return story.kind, sorted(str(value[0]) for value in story.results.values())
    problem = build(description)
    solved = solve(problem.network, problem.supply)
    held = sorted(
        (str(each.value), str(solved.holdings[each.name].size.voltage) if solved.holdings else "")
        for each in problem.network.capacitors
    )
    supply = problem.supply and (problem.supply.quantity, str(problem.supply.value))
    return str(solved.whole.value if solved.whole else None), held, supply


def is_refused_or_beyond(text):
    """Whether nothing can be walked of a text, or only what is left without what is beyond."""
    try:
        return bool(readings_of(text).beyond)
    except Refusal as refusal:
        return bool(refusal.found)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["text"][:60])
def test_a_text_as_people_write_it_is_read_as_it_is_meant(case):
    """Where the case is of a wish, what the text asks is kept as well."""
    if case.get("refused"):
        assert is_refused_or_beyond(case["text"])
        return
    ways = readings_of(case["text"]).ways
    found = [essence(way.text) for way in ways]
    meant = [essence(text) for text in case.get("readings", [case.get("means")])]
    assert len(found) == len(meant)
    assert all(each in found for each in meant)
    if case.get("wish"):
        (way,) = ways
        assert way.description.asked == read_network(case["means"]).asked
