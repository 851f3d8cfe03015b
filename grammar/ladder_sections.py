"""Ladders of equal sections: the section as written, and the nest that so many of them are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import count

from grammar.building import Builder
from grammar.levels import count_of
from grammar.preparing import Source
from grammar.records import Chain, Element, Ladder, Letter, Parallel, Part, Worth
from grammar.walking import Node, children, start_of

MOST_SECTIONS = 1_000


def read_ladder(builder: Builder, node: Node) -> Ladder:
    """The ladder that a text describes.

    Errors: ``Refusal`` for a value that cannot be read, for a number beside a letter, and for a
    number of sections out of reach.
    """
    values = children(node, "value")
    series, shunt = (builder.plain_worth(value) for value in values)
    if isinstance(series, Letter) != isinstance(shunt, Letter):
        lettered = values[0] if isinstance(series, Letter) else values[1]
        text = builder.source.text_of(lettered)
        raise builder.source.refusal(
            start_of(lettered),
            f"{text} has no number, though the other capacitor has one.",
            f"Give it a value, as in {text} = 4 uF.",
        )
    sections = children(node, "sections")
    return Ladder(series, shunt, _how_many(builder.source, sections[0]) if sections else None)


def written_out(ladder: Ladder) -> Part | None:
    """The nest of a ladder, section by section from the first of the ends; None without end.

    The capacitors are C1, C2 … in that order; a name that stands for a value is passed over.
    """
    if ladder.sections is None:
        return None
    names = free_names((ladder.series, ladder.shunt))
    pairs = [
        (Element(next(names), ladder.series), Element(next(names), ladder.shunt))
        for _ in range(ladder.sections)
    ]
    first, last = pairs[-1]
    nest = Chain((first, last))
    for series, shunt in reversed(pairs[:-1]):
        nest = Chain((series, Parallel((shunt, nest))))
    return nest


def free_names(worths: Iterable[Worth]) -> Iterator[str]:
    """C1, C2 … without a name that stands for one of the values."""
    taken = {each.symbol for each in worths if isinstance(each, Letter)}
    return (name for number in count(1) if (name := f"C{number}") not in taken)


def _how_many(source: Source, node: Node) -> int:
    return count_of(source, node, range(1, MOST_SECTIONS + 1), "sections")
