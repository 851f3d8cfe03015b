"""What two or three share, and why: one true reason of this network among three that are none."""

from __future__ import annotations

from random import Random

from tutor.circuit.joining import JOININGS
from tutor.circuit.steps import Step
from tutor.practice.questions.given import (
    FOUR,
    PAIR_BESIDE,
    PAIR_IN_A_CHAIN,
    THREE_BESIDE,
    THREE_IN_A_CHAIN,
    TWO_LEVELS,
    WorkedNetwork,
    draw,
)
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.reasons import because
from tutor.teaching.replies import Replies
from tutor.teaching.settings import Settings
from tutor.teaching.shared_reasons import reasons
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Ask, Story, share_options

SHAPES = (
    PAIR_BESIDE, PAIR_IN_A_CHAIN, THREE_BESIDE, THREE_IN_A_CHAIN, *TWO_LEVELS, *FOUR
)


def why_share(chance: Random, settings: Settings) -> Posed:
    """First what they share, then the reason."""
    given = draw(chance, SHAPES, settings)
    step = given.solution.steps[0]
    asks = (_what(given, step), _why(chance, given, step))
    return Posed(given.text, Story(
        "why they share", given.opening(), asks, (), given.problem.powers,
        network=given.problem.network,
    ))


def _skill(step: Step) -> tuple[str, ...]:
    return ("S08",) if step.kind == "parallel" else ("S09",)


def _what(given: WorkedNetwork, step: Step) -> Ask:
    names, terms = listed(c.name for c in step.parts), given.speech.terms
    reply = Replies(given.speech).shares_wrong(step)
    idea = "parallel-shares-the-charge" if step.kind == "parallel" else "series-shares-the-pd"
    right = JOININGS[step.kind].shared
    shared = Replies(given.speech).shared(step).rstrip(".")
    told = f"{names} share {shared}."  # why is asked next
    return Ask(
        "what they share", "shares",
        f"What do {names} share: the {terms.difference} or the charge?", told, told,
        options=share_options(
            "voltage" if right == "voltage" else "charge", reply, terms, (idea,)
        ),
        hints=(f"Look at the points that {names} join.",
               "What else touches the metal between them, and do they join the same two points?"),
        skills=_skill(step),
    )


def _why(chance: Random, given: WorkedNetwork, step: Step) -> Ask:
    names, difference = listed(c.name for c in step.parts), given.difference
    true = next(reason.text for reason in reasons(step, given.speech, 0) if reason.is_true)
    parallel = step.kind == "parallel"
    shared = f"the {difference}" if parallel else "the charge"
    texts = _no_reasons(given, step)
    entries = [Entry(true), *(Entry(text, reply) for text, reply in texts)]
    return lettered(chance, MenuWords(
        "why they share", "reason", f"Why do {names} share {shared}?",
        because(step, given.speech),
        ("Look at the two points of each: what else is joined there?",
         "Which piece of metal is it about, and what can come to it?" if not parallel
         else "Where does a meter touch when it is put across each of them in turn?"),
        _skill(step),
    ), few(chance, entries[0], entries[1:]))


def _no_reasons(given: WorkedNetwork, step: Step) -> list[tuple[str, str]]:
    """By the supply, by the values, and by the place on the page or charge that goes through."""
    names = [c.name for c in step.parts]
    values = listed(f"{name} {given.farads(given.value(name))}" for name in names)
    supply = (
        "one supply feeds them all",
        f"The supply feeds the whole network, {listed(given.names)}, and yet not all of them "
        "need share anything. Look at the points."
        if len(given.names) > len(names) else
        "One supply feeds any network, in whatever way its capacitors are joined. Look at the "
        "points.",
    )
    if step.kind == "parallel":
        return [
            supply,
            ("they stand next to each other on the page",
             f"How it is drawn does not matter. {_joins(step)}"),
            ("their capacitances are nearly the same",
             f"They are {values}, and any values would do: {_joins(step)}"),
        ]
    return [
        supply,
        ("charge goes through one of them and on through the next",
         f"No charge crosses the gap of a capacitor. {_between(step)}"),
        ("their capacitances fit one another",
         f"They are {values}, and any values would do. {_between(step)}"),
    ]


def _joins(step: Step) -> str:
    return "; ".join(f"{c.name} joins {listed((c.start, c.end))}" for c in step.parts) + "."


def _between(step: Step) -> str:
    return f"Look at the metal at {listed(step.points)}: which plates are on it, and nothing else."
