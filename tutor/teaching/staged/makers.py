"""Which maker writes the story of a description; None for a network to be walked."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from grammar.records import Description
from tutor.teaching.settings import Settings
from tutor.teaching.staged.banking import bank_story
from tutor.teaching.staged.changing import changing_story, is_changing
from tutor.teaching.staged.endless import endless_story, is_endless
from tutor.teaching.staged.missing import is_missing, missing_story
from tutor.teaching.staged.plating import is_plating, plating_story
from tutor.teaching.staged.rating import is_rating, rating_story
from tutor.teaching.staged.story import Story


class Maker(NamedTuple):
    """A kind of story: whether it fits a text, and what writes it."""

    applies: Callable[[Description], bool]
    make: Callable[[Description, Settings], Story]


def _is_bank(description: Description) -> bool:
    return description.bank is not None


def _bank_story(description: Description, settings: Settings) -> Story:
    assert description.bank is not None, "the table of makers has it so"
    return bank_story(description.bank, settings)


MAKERS: Final[tuple[Maker, ...]] = (
    Maker(_is_bank, _bank_story),
    Maker(is_missing, missing_story),
    Maker(is_endless, endless_story),
    Maker(is_changing, changing_story),
    Maker(is_plating, plating_story),
    Maker(is_rating, rating_story),
)


def story_of(description: Description, settings: Settings) -> Story | None:
    """The story of a problem that goes in stages. Raises Refusal where its data cannot be."""
    for maker in MAKERS:
        if maker.applies(description):
            return maker.make(description, settings)
    return None
