"""A bank of equal capacitors wished for in prose: how many of these make so much."""

from __future__ import annotations

from collections.abc import Sequence

from grammar.lenient.concepts import words
from grammar.lenient.tokens import Chunk

_OF_EACH_AFTER = frozenset(words("CAP EACH RATED RATING"))


def bank_in(pieces: Sequence[Chunk]) -> str | None:
    """The wish in the strict notation; None for any other text."""
    tags = {each.tag for each in pieces}
    values = [i for i, each in enumerate(pieces) if each.tag == "CAPV"]
    volts = [i for i, each in enumerate(pieces) if each.tag in ("VOLT", "RATING")]
    if "HOWMANY" not in tags or len(values) != 2 or len(volts) != 2:
        return None
    if {"SER", "PAR"} & tags:
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


def _is_of_each(pieces: Sequence[Chunk], at: int) -> int:
    """How much speaks for a value being that of each: capacitors are named right after it."""
    after = [each.tag for each in pieces[at + 1 : at + 4]]
    plural = any(
        each.tag == "CAP" and each.text.lower().endswith("s") for each in pieces[at + 1 : at + 4]
    )
    stop = after.index("CAPV") if "CAPV" in after else len(after)
    return 2 * plural + bool(_OF_EACH_AFTER & set(after[:stop]))
