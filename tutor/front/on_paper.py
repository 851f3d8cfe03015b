"""Solutions on paper, in full or in brief, of one text or of a whole file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from grammar.records import Description, Refusal
from tutor.front.plain import Page
from tutor.front.surroundings import page_for, settings_for
from tutor.teaching.settings import Settings

if TYPE_CHECKING:
    from tutor.front.options import Options


def on_paper(options: Options) -> Callable[[Description, Settings, Page], Iterator[str]]:
    """What writes a solution out: with its reasons, or only what one writes oneself."""
    if options.brief:
        from tutor.front.brief import brief_lines

        return brief_lines
    from tutor.front.printing import explained_lines

    return explained_lines


def print_file(text: str, options: Options) -> int:
    """Print each solution of a file under its own text; how many were refused, with the reason."""
    from tutor.front.entries import entries

    refused, page = 0, page_for(options)
    for number, entry in enumerate(entries(text, options.lines), start=1):
        if number > 1:
            print()
        for line in page.wrapped(f"{number}. {entry.heading}"):
            print(line)
        print()
        try:
            for line in on_paper(options)(entry.description(), settings_for(options), page):
                print(line)
        except Refusal as refusal:
            refused += 1
            place = refusal.place
            print(f"Line {place.line}: {refusal}" if place else str(refusal))
    return refused
