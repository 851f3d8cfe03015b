"""The clauses of a text that build up its network, and what stands beside them."""

from __future__ import annotations

import re
from typing import Final

from grammar.lenient.way_words import AMOUNT, NAME
from grammar.lenient.ways_told import ASKS, SENTENCE

BLOCK: Final = r"(?:block|box|group|half|section|unit|lump|module|brick|package)"
# A group by how many are in it, or by how it is joined: the trio, the parallel pair.
SIZED: Final = (
    r"the (?:(?P<way>series|parallel) )?(?:(?P<size>pair|two|trio|three|four|five)\b(?! [0-9])"
    r"|(?:group|set|bank|chain|row|block) of (?P<many>two|three|four|five)\b(?! [0-9]))"
)
_CUT: Final = re.compile(
    r"(?i)[.;\n](?![0-9])|,? (?:and |then |finally |lastly |next )+(?=(?:put|shunt|chain|add|join"
    r"|connect|bridge|place|hang|string|across|over|directly across)\b)"
    r"|, (?=(?:put|shunt|chain|add|place) )"
    rf"|,? (?:and )?(?=(?:the|an?) {AMOUNT} (?:comes|goes|sits|hangs|lies|follows|after|before)\b)"
    rf"|, and (?=(?:the|an?|another) {AMOUNT} (?:capacitor )?is in (?:series|parallel) with)"
)
_CLAUSE: Final = re.compile(
    r"(?i)(?:(?<=in series)|(?<=in parallel)),? (?:and |then )*"
    r"(?=(?:two|three|four|five|the|an?|another) [^,.;\n]{1,40}? (?:is|are|sits?|goes|comes?)\b)"
)
# So many of one value to begin with, and some of them, or the last.
_STOCK: Final = re.compile(
    rf"(?i)^\s*(?:(?:there are|we have|you have|i have|take|given|here are) )?"
    rf"(?P<many>three|four|five|six|seven|eight)(?: (?:equal|identical))?"
    rf"(?:(?: capacitors?| caps?| condensers?)?,? (?:all|each)(?: of| are)* (?P<worth>{AMOUNT})"
    rf"| (?P<worth2>{AMOUNT}) (?:capacitors?|caps?|condensers?))[.;:]"
)
_SOME_OF_IT: Final = re.compile(
    r"(?i)\b(?:the other )?(?P<some>two|three|four|five|one)(?: others?)? of (?:them|these)\b"
    r"|\bthe (?:last|remaining|other|left-?over) (?:one|capacitor)\b"
)
_OF_A_NAME: Final = re.compile(rf"(?i)\b{NAME} ?(?:=|is) ?{AMOUNT}")
_JOINS: Final = re.compile(
    rf"(?i)\b(?:series|parallel|across (?!\d)|side|beside|then|after|behind|{BLOCK})\b"
)


def out_of_stock(text: str) -> str:
    """``Six, all 4 uF. Two of them …``: each time so many of that value."""
    stock = _STOCK.match(text)
    if stock is None:
        return text
    worth = stock["worth"] or stock["worth2"]
    return _SOME_OF_IT.sub(lambda s: f"{s['some'] or 'another'} {worth}", text[stock.end() :])


def parted(text: str) -> tuple[list[str], list[str]]:
    """The clauses that tell of the network, and the sentences beside them."""
    told: list[str] = []
    rest: list[str] = []
    for sentence in SENTENCE.findall(text):
        names_some = re.search(rf"(?i)(?<![0-9.a-z]){AMOUNT}|\b{NAME}", sentence)
        blocks = re.search(rf"(?i)\b(?:{BLOCK}|halves|boxes|{SIZED})", sentence)
        given = _OF_A_NAME.search(sentence) and not _JOINS.search(sentence)
        if ASKS.search(sentence) or given or not (names_some or blocks):
            rest.append(sentence)
        else:
            cut = (part for each in _CLAUSE.split(sentence) for part in _CUT.split(each))
            told += [each for each in cut if each.strip()]
    return told, rest
