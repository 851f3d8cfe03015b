"""Which maker writes the story of a description; None for a network to be walked.

Most texts are networks in one state, and those must not wait for what only stories need: the
makers are imported once a text has something that calls for one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

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
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Ask, Story, is_called

HEAT_LOST: Final = "the energy that leaves as heat and radiation"


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
            return _to_what_is_asked(maker.make(description, settings), description, settings)
    return None


def _to_what_is_asked(story: Story, description: Description, settings: Settings) -> Story:
    """A story that ends with the last value that the text asks for, where it asks for any of it."""
    places = [place_of(story, asked) for asked in description.asked]
    last = [at for at in places if at is not None]
    if not last or len(last) < len(places):
        return story
    story = _with_what_is_wanted(story, description, settings)
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


def _with_what_is_wanted(story: Story, description: Description, settings: Settings) -> Story:
    """A story that opens with what is to be found."""
    is_rated = any(each.rating for each in elements_of(description))  # asks for the greatest p.d.
    if is_rated or any(line.startswith("Wanted:") for line in story.opening):
        return story
    names = dict.fromkeys(_in_words(each, settings) for each in description.asked)
    when = " at the end" if description.changes else ""
    text = f"Wanted: {listed([*names])}{when}".rstrip(".")
    return story._replace(opening=(*story.opening, f"{text}."))


def _in_words(asked: Asked, settings: Settings) -> str:
    if asked.lost:
        return HEAT_LOST
    of = f" {'across' if asked.quantity == 'voltage' else 'of'} {asked.of}" if asked.of else ""
    what = {"voltage": settings.difference, "energy": "stored energy"}
    return f"the {what.get(asked.quantity, str(asked.quantity))}{of}"


def _beside(story: Story, at: int) -> Iterator[int]:
    """The questions right before one that are of its own kind, and that nothing in it hangs on."""
    asked = story.asks[at]
    used = {str(name) for way in asked.ways for name in way.uses}
    for before in range(at - 1, -1, -1):
        ask = story.asks[before]
        if ask.key != asked.key or ask.name in used:
            return
        yield before


def place_of(story: Story, asked: Asked) -> int | None:
    """The last question for the quantity that a text asks for, under its own name or, as the p.d.
    of all that are joined, another; None where no question asks for it.
    """
    owners = {key.partition(": capacitance of ")[2] for key in story.results} - {""}
    alone = owners.pop() if len(owners) == 1 and asked.of is None else None
    asking = (asked, asked._replace(of=alone))
    named = [at for at, ask in enumerate(story.asks) if any(_is_of(ask, each) for each in asking)]
    of_one = f"{asked.quantity} of {asked.of}"
    last = [valued for key, valued in story.results.items() if key.endswith(of_one)][-1:]
    if named and (not last or story.asks[named[-1]].right == last[0][0]):
        return named[-1]
    same = [at for at, ask in enumerate(story.asks) if (ask.right, ask.dimension) in last]
    return max(same or named, default=None)


def _is_of(ask: Ask, asked: Asked) -> bool:
    """Whether a question asks for a quantity by its own name."""
    name = f"{SYMBOL.get(asked.quantity, asked.quantity)}{(asked.of or '').removeprefix('C')}"
    if asked.lost:
        name = "E_lost"
    elif asked.quantity == "capacitance" and asked.of:
        name = asked.of
    is_valued = ask.right is not None and ask.dimension == asked.quantity
    return is_valued and is_called(ask, name)


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
    from tutor.teaching.staged.rating import (
        asks_more_of_ratings,
        is_rating,
        rating_story,
        refuse_more,
    )
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
        Maker(asks_more_of_ratings, refuse_more),
    )
