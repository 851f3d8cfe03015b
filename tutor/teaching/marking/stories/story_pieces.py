"""A piece about a problem in stages in the names and letters that are read here."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial
from types import MappingProxyType
from typing import Final

from grammar.handwriting import TO
from tutor.circuit.values import Value
from tutor.teaching.marking.labels import with_ones_named
from tutor.teaching.marking.plainer_lines import BECOMES
from tutor.teaching.marking.statements import Reader
from tutor.teaching.marking.stories.held_after import with_prime_for_after
from tutor.teaching.marking.stories.paper import Paper, capacitances_given, given_named, names_on
from tutor.teaching.marking.stories.story_words import label_in, readable, with_levels
from tutor.teaching.staged.measuring import SHORT, letters_in, speaks_of_sizes
from tutor.teaching.staged.story import is_called

PREFIXES: Mapping[str, int] = MappingProxyType({"p": -12, "n": -9, "u": -6, "µ": -6, "m": -3})
_TOLD_BY_VALUE: Final = re.compile(r"(?<![\d.])(\d+(?:\.\d+)?)\s*([pnuµμm])?F\b")
NO_CHANGE: Final = (
    r"(?:(?:does|do|did|will|wo|can|ca|has|have|is)(?:\s+not|n['’]?t)|cannot|never)\s+(?:be\s+)?"
    r"(?:chang|alter)\w*"
)
_UNFILLED = r"(?:(?:without|no)\s+(?:the\s+)?[a-z]+|in\s+(?:air|vacuum)|empty|unfilled)"
_EMPTY: Final = re.compile(
    rf"\bC\s+(?:is\s+)?{_UNFILLED}(?=\s*=)|\b{_UNFILLED}(?:\s+it\s+is)?[\s,:]+C(?=\s*=)"
)
_CHANGED: Final = re.compile(rf"\s*(\d[\d.]*)\s*{BECOMES}\s*(\d[\d.]*)\s*([pnuµμmk]?[FCVJ])\s*")
_BEFORE: Final = re.compile(r"\b([CQVUE])\s+(?:before|at\s+first|beforehand|initially)\s*=")
_BEFORE_SAID_FIRST: Final = re.compile(
    r"^\s*(?:before(?:\s+(?:that|this))?|at\s+first|initial(?:ly)?|original(?:ly)?)[\s,:]+(?:the\s+)?"
    r"(?-i:([CQVUE]))\s*(?:=|:|is\b|was\b)",
    re.IGNORECASE,
)
_GOES_ON: Final = re.compile(
    r"^\s*([QVUE])\b(?:\s*(?:=|:|is|are|the))*\s+(?:the\s+)?"
    rf"(?:same|stays?|still|remains?|unchanged|constant|kept|{NO_CHANGE})\b"
    r"[^=\d]*=?\s*(?=\d)"
)
_ITS_POINT: Final = re.compile(  # of an arm or a side: 15 uF (A), 1 uF from A to B
    r"(\d\s*[pnuµμm]?F)\s*(?:\([A-Z]\)|(?:from\s+|between\s+)?[A-Z]\s*(?:to|and|-)\s*[A-Z]\b)"
)
_SHARED_OUT: Final = re.compile(rf"\d[\d.]*(?:{TO}\d[\d.]*)+")  # how, and no value


def levels_said(paper: Paper, text: str) -> Iterator[str]:
    """The points whose letter means a quantity as well, where a script takes it for a potential: it
    is added to the letter of another point or taken from it, or has volts.
    """
    points = _points(paper)
    for point in names_on(paper).intersection(points):
        in_volts = rf"\b{point}\s*=\s*-?[\d.]+\s*[mk]?V\b"
        if len(points) > 1 and (_stands_beside(point, points, text) or re.search(in_volts, text)):
            yield point


def _stands_beside(point: str, points: Sequence[str], text: str) -> bool:
    """Whether the letter of a point is added to that of another one, or taken from it."""
    others = "|".join(other for other in points if other != point)
    pairs = ((point, f"(?:{others})"), (f"(?:{others})", point))
    sums = (rf"(?<![A-Za-z_]){one}\s*[-−+]\s*\d*\s*{other}\b" for one, other in pairs)
    return bool(others) and re.search("|".join(sums), text) is not None


def in_large_letters(paper: Paper, text: str) -> str:
    """A script with the letters of points as the text has them, where it writes them small: 7p is
    no number of picofarads beside p - q.
    """
    small = [point.lower() for point in _points(paper)]
    if not any(_stands_beside(point, small, text) for point in small):
        return text
    letter = rf"(?<![A-Za-z_'’])({'|'.join(small)})(?![A-Za-z\d_'’:])"
    return re.sub(letter, lambda found: f" {found[1].upper()}", text)


def piece_readied(paper: Paper, piece: str) -> tuple[str, ...]:
    """A piece in the names that are read here, where a letter may also be that of a point."""
    points = [*_lone_points(paper), *paper.levels]
    piece = _ITS_POINT.sub(r"\1", _SHARED_OUT.sub(" ", piece))
    piece = _EMPTY.sub("C0", _CHANGED.sub(partial(_at_both_times, paper), piece))
    piece = _BEFORE_SAID_FIRST.sub(r"\1 before =", piece)
    piece = _BEFORE.sub(partial(_as_given_before, paper), piece)
    piece = with_prime_for_after(paper, _GOES_ON.sub(partial(_as_after, paper), piece))
    ways = (points, _points(paper), _lone_points(paper))
    return tuple(dict.fromkeys(_in_our_names(paper, with_levels(piece, way)) for way in ways))


def _at_both_times(paper: Paper, said: re.Match[str]) -> str:
    """A value before and after a change under the name of its kind, 8 → 24 µF; of several
    capacitors the one after.
    """
    before, after, unit = said.groups()
    symbol = {"F": "C", "C": "Q", "V": "V", "J": "E"}[unit[-1]]
    is_of_one = set(capacitances_given(paper)) == {"C1"}
    first = f"{symbol} before = {before} {unit}; " if is_of_one else ""
    return f"{first}{symbol} = {after} {unit}"


def _as_given_before(paper: Paper, said: re.Match[str]) -> str:
    """A name of its own for what was before a change, where the text gives that."""
    is_given = given_named(paper, said[1]) and len(said[1]) == 1
    return f"{said[1]}0 =" if is_given else said[0]


def _as_after(paper: Paper, said: re.Match[str]) -> str:
    """The value after a change for one that is said to stay as it was, where it is still asked."""
    places = [at for at in paper.own if is_called(paper.asks[at], said[1])]
    return f"{said[1]}' = " if len(places) > 1 and places[-1] not in paper.stated else said[0]


def _in_our_names(paper: Paper, piece: str) -> str:
    is_metric = speaks_of_sizes(paper.story)
    for letter, name in SHORT.items() if is_metric else ():
        called = [ask for ask in paper.asks if is_called(ask, letter)]
        if not called and any(ask.name == name for ask in paper.asks):
            piece = re.sub(rf"(?<![A-Za-z_\d]){letter}(?=\s*=)", name, piece)
    return readable(piece, is_metric)


def reader_on(paper: Paper) -> Reader:
    """What means something on this paper by now."""
    asked = tuple(dict.fromkeys(ask.name for ask in paper.asks if ask.name))
    return Reader(
        names_on(paper),
        frozenset(letters_in(paper.story)),
        lambda text: label_in(told_by_names(paper, text)),
        asked,
        counts=True,
    )


def told_by_names(paper: Paper, words: str) -> str:
    """Words with the names of capacitors in the place of the values by which they are told."""
    found: dict[Value, str] = {}
    for name, value in capacitances_given(paper).items():
        found[value] = name if value not in found else ""

    def named(match: re.Match[str]) -> str:
        scale = Fraction(10) ** PREFIXES.get((match[2] or "").replace("μ", "µ"), 0)
        return found.get(Fraction(match[1]) * scale) or match[0]

    return with_ones_named(_TOLD_BY_VALUE.sub(named, words), capacitances_given(paper))


def _lone_points(paper: Paper) -> list[str]:
    """The points whose potential is asked and whose letter alone means nothing else here."""
    taken = names_on(paper)
    return [point for point in _points(paper) if point not in taken]


def _points(paper: Paper) -> list[str]:
    """The points of one letter whose potential is asked."""
    asked = (a.name.removeprefix("V_") for a in paper.asks if a.name.startswith("V_"))
    return [point for point in asked if len(point) == 1 and point.isupper()]
