"""A diagnosis in words: where the number may come from, what cannot be, what to ask back.

The malrule's own texts are filled from its context; the right value is in none of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from tutor.circuit.values import in_letters
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.diagnosis import Diagnosis
from tutor.teaching.rules.malrule import Malrule
from tutor.teaching.speech import Speech, listed, sentence

LETTERS: Final = "abcd"
MOST_ROUTES: Final = 3
CUT_OFF: Final = "cuts-off-instead-of-rounding"
YOUR_OWN_WAY: Final = "Then let us look at your own way."
ITS_SUM: Final = (
    "Yes, that comes to {said}. Look at each number in it: does it belong to what is asked? And "
    "does it follow from these numbers in that way?"
)
SAME_POINTS: Final = "the same two points"


def fields(context: RuleContext, speech: Speech) -> Mapping[str, str]:
    """What the texts of malrules may speak of at this question."""
    network, part = context.network, None
    names = list(context.names)
    values = [_said(number, speech) for number in context.parts]
    order = sorted(range(len(names)), key=lambda at: context.parts[at]) or [0]
    if context.route is not None:
        part = context.route.capacitor(context.quantity.of if context.quantity else None)
    ends = network.ends if network else ()
    step = context.step
    return {
        "parts": listed(names),
        "values": listed(values),
        "plus": " + ".join(values),
        "least": values[order[0]] if values else "",
        "least_name": names[order[0]] if names else "",
        "most": values[order[-1]] if values else "",
        "most_name": names[order[-1]] if names else "",
        "n": str(len(names)),
        "at": listed(step.points if step and step.kind == "parallel" else ends) or SAME_POINTS,
        "part": context.of,
        "own_points": listed((part.start, part.end) if part else ends),
        "c": _said(context.c, speech),
        "unit": speech.unit("capacitance"),
        **_of_supply(context, speech),
        **context.told,
    }


def _of_supply(context: RuleContext, speech: Speech) -> Mapping[str, str]:
    """What the text gives as a number; what follows from it stays in words, being asked for."""
    supply = context.route.problem.supply if context.route else None
    said = {"supply": "p.d. between the ends", "total": "charge of the whole network"}
    if supply is None or in_letters(supply.value):
        return said
    amount = speech.amount(supply.value, supply.quantity)
    if supply.quantity == "voltage":
        return {**said, "supply": f"{amount} between the ends"}
    return {**said, "total": f"{amount} moved in all"}


def route(malrule: Malrule, context: RuleContext, speech: Speech) -> str:
    """How the number may have come about, as in 'adding 3 µF and 7 µF'."""
    return _filled(malrule.text.route, context, speech)


def origin(
    said: str, malrule: Malrule, context: RuleContext, speech: Speech, is_written: bool = False
) -> str:
    """The number's origin, as a possibility where it ``is_written`` nowhere, and the consequence
    that cannot be.
    """
    way = route(malrule, context, speech)
    doubt = "" if is_written else ", if that is what you did"
    return (
        f"{said} is what you get by {way}{doubt}. "
        f"{cannot_be(malrule, context, speech)}"
    )


def cannot_be(malrule: Malrule, context: RuleContext, speech: Speech) -> str:
    """What cannot be here, as a sentence."""
    return sentence(f"{_filled(malrule.text.cannot, context, speech)}.")


def question(malrule: Malrule, context: RuleContext, speech: Speech) -> str:
    """The question that lets the learner find it."""
    return _filled(malrule.text.ask, context, speech)


def cut_off(said: str) -> str:
    """The right value cut off at its last place instead of being rounded."""
    return f"{said} is the value cut off. Look at the next figure before you cut."


def step_before(said: str) -> str:
    """A number that a wrong rule at an earlier step, and then right ones, would lead to."""
    return (
        f"{said} does not fit, though the later steps may well be right. "
        "One step before it may be off."
    )


def several_ways(said: str) -> str:
    """A wrong number to which wrong rules lead that need different help."""
    return f"{said} does not fit, and more than one way leads to it."


def routes(diagnosis: Diagnosis) -> tuple[tuple[str, ...], ...]:
    """The names of the malrules behind each entry of the menu."""
    return tuple(
        tuple(malrule.name for malrule in group) for group in diagnosis.groups[:MOST_ROUTES]
    )


def menu(diagnosis: Diagnosis, said: str, speech: Speech) -> str:
    """Several routes with different remedies, and 'something else': which was the learner's?"""
    assert diagnosis.context is not None
    lines = [
        f"{letter}) {route(group[0], diagnosis.context, speech)}"
        for letter, group in zip(LETTERS, diagnosis.groups[:MOST_ROUTES], strict=False)
    ]
    last = f"{LETTERS[len(lines)]}) something else"
    return "\n".join([f"How did {said} come about?", *lines, last])


def _filled(template: str, context: RuleContext, speech: Speech) -> str:
    """One text of a malrule, in the learner's letters and words."""
    return in_terms(speech.letters(template).format_map(fields(context, speech)), speech)


def in_terms(text: str, speech: Speech) -> str:
    """With the learner's word for a p.d.; one that ends a sentence keeps one full stop."""
    terms = speech.terms
    return text.replace("p.d..", terms.at_the_end).replace("p.d.", terms.difference)


def _said(number: Fraction | None, speech: Speech) -> str:
    """A capacitance; those of a context are in the usual unit."""
    if number is None:
        return ""
    power = speech.powers["capacitance"]
    return speech.amount(number * Fraction(10) ** power, "capacitance")
