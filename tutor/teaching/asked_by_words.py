"""Requests told by their words, in whatever order these stand: put the picture up again, a bigger
nudge would be nice.

A clause asks for something where a word of it says what the tutor can give, every other word is one
of asking, and something in it wishes: a verb that opens it, a modal verb, a courtesy. One word of
another kind leaves it what it was, which may be an answer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal, TypeAlias

from tutor.teaching.hearing import Request

AskedFor: TypeAlias = Request | Literal["unsure"]

_I_WISH = (
    r"^(?:(?:and|so|ok|okay|well|oh|just|then|now|can|could|may|shall|should|must|would|will|let"
    r"|lets|us|me|we|i|you|u|want|wanna|need|like|rather|prefer|to|please|pls|only|sorry)\b ?)*"
)
_HOW = r"^(?:(?:and|so|ok|okay|well|but|oh|um|hmm?|wait)\b ?)*how"
# What can be given, by the words that say it. Of several the first that is said counts, and the
# answer last.
_GIVEN: Mapping[AskedFor, str] = MappingProxyType({
    "hint": r"\b(?:hints?|clues?|tips?|nudges?|pointers?|a push|bone|right direction|formula[se]?"
            r"|equations?|rules?|laws?|(?:some|any|need|want|more|little|of|your) help"
            r"|help (?:me|us|pls|please))\b",
    "drawing": r"\b(?:(?:re)?draw(?:n|ing)?|sketch(?:ed)?|pictures?|pics?|diagrams?|schematic)\b",
    "show": r"\b(?:answers?|solutions?)\b"
            rf"|{_I_WISH}(?:tell|say|show)\b(?: (?:me|us|it)\b)+"
            r"|\b(?:do|solve|work|calculate|find)\b.*\bfor me\b"
            r"|^(?:just )?you (?:just )?(?:do|solve) (?:it|this)\b",
    "points": r"^(?:list|show|see|print|read)\b.*\b(?:left|remaining)\b"
              r"|\b(?:givens?|given (?:numbers|values)|list(?: of (?:all |the )*\w+)?)\b",
    "unsure": rf"{_I_WISH}(?:skip|jump|(?:move|go|carry) (?:on|ahead|forward))\b"
              rf"|{_HOW} (?:(?:do|can|could|would|should|will|am|must|might) (?:i|one)|to)\b"
              r"(?: (?:even|ever|possibly|supposed|meant|going|to))*"
              r" (?:know|tell|see|find|get|work|figure|do|solve|calculate|compute|begin|start|go"
              r"|decide|answer|approach|tackle)\b(?: (?:about|out))?",
    "undo": r"\bchange (?:my|that|the last)\b",
    "why": rf"{_HOW} (?:(?:do|did|can|could) (?:you|u)|(?:do|can|could) we)"
           r" (?:know|tell|see|say)\b",
})
_FOUND: Mapping[AskedFor, re.Pattern[str]] = MappingProxyType(
    {wanted: re.compile(words) for wanted, words in _GIVEN.items()}
)
_WORDS_OF_ASKING: Final = (
    "a an the my our your this that these those it its all of one some any another last whole thing"
    " things stuff more me us i we you u to for in on with at out up down here there now then again"
    " and or so but please pls plz thx thanks bit little small tiny bigger better stronger extra"
    " further first next only just still really maybe kind sort want wanna need like rather could"
    " can may might would will shall should do let lets have has got gotta get give gimme show see"
    " throw lend drop offer remind tell say put bring take look at print list read scroll point"
    " solve work calculate find numbers is part question step end straight once before ahead"
    " right"
)
_OF_ASKING: Final = frozenset(_WORDS_OF_ASKING.split())
_IS_WELCOME = re.compile(
    r"\bwould (?:really )?(?:be (?:nice|useful|good|great|handy|helpful|cool)|help)\b|\bcould use\b"
)
_QUANTITIES = re.compile(r"\b(?:energ(?:y|ies)|charges?|voltages?|pd|capacitance|sum|results?)\b")
_OF_WHAT = re.compile(
    r"(?<=\w )(?:for|of|with|about) (?:(?:the|a|two|three|caps?|capacitors) )*"
    rf"(?:{_QUANTITIES.pattern}"
    r"|[cqvuew]\d*\b|in (?:series|parallel)|series|parallel|p\.d\.?)"
    r"(?: (?:in|on|of|across) (?:(?:the|a) )?(?:series|parallel|chain|capacitor|c\d*))?"
)
_OPENS_ASKING = re.compile(
    r"^(?:(?:and|so|ok|okay|well|oh|just|then|now|maybe)\b ?)*(?:how|give|gimme|show|throw|lend"
    r"|drop|offer|remind|tell|say|put|bring|print|list|read|point|let|lets|skip|jump|move|draw|redraw|sketch"
    r"|solve|work|do|you|calculate|help)\b"
    r"|\b(?:want|wanna|need|would like|can (?:i|we|you|u)|could (?:i|we|you|u)|pls|plz|please"
    r"|rather|let)\b"
)


def asked_by_words(clause: str) -> AskedFor | None:
    """What a clause asks for, which comes in small letters, its contractions in full; None for one
    that asks for nothing, or has words that are not of asking.
    """
    clause = re.sub(r"^can not (?=(?:you|u|i|we)\b)", "can ", clause)
    if not _OPENS_ASKING.search(clause) and not _IS_WELCOME.search(clause):
        return None
    found = [
        (wanted == "show", match.start(), wanted) for wanted, words in _FOUND.items()
        if (match := words.search(clause))
    ]
    if not found:
        return None
    wanted = min(found)[2]  # show me the drawing wants the drawing
    rest = _IS_WELCOME.sub(" ", clause)
    if wanted in ("show", "unsure"):  # just tell me the energy, skip to the charge
        rest = _QUANTITIES.sub(" ", rest)
    elif wanted == "hint":  # the formula for the charge, please
        rest = _OF_WHAT.sub(" ", rest)
    for words in _FOUND.values():
        rest = words.sub(" ", rest)
    return wanted if {*re.findall(r"[^\s,]+", rest)} <= _OF_ASKING else None
