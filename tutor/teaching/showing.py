"""Showing what was asked: the answer with its reason, and the walk as if it had been given."""

from __future__ import annotations

from tutor.circuit.solving import holding_of
from tutor.teaching.closing_words import Closing
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import back_text, because, rest_text, total_text, whole_text
from tutor.teaching.turn import replies_of, settle_sharing, speech_of, take
from tutor.teaching.walk import (
    Question,
    Walk,
    check_of,
    given,
    step_with,
    suggested,
)
from tutor.teaching.wording import step_of


def show_answer(walk: Walk, question: Question) -> tuple[Walk, list[Message]]:
    """The answer to the question in hand alone."""
    number = len(walk.steps) + 1
    if question.about == "choice":
        step = suggested(walk)
        if step.makes is None:
            return show_step(walk, question)
        shown = settle_sharing(take(walk, step), step, "shares", "reason", "because")
        text = replies_of(walk).one_way(step)
        return shown, [Message("reveal", text, number, "choice")]
    if question.about in ("shares", "reason"):
        return _show_sharing(walk, question, number)
    if question.about == "check":
        return walk._replace(checked=True), [_revealed_check(walk)]
    return _show_value(walk, question, number)


def show_rest(walk: Walk, question: Question) -> tuple[Walk, list[Message]]:
    """An answer that follows from what has been said: what is left of a sum, or the sum itself."""
    if question.about == "check":
        return walk._replace(checked=True), []  # it is among the checks at the end
    quantity = question.quantity
    assert quantity is not None, "what follows is a value"
    is_rest = quantity.symbol in ("V", "Q") and not {
        Quantity("V", quantity.of), Quantity("Q", quantity.of)
    } & walk.known.keys()
    step = question.step or (step_with(walk, quantity) if is_rest else None)
    if step is None and quantity.of is not None:
        return _show_value(walk, question, len(walk.steps) + 1)
    speech = speech_of(walk)
    if step is None:
        text = total_text(quantity, [c.name for c in given(walk)], walk.truth, speech)
    else:
        made = step.makes.name if step.makes is not None else None
        is_whole = walk.whole is not None and made == walk.whole.name
        total = Quantity(quantity.symbol, None if is_whole else made)
        text = rest_text(step, quantity, total, walk.truth, speech)
    known = {**walk.known, quantity: walk.truth[quantity]}
    said = Message("reveal", text, about=question.about)
    return walk._replace(known=known, summed=walk.summed or step is not None), [said]


def show_step(walk: Walk, question: Question) -> tuple[Walk, list[Message]]:
    """The whole step in hand, from what may be combined to its value."""
    if question.about not in ("choice", "shares", "reason") or question.going_back:
        return show_answer(walk, question)
    if walk.skipped:
        return show_answer(walk, question)
    step = walk.pending or suggested(walk)
    walk = take(walk, step)
    known = dict(walk.known)
    if step.makes is None:
        known[Quantity("Q", step.parts[0].name)] = walk.truth[Quantity("Q", step.parts[0].name)]
        return walk._replace(known=known), []
    known[Quantity("C", step.makes.name)] = step.makes.value
    return settle_sharing(walk, step, "shares", "reason")._replace(known=known), []


def _show_sharing(walk: Walk, question: Question, number: int) -> tuple[Walk, list[Message]]:
    step = step_of(question)
    if question.going_back:
        text = replies_of(walk).passes(step)
        return settle_sharing(walk, step, "back"), [Message("reveal", text, about="shares")]
    text = because(step, speech_of(walk))
    shown = settle_sharing(walk, step, "shares", "reason", "because")
    return shown, [Message("reveal", text, number, "shares")]


def _show_value(walk: Walk, question: Question, number: int) -> tuple[Walk, list[Message]]:
    quantity = question.quantity
    assert quantity is not None
    walk = walk._replace(known={**walk.known, quantity: walk.truth[quantity]})
    step, part = question.step, question.part
    if not question.going_back and step is not None:
        return walk, []  # the step's own reveal, with every line, follows as it is carried out
    speech = speech_of(walk)
    if part is None or quantity.symbol == "C":
        amount = speech.result(walk.truth[quantity], quantity.dimension)
        text = f"{speech.name(quantity)} {amount}"
    else:
        held = holding_of(part, walk.truth[Quantity("V", quantity.of)])
        if step is not None:
            text = back_text(step, part, held, speech)
        else:
            text = whole_text(quantity, part, held, speech)
    return walk, [Message("reveal", text, number, question.about)]


def _revealed_check(walk: Walk) -> Message:
    words = Closing(speech_of(walk))
    check = check_of(walk)
    text = words.check_answer(walk, check[0]) if check else ""
    return Message("reveal", text, about="check")
