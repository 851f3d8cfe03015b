"""Capacitors taken out while charged: what-ifs agree with the same change made in stages."""

from __future__ import annotations

import re

import pytest

from grammar.reading import read_network
from grammar.records import Change
from tutor.circuit.beginning import beginning
from tutor.circuit.changes import Broken, Removed
from tutor.circuit.network import build
from tutor.circuit.switching import Switched, make
from tutor.teaching.exchange import begin, begin_story, hear
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.speech import Speech, Terms
from tutor.teaching.staged.makers import TextSource, story_of
from tutor.teaching.whatif.change import Supposing, compare, offered
from tutor.teaching.whatif.consequence import Consequence
from tutor.teaching.whatif.points_and_parts import Why
from tutor.teaching.whatif.supposing import suppose

HELD = (
    "4 uF || 11 uF, holding 180 uC",
    "6 uF -- (9 uF || 5 uF), holding 63 uC",
    "(2 uF -- 3 uF) || 6 uF || (4 uF -- 4 uF), holding 30 uC",
    "C1 = 2 uF from A to P; C2 = 4 uF from P to B; C3 = 1 uF from A to R; C4 = 5 uF from R to B; "
    "C5 = 3 uF from P to R; ends A and B; holding 40 uC",
)


@pytest.mark.parametrize("text", HELD)
@pytest.mark.parametrize("given", ["holding 90 uC", "across 6 V"])
def test_what_if_and_the_stages_say_the_same(text: str, given: str) -> None:
    description = read_network(re.sub("holding .*", given, text))
    problem = build(description)
    first = beginning(description, problem)
    assert isinstance(first, Switched)
    for name in [c.name for c in problem.network.capacitors]:
        found = compare(problem, Removed((name,), charged=True), "")
        if isinstance(found, Broken):
            continue
        staged = make(first.after, Change("take out", (name,)))
        assert isinstance(staged, Switched)
        others = [c.name for c in problem.network.capacitors if c.name != name]
        for other in others:
            assert found.after[Quantity("Q", other)] == abs(staged.after.charges[other])
            assert found.after[Quantity("V", other)] == abs(staged.after.voltage(other))
        assert found.after[Quantity("E")] == sum(staged.after.energy(other) for other in others)
        for quantity in found.after:
            assert Why(found, Speech(problem.powers, Terms())).why(quantity).endswith(".")


def test_a_point_that_keeps_a_charge_has_no_whole_charge() -> None:
    problem = build(read_network(HELD[1]))
    inner = compare(problem, Removed(("C2",), charged=True), "")
    beside = compare(build(read_network(HELD[0])), Removed(("C2",), charged=True), "")
    assert not isinstance(inner, Broken)
    assert not isinstance(beside, Broken)
    assert Quantity("Q") not in inner.after
    assert "the metal at P has a charge in all now" in _reason(inner)
    assert beside.after[Quantity("Q")] == beside.after[Quantity("Q", "C1")]
    assert "a charge in all" not in _reason(beside)
    assert set(offered(inner)) <= set(inner.after)


def _reason(found: Supposing) -> str:
    return Consequence(found, Speech(found.problem.powers, Terms())).reason()


@pytest.mark.parametrize(("text", "said", "charged"), [
    (HELD[0], "C2 is removed", True), (HELD[0], "C2 had never been there", False),
    (HELD[0], "there was no C2", False), ("4 uF || 11 uF, across 12 V", "C2 is removed", False),
    ("4 uF || 11 uF, across 12 V", "C2 is taken out once charged", True),
    ("4 uF || 11 uF", "C2 is removed", False),
])
def test_whether_it_is_charged_by_then(text: str, said: str, charged: bool) -> None:
    assert suppose(said, build(read_network(text))).change == Removed(("C2",), charged)


@pytest.mark.parametrize(("text", "said"), [
    (HELD[0], "taken out with the charge on its plates and leaves a gap. Nothing else is touched."),
    ("4 uF || 11 uF, across 12 V", "C2 is taken out before anything is charged and leaves a gap."),
    ("4 uF || 11 uF", "Suppose C2 is taken out and leaves a gap."),
])
def test_it_is_said_which_is_supposed(text: str, said: str) -> None:
    turn = hear(begin(build(read_network(text))).talk, "what if C2 is removed")
    assert said in turn.messages[0].text


def test_the_last_way_through_taken_out_leaves_every_charge() -> None:
    turn = hear(begin(build(read_network(HELD[1]))).talk, "what if C1 is removed")
    assert "C1 would take the charge on its plates along" in turn.messages[0].text
    assert "nothing can be given" not in turn.messages[0].text


@pytest.mark.parametrize(("text", "said", "answer"), [
    ("4 uF || 11 uF, across 12 V; then remove supply", "C2 is taken out",
     "If C2 is taken out once charged, the charge on its plates goes along;"),
    ("C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2", "the new gap is doubled",
     "Changeable here: C1, the p.d. of C1 at first and C2."),
])
def test_in_stages_only_what_is_given_is_changed(text: str, said: str, answer: str) -> None:
    description = read_network(text)
    story = story_of(description, DEFAULTS)
    assert story is not None
    begun = begin_story(story, DEFAULTS, source=TextSource(description))
    assert answer in hear(begun.talk, f"what if {said}").messages[0].text
