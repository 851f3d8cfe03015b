"""Points told by where they are drawn: the left wire, the middle junction, the third dot."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

_ORDER: Final[tuple[str, ...]] = ("first", "second", "third", "fourth", "fifth", "sixth")
_PLACE: Final = rf"(?:left|middle|cent(?:re|er)|right|{'|'.join(_ORDER)}|last)"
_NOUN: Final = r"(?:wire|rail|junction|dot|node|point|bar|line)"
_SPOT: Final = rf"(?:the )?(?P<{{}}>{_PLACE})(?:[- ]?hand)? {_NOUN}\b"
_ONE: Final = re.compile(rf"(?i)\b{_SPOT.format('place')}")
# Both before one noun: between the first and the second junction.
_TWO: Final = re.compile(
    rf"(?i)\b(?:the )?(?P<one>{_PLACE})(?P<and> (?:and|to) )(?:the )?(?P<other>{_PLACE})"
    rf" (?P<noun>{_NOUN})s?\b"
)
_FROM_TO: Final = re.compile(
    rf"(?i)\b(?:between|from|joins?|connects?) {_SPOT.format('a')}[^.;?]*?\b(?:and|to|with)"
    rf" {_SPOT.format('b')}"
)
_BARE: Final = re.compile(r"(?i)\bbetween (?:the )?left and (?:the )?right\b(?! ?[a-z])")
_HAS_LETTERS: Final = re.compile(r"\b[BD-HJ-UW-Z]\b(?! ?=)")
_IS_THERE: Final = re.compile(r"\bpoint [A-Z](?= (?:is|are) (?:an? )?[0-9])")
_LETTERS: Final = ("P", "R", "S", "T")


def with_lines_drawn(text: str) -> str:
    """The text with letters for such points, where there are three or more with some between."""
    whole = _TWO.sub(r"the \g<one> \g<noun>\g<and>the \g<other> \g<noun>", text)
    pairs = _FROM_TO.findall(whole)
    places = dict.fromkeys(each["place"].lower() for each in _ONE.finditer(whole))
    letters = _lettered(list(places))
    if len(pairs) < 2 or letters is None or _HAS_LETTERS.search(text):
        return text
    whole = _ONE.sub(lambda said: f"point {letters[said['place'].lower()]}", whole)
    whole = _IS_THERE.sub(r"\g<0> there", whole)
    return _BARE.sub("between point A and point B", whole)


def _lettered(places: list[str]) -> Mapping[str, str] | None:
    """A letter for each: A for the first or the left one, B for the last; None where these are told
    in two manners, or do not go from one end to the other.
    """
    order = [each for each in _ORDER if each in places]
    if "last" in places:
        order.append("last")
    elif not order:
        between = next((each for each in places if each not in ("left", "right")), "")
        order = ["left", between, "right"]
    counted = order[0] == "left" or (*order[:-1],) == _ORDER[: len(order) - 1]
    if len(order) < 3 or {*order} != {*places} or not counted:
        return None
    return dict(zip(order, ("A", *_LETTERS[: len(order) - 2], "B"), strict=True))
