"""Ways of which all are alike, told once: two parallel ways, each of which has a 2 uF and a 4 uF.

What each of them has is told of one after the other, as whoever walks through a network does; and
a reading is held against how many there are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from grammar.outline import leaves
from grammar.records import Element, Parallel, Part
from grammar.spoken_numbers import ONES

_NOUNS: Final = (
    r"(?:way|road|path|branch|arm|leg|line|row|string|chain|limb|strand|lane|track|route)(?:e?s)"
)
_EACH: Final = re.compile(
    r"(?i)\b(?P<many>two|three|four|five) (?P<like>(?:parallel|equal|identical|like|similar|such"
    rf"|alike|separate) )*(?P<noun>{_NOUNS})(?: in parallel| side by side)?(?: which are alike)?"
    r"[,;:]? (?:and )?(?:each|both|every one)(?: one)?(?: of (?:which|them|these|the \w+))?"
    r" (?:has|have|holds?|carr(?:ies|y)|contains?|consists? of|is|with|being|made)"
    r"(?: (?:made )?(?:up )?of)? (?P<body>[^;?]*?)"
    r"(?=[;?]|\.(?![0-9])|$|,? and (?:where|after|finally|when|at|across)\b"
    r"|, (?:and )?(?:then|where|after|behind|finally|which|the|they|both|altogether|across|with"
    r"|at|on)\b)"
)
_BRANCHES: Final = re.compile(
    r"(?i)\b(?P<many>two|three|four|five) (?:(?:parallel|separate) )?(?:branches|arms|paths)\b"
)
_VALUE: Final = re.compile(
    r"(?i)(?<![A-Za-z0-9.])(?:[0-9.]+ ?[unp]F?\b|[0-9.]+(?! ?k?V\b)|C_?[0-9])"
)
_MEET: Final = re.compile(r"(?i)\b(?:re-?)?(?:meet|join|unite|merge)s?\b|\bafter (?:them|both)\b")
_COUNTED: Final = re.compile(r"(?i)\b(?:two|three|four|pair|x|times|each)\b")
_ORDERS: Final = ("first", "second", "third", "fourth", "fifth")


def with_each_told(text: str) -> str:
    """The text with what each of several ways has told of every one of them."""
    return _EACH.sub(_unfolded, text)


def _unfolded(said: re.Match[str]) -> str:
    if not _holds_several(said):
        return said[0]
    orders = _ORDERS[: ONES[said["many"].lower()]]
    ways = (f"the {order} way has {said['body']}" for order in orders)
    met = "" if _MEET.search(said.string, said.end()) else " and they meet again,"
    return f"{said['many']} parallel ways: {', '.join(ways)}{met}"


def _holds_several(said: re.Match[str]) -> bool:
    return len(_VALUE.findall(said["body"])) > 1


def ways_missing(plain: str, nests: list[Part]) -> str:
    """Words for so many ways that are alike, where no reading has as many alike, or for so many
    branches, where none has as many side by side; "" for none.
    """
    for named in _BRANCHES.finditer(plain):
        many = ONES[named["many"].lower()]
        if all(_side_by_side(each) < many for each in nests):
            return named[0]
    for said in _EACH.finditer(plain):
        many = ONES[said["many"].lower()]
        held = 0 if _COUNTED.search(said["body"]) else len(_VALUE.findall(said["body"]))
        most = (max(_alike(each, held), default=1) for each in nests)
        if _holds_several(said) and all(each < many for each in most):
            return f"{said['many']} {said['noun']}"
    return ""


def _side_by_side(part: Part) -> int:
    """The most parts that stand side by side at one place."""
    if isinstance(part, Element):
        return 1
    here = len(part.members) if isinstance(part, Parallel) else 1
    return max(here, *map(_side_by_side, part.members))


def _alike(part: Part, held: int) -> Iterator[int]:
    """How many of the members of each part inside are made of the same ``held`` values; 0: of any
    number above one.
    """
    if isinstance(part, Element):
        return
    made = [
        tuple(leaf.worth for leaf in leaves(each))
        for each in part.members
        if not isinstance(each, Element)
    ]
    yield from (made.count(each) for each in made if held in (0, len(each)))
    for each in part.members:
        yield from _alike(each, held)
