"""The words in which a change is put: patterns, how many times, and values with their units."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

_TIMES: Final[tuple[tuple[str, Fraction], ...]] = (
    (r"doubles?|doubled|twice|two times|2 times|x ?2|× ?2", Fraction(2)),
    (r"trebles?|trebled|triples?|tripled|thrice|three times", Fraction(3)),
    (r"quadruples?|quadrupled|four times", Fraction(4)),
    (r"five times", Fraction(5)),
    (r"ten times", Fraction(10)),
    (r"halved?|halves|half", Fraction(1, 2)),
    (r"(?:one |a )third", Fraction(1, 3)),
    (r"(?:one |a )quarter|quartered", Fraction(1, 4)),
    (r"(?:one |a )tenth", Fraction(1, 10)),
)
_FACTOR = re.compile(
    r"(?i)(?<![\w.,])(\d+(?:[.,]\d+)?)\s*(?:times|x|×|fold)(?!\w)|(?:×|\*|times)\s*(\d+)"
)
_PER_CENT = re.compile(r"(?i)(\d+(?:[.,]\d+)?)\s*(?:%|per ?cent)")
MORE = r"larger|bigger|greater|more|increase[sd]?|rises?|raised|goes up|higher|up"
LESS = r"smaller|less|decrease[sd]?|reduce[sd]?|falls?|lowered|goes down|lower|down"
FOLLOWS = r"charges?|p\.?d\.?|voltages?|potential difference|energy|energies"
SAME_AS = re.compile(r"(?i)=|\b(?:equals?|equal to|the same as|as large as)\b")
GONE = (
    r"removed?|removing|taken (?:out|away|off)|take (?:out|away|off)|took (?:out|away|off)|gone|"
    r"missing|not there|left out|cut(?: out)?|disconnect(?:ed)?|unplugged|broken|breaks|no|without|"
    r"absent|deleted?|open(?:ed)?|drop(?:ped)?|out|not (?:in|present)|were ?n[o']t there|"
    r"never(?: been)?(?: there)?"
)
NEVER_THERE = (
    r"missing|not there|no|without|absent|not (?:in|present)|were ?n[o']t there|"
    r"never(?: been)?(?: there)?"
)
ONCE_CHARGED = r"(?:once|when|while|with|after) .*charged?"
WIRE = r"wires?|wired|short(?:ed)?(?:[\s-]circuit(?:ed)?)?|short[\s-]circuits?|bridged"
SWAP = (
    r"swap(?:s|ped)?|(?:change[sd]?|trade[sd]?|exchange[sd]?) places|exchanged?|"
    r"switch(?:ed|es)?(?: places)?|interchanged?|places?"
)
ADD = r"add(?:ed|s|ing)?|another|extra|one more|put|joined?|connect(?:ed)?|placed|new|also"
SUPPLY = (
    r"supply|supply'?s|battery|cell|source|supplied|e\.?m\.?f\.?|p\.?d\.?|voltages?|volts|"
    r"potential difference|charge|V|U|Q"
)
SERIES = r"in series|series|in (?:a|the) chain|chain|in a row|--"
PARALLEL = r"in parallel|parallel|side by side|beside|\|\|"
ALL = (
    r"all(?: (?:of them|the capacitors|capacitors))?|every(?: capacitor|thing)?|"
    r"each(?: capacitor)?|both"
)
VALUE = re.compile(
    r"(?i)(\d[\d.,]*(?:e[+-]?\d+)?\s*(?:(?:pico|nano|micro|milli|kilo|mega)[\s-]?)?"
    r"[pnuµμmkM]?(?:farads?|volts?|coulombs?|[fvc])(?![a-z0-9]))"
)

BELOW_ZERO = re.compile(r"(?:^|[\s=(])[-−–](?=[\d.,])|\b(?:minus|negative)\s+\d", re.IGNORECASE)


def has(text: str, words: str) -> bool:
    """Whether one of these words stands in the text."""
    return re.search(rf"(?i)(?<![\w'])(?:{words})(?![\w'])", text) is not None


def factor_in(text: str) -> Fraction | None:
    """How many times as large: doubled, 1.5 times, 20 % larger; None where it is not said."""
    if found := _FACTOR.search(text):
        return Fraction((found[1] or found[2]).replace(",", ".")) or None
    if found := _PER_CENT.search(text):
        share = Fraction(found[1].replace(",", ".")) / 100
        down = has(text, LESS)
        if share and (not down or share < 1):
            return 1 - share if down else 1 + share
        return None
    return next((factor for words, factor in _TIMES if has(text, words)), None)


def vague_factor_in(text: str) -> Fraction | None:
    """Larger is taken as twice, smaller as half: the direction is the same for any."""
    if has(text, MORE):
        return Fraction(2)
    return Fraction(1, 2) if has(text, LESS) else None
