"""Tasks made to order: a text to be walked, and what answers to it can tell apart.

From a few candidates by chance the one is taken in which the fewest questions leave a wrong rule
unseen. The chance comes from the order's seed alone, so that a task can be made again from its
order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from functools import partial
from itertools import combinations, count, islice
from random import Random
from typing import Final, Literal, NamedTuple

from grammar.reading import read_network
from grammar.records import Description, Refusal
from grammar.writing import write_network
from tutor.practice.making import Brief, draw_network
from tutor.practice.making_bridges import draw_bridge
from tutor.practice.making_needs import NEEDS, TaskOrder, arithmetic_of, is_story, shapes_for
from tutor.practice.making_relabelled import relabel
from tutor.practice.making_skills import AskedValue, SeenTask, asked_in, look_at, skills_in
from tutor.practice.making_stories import DRAWS, Draw
from tutor.practice.shapes import shape_named
from tutor.practice.task_values import Arithmetic
from tutor.teaching.rules.catalogue import SKILL_OF
from tutor.teaching.skills import SKILLS

CANDIDATES: Final = 30  # once there are so many, the best of them is good enough
MOST_CANDIDATES: Final = 80
MOST_DRAWS: Final = 4000


class Task(NamedTuple):
    """A text that the chat opens, be it a network or a problem in stages.

    ``order`` leaves nothing open, so that it makes this task again. ``skills`` are codes of what
    the task practises, ``tells`` the malrules that some question of it tells apart, and
    ``not_diagnostic`` the questions (C23, V1) where a wrong rule could pass unseen;
    ``description`` is what the text says.
    """

    kind: Literal["network"]
    text: str
    description: Description
    order: TaskOrder
    skills: tuple[str, ...]
    tells: tuple[str, ...]
    not_diagnostic: tuple[str, ...]


class Drawn(NamedTuple):
    """A text and what it says."""

    text: str
    description: Description


class Candidate(NamedTuple):
    """A text with the questions for values in it."""

    drawn: Drawn
    seen: SeenTask
    asked: tuple[AskedValue, ...]

    @property
    def faults(self) -> tuple[str, ...]:
        """The questions that are not diagnostic."""
        return tuple(each.name for each in self.asked if not each.separation.is_diagnostic)


def make(order: TaskOrder) -> Task:
    """The task of an order. The same order makes the same task.

    Errors: ``Refusal`` for an order of what cannot be together.
    """
    settled = settle(order)
    best: Candidate | None = None
    for tried, drawn in enumerate(_drawn(settled), start=1):
        fewest = None if best is None else len(best.faults)
        best = _looked_at(drawn, settled.skill, fewest) or best
        if best is not None and (not best.faults or tried >= CANDIDATES):
            break
    if best is None:
        raise Refusal("No values were found for this order.", "Order other numbers or a shape.")
    return _task(best, settled)


def settle(order: TaskOrder) -> TaskOrder:
    """The order with all that it leaves open filled in, by its seed where there is a choice."""
    by_seed = Random(f"shape {order.skill} {order.steps} {order.seed}")
    shape = by_seed.choice(shapes_for(order))
    asked = order.asked
    if asked is None and order.skill is not None:
        asked = NEEDS[order.skill].asked
    arithmetic = order.arithmetic or arithmetic_of(shape)[0]
    return order._replace(shape=shape, asked=asked, arithmetic=arithmetic)


def variant(task: Task, seed: int) -> Task:
    """A twin of equal difficulty: the same shape and sort of numbers, other values.

    ``seed`` is where looking for another one begins.
    """
    order = task.order
    others = (make(order._replace(seed=seed + more)) for more in count())
    return next(other for other in others if other.text != task.text)


def relabelled(task: Task, seed: int) -> Task:
    """The same network under other names, in another order: only the reading is new."""
    by_seed = Random(f"names {task.text} {seed}")
    text = relabel(task.description, by_seed)
    drawn = Drawn(text, read_network(text))
    asked = tuple(asked_in(look_at(drawn.description)))
    faults = Candidate(drawn, SeenTask(None, None), asked).faults
    return task._replace(text=text, description=drawn.description, not_diagnostic=faults)


def most_telling(orders: Iterable[TaskOrder], suspected: Iterable[str]) -> Task:
    """Of the tasks of these orders the one where the right rule and these malrules differ most.

    More of them told apart come first, then how far the nearest two are from one another. Errors:
    ``Refusal`` as for ``make``, and where there are no orders.
    """
    names = tuple(suspected)
    tasks = [make(order) for order in orders]
    if not tasks:
        raise Refusal("There is no order to choose from.", "Give at least one.")
    return max(tasks, key=lambda task: _telling(task, names))


def _telling(task: Task, names: tuple[str, ...]) -> tuple[int, Fraction]:
    """How many of the malrules one question parts at best, and by how much."""
    return max(
        ((len(told), _least_gap(each, told))
         for each in asked_in(look_at(task.description))
         for told in [[n for n in names if n in each.separation.tells]]),
        default=(0, Fraction(0)),
    )


def _least_gap(asked: AskedValue, told: list[str]) -> Fraction:
    """The smallest distance, relative to the larger, among what is right and these give."""
    separation = asked.separation
    given = [(separation.right,), *(separation.numbers[name] for name in told)]
    return min(
        (abs(a - b) / max(abs(a), abs(b))
         for ones, others in combinations(given, 2) for a in ones for b in others if a != b),
        default=Fraction(0),
    )


# Candidates


def _drawn(order: TaskOrder) -> Iterator[Drawn]:
    """Texts of the ordered shape and sort of numbers, as many as are worth looking at."""
    wanted = tuple(order._replace(skill=None, steps=None))  # no name of ours moves what is drawn
    by_seed = Random(f"values {wanted}")
    draw = _drawer(order)
    drawn = (draw(by_seed) for _ in range(MOST_DRAWS))
    yield from islice((each for each in drawn if each is not None), MOST_CANDIDATES)


def _drawer(order: TaskOrder) -> Callable[[Random], Drawn | None]:
    assert order.shape is not None
    assert order.arithmetic is not None
    if is_story(order.shape):
        return partial(_story, DRAWS[order.shape], order.arithmetic)
    return partial(_network, Brief(shape_named(order.shape), order.arithmetic, order.asked))


def _story(draw: Draw, arithmetic: Arithmetic, by_seed: Random) -> Drawn | None:
    text = draw(arithmetic, by_seed)
    return None if text is None else Drawn(text, read_network(text))


def _network(brief: Brief, by_seed: Random) -> Drawn | None:
    draw = draw_network if brief.shape.layout is not None else draw_bridge
    drawn = draw(brief, by_seed)
    return None if drawn is None else Drawn(write_network(drawn, ascii=True), drawn)


def _looked_at(drawn: Drawn, skill: str | None, fewest: int | None) -> Candidate | None:
    """A candidate with fewer faults than the best so far, and none where the skill is at work."""
    seen = look_at(drawn.description)
    asked: list[AskedValue] = []
    faults = 0
    for each in asked_in(seen):
        asked.append(each)
        if not each.separation.is_diagnostic:
            faults += 1
            if skill in _at_work(each) or (fewest is not None and faults >= fewest):
                return None
    return Candidate(drawn, seen, tuple(asked))


def _at_work(asked: AskedValue) -> frozenset[str]:
    """The skills that an answer here rests on, by what is asked and by what can go wrong."""
    skills = {*asked.skills}
    for name in asked.separation.numbers:
        skills.update(SKILL_OF[name].split("+"))
    return frozenset(skills)


def _task(candidate: Candidate, order: TaskOrder) -> Task:
    told = {name for each in candidate.asked for name in each.separation.tells}
    tells = tuple(name for name in SKILL_OF if name in told)
    practised = {order.skill, *skills_in(candidate.seen, candidate.asked)}
    skills = tuple(skill.code for skill in SKILLS if skill.code in practised)
    return Task("network", *candidate.drawn, order, skills, tells, candidate.faults)
