"""What a text is made of: the shape of a nest in names alone, and the capacitors of all of it."""

from __future__ import annotations

from collections.abc import Iterator

from grammar.records import Chain, Description, Element, Part


def outline(nest: Part) -> str:
    """``C1 -- (C2 || C3)``; reading it gives the same shape, each name standing for a value.

    Nothing recurses, since a nest may be deep.
    """
    pieces: list[str] = []
    pending: list[Part | str] = [nest]
    while pending:
        each = pending.pop()
        if isinstance(each, str):
            pieces.append(each)
        elif isinstance(each, Element):
            pieces.append(each.name)
        else:
            sign = " -- " if isinstance(each, Chain) else " || "
            inner: list[Part | str] = []
            for member in each.members:
                inner.append(sign)
                inner.extend((member,) if isinstance(member, Element) else ("(", member, ")"))
            pending.extend(reversed(inner[1:]))
    return "".join(pieces)


def leaves(nest: Part) -> Iterator[Element]:
    """The capacitors of a nest in the order of the text. Nothing recurses."""
    pending: list[Part] = [nest]
    while pending:
        part = pending.pop()
        if isinstance(part, Element):
            yield part
        else:
            pending.extend(reversed(part.members))


def elements_of(description: Description) -> list[Element]:
    """Every capacitor of a description as its text has it, in the order of the text."""
    if description.nest is not None:
        return list(leaves(description.nest))
    return [join.capacitor for join in description.joins]
