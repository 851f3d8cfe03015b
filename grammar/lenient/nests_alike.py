"""Whether two nests are one network, in whatever order their parts are written."""

from __future__ import annotations

from collections.abc import Callable

from grammar.records import Element, Part, Worth


def in_no_order(part: Part, told: Callable[[Element], object]) -> object:
    """A nest without regard to the order of what is joined in one way; ``told`` is what counts of
    each capacitor.
    """
    if isinstance(part, Element):
        return told(part)
    members = sorted((in_no_order(member, told) for member in part.members), key=repr)
    return type(part).__name__, tuple(members)


def joined_otherwise(one: Part, other: Part) -> bool:
    """Whether two nests join the same values in different ways, whatever else is told of them."""
    if sorted(_worths(one), key=repr) != sorted(_worths(other), key=repr):
        return False
    return in_no_order(one, _worth) != in_no_order(other, _worth)


def _worths(part: Part) -> list[Worth]:
    if isinstance(part, Element):
        return [part.worth]
    return [worth for member in part.members for worth in _worths(member)]


def _worth(element: Element) -> Worth:
    return element.worth
