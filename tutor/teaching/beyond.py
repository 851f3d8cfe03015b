"""Where a walk sticks: the story of the step that series and parallel cannot take.

The walk holds the story until it is told, then takes its step and goes on.
"""

from __future__ import annotations

from fractions import Fraction

from tutor.circuit.beyond import way_on
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, tidy
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.staged import telling
from tutor.teaching.staged.floating import Stuck, floating_story
from tutor.teaching.turn import Turn, complete, proceed, speech_of
from tutor.teaching.walk import Walk, given
from tutor.teaching.wording import Wording


def next_step(walk: Walk) -> Step:
    """The tutor's step where nothing can be combined."""
    return way_on(walk.network, {c.name for c in given(walk)} | walk.made)


def go_on(walk: Walk, previous: Walk, lead: str = "Right. ") -> Turn:
    """Say why nothing can be combined, and begin the story of the step that follows."""
    words = Wording(speech_of(walk))
    said = Message(
        "verdict" if lead else "reveal", f"{lead}{words.stuck(walk)}", step=len(walk.steps) + 1,
        about="choice", verdict="right" if lead else None, network=walk.network,
    )
    return _open(walk._replace(before=(*walk.before, previous._replace(before=()))), [said])


def _open(walk: Walk, said: list[Message]) -> Turn:
    voltage, is_trial = _counted_with(walk)
    stuck = Stuck(walk.network, voltage, is_trial, Quantity("C") in walk.known)
    story = floating_story(stuck, next_step(walk), speech_of(walk))
    told = telling.begin(story, walk.terms)
    opened = walk._replace(story=told.telling, tries=0, rung=0)
    return Turn(opened, (*said, *(_without_drawing(m) for m in told.messages)))


def _without_drawing(message: Message) -> Message:
    return message._replace(network=None)


def _counted_with(walk: Walk) -> tuple[Value, bool]:
    supply = walk.problem.supply
    if supply is not None and supply.quantity == "voltage":
        return supply.value, False
    return Fraction(1), True


def hear(walk: Walk, line: str) -> Turn:
    """A line said to the story; when it is told, its step is taken."""
    assert walk.story is not None
    told = telling.hear(walk.story, line)
    if told.telling.ask is not None:
        return Turn(walk._replace(story=told.telling), told.messages)
    said = [m for m in told.messages if m.kind != "close"]
    step = next_step(walk)
    done = complete(_with_known(walk._replace(story=None), step), step)
    return proceed(done, said)


def _with_known(walk: Walk, step: Step) -> Walk:
    """What the story has established: the whole, and with a supply all that is left."""
    if step.makes is None:
        return walk
    known = {**walk.known, Quantity("C"): step.makes.value}
    voltage, is_trial = _counted_with(walk)
    if not is_trial:
        shares = dict(step.shares)
        for point, share in step.shares:
            known[Quantity("V", point=point)] = tidy(share * voltage)
        for c in step.parts:
            drop = tidy((shares[c.start] - shares[c.end]) * voltage)
            size = abs(drop) if isinstance(drop, Fraction) else drop
            known[Quantity("V", c.name)] = size
            known[Quantity("Q", c.name)] = tidy(c.value * size)
    return walk._replace(known=known)
