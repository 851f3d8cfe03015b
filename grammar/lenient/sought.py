"""Which capacitances of a text are not of parts: what the whole makes, and the one that is sought.

A value is that of the whole after a word for it (the total is 6 uF), and, where a capacitor is
sought, after a verb that tells what comes out (gives 6 uF, to get 6 uF).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import Phrase, found_in, rewritten, row, tags_of
from grammar.lenient.tokens import Chunk

_WHOLE = "(GROUP | WHOLE | THEM | BOTH | TOGETHER | THIS)"
_LINKS = "(A | THE | CEQ | CAPN | OF | ABOUT | EQ | AT)*"
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
_COMES_OUT: Final = frozenset(
    words(
        "give gives giving gave make makes making made get gets getting got obtain obtains yield "
        "yields equal equals become becomes becoming reach reaches bring brings bringing brought "
        "reduce reduces lower lowers raise raises come comes came total totals result results "
        "be increase increases decrease decreases end ends wind for reads read shows measures"
    )
)
# Those that say so whatever is asked; others only where a capacitor is clearly sought.
_SURELY_COMES_OUT: Final = _COMES_OUT - frozenset(words("be for end ends wind"))
_WANTED: Final = ("need", "needs", "want", "wants")
# Between such a verb and the value that comes out.
_BEFORE_WHAT_COMES_OUT: Final = frozenset(
    words("A THE THEIR DET CEQ CAPN OF ABOUT TO TOGETHER THEM BOTH WHOLE GROUP THIS IN ALL AT UP")
)
# What may stand between asking and the joint: how big a capacitor do I have to put in series with.
_ASKED_FOR: Final = (
    "WISHV (WISHV | CLAIM | OF | TO | IS | A | THE | DET | CAP | CAPN | WHICH | THEM | JOIN | APPLY"
    " | TAKE | HOLD | OTHER | SINGLE | CAN | FOR | BE | SOUGHT | LC | MANY)*"
    " (?=(IN )?(SER|PAR) (WITH|TO) )",
    "(WISHV | WHICH) (OTHER | SINGLE)* (CAPN (OF (A | THE)* CAP)? | CAP)"
    " (?=(IS|JOIN|CAP|NAME|IN|SER|PAR|TO|APPLY|WISHV|COMMA) )",
    "(?<=CAPV AND )CAPN (?=(IN|SER|PAR) )",
    "WISHV (A | THE)* (CAPN OF (A | THE)* CAP | CAPN | CAP) (?=(IS|JOIN|IN|SER|PAR|TO) )",
)
_OTHER_SOUGHT: Final = row(
    "(WISHV | CAPN OF | IS)+ THE (OTHER | UNKNOWN | ORD2 | ORD3 | ORDLAST) | (THE | A) OTHER QUERY"
    " | UNKNOWN | EQ QUERY"
)
_A_NAME: Final = row("WISHV (IS | THE | CAPN | OF | COLON)* NAME")
_VALUED: Final = row(
    "NAME CLOSE? (EQ | IS | OF | COLON | OPEN | WITH | A | CAPN | COMMA | CAP)* CAPV"
)
_WITHOUT_VALUE: Final = row("(?<!CAPV )CAP (?=(IN |JOIN |IS )*(SER|PAR) )")
_MOST_VALUES: Final = 6
_NEAR: Final = 6  # pieces from a name up to its value


def with_sought(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with what the whole makes a TOTAL, and the one that is sought an unknown one."""
    found = _of_its_facts(rewritten(rewritten(pieces, _SOMETHING), _SURELY))
    found = _as_claimed(found)
    asks = any(each.tag in ("WISHV", "QUERY") for each in found)
    if not asks or sum(each.tag == "CAPV" for each in found) > _MOST_VALUES:
        return found
    sought = rewritten(found, _AS_SOUGHT)
    is_sought = sought != found or found_in(_OTHER_SOUGHT, found) is not None
    is_sought = is_sought or _wants_a_name(found) or _leaves_one_open(found)
    if any(each.tag == "TOTAL" for each in found):
        return _with_the_open_one(sought)
    if not is_sought:
        return found
    given = _with_what_comes_out(sought)
    told = any(each.tag in ("TOTAL", "VOLT", "CHG", "ENE") for each in given)
    return _with_the_open_one(given) if told else found


def _with_the_open_one(pieces: list[Chunk]) -> list[Chunk]:
    """``a capacitor in parallel with a 4 uF one brings the total to 6 uF``: the first is sought."""
    is_said = any(each.tag == "UNKNOWN" for each in pieces)
    return pieces if is_said else rewritten(pieces, _OPEN)


def _leaves_one_open(pieces: Sequence[Chunk]) -> bool:
    """Whether something comes out of a joint in which a capacitor has no value: what is it?"""
    values = [i for i, each in enumerate(pieces) if each.tag == "CAPV"]
    told = [i for i in values if _word(pieces, i) in _SURELY_COMES_OUT and _comes_out(pieces, i)]
    return len(values) == 2 and bool(told) and found_in(_WITHOUT_VALUE, pieces) is not None


