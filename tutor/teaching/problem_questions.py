"""All the questions for a value that a problem asks, and what each of them tells apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Problem
from tutor.circuit.steps import after
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.context import context_of, route_of
from tutor.teaching.rules.separation import (
    Separation,
    other_values,
    separation,
    separation_of_ask,
)
from tutor.teaching.speech import Terms
from tutor.teaching.staged.story import Ask, Story, Telling
from tutor.teaching.stuck_step import go_on
from tutor.teaching.walk import (
    Walk,
    ancestors,
    begin_walk,
    idle_question,
    is_stuck,
    look_ahead,
    targets,
)

PLAIN: Final = ("series", "parallel")


def of_problem(problem: Problem) -> Mapping[Quantity, Separation]:
    """What each question for a value tells apart, on the tutor's own way through the problem."""
    return dict(each_of(*to_the_end(problem)))


def each_of(
    walk: Walk, stories: Iterable[Story] = ()
) -> Iterator[tuple[Quantity, Separation]]:
    """The same for a walk to its end, one question after the other, since who looks for values
    may stop at the first question that tells little.
    """
    for ask in (ask for story in stories for ask in story.asks):
        quantity = _quantity_of(ask, walk)
        if quantity is not None:
            yield quantity, separation_of_ask(ask, walk.problem.powers)
    route = route_of(walk)
    others = other_values(route)
    for quantity in questions_of(walk):
        context = context_of(route, quantity)
        if context is not None:
            yield quantity, separation(context, others)


def to_the_end(problem: Problem) -> tuple[Walk, tuple[Story, ...]]:
    """A walk whose plan leads to the end, and the stories told where series and parallel stick."""
    walk = begin_walk(problem, Terms())
    stories = []
    while walk.whole is None and walk.truth:
        network = walk.network
        for step in walk.plan[len(walk.steps):]:
            network = after(network, step)
        walk = look_ahead(walk._replace(steps=walk.plan, network=network))
        if not is_stuck(walk):
            break
        opened = go_on(walk).opens
        assert opened is not None, "where a walk sticks, a story is told"
        assert isinstance(opened.task, Telling)
        assert opened.step is not None
        stories.append(opened.task.story)
        network = after(network, opened.step)
        walk = look_ahead(walk._replace(steps=(*walk.steps, opened.step), network=network))
    return walk, tuple(stories)


def questions_of(walk: Walk) -> Iterator[Quantity]:
    """What is asked for as a value on the way that the walk has planned, in order."""
    yield from _on_the_way_down(walk)
    wanted = targets(walk)
    supply = walk.problem.supply
    if supply is None or walk.whole is None or all(q == Quantity("C") for q in wanted):
        return
    yield Quantity(supply.leaves)
    needed = ancestors(walk._replace(steps=walk.plan), {q.of for q in wanted if q.of})
    for step in reversed(walk.plan):
        if step.kind in PLAIN and step.makes is not None and step.makes.name in needed:
            adds = JOININGS[step.kind].adds
            yield from (Quantity(adds, c.name) for c in step.parts if c.name in needed)
    yield from (q for q in wanted if q.symbol in ("E", "W"))


def _on_the_way_down(walk: Walk) -> Iterator[Quantity]:
    for step in walk.plan:
        if step.kind == "removal":
            yield Quantity(idle_question(step)[0], step.parts[0].name)
        elif step.kind in PLAIN and step.makes is not None:
            yield Quantity("C", step.makes.name)


def _quantity_of(ask: Ask, walk: Walk) -> Quantity | None:
    """What a question of a story asks for; None for an answer in words."""
    if ask.dimension is None or not ask.name:
        return None
    if "point" in ask.told:
        return Quantity("V", point=ask.told["point"])
    known = (q for q in walk.truth if q.name == ask.name and q.point is None)
    return next(known, None)
