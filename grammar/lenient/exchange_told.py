"""A star that is to be a triangle, or a triangle that is to be a star, told in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.tokens import Chunk

_SHAPES: Final = ("STAR", "TRIANGLE")
_NUMBERS: Final = ("CAPV", "NUM", "WNUM")
_STOPS: Final = ("STOP", "QUERY")
# What else would be asked of such a network.
_ELSE: Final = frozenset(("VOLT", "CHG", "ENE", "SER", "PAR", "SERSIGN", "PARSIGN", "LEN", "NAME"))
_HOLDS: Final = ("OF", "COLON", "WITH", "EQ", "OPEN")


def exchange_in(scanned: Sequence[Chunk]) -> str | None:
    """The shape that is to be exchanged, in the strict notation; None where not both are named, or
    where it is open which of them has the three values.
    """
    pieces = [each._replace(tag="STAR") if _is_wye(scanned, i) else each
              for i, each in enumerate(scanned)]  # fmt: skip
    tags = [*(each.tag for each in pieces), ""]
    if not {*_SHAPES} <= {*tags} or {*tags} & _ELSE or not (values := _three_values(pieces)):
        return None
    at = tags.index("CAPV")
    first = max((i for i in range(at) if tags[i] in _STOPS), default=-1) + 1
    last = next((i for i in range(at, len(tags)) if tags[i] in _STOPS), len(tags))
    near = [i for i in range(first, last) if tags[i] in _SHAPES]
    if len({tags[i] for i in near}) > 1:
        near = [i for i in near if tags[i + 1] in _HOLDS or _is_in(tags, i)]
    kinds = {tags[i] for i in near}
    return f"{kinds.pop().lower()} of {', '.join(values)}" if len(kinds) == 1 else None


def _is_wye(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a Y is how some are joined, and no point."""
    before = pieces[at - 1].tag if at else ""
    return pieces[at].text in ("Y", "y") and before in ("IN", "A", "TO", "THE", "CEQ")


def _is_in(tags: Sequence[str], at: int) -> bool:
    """``in star``, ``in a delta``; not ``into a star``."""
    before = [tag for tag in tags[max(0, at - 2) : at] if tag not in ("A", "THE")]
    return before[-1:] == ["IN"]


def _three_values(pieces: Sequence[Chunk]) -> list[str]:
    """Three values, of which the last may have the unit of all, or one of three; else none."""
    told = [
        each
        for each, after in zip(pieces, [*(e.tag for e in pieces[1:]), ""], strict=True)
        if each.tag in _NUMBERS and after not in ("CAP", "CAPV", "EQUAL")
    ]
    counts = [str(e.datum) for e in pieces if e.tag in ("NUM", "WNUM", "COUNT") and e not in told]
    told = [e for e in told if e.tag == "CAPV"] if counts else told
    if not told or told[-1].tag != "CAPV":
        return [str(e.datum) for e in pieces if e.tag == "CAPV"] * 3 if counts == ["3"] else []
    unit = str(told[-1].datum).partition(" ")[2]
    worths = [str(e.datum) if e.tag == "CAPV" else f"{e.datum} {unit}" for e in told]
    return worths * 3 if len(worths) == 1 and counts == ["3"] else worths * (len(worths) == 3)
