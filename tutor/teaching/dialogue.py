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
from tutor.teaching import answering, anytime, asides, beyond, requests, stating
from tutor.teaching.at_once import hear_each
from tutor.teaching.claims import read
from tutor.teaching.evidence import with_evidence
from tutor.teaching.fading import fade
from tutor.teaching.hearing import (
    Chosen,
    Exchanging,
    Reasoned,
    Request,
    Shared,
    capacitors_in,
    exchange_in,
    is_a_change,
    is_a_quantity,
    nought_in_figures,
    points_in,
    request_in,
    sharing_in,
)
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.messages import About, Message
from tutor.teaching.rules.rule_text import in_terms
from tutor.teaching.speech import Terms
from tutor.teaching.staged.choosing import answers
from tutor.teaching.turn import Turn, ask, ask_again, building, proceed, speech_of
from tutor.teaching.twins import Shown, twin_of
from tutor.teaching.walk import Question, Walk, begin_walk, is_stuck, next_question
from tutor.teaching.whatif import supposition
from tutor.teaching.whatif.change_words import opens
from tutor.teaching.wording import Wording


class Claimed(NamedTuple):
    """Values stated, in the order of the line."""

    claims: tuple[Claim, ...]


class Puzzling(NamedTuple):
    """A line that could not be read, and why."""

    why: str


Heard: TypeAlias = Chosen | Exchanging | Shared | Reasoned | Claimed | Puzzling
Handler: TypeAlias = Callable[[Walk, Question, Heard], Turn]

BUILDING = re.compile(r"(?i)\b(?:build|building|solder|breadboard|for real|real capacitors?)\b")
VALUE_QUESTIONS: tuple[About, ...] = ("value", "charge", "voltage", "energy", "check")


def begin(
    problem: Problem, terms: Terms | None = None, seed: int = 0, manner: Manner = PLAIN
) -> Turn:
    """The opening words and the first question; ``seed`` orders the menus of this walk."""
    walk = begin_walk(problem, terms or Terms(), seed, manner)
    words = Wording(speech_of(walk))
    opening = Message("say", words.opening(walk), network=walk.network)
    return _next_twin(fade(proceed(walk, [opening])), is_first=True)


def hear(walk: Walk, line: str) -> Turn:
    """Answer one line. The walk handed in is unchanged; the new one is in the turn."""
    if BUILDING.search(line):
        return beyond.in_hand_again(walk, building(walk))
    if (walk.story or walk.detour) and (turn := _suppose(walk, line)) is not None:
        return turn
    if walk.detour is not None and walk.story is None:
        return _hear_detour(walk, walk.detour, line)
    if walk.story is not None and (
        request_in(line) not in ("stop", "undo", "restart") or answers(walk.story, line)
    ):
        turn = beyond.hear(walk, line)
    else:
        turn = _hear_twin(walk, walk.twin, line) if walk.twin else hear_each(walk, line, _hear_walk)
    return _next_twin(fade(turn))


def _next_twin(turn: Turn, is_first: bool = False) -> Turn:
    """Where a walk has come to its end, the twins of steps that were shown are asked first;
    ``is_first`` where nothing has been asked before.
    """
    walk = turn.walk
    if walk.over or walk.twin is not None or next_question(walk) is not None or not walk.twins:
        return turn
    twin = twin_of(walk, Shown(*walk.twins[0]))
    opened = walk._replace(twin=twin, twins=walk.twins[1:])
    words = Wording(speech_of(twin))
    said = Message("say", words.twin(twin, is_first))
    question = next_question(twin)
    asked = (ask(twin, question),) if question else ()
    return Turn(opened, (*turn.messages, said, *asked))


def _hear_detour(walk: Walk, detour: Walk, line: str) -> Turn:
    """A line said to the walk through the network with a star for a triangle, or the other way."""
    request = request_in(line)
    is_at_start = not (detour.before or detour.pending or detour.steps or detour.story)
    if request == "stop":
        return requests.stop(walk, Question("choice"))
    if request == "restart" or (request == "undo" and is_at_start):
        return _hear_walk(walk._replace(detour=None, exchange=None), line)
    inner = hear(detour, line)
    walk = anytime.with_settings(walk, inner.walk.terms)._replace(detour=inner.walk)
    done = len(walk.steps)
    said = [m._replace(step=m.step + done if m.step else None) for m in inner.messages]
    return beyond.back(walk, said) if inner.walk.over else Turn(walk, tuple(said))


def _suppose(walk: Walk, line: str) -> Turn | None:
    """A what-if put during a story or a detour, which waits and is taken up again after it."""
    innermost = walk
    while innermost.detour is not None and innermost.story is None:
        innermost = innermost.detour
    if innermost.twin is not None or (walk.whatif is None and opens(line) is None):
        return None
    if walk.whatif is not None and anytime.is_beside(walk, line):
        inner = hear(walk._replace(whatif=None), line)
        kept = inner.walk._replace(whatif=walk.whatif)
        return beyond.in_hand_again(kept, *(m for m in inner.messages if m.kind != "ask"))
    known = {**innermost.known, **walk.known}
    turn = supposition.hear(walk._replace(story=None, detour=None, known=known), line)
    if turn is None:
        return None
    kept = turn.walk._replace(story=walk.story, detour=walk.detour, known=walk.known)
    return beyond.in_hand_again(kept, *(m for m in turn.messages if m.kind != "ask"))


