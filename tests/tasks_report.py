"""Tasks by the thousand: ``python -m tests.tasks_report [seeds] [name …]``.

A name is that of a shape or the code of a skill.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from time import perf_counter
from typing import NamedTuple

from tests.tasks_checked import (
    EVERY_SHAPE,
    EVERY_SKILL,
    complaints,
    complaints_of_kin,
    numbers_of,
    order_for,
)
from tutor.practice.making_needs import TaskOrder
from tutor.practice.tasks import make

SEEDS = 2000
KIN = 20  # every so many tasks the twin and the relabelled one are looked at too


class Tally(NamedTuple):
    """What has been counted of one shape: questions, those not diagnostic, seconds of making."""

    texts: frozenset[str]
    clear: int
    asked: int
    unclear: int
    seconds: float
    faults: tuple[str, ...]


def tally(orders: Iterable[TaskOrder]) -> Tally:
    """Make the tasks of these orders and look at each; the kin of one in KIN are looked at too."""
    texts: set[str] = set()
    clear = asked = unclear_ones = 0
    seconds = 0.0
    faults: list[str] = []
    for number, order in enumerate(orders):
        started = perf_counter()
        task = make(order)
        seconds += perf_counter() - started
        texts.add(task.text)
        clear += not task.not_diagnostic
        asked += len(numbers_of(task))
        unclear_ones += len(task.not_diagnostic)
        found = [*complaints(task), *(() if number % KIN else complaints_of_kin(task))]
        faults += [f"seed {order.seed}: {said}: {task.text}" for said in found]
    return Tally(frozenset(texts), clear, asked, unclear_ones, seconds, tuple(faults))


def report(seeds: int, shapes: tuple[str, ...]) -> Iterator[str]:
    """A line for each shape, as it is found, with the first faults below it."""
    heads = ("tasks", "different", "all clear", "questions", "unclear", "ms each", "faults")
    yield "".join(("".ljust(58), *(f"{head:>10}" for head in heads)))
    for shape in shapes:
        found = tally(order_for(shape, seed) for seed in range(seeds))
        yield (
            f"{shape:58}{seeds:10}{len(found.texts):10}{100 * found.clear / seeds:9.1f}%"
            f"{found.asked:10}{100 * found.unclear / max(found.asked, 1):9.2f}%"
            f"{1000 * found.seconds / seeds:10.0f}{len(found.faults):10}"
        )
        yield from found.faults[:3]


def main() -> None:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else SEEDS
    for line in report(seeds, tuple(sys.argv[2:]) or (*EVERY_SHAPE, *EVERY_SKILL)):
        print(line, flush=True)


if __name__ == "__main__":
    main()
