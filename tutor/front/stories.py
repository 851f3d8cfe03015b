"""A problem in stages on paper, for machines, and as a stage of the chat."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grammar.preparing import prepare
from grammar.records import Description, Dimension
from grammar.writing import write_number
from tutor.circuit.exact import exact_text
from tutor.circuit.network import build
from tutor.circuit.surds import is_surd, near
from tutor.circuit.values import Value, in_letters
from tutor.front.machine import Fields, solution_json
from tutor.front.pictures import picture
from tutor.front.plain import Page
from tutor.teaching.in_sight import of_telling
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Ask, Story, Telling

INDENT = "  "


# On paper


def story_lines(story: Story, terms: Settings, page: Page) -> Iterator[str]:
    """A story told to its end: each question with its answer and the reason."""
    for line in story.opening:
        yield from page.wrapped(line)
    drawn = of_telling(Telling(story, terms))
    if drawn is not None:
        rows = picture(drawn, page, INDENT)
        yield from ["", *rows] if rows else []
    for number, ask in enumerate(story.asks, start=1):
        yield ""
        first, *others = ask.text.split("\n")
        yield from page.wrapped(f"{number}. {first}")
        for text in (*others, *_answer(ask)):
            yield from page.wrapped(text, INDENT)
    for lines in (story.closing, story.cautions):
        if lines:
            yield ""
            for line in lines:
                yield from page.wrapped(line)


def _answer(ask: Ask) -> Iterator[str]:
    """The worked answer, and its reason where that says more."""
    yield from ask.reveal.split("\n")
    if ask.because and ask.because not in ask.reveal and not ask.options:
        yield ask.because


# For machines


def explained(text: str, description: Description) -> Fields:
    """One object for any description: its story if it has one, else its solution.

    Errors: ``Refusal`` for data that cannot be used.
    """
    story = story_of(description, DEFAULTS)
    return solution_json(build(description)) if story is None else story_json(story, text)


def story_json(story: Story, text: str) -> Fields:
    """The whole story; quantities as in ``solution_json``, a plain number with no unit."""
    speech = Speech(story.powers, DEFAULTS)
    return {
        "network": " ".join(prepare(text).plain.split()).strip("; "),
        "kind": story.kind,
        "results": {
            name: quantity(value, dimension, speech)
            for name, (value, dimension) in story.results.items()
        },
        "steps": [_step(ask, speech) for ask in story.asks],
        "checks": list(story.closing),
    }


def _step(ask: Ask, speech: Speech) -> Fields:
    right = next((option.words[0] for option in ask.options if option.is_right), None)
    value = ask.right if ask.exact is None else ask.exact
    return {
        "kind": ask.key,
        "about": ask.about,
        "question": ask.text,
        "because": ask.because,
        "working": ask.reveal,
        "name": ask.name or None,
        "choice": right,
        "value": None if value is None else quantity(value, ask.dimension, speech),
    }


def quantity(value: Value, dimension: Dimension | None, speech: Speech) -> Fields:
    """``{"si": "1/200000", "text": "5 µF"}``; a surd is exact in ``si`` and rounded in ``text``."""
    shown = near(value) if is_surd(value) else value
    if dimension is not None:
        text = speech.amount(shown, dimension)
    elif in_letters(shown):
        text = exact_text(shown)
    else:
        text = write_number(Fraction(shown), speech.terms.figures)[0]
    return {"si": exact_text(value), "text": text}
