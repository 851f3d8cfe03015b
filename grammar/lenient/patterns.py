"""Patterns over concepts: what a phrase is made of, written as a row of concepts.

``A? (WNUM | NUM) EQUAL* CAP`` is such a pattern; ``?``, ``*``, ``+``, ``|`` and brackets mean what
they mean in regular expressions. What is put in place of a phrase is written as a row of its pieces
(``plainly``), or worked out by a function.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Final, NamedTuple, TypeAlias

from grammar.lenient.tokens import Chunk

Rewritten: TypeAlias = "Sequence[Chunk] | None"
Build: TypeAlias = Callable[[Sequence[Chunk]], Rewritten]


class Phrase(NamedTuple):
    """A pattern, and what is put in its place; None leaves the pieces as they are."""

    pattern: re.Pattern[str]
    build: Build


# As many of one kind as a phrase can have one after the other: without an end to it a search would
# take the square of the length of a text that says one thing again and again.
_MOST_ALIKE: Final = 24


@cache  # a pure compiler
def row(pattern: str) -> re.Pattern[str]:
    """A pattern made ready; names of concepts are in capitals."""
    pattern = pattern.replace("*", f"{{0,{_MOST_ALIKE}}}").replace("+", f"{{1,{_MOST_ALIKE}}}")
    marked = re.sub(r"[A-Z][A-Z0-9]*", lambda name: rf"(?:\b{name[0]}~)", pattern)
    return re.compile(re.sub(r"\s+", "", marked).replace("~", " "))


# A piece by its place or its concept, or a stretch of them; its new concept, and its new word.
_PUT: Final = re.compile(
    r"(?P<first>-?[0-9]+|[A-Z0-9]+)(?P<to>\.\.(?P<last>-?[0-9]+)?)?(?::(?P<tag>[A-Z0-9]+))?"
    r"(?:=(?P<word>\w+))?"
)


def plainly(pattern: str, put: str = "", says: str = "") -> Phrase:
    """A phrase with its own pieces put plainly in its place.

    ``put`` lists them: ``2`` is the second, ``-1`` the last, ``CAPV`` the first of this concept and
    ``2..-1`` or ``CAPV..`` a stretch. A new concept stands after a colon (``1:THIS``; of a stretch
    it is that of its first piece), a new word after an equals sign (``1:GROUP=pair``). Nothing is
    put by "". ``says`` is a regular expression that its words begin with, where concepts alone
    leave it open.
    """
    items = [found for found in map(_PUT.fullmatch, put.split()) if found is not None]
    assert len(items) == len(put.split()), f"{put!r} lists no pieces"

    def build(inside: Sequence[Chunk]) -> Rewritten:
        if says and re.match(says, text_of(inside), re.I) is None:
            return None
        return [each for item in items for each in _taken(item, inside)]

    return Phrase(row(pattern), build)


def phrases(*rows: tuple[str, str | Build]) -> tuple[Phrase, ...]:
    """A phrase for each pattern: what is put in its place is a row of pieces, or is built."""
    return tuple(
        plainly(pattern, put) if isinstance(put, str) else Phrase(row(pattern), put)
        for pattern, put in rows
    )


def _taken(item: re.Match[str], inside: Sequence[Chunk]) -> list[Chunk]:
    """The pieces that an item of a row lists."""
    first = _place(item["first"], inside)
    last = _place(item["last"] or "-1", inside) if item["to"] else first
    head, *rest = inside[first : last + 1]
    if item["word"]:
        head = head._replace(text=item["word"], datum=item["word"])
    return [head._replace(tag=item["tag"] or head.tag), *rest]


def _place(named: str, inside: Sequence[Chunk]) -> int:
    if named[-1].isdigit() and not named[0].isalpha():
        return int(named) - 1 if named[0] != "-" else len(inside) + int(named)
    return next(at for at, each in enumerate(inside) if each.tag == named)


def text_of(pieces: Iterable[Chunk]) -> str:
    """The words of the pieces, with a space between two."""
    return " ".join(each.text for each in pieces)


def sentences_of(pieces: Iterable[Chunk]) -> list[list[Chunk]]:
    """The pieces of each sentence, with the stop or the mark that ends it."""
    found: list[list[Chunk]] = [[]]
    for piece in pieces:
        found[-1].append(piece)
        if piece.tag in ("STOP", "QUERY"):
            found.append([])
    return [each for each in found if each]


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
