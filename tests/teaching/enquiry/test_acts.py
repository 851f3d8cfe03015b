"""What kind of act a line is, before anything in it is judged."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from grammar.reading import read_network
from tests.teaching.staged.manners import typed
from tests.teaching.talking import said
from tutor.circuit.network import build
from tutor.teaching.conversation import Replied
from tutor.teaching.exchange import begin, begin_story, hear
from tutor.teaching.line_reading import read
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of

TEXT = "C1 = 3 uF -- (C2 = 5 uF || C3 = 7 uF), across 20 V"
BEFORE = {"choice": (), "shares": ("C2 C3",), "value": ("C2 C3", "p.d., P and B")}
CASES = tomllib.loads((Path(__file__).parents[2] / "cases/acts.toml").read_text("utf-8"))


def at(question: str) -> Replied:
    reply = begin(build(read_network(TEXT)))
    for line in BEFORE[question]:
        reply = hear(reply.talk, line)
    return reply


def cases() -> list[tuple[str, str, str]]:
    return [
        (question, kind, line)
        for question, kinds in CASES.items() for kind, lines in kinds.items() for line in lines
    ]


@pytest.mark.parametrize(("question", "kind", "line"), cases())
def test_kind_of_act(question: str, kind: str, line: str) -> None:
    assert read(at(question).talk, line).act == kind


@pytest.mark.parametrize(
    ("question", "kind", "line"), [each for each in cases() if each[1] != "answer"]
)
def test_what_is_no_answer_is_not_marked_and_costs_nothing(
    question: str, kind: str, line: str
) -> None:
    start = at(question)
    reply = hear(start.talk, line)
    given = {message.verdict for message in reply.messages if message.verdict}
    assert given <= ({"incomplete"} if kind == "undecided" else set())  # both of two is answered
    assert reply.messages[-1].kind == "ask"
    assert (reply.walk.tries, reply.walk.settled, reply.walk.known, reply.walk.slips) == (
        start.walk.tries, start.walk.settled, start.walk.known, start.walk.slips
    )


def test_thought_is_asked_back_and_taken_once_it_is_stood_by() -> None:
    asked = hear(at("shares").talk, "is it the charge?")
    assert "You think the charge? What makes it so?" in said(asked)
    assert "Not the p.d." not in said(asked)
    taken = hear(hear(at("shares").talk, "so p.d. then?").talk, "because both join P and B")
    assert [m.verdict for m in taken.messages if m.verdict] == ["right"]
    by_yes = hear(hear(at("choice").talk, "is it C2 and C3?").talk, "yes")
    assert [m.verdict for m in by_yes.messages if m.verdict] == ["right"]


def test_thought_is_forgotten_when_something_else_is_said() -> None:
    asked = hear(at("shares").talk, "is it the p.d.?")
    other = hear(hear(asked.talk, "what is a farad?").talk, "yes")
    assert not any(m.verdict == "right" for m in other.messages)


def test_hands_do_not_settle_it() -> None:
    reply = hear(at("shares").talk, "nine hands for charge, fourteen for the p.d.")
    assert "Hands do not settle it" in said(reply)


STAGED = "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2"


@pytest.mark.parametrize("line", ["is it the charge?", "charge?", "so the charge then?"])
def test_thought_in_stages(line: str) -> None:
    story = story_of(read_network(STAGED), DEFAULTS)
    assert story is not None
    reply = begin_story(story)
    while (ask := reply.telling.ask) is not None and not ask.options:
        reply = hear(reply.talk, typed(ask))
    held = hear(reply.talk, line)
    assert "You think the charge?" in said(held)
    assert held.telling.at == reply.telling.at
    taken = hear(held.talk, "yes")
    assert [m.verdict for m in taken.messages if m.verdict] == ["right"]
