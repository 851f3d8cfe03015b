"""What a drawing shows has been said before: nothing comes ahead of its question."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from tests.sampled import some
from tests.teaching.learner import Pen, answer, problems, reducible
from tests.teaching.talking import converse, problem_of
from tutor.circuit.network import Problem
from tutor.front.drawing import sketch
from tutor.front.plain import Page
from tutor.teaching.conversation import Replied
from tutor.teaching.depicted import Depicted, in_words
from tutor.teaching.exchange import begin, begin_story, hear, told
from tutor.teaching.in_sight import in_sight
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of

MOST_LINES = 300
AMOUNT = re.compile(r"(?<![\w.])\d[\d ]*(?:\.\d+)?(?:/\d+)? (?:× 10\^−?\d+ )?[pnµmkM]?[FVCJ]\b")
WIDE = Page(200)


def amounts(text: str) -> set[str]:
    return set(AMOUNT.findall(text))


def shown_on(drawn: Depicted) -> str:
    rows = sketch(drawn, WIDE)
    return "\n".join((*(rows or ()), *in_words(drawn)))


def differences(drawn: Depicted) -> set[str]:
    levels = {q.point: value for q, value in drawn.known.items() if q.point is not None}
    return {
        drawn.speech.amount(abs(levels[c.start] - levels[c.end]), "voltage")
        for c in drawn.network.capacitors if c.start in levels and c.end in levels
    }


def assert_nothing_too_soon(turns: Iterator[tuple[str, Replied]], given: str) -> int:
    """Every amount on the drawing, and on each that is added to a message, has been said, is nought
    or is the difference of two potentials that have been found; how many amounts were looked at.
    """
    said, looked = [given], 0
    for line, turn in turns:
        said += [line, *(message.text for message in turn.messages)]
        told = amounts("\n".join(said))
        for drawn in (in_sight(turn.talk), *(message.drawn for message in turn.messages)):
            if drawn is None:
                continue
            found = amounts(shown_on(drawn))
            looked += len(found)
            new = {each for each in found if not each.startswith("0 ")} - differences(drawn)
            assert new <= told, line
    return looked


def answered_rightly(problem: Problem, pen: Pen) -> Iterator[tuple[str, Replied]]:
    """A walk to its end: right answers, and now and then one that is told."""
    turn = begin(problem)
    yield "", turn
    for _ in range(MOST_LINES):
        if turn.talk.over:
            return
        if reducible(problem) and pen.chance():
            line = answer(pen, turn.talk)
            turn = hear(turn.talk, line)
        else:
            line, turn = "", told(turn.talk)
        yield line, turn
    raise AssertionError("the walk never came to its end")


def all_told(turn: Replied) -> Iterator[tuple[str, Replied]]:
    """A problem of any kind to its end, each answer told."""
    yield "", turn
    while not turn.talk.over:
        turn = told(turn.talk)
        yield "", turn


@settings(max_examples=some(60), deadline=None)
@given(problems(supplied=True), st.data())
def test_no_value_is_drawn_before_it_is_found(problem: Problem, data: st.DataObject) -> None:
    pen = Pen(data.draw)
    looked = assert_nothing_too_soon(answered_rightly(problem, pen), "")
    assert looked


STAGED = [
    "5 uF, across 12 V; then remove supply; then fill C1 with 4",
    "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2 crossed",
    "C1 = 3 uF charged to 10 V; C2 = 7 uF charged to 4 V; join C1 and C2",
    "4 uF -- (2 uF || 3 uF), across 12 V; then remove supply; then fill C2 with 3",
    "4 uF -- 2 uF, across 12 V; then take out C2",
    "C1 = 3 uF rated 100 V -- C2 = 7 uF rated 63 V",
    "C1 = 3 uF -- C2 = ?; C = 2.1 uF",
    "C1 = 2 uF -- C2 = 3 uF; V1 = 6 V; find V",
    "C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5",
    "plates 100 cm2 gap 2 mm, across 500 V; find field, force",
    "6 uF; E = 3 J; find V",
]


@pytest.mark.parametrize("text", STAGED)
def test_no_value_of_a_problem_in_stages_is_drawn_before_it_is_found(text: str) -> None:
    story = story_of(read_network(text), DEFAULTS)
    assert story is not None
    assert_nothing_too_soon(all_told(begin_story(story)), "")


BRIDGE = (
    "C1=1 uF from A to P; C2=2 uF from A to R; C3=3 uF from P to R; C4=4 uF from P to B; "
    "C5=5 uF from R to B; ends A and B; across 12 V"
)


def test_no_potential_and_no_sign_of_a_bridge_is_drawn_before_it_is_found() -> None:
    turns = list(all_told(begin(problem_of(BRIDGE))))
    assert assert_nothing_too_soon(iter(turns), "")
    first, last = in_sight(turns[0][1].talk), in_sight(turns[-1][1].talk)
    assert first is not None
    assert last is not None
    assert not any(first.plus_of(c.name) for c in first.network.capacitors)
    assert {c.name: last.plus_of(c.name) for c in last.network.capacitors} == {
        "C1": "A", "C2": "A", "C3": "R", "C4": "P", "C5": "R"
    }
    levels = [len(drawn.levels) for _, turn in turns if (drawn := in_sight(turn.talk))]
    assert levels == sorted(levels), "what is known stays known"


def test_a_drawing_fills_as_the_walk_goes_on() -> None:
    text = "6 uF -- (9 uF || 5 uF), across 15 V"
    lines = [
        "C2 C3", "p.d., P and B", "14 uF", "C1 C23", "charge, at P", "4.2 uF", "63 uC", "charge",
        "V1 = 10.5 V, V23 = 4.5 V", "p.d.", "40.5 uC", "22.5 uC",
    ]
    turns = converse(text, lines)
    drawn = [in_sight(turn.talk) for turn in turns]
    names = [tuple(c.name for c in each.network.capacitors) for each in drawn if each]
    given = ("C1", "C2", "C3")
    assert names == [
        given, given, given, ("C1", "C23"), ("C1", "C23"), ("C1", "C23"), ("C123",),
        *[("C1", "C23")] * 2, *[given] * 4,
    ]
    found = [each.found("C1") for each in drawn if each]
    assert found[7:10] == [(), ("63 µC",), ("10.5 V", "63 µC")]
    assert found[-1] == ("10.5 V", "63 µC")


def test_a_change_that_is_supposed_is_drawn_with_what_it_gives_alone() -> None:
    turns = converse("6 uF -- (9 uF || 5 uF), across 15 V", ["what if C2 is doubled", "show"])
    supposed, back = (in_sight(turn.talk) for turn in turns[1:])
    assert supposed is not None
    assert [supposed.value(c) for c in supposed.network.capacitors] == ["6 µF", "18 µF", "5 µF"]
    assert not supposed.known
    assert back is not None
    assert [back.value(c) for c in back.network.capacitors] == ["6 µF", "9 µF", "5 µF"]


def test_a_stage_draws_what_stands_there_then() -> None:
    story = story_of(read_network(STAGED[0]), DEFAULTS)
    assert story is not None
    seen = [
        (drawn.held, drawn.value(drawn.network.capacitors[0]), drawn.found("C1"))
        for _, turn in all_told(begin_story(story)) if (drawn := in_sight(turn.talk))
    ]
    assert list(dict.fromkeys(seen)) == [
        ("12 V", "5 µF", ()), ("12 V", "5 µF", ("60 µC",)), ("", "?", ()), ("", "20 µF", ()),
        ("", "20 µF", ("3 V",)), ("", "20 µF", ("3 V", "90 µJ")),
    ]
