"""Which question of a walk asks for what a script states, by the key of that question.

A learner may have combined other groups than the tutor would: what such a group comes to counts
for the smallest capacitor on the tutor's way that takes it in.
"""

from __future__ import annotations

from tutor.circuit.joining import JOININGS
from tutor.circuit.steps import Step
from tutor.teaching.quantities import Quantity
from tutor.teaching.walk import Walk, idle_question
from tutor.teaching.ways_of_walk import canonical


def key_on(begun: Walk, walk: Walk, quantity: Quantity) -> str:
    """The key (``evidence.key_of``) of the question that a walk asks for this; ``begun`` is the
    walk at its start, ``walk`` the way that the learner took. Empty for what is told without being
    asked, and where series and parallel stick, since the walk then goes by other questions.
    """
    if begun.whole is None:
        return ""
    counted = canonical(begun, _counted_for(begun, walk, quantity))
    if counted == Quantity("C"):
        return begun.whole.name if begun.made_by(begun.whole.name) else counted.name
    if counted.of is None or counted.symbol in ("C", "E"):
        return counted.name
    step = _user(begun, counted.of)
    if step is None:
        return counted.name
    if counted.of in {c.name for c in step.swept}:
        return ""
    if step.makes is None:
        symbol, _ = idle_question(step)
        return Quantity(symbol, step.parts[0].name).name
    shared = JOININGS[step.kind].shares
    return f"back {step.makes.name}" if counted.symbol == shared else counted.name


def _counted_for(begun: Walk, walk: Walk, quantity: Quantity) -> Quantity:
    """The quantity itself, or that of a capacitor on the tutor's way which takes it in."""
    name = quantity.of
    if name is None or begun.whole is None or Quantity("C", name) in begun.truth:
        return quantity
    within = _given_in(walk, name)
    taking_in = (
        s.makes.name for s in begun.plan if s.makes and within <= _given_in(begun, s.makes.name)
    )
    return Quantity(quantity.symbol, next(taking_in, begun.whole.name))


def _given_in(walk: Walk, name: str) -> frozenset[str]:
    """The capacitors of the text that a capacitor was made of."""
    found: set[str] = set()
    waiting = [name]
    while waiting:
        step = walk.made_by(each := waiting.pop())
        if step is None:
            found.add(each)
        else:
            waiting += (part.name for part in step.parts)
    return frozenset(found)


def _user(walk: Walk, name: str) -> Step | None:
    return next((s for s in walk.plan if name in {c.name for c in (*s.parts, *s.swept)}), None)
