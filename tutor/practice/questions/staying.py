"""What stays the same: of two in a chain, of two side by side, and of one that is altered."""

from __future__ import annotations

from random import Random

from tutor.circuit.joining import PARALLEL, SERIES
from tutor.practice.questions.altered import EVERY, over_time, what
from tutor.practice.questions.given import (
    PAIR_BESIDE,
    PAIR_IN_A_CHAIN,
    THREE_BESIDE,
    THREE_IN_A_CHAIN,
    WorkedNetwork,
    draw,
)
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.quantities import Symbol
from tutor.teaching.reasons import metal_between
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Story


def what_stays(chance: Random, settings: Settings) -> Posed:
    """One of four things in which two capacitors, or one at two times, agree."""
    return _between(chance, settings) if chance.random() < 0.5 else over_time(chance, settings)


def _between(chance: Random, settings: Settings) -> Posed:
    shapes = (PAIR_IN_A_CHAIN, PAIR_BESIDE, THREE_IN_A_CHAIN, THREE_BESIDE)
    given = draw(chance, shapes, settings)
    first, second = chance.sample(given.names, 2)
    first, second = sorted((first, second))
    chain = given.way_of(first, second) == "series"
    right = (SERIES if chain else PARALLEL).shares
    idea = {"V": "series-shares-the-pd", "Q": "parallel-shares-the-charge",
            "E": "shares-the-energy-equally"}
    entries = [
        Entry(what(symbol, settings)) if symbol == right else Entry(
            what(symbol, settings),
            _differ(given, symbol, first, second), (idea[symbol],) if symbol in idea else (),
        )
        for symbol in EVERY
    ]
    ask = lettered(chance, MenuWords(
        "what stays", "shares", f"What is the same for {first} and {second}?",
        given.why_bound(first, second),
        (f"Look at the points that {first} and {second} join.",
         "Is there metal between them that nothing else touches, or do they join the same two "
         "points?"),
        ("S09",) if chain else ("S08",),
    ), few(chance, next(e for e in entries if e.is_right), entries))
    return Posed(given.text, Story(
        "what stays the same", given.opening(), (ask,), (), given.problem.powers,
        network=given.problem.network,
    ))


def _differ(given: WorkedNetwork, symbol: Symbol, first: str, second: str) -> str:
    """What differs, with its values; what is the same is left for the learner to find."""
    one, other = given.amount(symbol, first), given.amount(symbol, second)
    if symbol == "C":
        return f"{first} is {one} and {second} is {other}, as the list says."
    points = _points(given, first, second)
    return f"Worked out, {first} has {one} and {second} has {other}. {points}"


def _points(given: WorkedNetwork, first: str, second: str) -> str:
    step = given.pair_step(first, second)
    assert step is not None, "both stand in one chain or side by side"
    if step.kind == "parallel":
        return f"Both join {listed(step.points)}."
    return metal_between(step)
