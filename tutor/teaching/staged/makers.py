"""Which maker writes the story of a description; None for a network to be walked."""

from __future__ import annotations

from grammar.records import Description
from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Story


def story_of(description: Description, settings: Settings) -> Story | None:
    """The story of a problem that goes in stages. Raises Refusal where its data cannot be."""
    del description, settings
    return None