def _wants_a_name(pieces: Sequence[Chunk]) -> bool:
    """Whether a capacitor is asked for by its name, and nothing gives it a value."""
    wished = found_in(_A_NAME, pieces)
    if wished is None:
        return False
    name = pieces[wished[1] - 1].datum
    places = [i for i, each in enumerate(pieces) if each.tag == "NAME" and each.datum == name]
    return not any(_VALUED.match(tags_of(pieces[at : at + _NEAR])) for at in places)


def _with_what_comes_out(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with the likeliest value as that of the whole."""
    whole = _whole_at_the_end(pieces)
    if whole is not None:
        return whole
    values = [i for i, each in enumerate(pieces) if each.tag == "CAPV"]
    likely = [i for i in values if _comes_out(pieces, i)]
    likely += [i for i in values if _word(pieces, i) in _WANTED]
    if not likely:
        return list(pieces)
    at = likely[0]
    total = pieces[at]._replace(tag="TOTAL")
    return [*pieces[: _verb_before(pieces, at)], total, *pieces[at + 1 :]]


def _comes_out(pieces: Sequence[Chunk], at: int) -> bool:
    before = max(_verb_before(pieces, at), 0)
    earlier = pieces[:before]
    if _word(pieces, at) in _COMES_OUT:
        return any(each.tag in ("SER", "PAR", "UNKNOWN") for each in earlier)
    after_a_joint = bool(earlier) and earlier[-1].tag in ("SER", "PAR")
    return after_a_joint and pieces[before].tag in ("IS", "EQ")


def _word(pieces: Sequence[Chunk], at: int) -> str:
    return pieces[max(_verb_before(pieces, at), 0)].text.lower()


def _verb_before(pieces: Sequence[Chunk], at: int) -> int:
    """Where the verb stands of which a value may be what comes out; at least the one before it."""
    verb = at - 1
    while verb > 0 and pieces[verb].tag in _BEFORE_WHAT_COMES_OUT:
        if pieces[verb].text.lower() in (*_COMES_OUT, *_WANTED):
            break
        verb -= 1
    return verb


def _whole_at_the_end(pieces: Sequence[Chunk]) -> list[Chunk] | None:
    """``the equivalent capacitance of 3 uF in series with an unknown one is 2 uF``."""
    start = found_in(row("(THE)? CEQ CAPN? OF"), pieces)
    end = found_in(row("IS CAPV (?=STOP |QUERY |COMMA |$)"), pieces, start[1] if start else 0)
    if start is None or end is None:
        return None
    total = _total(pieces[end[0] : end[1]])
    return [*pieces[: start[0]], *pieces[start[1] : end[0]], *total, *pieces[end[1] :]]


def _as_claimed(pieces: list[Chunk]) -> list[Chunk]:
    """``is 4 uF in series with 12 uF 3 uF?``: what is put forward is to be shown."""
    asked_of_it = any(e.tag == "IS" and e.text.lower() == "be" for e in pieces)
    asked_of_it = asked_of_it and found_in(row("CEQ"), pieces) is not None
    asked_of_it = asked_of_it and pieces[-1].tag == "QUERY"
    if asked_of_it or any(each.tag == "CLAIM" for each in pieces):
        return rewritten(pieces, _CLAIMED_LAST)
    return pieces


def _of_its_facts(pieces: list[Chunk]) -> list[Chunk]:
    """``what capacitance stores 2 J at 200 V``: no capacitor is named, so that one is sought."""
    tags = [each.tag for each in pieces]
    if {"CAPV", "NAME", "CAP", "UNKNOWN"} & {*tags} or "CAPN" not in tags or "WISHV" not in tags:
        return pieces
    at = tags.index("CAPN")
    return [*pieces[:at], *_unknown(pieces[at : at + 1]), *pieces[at + 1 :]]


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
_SOMETHING: Final = (
    Phrase(row("(?<=WISHV )CAPN (?=(A )?CAPV (AND|WITH) CAPN )"), _nothing),
    Phrase(
        row("(?<!OF )(?<!IS )(?<!EQ )(?<!NAME )(A | ONE)? UNKNOWN ONE? (?!CAP|CAPN|NAME|OF)"),
        _unknown,
    ),
)
_OPEN: Final = (Phrase(row("(?<!CAPV )CAP (?=(IN |JOIN |IS )*(SER|PAR) (WITH|TO) )"), _unknown),)
_SURELY: Final = tuple(Phrase(row(pattern), _total) for pattern in (*_SURE, _CLAIMED))
_CLAIMED_LAST: Final = (
    Phrase(
        row("(APPLY | IS | JOIN) (A | CEQ | CAPN | OF | ABOUT)* CAPV (?=QUERY |STOP |$)"), _total
    ),
)
_AS_SOUGHT: Final = tuple(Phrase(row(pattern), _unknown) for pattern in _ASKED_FOR)
