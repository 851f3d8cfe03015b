"""The capacitance of the whole where the text gives it, and the capacitor that is sought."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.patterns import Phrase, found_in, rewritten, row
from grammar.lenient.tokens import Chunk

_WHOLE = "(GROUP | WHOLE | THEM | BOTH | TOGETHER | THIS)"
_LINKS = "(A | THE | CEQ | CAPN | OF | ABOUT | EQ)*"
_SURE: Final = (
    f"(THE | A | THEIR)* CEQ+ CAPN* (OF (THE | THIS | THEIR | BOTH)* {_WHOLE} (OF"
    f" THEM)?)? (IS | EQ | COLON | JOIN | TO)+ {_LINKS} CAPV"
    " (?!IN |SER |PAR |PARSIGN |SERSIGN |OPEN )",
    "(A | DET) CEQ+ CAPN* OF CAPV",
    f"(?<!OF )(THE | A | THIS)* {_WHOLE} (IS | HOLD | OF | WITH)+ (A | THE | CEQ)* CAPN (OF |"
    f" IS | EQ)+ CAPV",
    "(THE | THEIR)* CAPN OF (THE | THIS)* (WHOLE | GROUP) (IS | EQ)+ CAPV",
)  # fmt: skip
_CLAIMED = "CLAIM A? CAPV | (?<=SER )EQ CAPV QUERY | (?<=PAR )EQ CAPV QUERY"
# Sure only where a capacitor is sought.
_WHERE_SOUGHT: Final = (
    f"TO (IS | APPLY | JOIN | WISHV | HOLD)+ {_LINKS} CAPV",
    "(IS | APPLY | JOIN | WISHV) (CEQ | CAPN | A | OF)* CAPV (?=STOP |QUERY |COMMA |TOGETHER"
    " |ALL |$)",
)
_SOUGHT: Final = (
    "WISHV (WISHV | CLAIM | OF | TO | IS)* JOIN? (?=(IN )?(SER|PAR) (WITH|TO) )",
    "(WISHV | WHICH) (OTHER | SINGLE)* (CAPN (OF (A | THE)* CAP)? | CAP)"
    " (?=(IS|JOIN|CAP|NAME|IN|SER|PAR|TO|HOLD|APPLY|WISHV|COMMA) )",
    "(?<=CAPV AND )CAPN (?=(IN|SER|PAR) )",
    "WISHV (A | THE)* (CAPN OF (A | THE)* CAP | CAPN | CAP) (?=(IS|JOIN|IN|SER|PAR|TO) )",
)
_OTHER_SOUGHT: Final = row(
    "(WISHV | CAPN OF | IS)+ THE (OTHER | UNKNOWN | ORD2 | ORD3 | ORDLAST) | (THE | A) OTHER QUERY"
    " | UNKNOWN | EQ QUERY"
)


def with_totals(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with what the whole makes a TOTAL, and the one that is sought an unknown one."""
    found = rewritten(rewritten(pieces, _WISHED_FOR), _SURELY)
    asked_of_it = any(e.tag == "IS" and e.text.lower() == "be" for e in found)
    asked_of_it = (
        asked_of_it and found_in(row("CEQ"), found) is not None and found[-1].tag == "QUERY"
    )
    if asked_of_it or any(each.tag == "CLAIM" for each in found):
        found = rewritten(found, _CLAIMED_LAST)
    asks = any(each.tag in ("WISHV", "QUERY") for each in found)
    if not asks or sum(each.tag == "CAPV" for each in found) > 6:
        return found
    sought = rewritten(found, _AS_SOUGHT)
    is_sought = sought != found or found_in(_OTHER_SOUGHT, found) is not None
    if any(each.tag == "TOTAL" for each in found):
        return sought
    if not is_sought:
        return found
    given = _with_the_first(sought)
    return given if any(each.tag == "TOTAL" for each in given) else found


def _with_the_first(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with the likeliest value as that of the whole."""
    whole = _whole_at_the_end(pieces)
    if whole is not None:
        return whole
    for phrase in _IF_SOUGHT:
        span = found_in(phrase.pattern, pieces)
        if span is not None:
            return [*pieces[: span[0]], *_total(pieces[slice(*span)]), *pieces[span[1] :]]
    return list(pieces)


def _whole_at_the_end(pieces: Sequence[Chunk]) -> list[Chunk] | None:
    """``the equivalent capacitance of 3 uF in series with an unknown one is 2 uF``."""
    start = found_in(row("(THE)? CEQ CAPN? OF"), pieces)
    end = found_in(row("IS CAPV (?=STOP |QUERY |COMMA |$)"), pieces, start[1] if start else 0)
    if start is None or end is None:
        return None
    total = _total(pieces[end[0] : end[1]])
    return [*pieces[: start[0]], *pieces[start[1] : end[0]], *total, *pieces[end[1] :]]


def _total(inside: Sequence[Chunk]) -> list[Chunk]:
    value = next(each for each in inside if each.tag == "CAPV")
    text = " ".join(each.text for each in inside)
    return [Chunk("TOTAL", text, inside[0].start, value.datum)]


def _unknown(inside: Sequence[Chunk]) -> list[Chunk]:
    last = inside[-1]
    return [last._replace(tag="UNKNOWN"), last._replace(tag="CAP", text="capacitor")]


def _nothing(_inside: Sequence[Chunk]) -> list[Chunk]:
    return []


# ``I need C so that 9 uF and C in series …``: the second C is the one that is sought.
_WISHED_FOR: Final = (Phrase(row("(?<=WISHV )CAPN (?=(A )?CAPV (AND|WITH) CAPN )"), _nothing),)
_SURELY: Final = tuple(Phrase(row(pattern), _total) for pattern in (*_SURE, _CLAIMED))
_CLAIMED_LAST: Final = (
    Phrase(
        row("(APPLY | IS | JOIN) (A | CEQ | CAPN | OF | ABOUT)* CAPV (?=QUERY |STOP |$)"), _total
    ),
)
_IF_SOUGHT: Final = tuple(Phrase(row(pattern), _total) for pattern in _WHERE_SOUGHT)
_AS_SOUGHT: Final = tuple(Phrase(row(pattern), _unknown) for pattern in _SOUGHT)
