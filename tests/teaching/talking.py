"""Talking with the tutor in tests: whole conversations, and what the second opinion knows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from grammar.reading import read_network
from tests import nodal
from tests.circuit.routes import edges_of, number
from tests.nodal import Outcome, Reading
from tutor.circuit.network import Problem, Supply, build
from tutor.circuit.steps import after
from tutor.teaching.conversation import Conversation
from tutor.teaching.conversation import Replied as Turn
from tutor.teaching.exchange import begin, hear
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import Terms
from tutor.teaching.walk import Question, Walk, next_question

POWERS = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6}
LADDER = "4 uF -- (2 uF || 3 uF), across 12 V"


def problem_of(text: str) -> Problem:
    return build(read_network(text))


def converse(text: str, lines: Iterable[str], terms: Terms | None = None) -> list[Turn]:
    """The opening turn and one turn for each line."""
    every = (*lines,)
    return [_turn_after(text, every[:said], terms) for said in range(len(every) + 1)]


@lru_cache(maxsize=2000)  # turns never change, and many tests begin with the same lines
def _turn_after(text: str, lines: tuple[str, ...], terms: Terms | None) -> Turn:
    if not lines:
        return begin(problem_of(text), terms)
    return hear(_turn_after(text, lines[:-1], terms).talk, lines[-1])


def said(turn: Turn) -> str:
    """All the words of a turn."""
    return "\n".join(message.text for message in turn.messages)


def told(turn: Turn, kind: str) -> list[Message]:
    return [message for message in turn.messages if message.kind == kind]


def shape(turn: Turn) -> list[str]:
    """Each message as 'verdict right value' or 'ask choice': kind, verdict, about."""
    return [
        " ".join(filter(None, (message.kind, message.verdict, message.about)))
        for message in turn.messages
    ]


def standing(talk: Conversation | Walk) -> Walk:
    """The walk a line is said to: a twin or a detour that has been opened, or the walk itself."""
    if isinstance(talk, Walk):
        return talk
    return next(f.task for f in reversed(talk.frames) if isinstance(f.task, Walk))


def asked(talk: Conversation | Walk) -> Question:
    """The question in hand; there must be one."""
    question = next_question(standing(talk))
    assert question is not None
    return question


class Oracle(NamedTuple):
    """Every value that means something on a walk, from the nodal method and two sums."""

    values: Mapping[Quantity, Fraction]
    whole: Outcome


def oracle_of(walk: Walk) -> Oracle:
    """What the second opinion says of all given capacitors and all made so far, in SI units."""
    problem = walk.problem
    found: dict[Quantity, Fraction] = {}
    network = problem.network
    whole = _solved(edges_of(network), network.ends, problem.supply)
    _note(found, edges_of(network), whole)
    steps = (*walk.steps, *((walk.pending,) if walk.pending else ()))
    for step in steps:
        network = after(network, step)
        outcome = _solved(edges_of(network), network.ends, problem.supply)
        assert outcome.capacitance == whole.capacitance
        made = [e for e in edges_of(network) if step.makes and e.name == step.makes.name]
        for edge in made:
            parts = [number(c.value) for c in step.parts]
            kept = sum(parts) if step.kind == "parallel" else 1 / sum(1 / c for c in parts)
            assert edge.capacitance == kept
        _note(found, made, outcome)
    total = (whole.capacitance, whole.charge, whole.voltage, whole.energy)
    found.update({Quantity(s): v for s, v in zip("CQVE", total, strict=True)})  # type: ignore[arg-type]
    found[Quantity("W")] = whole.charge * whole.voltage
    return Oracle(found, whole)


@lru_cache(maxsize=500)  # the same networks are looked at after every line of a walk
def _solved(edges: tuple[nodal.Edge, ...], ends: nodal.Link, supply: Supply | None) -> Outcome:
    if supply is None:
        return nodal.solve(edges, (), ends)
    return nodal.solve(edges, (), ends, **{supply.quantity: number(supply.value)})


def _note(
    found: dict[Quantity, Fraction], edges: Iterable[nodal.Edge], outcome: Outcome
) -> None:
    for edge in edges:
        reading: Reading = outcome.capacitors[edge.name]
        found[Quantity("C", edge.name)] = edge.capacitance
        found[Quantity("V", edge.name)] = abs(reading.voltage)
        found[Quantity("Q", edge.name)] = abs(reading.charge)
        found[Quantity("E", edge.name)] = reading.energy


def capacity(turn: Turn) -> int:
    """How many characters a turn says."""
    return len(said(turn))


def read_amount(text: str) -> tuple[Fraction, Fraction] | None:
    """The first amount of a text in SI units, and half a unit of its last printed place."""
    found = re.match(
        r"\s*(\d[\d ]*(?:\.\d+)?)(/\d+)?(?: × 10\^(-?\d+))? ([pnµmkM]?)([FVCJ])(?!\w)", text
    )
    if found is None:
        return None
    digits = found[1].replace(" ", "")
    places = len(digits.partition(".")[2])
    scale = Fraction(10) ** (POWERS[found[4]] + int(found[3] or 0))
    if found[2]:
        return Fraction(digits + found[2]) * scale, Fraction(0)
    if places == 0:
        places = -(len(digits) - len(digits.rstrip("0")))
    return Fraction(digits) * scale, Fraction(10) ** -places / 2 * scale
