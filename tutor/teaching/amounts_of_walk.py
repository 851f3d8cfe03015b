"""What the amounts of a line can be the values of in a walk."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from grammar.answers import is_plain_value
from grammar.records import Refusal
from tutor.teaching.amounts import Sayable, Slot, values_told
from tutor.teaching.asked_back import AskedBack, ValuesHeard, values_heard
from tutor.teaching.claims import read, state
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.context import context_on
from tutor.teaching.said_of_each import said_of_each
from tutor.teaching.speech import listed
from tutor.teaching.walk import Aside, Walk, given, next_question, question_about

MANY = 2  # each is said of so many at least


def in_names(walk: Walk, line: str) -> str | None:
    """The values of a line under the names they belong to; None where they cannot be told."""
    told = values_told(_sayable(walk), line)
    written = [
        f"{each.slot.key} = {each.amount}" for n, each in enumerate(told)
        if not (each.slot.fits(each.amount) and any(e.slot.key == each.slot.key for e in told[:n]))
    ]  # 6 as 24/4 is 6: a way to a value that was told is not another one
    return ", ".join(dict.fromkeys(written)) or None


class SaidOfEach(NamedTuple):
    """An amount that is said of each under the names to be judged, and what is said before."""

    line: str
    lead: str = ""


def of_each_in_names(walk: Walk, line: str) -> SaidOfEach | None:
    """An amount that is said of each, where it is asked of one of them: under the name of each
    where it is so, else under those alone of which it is not; None for other lines.
    """
    sayable = _sayable(walk)
    asked, in_hand = sayable.asked, sayable.in_hand
    if asked is None or asked.owner not in in_hand or len(in_hand) < MANY:
        return None
    said = said_of_each(sayable, line)
    if said is None or said.symbol not in (None, asked.symbol):
        return None
    amount = said.written
    each = [slot for slot in sayable.slots if (slot.symbol, slot.owner) in {
        (asked.symbol, name) for name in in_hand
    }]
    wrong = [slot for slot in each if not slot.fits(amount)]
    if said.symbol is None and len(wrong) == len(each) and _is_of_another(sayable, amount):
        return None
    if not asked.fits(amount) or not wrong:
        names = [asked.key, *(slot.key for slot in each if slot.key != asked.key)]
        return SaidOfEach(", ".join(f"{name} = {amount}" for name in names))
    others = listed([f"{slot.owner}" for slot in wrong])
    lead = f"On {asked.owner} that is so; on {others} it is not."
    return SaidOfEach(f"{wrong[0].key} = {amount}", lead)


def _is_of_another(sayable: Sayable, amount: str) -> bool:
    """Whether a number alone is what each of those in hand has of another quantity than is asked:
    the charge that was just said to be the same.
    """
    assert sayable.asked is not None
    of_them = [slot for slot in sayable.slots if slot.owner in sayable.in_hand]
    others = {slot.symbol for slot in of_them} - {sayable.asked.symbol}
    return any(
        all(slot.fits(amount) for slot in of_them if slot.symbol == symbol) for symbol in others
    )


def to_asked_back(walk: Walk, aside: Aside, line: str) -> ValuesHeard | None:
    """What the values of a line are to a question that was asked back; None for other lines."""
    if aside.kind != "ask" or not aside.options or not isinstance(walk.last_wrong, Fraction):
        return None
    asked = AskedBack(aside.options[0], context_on(walk, aside.about), walk.last_wrong)
    return values_heard(asked, line, _sayable(walk), walk.problem.powers)


def is_value_to_come(walk: Walk, line: str) -> bool:
    """Whether a line is an amount alone, and right for a value that is still to be found."""
    return is_plain_value(line) and any(
        slot.is_open and slot.fits(line) for slot in _sayable(walk).slots
    )


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
