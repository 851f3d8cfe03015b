"""A question of a lesson's author, with answers to choose from, as a story of one question."""

from __future__ import annotations

from types import MappingProxyType

from tutor.practice.lessons import Exercise
from tutor.teaching.settings import Settings
from tutor.teaching.staged.choosing import LETTERS
from tutor.teaching.staged.story import Ask, Option, Story


def story_of_choice(exercise: Exercise, settings: Settings) -> Story:
    """The question with its answers by letter.

    Their order is that of the alphabet, so that the right one has no place of its own.
    """
    del settings  # an author's words are taken as they are
    choice = exercise.choice
    assert choice is not None, "asked of a task with a choice"
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
