"""A star or a triangle as a problem of its own: the other of the two, the same to all around."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Refusal
from tests import nodal
from tests.strategies import as_drawn
from tests.teaching.staged.manners import at, check_manners, story, verdict
from tutor.circuit.surds import near
from tutor.teaching.exchange import hear
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of

POINTS = {"star": ("XY", "XZ", "YZ"), "triangle": ("XP", "YP", "ZP")}


def lines(told):
    """The new three as a list of joins, by the points that their questions name."""
    values = {name: near(value) for name, (value, _) in told.results.items()}
    found = []
    for ask in told.asks:
        start, end = ask.text.removesuffix("?").split(" from ")[1].split(" to ")
        found.append(nodal.Edge(ask.name, values[ask.name], start, end))
    return found


@given(st.sampled_from(["star", "triangle"]), st.tuples(*[st.integers(1, 99)] * 3))
def test_between_any_two_points_both_make_the_same(kind, values):
    text = f"{kind} of " + ", ".join(f"{value} uF" for value in values)
    told, old = story(text), as_drawn(read_network(text))[0]
    new = lines(told)
    assert {"".join(sorted((edge.start, edge.end))) for edge in new} == {
        "".join(sorted(points)) for points in POINTS[kind]
    }
    for ends in combinations("XYZ", 2):
        assert nodal.solve(new, (), ends).capacitance == nodal.solve(old, (), ends).capacitance
    check_manners(told)


def test_the_rule_for_resistors_is_recognised():
    told = story("star of 2 uF, 3 uF and 6 uF")
    products = {"C12": 36 / 6, "C13": 36 / 3, "C23": 36 / 2}
    turn = at(told, told.asks[0].key)
    said = verdict(hear(turn.talk, f"{products[told.asks[0].name]:.1f} uF"))
    assert (said.verdict, said.malrules) == ("wrong", ("star-and-triangle-as-for-resistors",))


@pytest.mark.parametrize("text", [
    "star of 2 uF, 3 uF and 6 uF; then fill C1 with 2", "triangle of 2 uF, 3 uF, 6 uF; Q1 = 3 uC",
])
def test_nothing_is_done_besides(text):
    with pytest.raises(Refusal):
        story_of(read_network(text), DEFAULTS)
