"""Why two share what they share: one true reason of this network among three that are none.

A letter, the points or free words are all understood: see reading/weighing.py.
"""

from __future__ import annotations

from itertools import islice, permutations
from typing import NamedTuple

from tutor.circuit.steps import Step
from tutor.teaching.speech import Speech, listed

LETTERS = "abcd"

class Reason(NamedTuple):
    """One entry of the menu."""

    text: str
    is_true: bool


def reasons(step: Step, speech: Speech, seed: int) -> tuple[Reason, ...]:
    """The menu for a step; its order follows from the seed."""
    names = listed([c.name for c in step.parts])
    if step.kind == "parallel":
        told = (
            Reason(f"both join {listed(step.points)}, and a point has one potential"
                   if len(step.parts) == 2 else
                   f"all join {listed(step.points)}, and a point has one potential", True),
            Reason("the supply sends the same charge into each of them", False),
            Reason("they stand next to each other", False),
            Reason(f"the {speech.terms.difference} is the same everywhere in a network", False),
        )
    else:
        told = (
            Reason(_island(step, names), True),
            Reason("they are joined to the same supply", False),
            Reason("charge goes through one of them and on through the next", False),
            Reason("their capacitances fit one another", False),
        )
    orders = list(permutations(range(len(told))))
    order = orders[(seed * 7 + sum(map(ord, names)) * 5) % len(orders)]
    return tuple(islice((told[at] for at in order), len(told)))


def _island(step: Step, names: str) -> str:
    if step.between:
        return (
            f"the metal between {names}, with {listed(step.between)} on it, touches the rest only "
            "through them"
        )
    where = listed(step.points)
    if step.swept:
        return f"the metal at {where} touches nothing else that brings charge, so it gains none"
    return f"the metal at {where} touches nothing but their plates, so it gains no charge"


def menu(step: Step, speech: Speech, seed: int) -> str:
    """The question with its four entries."""
    names = listed([c.name for c in step.parts])
    shared = f"the {speech.terms.difference}" if step.kind == "parallel" else "the charge"
    entries = [
        f"{letter}) {reason.text}"
        for letter, reason in zip(LETTERS, reasons(step, speech, seed), strict=True)
    ]
    return "\n".join([f"Why do {names} share {shared}? (a letter, points, or your own words)",
                      *entries])
