"""What the amounts of a line can be the values of in a walk."""

from __future__ import annotations

from fractions import Fraction

from grammar.records import Refusal
from tutor.teaching.amounts import Sayable, Slot, values_told
from tutor.teaching.asked_back import AskedBack, ValuesHeard, values_heard
from tutor.teaching.claims import read, state
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.context import context_on
from tutor.teaching.walk import Aside, Walk, given, next_question, question_about


def in_names(walk: Walk, line: str) -> str | None:
    """The values of a line under the names they belong to; None where they cannot be told."""
    told = values_told(_sayable(walk), line)
    written = [f"{each.slot.key} = {each.amount}" for each in told]
    return ", ".join(dict.fromkeys(written)) or None


def to_asked_back(walk: Walk, aside: Aside, line: str) -> ValuesHeard | None:
    """What the values of a line are to a question that was asked back; None for other lines."""
    if aside.kind != "ask" or not aside.options or not isinstance(walk.last_wrong, Fraction):
        return None
    asked = AskedBack(aside.options[0], context_on(walk, aside.about), walk.last_wrong)
    return values_heard(asked, line, _sayable(walk), walk.problem.powers)


def _sayable(walk: Walk) -> Sayable:
    question = next_question(walk)
    step = question.step if question is not None else None
    parts = step.parts if step is not None else walk.network.capacitors
    made = [step.makes for step in walk.plan if step.makes is not None]
    return Sayable(
        {c.name: c.value for c in (*given(walk), *made)}, tuple(c.name for c in parts),
        _slot(walk, asked) if (asked := _asked(walk)) is not None else None,
        tuple(_slot(walk, quantity) for quantity in walk.truth if quantity.point is None),
        walk.problem.powers["capacitance"],
    )


def _asked(walk: Walk) -> Quantity | None:
    """The quantity that a number alone answers now."""
    question = next_question(walk)
    if question is not None and question.quantity is not None:
        return question.quantity
    made = walk.pending.makes if walk.pending is not None else None
    return Quantity("C", made.name) if made is not None else None


def _slot(walk: Walk, quantity: Quantity) -> Slot:
    def fits(amount: str) -> bool:
        try:
            (claim,) = read(walk, f"{quantity.name} = {amount}")
            stated = state(walk, question_about(walk, quantity), claim, quantity)
        except (Refusal, ValueError):
            return False
        return stated is not None and stated.judged.verdict == "right"

    is_open = quantity not in walk.known
    return Slot(quantity.name, quantity.symbol, quantity.of, fits, is_open=is_open)
