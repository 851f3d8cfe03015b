"""A question of a lesson's author as a story of one question, with answers to choose from or a
value to be typed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from grammar.answers import evaluate, read_claims
from grammar.measures import DIMS, PURE, Dims, Measure
from grammar.records import Dimension, Refusal
from tutor.practice.lessons import Exercise, OwnChoice
from tutor.teaching.messages import About
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.choosing import LETTERS
from tutor.teaching.staged.story import Ask, Option, Story

USUAL: Final[Mapping[Dimension, int]] = MappingProxyType(
    {"capacitance": -6, "voltage": 0, "charge": -6, "energy": -6}
)
ABOUT: Final[Mapping[Dimension, About]] = MappingProxyType({
    "capacitance": "value", "voltage": "voltage", "charge": "charge", "energy": "energy",
})


def story_of_choice(exercise: Exercise, settings: Settings) -> Story:
    """The question with its answers by letter, in the author's words.

    Their order is that of the alphabet, so that the right one has no place of its own.
    """
    choice = exercise.choice
    assert choice is not None, "asked of a task with a choice"
    if not choice.wrong:
        return _story_of_value(exercise, choice, settings)
    replies = {wrong.say: wrong.reply for wrong in choice.wrong}
    said = sorted([choice.right, *replies], key=str.lower)
    lines = [f"{letter}) {text}" for letter, text in zip(LETTERS, said, strict=False)]
    options = tuple(
        Option((letter, text), text == choice.right, replies.get(text, ""))
        for letter, text in zip(LETTERS, said, strict=False)
    )
    asked = Ask(
        "own choice", "reason", "\n".join([exercise.text, *lines]),
        f"{choice.right[:1].upper()}{choice.right[1:]}. {choice.because}", choice.because,
        options=options,
        hints=(choice.hint,) if choice.hint else (), skills=exercise.skills,
    )
    return Story("question", (), (asked,), (), MappingProxyType({}))


def value_of(text: str) -> Measure:
    """A value as an author writes it, such as 25.2 uC or 0.4. Errors: ``Refusal`` for what is none,
    and for what has a unit that no answer can have.
    """
    (claim,) = read_claims(text, ())[:1]
    measure = evaluate(claim.sides[-1], {})
    if measure.dims not in (PURE, *DIMS.values()):
        raise Refusal("It has a unit that no answer has here.", "Write it in F, V, C or J.")
    return measure


def one_value_in(text: str) -> Measure | None:
    """The value that a text is, if it is nothing else."""
    if not _ONE_VALUE.fullmatch(text.strip()):
        return None
    try:
        return value_of(text)
    except Refusal:
        return None


_ONE_VALUE: Final = re.compile(
    r"[-+−]?\d[\d.,]*(?:\s*[×x*]\s*10\s*\^?\s*\(?[-−]?\d+\)?)?\s*[^\W\d]{0,9}\.?"
)


def _story_of_value(exercise: Exercise, choice: OwnChoice, settings: Settings) -> Story:
    measure = value_of(choice.right)
    kinds: dict[Dims, Dimension] = {dims: kind for kind, dims in DIMS.items()}
    dimension = kinds.get(measure.dims)
    powers = USUAL if dimension is None else MappingProxyType({**USUAL, dimension: measure.power})
    shown = choice.right.strip()
    if dimension is not None:
        shown = Speech(powers, settings).amount(measure.value, dimension)
    asked = Ask(
        "own value", ABOUT[dimension] if dimension else "value", exercise.text,
        f"{shown}. {choice.because}", choice.because, dimension=dimension, right=measure.value,
        hints=(choice.hint,) if choice.hint else (), pure=dimension is None,
        skills=exercise.skills,
    )
    return Story("question", (), (asked,), (), powers)
