"""A bank of equal capacitors wished for in prose: how many of these make so much."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import found_in, row, text_of
from grammar.lenient.prose_bounds import NoNetworkTold
from grammar.lenient.tokens import Chunk
from grammar.records import Refusal

_HOW_MANY: Final = row("HOWMANY | WISHV MANY | HOWTO")
_OF_EACH_AFTER: Final = frozenset(words("CAP EACH RATED RATING"))
_OF_FOR: Final = re.compile(r"(?i)\bbanks? of\b[^.;?]*\bfor\b(?! each)")
# What stands before the value that is to be made.
_TO_BE_MADE: Final = frozenset(
    words("need needs want wants make makes get gets give gives form forms build replace for")
)
_NEAR: Final = 4  # pieces


def bank_in(pieces: Sequence[Chunk]) -> str | None:
    """The wish in the strict notation; None for any other text."""
    values = [i for i, each in enumerate(pieces) if each.tag in ("CAPV", "TOTAL")]
    volts = [i for i, each in enumerate(pieces) if each.tag in ("VOLT", "RATING")]
    if len(values) == 2 and len(volts) < 2 and _OF_FOR.search(text_of(pieces)):
        raise _without_volts(pieces, values, volts)
    if found_in(_HOW_MANY, pieces) is None or len(values) != 2 or len(volts) != 2:
        return None
    if {"SER", "PAR"} & {each.tag for each in pieces}:
        return None
    likeness = [_is_of_each(pieces, at) for at in values]
    if likeness[0] == likeness[1]:
        return None
    each = likeness.index(max(likeness))
    of_each, whole = values[each], values[1 - each]
    rating, voltage = volts[each], volts[1 - each]
    return (
        f"bank of {pieces[of_each].datum} rated {pieces[rating].datum}"
        f" for {pieces[whole].datum} at {pieces[voltage].datum}"
    )


def _without_volts(pieces: Sequence[Chunk], values: list[int], volts: list[int]) -> Refusal:
    """What is missing of a bank that is told by two capacitances."""
    is_rated = any(each.tag in ("RATED", "RATING") for each in pieces)
    told = str(pieces[volts[0]].datum) if volts else ""
    lacks = "the rating of each capacitor and the p.d. for the whole are"
    if volts:
        lacks = f"the {'p.d. for the whole' if is_rated else 'rating of each capacitor'} is"
    each, whole = (pieces[at].datum for at in values)
    rating, whole_volts = (told or "50 V", "200 V") if is_rated else ("50 V", told or "200 V")
    return NoNetworkTold(
        f"For a bank {lacks} missing.",
        f"Say it as in: bank of {each} rated {rating} for {whole} at {whole_volts}",
    )


def _is_of_each(pieces: Sequence[Chunk], at: int) -> int:
    """How much speaks for a value being that of each: capacitors are named right after it, and
    nothing before it says that it is to be made.
    """
    before = [each.text.lower() for each in pieces[max(0, at - _NEAR) : at]]
    after = [each.tag for each in pieces[at + 1 : at + _NEAR]]
    plural = any(
        each.tag == "CAP" and each.text.lower().endswith("s")
        for each in pieces[max(0, at - 2) : at + _NEAR]
    )
    stop = after.index("CAPV") if "CAPV" in after else len(after)
    made = any(word in _TO_BE_MADE for word in before)
    return 2 * plural + bool(_OF_EACH_AFTER & set(after[:stop])) - 3 * made
