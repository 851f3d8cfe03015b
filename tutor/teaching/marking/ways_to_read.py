"""The ways in which one piece of a line may be meant, the likeliest first."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import product
from typing import Final, NamedTuple, TypeAlias

from tutor.teaching.marking.grading import Topic
from tutor.teaching.marking.problem_kind import ProblemKind, S
from tutor.teaching.marking.statements import has_letter_after_number
from tutor.teaching.marking.unfinished import with_brackets_closed, without_last_dash
from tutor.teaching.marking.unknowns import (
    UNITS_TOO,
    is_in_unknown,
    letters_met,
    with_units_for_letters,
)

_AMID = re.compile(r"(=[^=;]*\d\s*[pnuµμmk]?[FCVJ])\s+(?:[a-z]{3,}\s+){1,3}(?=[\d(][^=;]*=)")
# Two statements, or a product: Q2 = 45 Q3 = 9, and 6 V1 = 3 V2 = 12.
_RUN_ON = re.compile(r"(=\s*\d[\d.]*)\s+(?=[CQVUE]_?\d+\s*=)")
_SIZE = re.compile(r"\|\s*([\w.]+)\s*[-−–]\s*([\w.]+)\s*\|")
_COMMA = re.compile(r"(?<=\d),(?=\d{3}(?!\d))")
_Telling: TypeAlias = Callable[[str], str]


class WayToRead(NamedTuple):
    """A piece as it may be meant; ``in_letters``: C and V after a number are no units.

    ``in_unknown``: such a letter is an unknown of the pupil's, ``surely`` where it can be nothing
    else.
    """

    text: str
    in_letters: bool = False
    in_unknown: bool = False
    surely: bool = False


def ways_to_read(by: ProblemKind[S, Topic], sheet: S, piece: str) -> Iterator[WayToRead]:
    """A piece in every way in which it may be meant, each made when it is asked for."""
    met = letters_met(by.names(sheet))
    own = list(_in_unknowns(by, sheet, piece, met)) if "=" in piece else []
    if met.intersection(UNITS_TOO):
        yield from own
    found: dict[str, None] = {}
    for told in dict.fromkeys(_as_told(piece)):
        for text in by.readied(sheet, told):
            if text not in found:
                found[text] = None
                yield WayToRead(text)
    yield from (WayToRead(text, True) for text in found if has_letter_after_number(text))
    letters = "".join(each for each in by.reader(sheet).letters if len(each) == 1)
    if letters and not set(letters) & {*UNITS_TOO}:
        behind = re.compile(rf"(?<![A-Za-z])([{letters}])\s+[CV](?=\s*$)")
        yield from (WayToRead(behind.sub(r"\1", text)) for text in found if behind.search(text))
    yield from own


def _in_unknowns(
    by: ProblemKind[S, Topic], sheet: S, piece: str, met: frozenset[str]
) -> Iterator[WayToRead]:
    """A piece with C or V for an unknown of the pupil's, where no value here is called so."""
    taken = {by.called(sheet, about)[1] for about in by.truth(sheet)} | by.reader(sheet).letters
    free = [letter for letter in UNITS_TOO if letter not in taken]
    for text in by.readied(sheet, piece):
        for own in with_units_for_letters(text, free, met):
            yield WayToRead(own, in_unknown=True, surely=is_in_unknown(text, met))


def _as_told(piece: str) -> Iterator[str]:
    """With every choice between two readings taken the one way and the other; then as what breaks
    off at its end.
    """
    begun = _closed_before_end(piece)
    for parted, comma, size in product(_PARTINGS, _COMMAS, _SIZES):
        yield parted(size(comma(begun)))
    yield without_last_dash(begun)
    yield with_brackets_closed(piece)


def _closed_before_end(piece: str) -> str:
    """With its brackets closed, but for what is open at its end."""
    before, equals, _ = with_brackets_closed(piece).rpartition("=")
    return f"{before}{equals}{piece.rpartition('=')[2]}"


def _as_it_stands(piece: str) -> str:
    return piece


def _parted_by_words(piece: str) -> str:
    """Words between two statements part them: Q2 = 150 uC would need 150/5 = 30 V."""
    return _AMID.sub(r"\1; ", piece)


def _parted_by_names(piece: str) -> str:
    """A name behind a plain number begins a statement: Q2 = 45 Q3 = 9."""
    return _RUN_ON.sub(r"\1; ", piece)


def _with_decimal_commas(piece: str) -> str:
    """A comma before three digits is a decimal one: 2,500 for two and a half."""
    return _COMMA.sub(".", piece)


def _with_thousands(piece: str) -> str:
    """It stands between thousands."""
    return _COMMA.sub("", piece)


def _with_size(piece: str) -> str:
    """The size of a difference, where the first is the larger: |V1 - V2|."""
    return _SIZE.sub(r"(\1 - \2)", piece)


def _with_size_turned(piece: str) -> str:
    """The same, where the second is."""
    return _SIZE.sub(r"(\2 - \1)", piece)


_PARTINGS: Final[tuple[_Telling, ...]] = (
    _as_it_stands,
    _parted_by_words,
    _parted_by_names,
)
_COMMAS: Final[tuple[_Telling, ...]] = (_with_decimal_commas, _with_thousands)
_SIZES: Final[tuple[_Telling, ...]] = (_with_size, _with_size_turned)
