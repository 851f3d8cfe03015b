"""What rules run on where a walk stands: its route, and the context of one of its values."""

from __future__ import annotations

from collections.abc import Mapping

from tutor.circuit.values import Value, in_letters
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.context import RuleContext, SolvedRoute, context_of
from tutor.teaching.walk import Walk


def route_of(walk: Walk) -> SolvedRoute:
    """What is true on this walk."""
    lettered = any(map(in_letters, walk.truth.values()))
    return SolvedRoute(walk.problem, walk.plan, walk.whole, walk.truth, lettered)


def context_on(
    walk: Walk, quantity: Quantity | None, own: Mapping[Quantity, Value] | None = None
) -> RuleContext | None:
    """The context of a value of this walk, on true or on the learner's own values."""
    return context_of(route_of(walk), quantity, own) if quantity is not None else None