def _hear_twin(walk: Walk, twin: Walk, line: str) -> Turn:
    """A line said to a twin; its own closing words are left out, and stopping ends the whole."""
    if request_in(line) == "stop":
        return requests.stop(walk, Question("check"))
    inner = _hear_walk(twin._replace(twins=()), line)
    walk = anytime.with_settings(walk, inner.walk.terms)
    if not inner.walk.over and next_question(inner.walk) is not None:
        return Turn(walk._replace(twin=inner.walk), inner.messages)
    said = [
        m._replace(network=None) for m in inner.messages
        if m.kind != "close" and (m.kind != "reveal" or m.about is not None)
    ]
    return proceed(walk._replace(twin=None), said)


def _hear_walk(walk: Walk, line: str) -> Turn:
    if (turn := anytime.hear(walk, line)) is not None:
        return turn
    walk = walk._replace(whatif=None)
    question = None if walk.over else next_question(walk)
    request = request_in(line)
    if question is None:
        return requests.after_the_end(walk, request)
    if request == "unsure":
        return with_evidence(walk, requests.unsure(walk, question), request)
    if request is not None:
        return with_evidence(walk, REQUESTED[request](walk, question), request)
    if walk.aside is not None and (turn := asides.reply(walk, question, walk.aside, line)):
        return with_evidence(walk, turn)
    aside, walk = walk.aside, walk._replace(aside=None)
    if aside is not None and asides.is_a_thought(walk, line):
        return asides.in_words(walk, aside, line)
    heard = understand(walk, question, line)
    if isinstance(heard, Puzzling) and aside is not None:
        return asides.in_words(walk, aside, line)
    handler = LEGAL.get((question.about, type(heard)), _not_asked)
    return with_evidence(walk, handler(walk, question, heard))


def understand(walk: Walk, question: Question, line: str) -> Heard:
    """What a line says, read in the light of the question."""
    if question.about in VALUE_QUESTIONS:
        if _names_alone(walk, line):
            return Puzzling("Those are names of capacitors; here one value is wanted.")
        if is_a_quantity(line):
            return Puzzling("A number with its unit is wanted.")
        if is_a_change(line):
            return Puzzling("That says how something changes; a value is asked here.")
        return _claims(walk, nought_in_figures(line))
    if _states_a_value(line):
        return _claims(walk, line)
    if question.about == "choice":
        power = walk.problem.powers["capacitance"]
        found = capacitors_in(line, walk.network, power)
        if wish := exchange_in(line, walk.network):
            return wish
        if found is None and re.search(r"(?i)\bbalanc", line) and walk.network.points()[2:]:
            return Chosen((), "balance")
        if found is None and is_stuck(walk) and _looks_beyond(walk, line):
            return Chosen((), None)
        return found or sharing_in(line, walk.network) or _claims(walk, line)
    if question.about == "reason":
        return Reasoned(points_in(line, walk.network), line)
    return sharing_in(line, walk.network) or Puzzling("")


def _looks_beyond(walk: Walk, line: str) -> bool:
    """Whether floating points, their potentials or the balance of charges are spoken of."""
    words = r"(?i)\b(?:balanc\w*|potentials?|symmetr\w*|equations?|bridge)\b"
    return bool(re.search(words, line) or points_in(line, walk.network))


def _names_alone(walk: Walk, line: str) -> bool:
    """Whether a line is two or more names of capacitors and nothing else."""
    words = re.sub(r"(?i)\band\b|[,&]", " ", line).split()
    return len(words) > 1 and {word.upper() for word in words} <= {
        c.name.upper() for c in walk.problem.network.capacitors
    } | {name.upper() for name in walk.made}


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
        in_words = "=" not in line and re.search(r"(?i)\b(series|parallel|share|same)\b", line)
        return Puzzling("" if in_words else in_terms(str(refusal), speech_of(walk)))


def _not_asked(walk: Walk, question: Question, heard: Heard) -> Turn:
    """Say what the question wants; nothing is counted against the learner."""
    why = heard.why if isinstance(heard, Puzzling) else ""
    text = " ".join(filter(None, (why, _WANTED[question.about])))
    said = Message("verdict", text, about=question.about, verdict="unread")
    return ask_again(walk, [said])


_WANTED: Mapping[About, str] = MappingProxyType({
    "choice": "Name capacitors of the network here, like C1 C2; or say 'I don't know'.",
    "shares": "Say which of the two it is; or say 'I don't know'.",
    "reason": "Give a letter, the points, or your own words; or say 'I don't know'.",
    "value": "Give a capacitance, like 5 uF, or a line like C23 = C2 + C3 = 5 uF.",
    "charge": "Give a charge, like 24 uC; or say 'I don't know'.",
    "voltage": "Give a number of volts, like 8 V; or say 'I don't know'.",
    "energy": "Give an energy, like 96 uJ; or say 'I don't know'.",
    "check": "Give one value with its unit; or say 'I don't know'.",
})

LEGAL: Mapping[tuple[About, type], Handler] = MappingProxyType({
    ("choice", Chosen): answering.choice,
    ("choice", Claimed): stating.claims,
    ("choice", Exchanging): answering.exchange,
    ("shares", Shared): answering.shares,
    ("shares", Claimed): stating.claims,
    ("reason", Reasoned): answering.reason,
    ("reason", Claimed): stating.claims,
    **{(about, Claimed): stating.claims for about in VALUE_QUESTIONS},
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
