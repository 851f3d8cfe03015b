"""A row of capacitors with a bare wire over some of them: over the 4, from the start to the 6."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from grammar.lenient.way_words import AMOUNT, value_of
from grammar.lenient.ways_told import ASKS, SENTENCE, supply_of

_IN_A_ROW: Final = re.compile(
    r"(?i)\bin (?:a )?(?:row|series|line|chain)\b|\bone after (?:the other|another)\b|\bchain\b"
)
_WIRE: Final = re.compile(r"(?i)\b(?:wire|lead|cable|shunt wire)\b")
_VALUE: Final = rf"(?P<amount>{AMOUNT})"
_OVER: Final = re.compile(
    rf"(?i)\b(?:over|across|round|around|past|parallel to|bypass\w*|bridg\w+|shorts?|shorting"
    rf"|along) (?:just |only )?(?:the )?{_VALUE}(?: and the (?P<second>{AMOUNT}))?"
)
_ONE: Final = (
    r"(?:(?P<@start>(?:very )?(?:start|beginning|left end|first end|plus))"
    r"|(?P<@end>(?:very )?(?:end|right end|far end|minus))"
    rf"|(?:the )?(?:point |place |junction |dot )?between the (?P<@before>{AMOUNT})(?: uF)?"
    rf" and the {AMOUNT}"
    rf"|(?:just |right )?(?P<@side>before|after|behind) the (?P<@of>{AMOUNT}))"
)
_FROM_TO: Final = re.compile(
    rf"(?i)\bfrom (?:the )?{_ONE.replace('@', 'a')}[^.;]*? to (?:the )?{_ONE.replace('@', 'b')}"
)
# A wire joins the two ends of the 5 uF; the ends of C2 are joined by a wire.
_WHOM: Final = r"(?P<whom>the [0-9.]+(?: ?[unp]F)?|C_?[0-9])"
_BARE: Final = r"(?:(?:bare|plain|thick|piece of) )*"
_ENDS_WIRED: Final = (
    re.compile(
        rf"(?i)\b(?:there is |with )?(?:an?|one) {_BARE}(?:wire|lead)(?: (?:is|that|which|drawn"
        r"|joins|connects|links|goes|runs|joined|connected|soldered|to|from|between|across"
        r"|straight))* (?:(?:both|the|its|the two|both the|either) (?:ends|sides|terminals|legs) of"
        rf"|(?:one|the left|the right) (?:end|side|leg) of) {_WHOM}(?: to (?:its other|the left"
        r"|the right|the other)(?: end| side| leg)?(?: of (?:it|(?P=whom)))?)?(?=[.,;]| and\b|$)"
    ),
    re.compile(
        rf"(?i)\b(?:the|both) (?:(?:two|both) )?(?:ends|sides|terminals|legs) of {_WHOM} are"
        r" (?:then )?(?:joined|connected|linked|shorted|wired)(?: together)? (?:by|with) an?"
        rf" {_BARE}wire"
    ),
)
_POINTS: Final = "APQRSTUWXYZ"
_MOST: Final = 9


def with_ends_wired(text: str) -> str:
    """The text with a capacitor as shorted where a wire joins its two ends."""
    for wired in _ENDS_WIRED:
        text = wired.sub(r"\g<whom> is shorted by a wire", text)
    return text


def with_wires_told(text: str, unit: str) -> str:
    """The text made plain with such a row as joins and the wire between its points; the text as it
    is where none is told.
    """
    if not (_WIRE.search(text) and _IN_A_ROW.search(text)):
        return text
    sentences = [each for each in SENTENCE.findall(text) if each.strip()]
    told = [each for each in sentences if not ASKS.search(each)]
    whole = " ".join(told)
    wire = _WIRE.search(whole)
    if wire is None:
        return text
    values = _values(whole[: wire.start()], unit)
    wired = _wired(whole[wire.start() :], values)
    if not 2 <= len(values) <= _MOST or wired is None or "parallel" in whole.lower():
        return text
    points = [*_POINTS[: len(values)], "B"]
    lines = [
        f"{each} from point {points[i]} to point {points[i + 1]}" for i, each in enumerate(values)
    ]
    lines.append(f"a wire from point {points[wired[0]]} to point {points[wired[1]]}")
    supply = supply_of(whole).rstrip(".")
    lines.append(f"{supply} between points A and B" if supply else "terminals A and B")
    return "\n".join((*lines, *(each for each in sentences if each not in told)))


def _values(text: str, unit: str) -> list[str]:
    """The values of the row in order; a number is none where it counts them."""
    found = re.finditer(
        rf"(?i)(?<![A-Za-z0-9.]){_VALUE}(?! ?(?:caps?|capacitors?|in a"
        rf"|of them)\b)",
        text,
    )
    return [value_of({"amount": each["amount"], "name": ""}, unit)[0] for each in found]


def _wired(text: str, values: Sequence[str]) -> tuple[int, int] | None:
    """The two points of the wire by their numbers, those of the ends being the first and last."""
    over = _OVER.search(text)
    between = _FROM_TO.search(text)
    if between is not None:
        ends = [_point(between.groupdict(), side, values) for side in "ab"]
        if None not in ends and ends[0] != ends[1]:
            told = [each for each in ends if each is not None]
            return min(told), max(told)
    if over is None:
        return None
    named = [over["amount"], over["second"] or over["amount"]]
    places = [_place(each, values) for each in named]
    known = [each for each in places if each is not None]
    return (min(known), max(known) + 1) if len(known) == 2 else None


def _point(said: dict[str, str | None], side: str, values: Sequence[str]) -> int | None:
    if said[f"{side}start"]:
        return 0
    if said[f"{side}end"]:
        return len(values)
    amount = said[f"{side}before"] or said[f"{side}of"]
    place = None if amount is None else _place(amount, values)
    if place is None:
        return None
    return place if (said[f"{side}side"] or "").lower() == "before" else place + 1


def _place(amount: str, values: Sequence[str]) -> int | None:
    """Which of the row is meant; None where none is, or two are alike."""
    number = re.match("[0-9.]+", amount)
    fits = [i for i, each in enumerate(values) if each == amount]
    if number is not None and not fits:
        same = re.compile(rf"{re.escape(number[0])}(?![0-9.])")
        fits = [i for i, each in enumerate(values) if same.match(each)]
    return fits[0] if len(fits) == 1 else None
