"""Which maker writes the story of a description; None for a network to be walked.

Most texts are networks in one state, and those must not wait for what only stories need: the
makers are imported once a text has something that calls for one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from grammar.outline import elements_of
from grammar.records import (
    Asked,
    Body,
    Description,
    Plates,
    Refusal,
    SoughtEqual,
    Unknown,
)
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Story, twin


class Maker(NamedTuple):
    """A kind of story: whether it fits a text, and what writes it."""

    applies: Callable[[Description], bool]
    make: Callable[[Description, Settings], Story]


def story_of(description: Description, settings: Settings) -> Story | None:
    """The story of a problem that goes in stages. Raises Refusal where its data cannot be."""
    if not _may_have_a_story(description):
        return None
    for maker in _makers():
        if maker.applies(description):
            return _to_what_is_asked(maker.make(description, settings), description)
    return None


def _to_what_is_asked(story: Story, description: Description) -> Story:
    """A story that ends with the last value that the text asks for, where it asks for any of it."""
    last = [at for asked in description.asked for at in _places_of(story, asked)[-1:]]
    if not last or len(last) < len(description.asked):
        return story
    idle = set() if any(each.quantity == "energy" for each in description.asked) else {
        at for at, ask in enumerate(story.asks) if ask.about == "energy"
    }
    idle |= {each for at in last for each in _beside(story, at)} - set(last)
    kept = [at for at in range(max(last) + 1) if at not in idle]
    if len(kept) == len(story.asks):
        return story
    moments = tuple(
        each._replace(since=sum(at < each.since for at in kept)) for each in story.moments
    )
    return story._replace(
        asks=tuple(story.asks[at] for at in kept), closing=(), moments=moments
    )


def _beside(story: Story, at: int) -> Iterator[int]:
    """The questions right before one that are of its own kind, and that nothing in it hangs on."""
    asked = story.asks[at]
    used = {str(name) for way in asked.ways for name in way.uses}
    for before in range(at - 1, -1, -1):
        ask = story.asks[before]
        if ask.key != asked.key or ask.name in used:
            return
        yield before


def _places_of(story: Story, asked: Asked) -> list[int]:
    symbol = SYMBOL.get(asked.quantity)
    if symbol is None:
        return []
    names = {f"{symbol}{(asked.of or '').removeprefix('C')}", *([asked.of] if asked.of else [])}
    names = {"E_lost"} if asked.lost else names
    called = names | {twin(name) for name in names}
    return [
        at for at, ask in enumerate(story.asks)
        if ask.right is not None and ask.dimension == asked.quantity and ask.name in called
    ]


class TextSource(NamedTuple):
    """Writes the story of a description in any settings."""

    description: Description

    def story(self, settings: Settings) -> Story:
        """Errors: ``Refusal`` where its data cannot be, or where it has no story."""
        story = story_of(self.description, settings)
        if story is None:
            raise Refusal("That is no problem in stages any more.", "Type it as a network.")
        return story


def _may_have_a_story(description: Description) -> bool:
    """Whether there is more in a text than capacitors, a supply and what is asked."""
    alone = description.bank or description.pair or description.exchange
    told = (alone, description.changes, description.givens, description.ladder)
    return any(told) or any(
        c.rating is not None or c.start is not None or isinstance(c.worth, Plates | Body | Unknown)
        for c in elements_of(description)
    )


def _makers() -> tuple[Maker, ...]:
    from tutor.teaching.staged.banking import bank_story
    from tutor.teaching.staged.changing import changing_story, is_changing
    from tutor.teaching.staged.endless import endless_story, is_endless
    from tutor.teaching.staged.equal_missing import equal_story
    from tutor.teaching.staged.measured import is_measured, measured_story
    from tutor.teaching.staged.one_missing import is_missing, missing_story
    from tutor.teaching.staged.plating import is_plating, plating_story
    from tutor.teaching.staged.rating import is_rating, rating_story
    from tutor.teaching.staged.star_for_triangle import exchange_by_itself
    from tutor.teaching.staged.two_missing import pair_story

    def of_bank(description: Description, settings: Settings) -> Story:
        assert description.bank is not None, "the table of makers has it so"
        return bank_story(description.bank, settings)

    def of_pair(description: Description, settings: Settings) -> Story:
        assert description.pair is not None, "the table of makers has it so"
        if isinstance(description.pair, SoughtEqual):
            return equal_story(description.pair, settings)
        return pair_story(description.pair, settings)

    return (
        Maker(lambda description: description.bank is not None, of_bank),
        Maker(lambda description: description.pair is not None, of_pair),
        Maker(lambda description: description.exchange is not None, exchange_by_itself),
        Maker(is_measured, measured_story),
        Maker(is_missing, missing_story),
        Maker(is_endless, endless_story),
        Maker(is_changing, changing_story),
        Maker(is_plating, plating_story),
        Maker(is_rating, rating_story),
    )
