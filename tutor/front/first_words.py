"""What is asked of someone new, once: which words their book uses. Enter leaves all as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:  # the first prompt waits for this module, and not for the settings
    from tutor.teaching.settings import Settings

ASKED: Final = (
    "First, your book's words: 'p.d.' or 'voltage', 'chain' or 'series group'? Type those that it "
    "uses, with 'in series' to hear that as well; Enter leaves it at 'p.d.' and 'chain'."
)
KEPT_SO: Final = "Kept. 'settings' shows it with the rest, and how to change it."
WANTED: Final = "Type your book's words, or press Enter."
OFFERED: Final = ("voltage", "p.d.", "series group", "chain", "in series")


def with_words(settings: Settings, line: str) -> Settings | None:
    """The settings with the words that a line says; None for a line that says something else."""
    from grammar.records import Refusal
    from tutor.teaching.settings import set_by_words

    if line.strip().lower().strip(" .!") in ("", "no", "none", "skip", "any"):
        return settings
    try:
        chosen = set_by_words(settings, line)
    except Refusal:
        return None
    is_of_words = chosen._replace(
        difference=settings.difference, row=settings.row, beside=settings.beside
    ) == settings
    return chosen if is_of_words else None
