"""The marks that a story offers: method and accuracy for a value, one for a choice in words."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from typing import Final

from grammar.records import Asked
from tutor.circuit.surds import near
from tutor.circuit.values import Value
from tutor.teaching.marking.awarding import Ground
from tutor.teaching.marking.scheme import Offer
from tutor.teaching.marking.stories.following import Path, is_called, leading_to, paths_of
from tutor.teaching.marking.stories.paper import Paper
from tutor.teaching.marking.stories.story_words import as_number
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.staged.story import PASSED_ON, Ask, Story

# What a choice is about that leads to a value.
IN_METRES: Final = ("area", "gap in metres")
OF_WAY: Final = ("shares", "choice", "reason")


def offers(
    story: Story, asked: tuple[Asked, ...] = (), paths: tuple[tuple[Path, ...], ...] | None = None
) -> tuple[Offer[int], ...]:
    """The marks for every question that leads to what is ``asked``, in order; for all of them
    where nothing is asked, or something that no question asks for. ``paths`` are the ways of its
    questions, if they have been read.
    """
    last = [_last_of(story, each) for each in asked]
    wanted = set(last)
    ways = paths_of(story) if paths is None and asked else paths or ()
    needed = {
        at
        for place in last
        if place is not None
        for at in leading_to(story, ways, place, frozenset())
    }
    everything = not asked or None in last
    return tuple(
        Offer(at, 0, 0, 1, at in wanted)
        if ask.right is None or ask.key == PASSED_ON or is_plain(ask)
        else Offer(at, 1, 1, 0, at in wanted)
        for at, ask in enumerate(story.asks)
        if everything or (at in needed and (ask.right is not None or ask.about in OF_WAY))
    )


def is_plain(ask: Ask) -> bool:
    """Whether a value takes no working: a given length in metres, or what is nought at sight."""
    return ask.key in IN_METRES or any(not way.uses for way in ask.ways[:1])


def _last_of(story: Story, asked: Asked) -> int | None:
    """The last question for the quantity that the text asks for."""
    symbol = SYMBOL.get(asked.quantity, str(asked.quantity))
    name = f"{symbol}{(asked.of or '').removeprefix('C')}"
    if asked.quantity == "capacitance":
        name = asked.of or "C"
    places = [at for at, ask in enumerate(story.asks) if is_called(ask, name)]
    return max(places, default=None)


def ground_of(
    paper: Paper, items: tuple[Offer[int], ...], written: AbstractSet[int]
) -> Ground[int]:
    """What the marks of a story are given on: where the text asks for nothing, what no other
    question rests on is wanted in the end. ``written`` are those that something was written for.
    """
    asked = {item.quantity for item in items if item.asked}
    used = {
        link.at
        for item in items
        for path in paper.paths[item.quantity][:1]
        for link in path.links.values()
    }
    return Ground(
        items,
        asked or {item.quantity for item in items} - used,
        lambda at: leading_to(paper.story, paper.paths, at, written),
        items,
    )


def name_of(paper: Paper, at: int) -> str:
    """How a question's answer is called: its name, or what is asked in words."""
    ask = paper.asks[at]
    if ask.right is not None and ask.name:
        return paper.speech.letters(ask.name)
    return f"question {at + 1} ({_summary(ask)})"


def _summary(ask: Ask) -> str:
    """What kind of thing is asked, for a list."""
    return f"a {ask.dimension}" if ask.dimension else "in words" if ask.options else "a number"


def amount(paper: Paper, at: int) -> str:
    """The right value in words."""
    return in_words(paper, at, paper.right(at))


def in_words(paper: Paper, at: int, value: Value) -> str:
    """A value of this question as it is written."""
    dimension = paper.asks[at].dimension
    if dimension is None:
        return as_number(near(value))
    return paper.speech.amount(value, dimension)
