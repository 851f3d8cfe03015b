"""Patterns over concepts: what a phrase is made of, written as a row of concepts.

``A? (WNUM | NUM) EQUAL* CAP`` is such a pattern; ``?``, ``*``, ``+``, ``|`` and brackets mean what
they mean in regular expressions.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import NamedTuple, TypeAlias

from grammar.lenient.tokens import Chunk

Rewritten: TypeAlias = "Sequence[Chunk] | None"


class Phrase(NamedTuple):
    """A pattern, and what is put in its place; None leaves the pieces as they are."""

    pattern: re.Pattern[str]
    build: Callable[[Sequence[Chunk]], Rewritten]


@cache  # a pure compiler
def row(pattern: str) -> re.Pattern[str]:
    """A pattern made ready; names of concepts are in capitals."""
    marked = re.sub(r"[A-Z][A-Z0-9]*", lambda name: rf"(?:\b{name[0]}~)", pattern)
    return re.compile(re.sub(r"\s+", "", marked).replace("~", " "))


def tags_of(pieces: Iterable[Chunk]) -> str:
    """The concepts of the pieces, with a space after each."""
    return "".join(f"{each.tag} " for each in pieces)


def found_in(
    pattern: re.Pattern[str], pieces: Sequence[Chunk], start: int = 0
) -> tuple[int, int] | None:
    """Where a pattern first stands at or after a piece: from which piece up to which."""
    return _span(pattern, tags_of(pieces), sum(len(each.tag) + 1 for each in pieces[:start]))


def rewritten(pieces: Sequence[Chunk], phrases: Iterable[Phrase]) -> list[Chunk]:
    """The pieces with every phrase put in place of what it is made of, phrase by phrase."""
    found, tags = list(pieces), tags_of(pieces)
    for phrase in phrases:
        at = 0
        while (span := _span(phrase.pattern, tags, at)) is not None:
            first, end = span
            built = phrase.build(found[first:end]) if end > first else None
            if built is None:
                after = first + 1
            else:
                found[first:end] = built
                tags = tags_of(found)
                after = first + len(built)
            if after > len(found):
                break
            at = sum(len(each.tag) + 1 for each in found[:after])
    return found


def _span(pattern: re.Pattern[str], tags: str, offset: int) -> tuple[int, int] | None:
    """The same, in concepts that have been written down, at or after one of their signs."""
    match = pattern.search(tags, offset)
    if match is None:
        return None
    first = tags.count(" ", 0, match.start())
    return first, first + match[0].count(" ")
