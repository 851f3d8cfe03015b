"""A text cut into what is said at one time: sentences, and clauses that could stand alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import row, tags_of
from grammar.lenient.tokens import Chunk

_SOME: Final = (
    "((WNUM | COUNT | THE | A | DET | THIS | OTHER | ALL | BOTH | SER | PAR | ORD1 | ORD2 | ORD3"
    " | ORD4 | ORDLAST | EQUAL | SINGLE | WHOLE | CAP)*"
    " (NAME | CAPV | CAP | GROUP | WHOLE | THEM | THIS | REF | BOTH | OTHER | ALL))"
)
_MORE: Final = "((A | DET | THE | WNUM | COUNT | OTHER)* (NAME | CAPV | CAP))"
_SUBJECT: Final = f"{_SOME} CAP? ((COMMA | AND)+ {_MORE} CAP?)*"
_JOINED_SO: Final = (
    "THEN? IS (JOIN | THEN | BOTH | ALL | TOGETHER | THEM)* IN? (WNUM | COUNT)? (SER | PAR)"
)
_CLAUSE: Final = row(f"{_SUBJECT} {_JOINED_SO}")
_NEXT_CLAUSE: Final = row(f"(COMMA | AND | THEN | IF)+ {_SUBJECT} {_JOINED_SO}")

# What one is told to do next: put that in series with a 10 nF.
_TOLD: Final = row("(COMMA | AND | THEN)+ JOIN (?!IN)(?!TO)(?!WITH)(?!TOGETHER)")
_HOW: Final = row("SER | PAR | ACROSS")
_ORDERS: Final = frozenset(
    words(
        "put add connect join place attach wire hook insert stick set tie fit link solder hang lay "
        "bring bridge run make form"
    )
)


def sentences(pieces: Sequence[Chunk]) -> list[list[Chunk]]:
    """The pieces of each sentence; a question ends with its mark."""
    found: list[list[Chunk]] = [[]]
    for index, piece in enumerate(pieces):
        if piece.tag == "STOP" or _begins_a_clause(found[-1], pieces[index:]):
            found.append([])
            continue
        found[-1].append(piece)
        if piece.tag == "QUERY":
            found.append([])
    return [each for each in found if each]


def _is_order(verb: str) -> bool:
    told = verb.lower()
    return bool({told, told.removesuffix("s"), told.removesuffix("es")} & _ORDERS)


def _begins_a_clause(before: Sequence[Chunk], rest: Sequence[Chunk]) -> bool:
    """Whether what has been said could stand alone, and so could what follows a comma or an and:
    ``C1 and C2 are in series, the two pairs are in parallel``.
    """
    if rest[0].tag not in ("COMMA", "AND") or not before:
        return False
    tags = tags_of(rest)
    following = _NEXT_CLAUSE.match(tags)
    if following is not None:
        if rest[0].tag == "AND" and "COMMA " in following[0]:
            return False  # C2 and C3, and C4 is …: at the comma
        return _CLAUSE.search(tags_of(before)) is not None
    told = _TOLD.match(tags)
    if told is None or not _is_order(rest[told[0].count(" ") - 1].text):
        return False
    return all(_HOW.search(each) for each in (tags_of(before), tags))
