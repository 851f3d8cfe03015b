"""Whether two nests are one network, in whatever order their parts are written."""

from __future__ import annotations

from collections.abc import Callable

from grammar.outline import leaves
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
    values, others = (sorted(map(_worth, leaves(each)), key=repr) for each in (one, other))
    if values != others:
        return False
    return in_no_order(one, _worth) != in_no_order(other, _worth)


def _worth(element: Element) -> Worth:
    return element.worth
