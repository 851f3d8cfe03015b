"""Charged capacitors told one by one, and then joined: each with what it begins with."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from grammar.lenient.way_words import AMOUNT, NAME, value_of
from grammar.lenient.ways_told import ASKS, SENTENCE

_EMPTY: Final = (
    r"\b(?:empty|uncharged|un-charged|discharged|neutral|(?:no|without|zero) charge"
    r"|(?:not|never|was not|isn't|wasn't) (?:yet )?charged|no volts|dead|nothing on it)\b"
)
EMPTY: Final = re.compile(_EMPTY, re.I)
_ROWS: Final = (
    ("WRONG", r"\b(?:in series|branch|switch|between [A-Z]|from [A-Z]|resist\w*|slab|oil|glass|wax"
        r"|plates? (?:is|are) (?:pulled|moved)|half of|a third capacitor)\b"),
    ("HELD", r"[0-9.]+ ?(?:(?:kV|mV|V|volts?)|[munp]C|(?:micro|nano)-?coulombs?)\b"),
    ("EMPTY", _EMPTY),
    (
        "VALUE",
        rf"(?P<lead>(?:the |that )?)(?:(?P<name>{NAME})(?: ?(?:=|is|of|:|\()| has)? ?)?"
        rf"(?P<amount>{AMOUNT})(?<=[A-Za-z])\)?"),
)  # fmt: skip
_LEXER: Final = tuple((kind, re.compile(pattern, re.I)) for kind, pattern in _ROWS)
_CHARGED: Final = re.compile(
    r"(?i)\b(?:charg(?:e[ds]?|ing)|loaded|pre-?charged|filled up|hold(?:s"
    r"|ing)|held)\b"
)
JOINED: Final = re.compile(
    r"(?i)\b(?:join|connect|tie|link|wire|hook|solder|clip|touch|put|attach|couple)\w*\b"
)
_SIGN: Final = r"(?<!\w)(?:positive|plus|\+|negative|minus|(?<= )-)(?:es|s)?(?!\w)"
_CROSSED: Final = re.compile(
    r"(?i)\b(?:opposite|unlike|crossed|revers\w+|wrong way|back to front)\b"
)
# Which plate of one meets which of the other: plus to plus, his plus to my minus.
_MEET: Final = re.compile(
    rf"(?i)(?P<one>{_SIGN})(?:(?!{_SIGN})[^.;]){{0,40}}?\b(?:to|with|on|onto) (?:\w+ ){{0,2}}?"
    rf"(?P<other>{_SIGN})"
)
_POSITIVE: Final = ("p", "+")  # what such a word begins with


class ToldCharged(NamedTuple):
    """One capacitor as it is told: its value, and what it begins with, "" where that is open; from
    where to where in the text the value stands.
    """

    value: str
    begins: str = ""
    start: int = 0
    end: int = 0


def with_charged_told(text: str, unit: str) -> str:
    """The text made plain with each charged capacitor in a sentence of its own, and how they are
    joined after them; the text as it is where one has nothing that it begins with.
    """
    sentences = [each for each in SENTENCE.findall(text) if each.strip()]
    told = [each for each in sentences if not ASKS.search(each)]
    rest = [each for each in sentences if each not in told]
    whole = " ".join(told)
    if not (_CHARGED.search(whole) and JOINED.search(whole)):
        return text
    found = list(charged_in(whole, unit))
    if len(found) < 2 or not all(each.begins for each in found):
        return text
    if all(each.begins == "uncharged" for each in found):
        return text
    lines = [f"C{at} = {each.value} {each.begins}." for at, each in enumerate(found, 1)]
    if any("=" in each.value for each in found):
        lines = [f"{each.value} {each.begins}." for each in found]
    return "\n".join((*lines, _how(whole), *rest))


def _how(text: str) -> str:
    """How they are joined, in words that are known."""
    meet = _MEET.search(text)
    signs = {each[0].lower() in _POSITIVE for each in meet.groups()} if meet else set()
    if _CROSSED.search(text) or len(signs) > 1:
        return "They are joined with opposite polarity."
    return "They are joined with like plates together."


def charged_in(text: str, unit: str) -> Iterator[ToldCharged]:
    """Each capacitor with what is said of it before the next; one without a value where something
    else is told, or a value is said twice.
    """
    last = ToldCharged("")
    seen: set[str] = set()
    for kind, word, start, end in _words(text, unit):
        if kind == "WRONG":
            yield ToldCharged("")
        elif kind == "VALUE":
            if word.startswith("the ") and word[4:] in seen:
                continue
            if last.value:
                yield last
            last = ToldCharged(word.removeprefix("the "), "", start, end)
            seen.add(last.value)
        elif last.begins and kind == "HELD":
            yield ToldCharged("")
        elif not last.begins:
            last = last._replace(begins="uncharged" if kind == "EMPTY" else f"charged to {word}")
    yield last


def _words(text: str, unit: str) -> Iterator[tuple[str, str, int, int]]:
    at = 0
    while at < len(text):
        for kind, pattern in _LEXER:
            match = pattern.match(text, at) if not (at and text[at - 1].isalnum()) else None
            if match and match.end() > at:
                lead = "the " if kind == "VALUE" and match["lead"] else ""
                held = value_of(match.groupdict(), unit)[0] if kind == "VALUE" else match[0]
                yield kind, f"{lead}{held}", at, match.end()
                at = match.end()
                break
        else:
            at += 1
