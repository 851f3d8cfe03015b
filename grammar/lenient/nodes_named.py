"""Points named in words, as on a board: ``C1 from 9V to mid, C2 from mid to gnd``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

_WORDS: Final = (
    r"mid(?:dle|point)?|node|tap|cent(?:re|er)|junction|v?out(?:put)?|v?in(?:put)?|sense"
    r"|gnd|ground|earth|0 ?v|vcc|vdd|v\+|supply|[0-9.]+ ?v(?:olts?)?"
)
_NODE: Final = rf"(?:the )?(?P<{{}}>{_WORDS})(?: (?:node|rail|pin|point|tap))?\b"
_PAIR: Final = re.compile(
    rf"(?i)\b(?:(?:from|between) )?{_NODE.format('a')} (?:to|and) {_NODE.format('b')}"
    rf"|\bto {_NODE.format('c')} from {_NODE.format('d')}"
)
_GROUND: Final = re.compile(r"(?i)gnd|ground|earth|0 ?v")
_VOLTS: Final = re.compile(r"(?i)(?!0 ?v)([0-9.]+) ?v(?:olts?)?")
_FED: Final = re.compile(r"(?i)v?in(?:put)?|vcc|vdd|v\+|supply")
_FED_BY: Final = re.compile(
    rf"(?i)\b(?:{_FED.pattern[4:]})\b (?:is|=|at|of) (?P<volts>[0-9.]+ ?v)\b"
)
_ASKED: Final = re.compile(
    rf"(?i)\bwhere does {_NODE.format('a')} (?:sit|settle|end up)"
    r"|\b(?:what(?: is|'s)? )?(?:the )?(?:voltage|volts|potential) (?:at|on|of) "
    rf"{_NODE.format('b')}"
)
_LETTERS: Final = ("P", "R", "S", "T", "W")


def with_nodes(text: str) -> str:
    """The text with letters for the points that it names in words, where two pairs of such points
    hang together; a point with a p.d. of its own is one end, the ground the other.
    """
    pairs = [tuple(each.lower() for each in m.groups() if each) for m in _PAIR.finditer(text)]
    named = [each for pair in pairs for each in pair]
    if len(pairs) < 2 or len(set(named)) < 3 or len(set(named)) == len(named):
        return text
    letters = _lettered(list(dict.fromkeys(named)))
    if letters is None:
        return text
    text = _PAIR.sub(lambda pair: _between(pair, letters), text)
    text = _ASKED.sub(lambda asked: _at(asked, letters), text)
    told = _FED_BY.search(text)
    volts = told["volts"] if told else next(filter(_VOLTS.fullmatch, named), None)
    if volts is None or "A" not in letters.values():
        return text
    text = text.replace(told[0], " ") if told else text
    return f"Supply of {volts} between points A and B. {text}"


def _lettered(nodes: list[str]) -> Mapping[str, str] | None:
    """A letter for each point; None where two are at a p.d. or two are the ground."""
    fed = _VOLTS if any(map(_VOLTS.fullmatch, nodes)) else _FED
    ends = [("A", fed), ("B", _GROUND)]
    found: dict[str, str] = {}
    for letter, kind in ends:
        alike = [each for each in nodes if kind.fullmatch(each)]
        if len(alike) > 1:
            return None
        found |= dict.fromkeys(alike, letter)
    rest = [each for each in nodes if each not in found]
    if len(rest) > len(_LETTERS):
        return None
    return found | dict(zip(rest, _LETTERS, strict=False))


def _between(pair: re.Match[str], letters: Mapping[str, str]) -> str:
    one, other = (letters[each.lower()] for each in pair.groups() if each)
    return f"from point {one} to point {other}"


def _at(asked: re.Match[str], letters: Mapping[str, str]) -> str:
    node = next(each for each in asked.groups() if each).lower()
    if node not in letters:
        return asked[0]
    return f"What is the voltage between points {letters[node]} and B"
