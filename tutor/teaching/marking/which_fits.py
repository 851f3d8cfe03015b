"""Which of several things a value is of, whatever they are: the same for networks and stories."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

from grammar.answers import Measure, evaluate
from grammar.records import Refusal
from tutor.teaching.marking.grading import BY_VALUE, Statement

Each = TypeVar("Each")


def best_fitting(several: Iterable[Each], rank: Callable[[Each], int]) -> Each | None:
    """The first of those that a value fits best by its ``rank``, None where it fits none."""
    best: tuple[int, Each] | None = None
    for each in several:
        fits = rank(each)
        if fits <= BY_VALUE and (best is None or fits < best[0]):
            best = (fits, each)
        if fits == 0:
            break
    return best[1] if best else None


def next_due(
    due: Sequence[Each], is_recognised: Callable[[Each], bool], is_meant: bool
) -> Each | None:
    """What a value that fits nothing may be meant for: the first of what is due for which a known
    slip gives it, else the first of all where one of them ``is_meant``.
    """
    known = next((each for each in due if is_recognised(each)), None)
    return due[0] if known is None and due and is_meant else known


def last_worth(statement: Statement, worth: Mapping[str, Measure]) -> Measure | None:
    """What the last side of a statement comes to, None where that cannot be told."""
    try:
        return evaluate(statement.sides[-1], worth)
    except Refusal:
        return None
