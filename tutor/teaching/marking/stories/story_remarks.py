"""The remark beside each marked line of a script about a story."""

from __future__ import annotations

from typing import NamedTuple

from tutor.teaching.marking.grading import Judgement
from tutor.teaching.marking.phrases import (
    FOLLOWS,
    Rulings,
    carried,
    right,
    said_of,
    slip,
    unexplained,
    wrong_power,
    wrong_unit,
)
from tutor.teaching.marking.stories.between_before import beyond_before
from tutor.teaching.marking.stories.paper import Paper
from tutor.teaching.marking.stories.story_scheme import in_words, name_of
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.diagnosis import grouped
from tutor.teaching.staged.story import Ask, Option


class StoryContext(NamedTuple):
    """The paper, and what was decided by the rules of marking."""

    paper: Paper
    rulings: Rulings


def of_choice(option: Option, ask: Ask) -> str:
    """What is said to an answer in words."""
    if option.is_right:
        return "Right, in words."
    return option.reply or f"Look once more: {ask.hints[0]}" if ask.hints else "That is not so."


def on_judgement(context: StoryContext, each: Judgement[int]) -> str:
    """What is said of one judgement, and that its value cannot be, where that can be seen."""
    said = _on_judgement(context, each)
    if each.verdict == "right" or each.fault is not None:
        return said
    beyond = beyond_before(context.paper, each.quantity, each.value)
    return f"{said} {beyond}" if beyond else said


def _on_judgement(context: StoryContext, each: Judgement[int]) -> str:
    paper = context.paper
    name = name_of(paper, each.quantity)
    if each.verdict == "right" and each.fault is None:
        return right(each, name)
    if each.verdict == "carried":
        return FOLLOWS if each.relation else carried(context.rulings, each, name)
    if each.fault == "power-of-ten":
        return wrong_power(name)
    if each.fault == "unit":
        return wrong_unit(name, _kind(context, each))
    said = _said(context, each)
    if each.fault == "arithmetic":
        return slip(each, name, said)
    if each.fault == "malrule":
        return _recognised(context, each, said)
    if each.value is None:
        return f"This equation does not lead to {name}. {_first_hint(paper.asks[each.quantity])}"
    return unexplained(each, name, said)


def _first_hint(ask: Ask) -> str:
    return ask.hints[0] if ask.hints else "Write the line before it."


def _kind(context: StoryContext, each: Judgement[int]) -> str:
    dimension = context.paper.asks[each.quantity].dimension
    if dimension is None:
        return "plain number"
    return context.paper.terms.difference if dimension == "voltage" else dimension


def _said(context: StoryContext, each: Judgement[int]) -> str:
    return said_of(each, lambda value: in_words(context.paper, each.quantity, value))


def _recognised(context: StoryContext, each: Judgement[int], said: str) -> str:
    """The possible routes to the number, what cannot be, and the question that helps."""
    paper, what = context.paper, "This equation" if each.value is None else said
    asked = context_of_ask(paper.asks[each.quantity], paper.story.powers)
    rules = [m for m in CATALOGUE if asked and m.name in each.malrules and m.fits(asked)]
    if asked is None or not rules:
        return f"{said} does not fit."
    if each.diagnosis is not None and each.diagnosis.context is not None:
        asked = each.diagnosis.context  # on the learner's own numbers, perhaps
    first = [group[0] for group in grouped(rules)]
    if len(first) > 1:
        most = rule_text.MOST_ROUTES
        routes = [rule_text.route(rule, asked, paper.speech) for rule in first[:most]]
        return f"{what} may come from {' or '.join(routes)}. Show the line before it."
    is_written = each.diagnosis is not None and each.diagnosis.is_written
    origin = rule_text.origin(what, first[0], asked, paper.speech, is_written)
    return f"{origin} {rule_text.question(first[0], asked, paper.speech)}"
