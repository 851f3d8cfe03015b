"""The network once a step is done: who is gone, who is new, and between which points."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from random import Random

from tutor.circuit.joining import PARALLEL, SERIES
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import Step, after, carry_out, choices
from tutor.practice.questions.given import FOUR, TWO_LEVELS, WorkedNetwork, draw
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.reasons import because
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Story


def after_step(chance: Random, settings: Settings) -> Posed:
    """One step is taken; which list is right now."""
    given = draw(chance, (*TWO_LEVELS, *FOUR), settings, supply=False)
    network = given.problem.network
    steps = [carry_out(network, choice) for choice in choices(network)]
    step = chance.choice([s for s in steps if len(s.parts) == 2 and not s.between])
    made = step.makes
    assert made is not None, "two that take charge become one"
    names = listed(c.name for c in step.parts)
    right = _list(given, after(network, step).capacitors)
    wrong = [
        Entry(text, reply, malrules)
        for capacitors, reply, malrules in _wrong(given, step, made)
        if (text := _list(given, capacitors)) != right
    ]
    ask = lettered(chance, MenuWords(
        "after a step", "check",
        f"{names} have become {made.name}. Which list is right now?",
        f"{because(step, given.speech)} {_told(step, made)}",
        (f"Look at the points that {names} join, and at what else is there.",
         "Which are gone, which point is gone with them, and between which points is the new one?"),
        ("S15",),
    ), few(chance, Entry(right), wrong))
    return Posed(given.text, Story(
        "after a step", given.opening(), (ask,), (), given.problem.powers, network=network,
    ))


def _list(given: WorkedNetwork, capacitors: Iterable[Capacitor]) -> str:
    return "; ".join(
        f"{c.name}, {given.speech.amount(c.value, 'capacitance')}, {c.start} to {c.end}"
        for c in capacitors
    )


def _told(step: Step, made: Capacitor) -> str:
    names = listed(c.name for c in step.parts)
    if step.kind == "parallel":
        return f"{made.name} joins those two points in their place."
    return (
        f"{made.name} runs from {made.start} to {made.end}, the outer points of {names}, and "
        f"{listed(step.gone)} is gone."
    )


def _wrong(
    given: WorkedNetwork, step: Step, made: Capacitor
) -> Iterator[tuple[list[Capacitor], str, tuple[str, ...]]]:
    """Old ones kept, the new one in the wrong place or of the wrong value, the rest forgotten."""
    network = given.problem.network
    new = list(after(network, step).capacitors)
    names = listed(c.name for c in step.parts)
    one = step.parts[0]
    yield (
        [*network.capacitors, made],
        f"{made.name} stands for {names}, so those two are gone; here they would count twice.",
        ("counts-a-capacitor-twice",),
    )
    yield (
        [one, *new],
        f"{made.name} stands for {one.name} as well, so {one.name} is gone; here it would count "
        "twice.",
        ("counts-a-capacitor-twice",),
    )
    moved = _hung_elsewhere(network, step, made)
    yield (
        [moved if c.name == made.name else c for c in new], _told(step, made),
        ("hangs-the-equivalent-on-wrong-points",),
    )
    values = [c.value for c in step.parts]
    other = (SERIES if step.kind == "parallel" else PARALLEL).equivalent(values)
    idea = "adds-a-series-pair" if step.kind == "series" else "reciprocal-rule-on-parallel"
    yield (
        [made._replace(value=other) if c.name == made.name else c for c in new],
        f"The points are right, the value is not. {because(step, given.speech)}",
        (idea,),
    )
    left = [c for c in new if c.name != made.name]
    yield (
        [made],
        f"{listed(c.name for c in left)} {'has' if len(left) == 1 else 'have'} not been touched "
        f"and {'is' if len(left) == 1 else 'are'} still there.",
        ("stops-at-a-part",),
    )


def _hung_elsewhere(network: Network, step: Step, made: Capacitor) -> Capacitor:
    """On the points of a member of the chain, or of a parallel set from end to end."""
    if step.kind == "series":
        return made._replace(start=step.parts[0].start, end=step.parts[0].end)
    plus, minus = network.ends
    if made.points != {plus, minus}:
        return made._replace(start=plus, end=minus)
    inner = next(p for p in network.points() if p not in network.ends)
    return made._replace(end=inner)
