"""What follows a wrong value: a named route and a question, a choice of routes, or a failed check.

First the routes that lead to the number are looked for; if they need different help, the learner
is asked which was theirs; if there is none, the check that fails is said and the line before is
asked for.
"""

from __future__ import annotations

from typing import NamedTuple

from grammar.expressions import Op
from tutor.teaching.claims import Stated
from tutor.teaching.misfit import NONE, misfit
from tutor.teaching.quantities import Quantity
from tutor.teaching.replies import Replies
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import context_on, route_of
from tutor.teaching.rules.diagnosis import Diagnosis, cuts_off, diagnose, suspected
from tutor.teaching.rules.skipped import diagnose_skipped
from tutor.teaching.speech import Speech
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Aside, Question, Walk, question_about


class Response(NamedTuple):
    """What is said, what is asked back if anything, and the malrules that were recognised."""

    text: str
    aside: Aside | None = None
    malrules: tuple[str, ...] = ()


def respond(walk: Walk, stated: Stated) -> Response:
    """The answer to a value that is not right."""
    speech, replies = speech_of(walk), Replies(speech_of(walk))
    quantity, judged = stated.quantity, stated.judged
    about = question_about(walk, quantity)
    said = stated.said
    if judged.value is not None and judged.note != "unit":
        said = speech.amount(judged.value, quantity.dimension)
    if judged.note in ("unit", "power of ten"):
        text = replies.value_wrong(about, judged, NONE, said)
        return Response(text, None, _slip_of_unit(walk, stated))
    found = _traced(walk, about, stated, said, speech)
    if found is not None:
        return found
    fault = misfit(walk, about, judged.value) if judged.value is not None else NONE
    text = replies.value_wrong(about, judged, fault, said)
    if stated.typed is not None:
        maybe = suspected(context_on(walk, quantity), stated.typed)
        if maybe is not None:  # nothing is held against the learner before they say so
            return Response(text, _menu(maybe, quantity, said, speech))
    if stated.typed is not None and stated.typed.half is not None:
        return Response(text, Aside("line", replies.line_before(said), quantity))
    if fault == NONE:
        return Response(text, Aside("ask", replies.pointer(about), quantity))
    return Response(text)


def _slip_of_unit(walk: Walk, stated: Stated) -> tuple[str, ...]:
    if stated.judged.note == "unit":
        return ("wrong-kind-of-unit",)
    supply, power = walk.problem.supply, walk.problem.powers["voltage"]
    of_voltage = supply is not None and supply.quantity == "voltage" and power != 0
    if stated.quantity.symbol == "E" and of_voltage and stated.shift == power:
        return ("squares-the-number-not-the-prefix",)
    small = abs(stated.shift) == 3
    return ("prefix-slip-of-a-thousand" if small else "prefix-slip-of-a-million-or-more",)


def _traced(
    walk: Walk, about: Question, stated: Stated, said: str, speech: Speech
) -> Response | None:
    """A response that names where the number may come from."""
    if stated.typed is None:
        return None
    route, quantity, diagnosis = route_of(walk), stated.quantity, diagnosed(walk, stated)
    if not diagnosis.groups and diagnosis.context and cuts_off(diagnosis.context, stated.typed):
        return Response(rule_text.cut_off(said), None, (rule_text.CUT_OFF,))
    if not diagnosis.groups and quantity not in walk.known:
        skipped = diagnose_skipped(
            route, quantity, stated.typed, lambda earlier: earlier not in walk.known
        )
        if skipped is not None:
            return _about_skipped(walk, skipped, said)
    if not diagnosis.groups or diagnosis.context is None:
        return None
    if len(diagnosis.groups) == 1:
        step = about.step
        is_settled = step is not None and ("shares", step.made) in walk.settled
        lead = Replies(speech).right_so_far(about) if is_settled else ""  # what is asked tells none
        return _one_route(diagnosis, lead, said, speech)
    return _which_route(diagnosis, quantity, said, speech)


def diagnosed(walk: Walk, stated: Stated) -> Diagnosis:
    """The rules behind a wrong value; where its sum was typed, those alone by which it is worked
    out.
    """
    if stated.typed is None:
        return Diagnosis((), None)
    found = diagnose(route_of(walk), stated.quantity, stated.typed, walk.own)
    if not found.groups or not isinstance(stated.side, Op):
        return found
    from tutor.teaching.marking.written_ways import as_written  # late: few wrong values are sums

    return as_written(found, stated.side, stated.worth, stated.turned) or found


def _one_route(diagnosis: Diagnosis, lead: str, said: str, speech: Speech) -> Response:
    malrule = diagnosis.groups[0][0]
    assert diagnosis.context is not None
    assert diagnosis.at is not None
    origin = rule_text.origin(said, malrule, diagnosis.context, speech, diagnosis.is_written)
    text = f"{lead}{origin}"
    asked = rule_text.question(malrule, diagnosis.context, speech)
    return Response(
        text, Aside("ask", asked, diagnosis.at, (diagnosis.names,)), diagnosis.names
    )


def _which_route(
    diagnosis: Diagnosis, quantity: Quantity, said: str, speech: Speech
) -> Response:
    """Several routes with different remedies: which was the learner's?"""
    text = rule_text.several_ways(said)
    return Response(text, _menu(diagnosis, quantity, said, speech), diagnosis.names)


def _menu(diagnosis: Diagnosis, quantity: Quantity, said: str, speech: Speech) -> Aside:
    asked = rule_text.menu(diagnosis, said, speech)
    return Aside("routes", asked, quantity, rule_text.routes(diagnosis), said)


def _about_skipped(walk: Walk, diagnosis: Diagnosis, said: str) -> Response:
    """The step where a wrong rule, or the first of two, would lead to the number is asked for."""
    replies, speech, at = Replies(speech_of(walk)), speech_of(walk), diagnosis.at
    assert at is not None
    step = route_of(walk).made_by(at.of)
    if at.symbol == "C" and step is not None:
        asked = f"What did you get for {at.name}, in place of {replies.names(step)}?"
    else:
        asked = f"What did you get for {speech.name(at)}?"
    return Response(rule_text.step_before(said), Aside("step", asked, at), diagnosis.names)


def routes_chosen(walk: Walk, aside: Aside, letter: str) -> Response:
    """What is said once the learner has told which route was theirs."""
    speech = speech_of(walk)
    at = rule_text.LETTERS.index(letter)
    if at >= len(aside.options):
        asked = Replies(speech).line_before(aside.said)
        return Response(rule_text.YOUR_OWN_WAY, Aside("line", asked, aside.about))
    context = context_on(walk, aside.about)
    first = aside.options[at][0]
    malrule = next((m for m in CATALOGUE if m.name == first and context and m.fits(context)), None)
    if malrule is None or context is None:
        return Response(rule_text.YOUR_OWN_WAY)
    asked = rule_text.question(malrule, context, speech)
    text = rule_text.cannot_be(malrule, context, speech)
    followed = Aside("ask", asked, aside.about, (aside.options[at],))
    return Response(text, followed, aside.options[at])
