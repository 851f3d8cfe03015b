"""Which plates are joined: ``the positive plate of C1 to the negative plate of C2``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.patterns import phrases, rewritten, text_of
from grammar.lenient.tokens import Chunk

_SIGNS: Final = ("POSITIVE", "NEGATIVE")
_OF_WHOM: Final = (
    "(THE | A | PLATE | TERMINAL | OFSIDE | OF | EACH | ONE | CAP | OTHER | BOTH | THEM | ALL"
    " | THIS | THEIR | NAME | CAPV | CHARGED | OPEN | CLOSE | ORD1 | ORD2 | SINGLE | WNUM | IN"
    " | EQUAL | ORDLAST | FORMER)*"
)
_SIGN: Final = f"(THE | THEIR | ALL | BOTH)* (POSITIVE | NEGATIVE) {_OF_WHOM}"
_ONTO: Final = "(IS | JOIN | TOGETHER | THEN | BY | A | WIRE)* (TO | WITH | ON | JOIN)+"
_MEETING: Final = f"{_SIGN} {_ONTO} {_SIGN}"
# Their positive plates together: those of one sign, as they are told of several.
_OF_ONE_SIGN: Final = (
    "(THE | THEIR | ALL | BOTH)+ POSITIVE (PLATE | TERMINAL | OFSIDE)? IS* (TOGETHER | JOIN)+"
    "(?! (TO | WITH | ON))"
)


def with_polarities(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every such clause as what is joined, and how its plates are."""
    return rewritten(pieces, _CLAUSES)


def _met(inside: Sequence[Chunk]) -> list[Chunk] | None:
    signs = [each.tag for each in inside if each.tag in _SIGNS]
    which = inside[0]._replace(
        tag="LIKEPL" if signs[0] == signs[1] else "CROSSED",
        text=text_of(inside),
    )
    whom = list(dict.fromkeys(e._replace(start=0) for e in inside if e.tag in ("NAME", "CAPV")))
    if len(whom) != 2:
        return [inside[0]._replace(tag="TOGETHER", text="together"), which]
    first, second = whom
    join, to = which._replace(tag="JOIN", text="joined"), which._replace(tag="TO", text="to")
    return [first, join, to, second, which]


def _together(inside: Sequence[Chunk]) -> list[Chunk]:
    """Whose positive plates meet, are joined."""
    which = inside[0]._replace(tag="LIKEPL", text=text_of(inside))
    joins = [each for each in inside if each.tag == "JOIN"][:1]
    return [*joins, which._replace(tag="TOGETHER", text="together"), which]


_CLAUSES: Final = phrases(
    (f"{_MEETING} ((COMMA | AND)+ {_MEETING})?", _met),
    (f"{_OF_ONE_SIGN} (AND+ (THE | THEIR | ALL | BOTH)* NEGATIVE (PLATE | TERMINAL | OFSIDE)?"
     " IS* (TOGETHER | JOIN)*)?",
     _together),
)  # fmt: skip
