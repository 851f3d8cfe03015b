"""A twin: one step of the same kind on other values, asked later for a step that was shown.

It is a small walk of its own, set so far along that only the one step is left to do.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import lcm
from types import MappingProxyType
from typing import NamedTuple

from grammar.records import Asked, Dimension
from tutor.circuit.network import Capacitor, Network, Problem, Supply
from tutor.circuit.steps import Choice, StepKind, carry_out
from tutor.teaching.quantities import Quantity
from tutor.teaching.turn import complete, settle, take
from tutor.teaching.walk import Question, Walk, begin_walk

MOST_TWINS = 2
# Pairs that keep right and wrong results apart: whole numbers, sums and equivalents that end.
PAIRS: Mapping[StepKind, tuple[tuple[int, int], ...]] = MappingProxyType({
    "series": ((3, 7), (6, 10), (6, 14), (7, 13), (9, 11), (8, 17), (3, 22), (4, 21)),
    "parallel": ((3, 7), (5, 8), (4, 11), (6, 13), (7, 9), (3, 16), (5, 12), (8, 15)),
})
# What a walk in letters takes for its twins, as it has no numbers of its own.
MICRO: Mapping[Dimension, int] = MappingProxyType({"capacitance": -6, "charge": -6, "energy": -6})
FEWEST_CHARGE = 40


class ShownStep(NamedTuple):
    """What was shown: the kind of step, and whether its equivalent (C) or a share (V, Q)."""

    kind: StepKind
    symbol: str


def shown_in(question: Question) -> ShownStep | None:
    """What a twin would have to be of; None for a question that has none."""
    step, quantity = question.step, question.quantity
    if step is None or step.kind not in PAIRS or quantity is None:
        return None
    if quantity.symbol == "C":
        return ShownStep(step.kind, "C")
    return ShownStep(step.kind, quantity.symbol) if question.going_back else None


def remember(walk: Walk, question: Question) -> Walk:
    """The walk with a twin due for this question, if it has one and few are due."""
    shown = shown_in(question)
    if shown is None or shown in walk.twins or len(walk.twins) >= MOST_TWINS:
        return walk
    return walk._replace(twins=(*walk.twins, shown))


def twin_of(walk: Walk, shown: ShownStep) -> Walk:
    """A walk whose next question is the twin step."""
    own = sorted(c.value for c in walk.problem.network.capacitors if _is_number(c))
    powers = walk.problem.powers if own else {**walk.problem.powers, **MICRO}
    scale = Fraction(10) ** powers["capacitance"]
    pairs = [p for p in PAIRS[shown.kind] if [scale * n for n in p] != own[:2]]
    pair = pairs[(walk.seed + len(walk.twins) + len(own)) % len(pairs)]
    problem = _two(powers, shown, pair, scale)
    twin = begin_walk(problem, walk.terms, walk.seed)
    step = carry_out(twin.network, Choice(shown.kind, ("C1", "C2")))
    settled = frozenset((about, step.made) for about in ("shares", "reason", "because", "back"))
    twin = take(twin._replace(settled=settled), step)
    if shown.symbol == "C":
        return twin
    done = complete(twin, step)
    known = {**done.known, Quantity("C"): done.truth[Quantity("C")]}
    known |= {Quantity(symbol): done.truth[Quantity(symbol)] for symbol in ("Q", "V")}
    return settle(done._replace(known=known))[0]


def _is_number(c: Capacitor) -> bool:
    return isinstance(c.value, Fraction)


def _two(
    powers: Mapping[Dimension, int], shown: ShownStep, pair: tuple[int, int], scale: Fraction
) -> Problem:
    """Two capacitors joined in the way of the step, with a charge where a share is asked."""
    first, second = (scale * number for number in pair)
    middle = "P" if shown.kind == "series" else "B"
    start = middle if shown.kind == "series" else "A"
    network = Network(
        (Capacitor("C1", first, "A", middle), Capacitor("C2", second, start, "B")), ("A", "B")
    )
    supply, asked = None, Asked("capacitance")
    if shown.symbol != "C":
        # Shares that come out whole: what differs from the first time is the values, not the sums.
        charge = lcm(*pair) if shown.kind == "series" else 6 * sum(pair)
        charge *= 2 if charge < FEWEST_CHARGE else 1
        supply = Supply("charge", charge * Fraction(10) ** powers["charge"])
        asked = Asked("voltage" if shown.symbol == "V" else "charge", "C1")
    return Problem(network, supply, (asked,), (), powers)
