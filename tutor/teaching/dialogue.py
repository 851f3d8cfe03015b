"""The dialogue: a line of the learner's in, messages and the next state out; no input, no output.

``LEGAL`` is the whole table of what may be said to which question; a line that has no row there
is answered by saying what the question wants. ``REQUESTED`` are the requests that are open at any
time.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

from grammar.answers import Claim
from grammar.records import Refusal
from tutor.circuit.network import Problem
from tutor.teaching import answering, requests
from tutor.teaching.claims import read
from tutor.teaching.hearing import (
    Chosen,
    Request,
    Shared,
    capacitors_in,
    points_in,
    request_in,
    sharing_in,
)
from tutor.teaching.messages import About, Message
from tutor.teaching.speech import Terms
from tutor.teaching.turn import Turn, ask_again, proceed, speech_of
from tutor.teaching.walk import Question, Walk, begin_walk, next_question
from tutor.teaching.wording import Wording


class Claimed(NamedTuple):
    """Values stated, in the order of the line."""

    claims: tuple[Claim, ...]


class Puzzling(NamedTuple):
    """A line that could not be read, and why."""

    why: str


Heard: TypeAlias = Chosen | Shared | Claimed | Puzzling
Handler: TypeAlias = Callable[[Walk, Question, Heard], Turn]

VALUE_QUESTIONS: tuple[About, ...] = ("value", "charge", "voltage", "energy", "check")


def begin(problem: Problem, terms: Terms | None = None) -> Turn:
    """The opening words and the first question."""
    walk = begin_walk(problem, terms or Terms())
    words = Wording(speech_of(walk))
    opening = Message("say", words.opening(walk), network=walk.network)
    return proceed(walk, [opening])


def hear(walk: Walk, line: str) -> Turn:
    """Answer one line. The walk handed in is unchanged; the new one is in the turn."""
    question = next_question(walk)
    request = request_in(line)
    if question is None:
        return requests.after_the_end(walk, request)
    if request == "unsure":
        return requests.unsure(walk, question)
    if request is not None:
        return REQUESTED[request](walk, question)
    heard = understand(walk, question, line)
    handler = LEGAL.get((question.about, type(heard)), _not_asked)
    return handler(walk, question, heard)


def understand(walk: Walk, question: Question, line: str) -> Heard:
    """What a line says, read in the light of the question."""
    if question.about in VALUE_QUESTIONS:
        return _claims(walk, line)
    if _states_a_value(line):
        return _claims(walk, line)
    if question.about == "choice":
        power = walk.problem.powers["capacitance"]
        found = capacitors_in(line, walk.network, power)
        return found or sharing_in(line, walk.network) or _claims(walk, line)
    if question.about == "points":
        points = points_in(line, walk.network)
        return Shared(None, points) if points else sharing_in(line, walk.network) or Puzzling("")
    return sharing_in(line, walk.network) or Puzzling("")


def _states_a_value(line: str) -> bool:
    """Whether a line is a statement of values rather than of names or words."""
    return "=" in line or bool(
        re.match(r"\s*[-+−]?[\d.,/ ]*\d\s*(?:[pnuµμmkM]?[FVCJ])\b", line)
        and not re.search(r"(?i)\b(?:and|the|series|parallel)\b|,\s", line)
    )


def _claims(walk: Walk, line: str) -> Heard:
    try:
        return Claimed(read(walk, line))
    except Refusal as refusal:
        return Puzzling(str(refusal))


def _not_asked(walk: Walk, question: Question, heard: Heard) -> Turn:
    """Say what the question wants; nothing is counted against the learner."""
    why = heard.why if isinstance(heard, Puzzling) else ""
    text = " ".join(filter(None, (why, _WANTED[question.about])))
    said = Message("verdict", text, about=question.about, verdict="unread")
    return ask_again(walk, [said])


_WANTED: Mapping[About, str] = MappingProxyType({
    "choice": "Name capacitors of the network here, like C1 C2; or say 'I don't know'.",
    "shares": "Say which of the two it is; or say 'I don't know'.",
    "points": "Name the point or points, as they stand in the list; or say 'I don't know'.",
    "value": "Give a capacitance, like 5 uF, or a line like C23 = C2 + C3 = 5 uF.",
    "charge": "Give a charge, like 24 uC; or say 'I don't know'.",
    "voltage": "Give a number of volts, like 8 V; or say 'I don't know'.",
    "energy": "Give an energy, like 96 uJ; or say 'I don't know'.",
    "check": "Give one value with its unit; or say 'I don't know'.",
})

LEGAL: Mapping[tuple[About, type], Handler] = MappingProxyType({
    ("choice", Chosen): answering.choice,
    ("choice", Claimed): answering.claims,
    ("shares", Shared): answering.shares,
    ("shares", Claimed): answering.claims,
    ("points", Shared): answering.points,
    ("points", Claimed): answering.claims,
    **{(about, Claimed): answering.claims for about in VALUE_QUESTIONS},
})

REQUESTED: Mapping[Request, Callable[[Walk, Question], Turn]] = MappingProxyType({
    "where": requests.where,
    "points": requests.points,
    "drawing": requests.drawing,
    "why": requests.why,
    "hint": requests.hint,
    "show": requests.show,
    "undo": requests.undo,
    "restart": requests.restart,
    "typed": requests.typed,
    "stop": requests.stop,
    "energy": requests.energy,
    "repeat": requests.repeat,
})
