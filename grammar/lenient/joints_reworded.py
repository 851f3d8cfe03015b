"""How capacitors are said to be joined, to what, and what one of them has: put plainly."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.patterns import Phrase, rewritten, row
from grammar.lenient.tokens import Chunk


def with_joints_reworded(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every such wording as the one that the rest of this room knows."""
    return rewritten(pieces, _WORDINGS)


def _those_two(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``them 2 in parallel``: so many of those before, and no value."""
    if inside[1].text not in ("2", "3", "4"):
        return None
    return [inside[0]._replace(tag="THIS"), inside[1]._replace(tag="WNUM")]


def _the_same_two(inside: Sequence[Chunk]) -> list[Chunk]:
    """``when the same two are in series``: those before."""
    return [inside[0]._replace(tag="THIS"), inside[2]]


def _each_with_its_value(inside: Sequence[Chunk]) -> list[Chunk]:
    """``Ca, 1 uF, Cb, 2 uF``: each with the value behind it."""
    found = list(inside)
    for at, each in enumerate(inside[:-1]):
        if each.tag == "COMMA" and inside[at - 1].tag == "NAME":
            found[at] = each._replace(tag="EQ")
    return found


def _following(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``C3 follows in series``: in series with all that went before."""
    if not inside[1].text.lower().startswith("follow"):
        return None
    joint = inside[-1]
    return [inside[0], joint, joint._replace(tag="WITH"), joint._replace(tag="THEM")]


def _wired_to_the_next(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``one wire connects the first pair to the second``: they are in series."""
    wire, at = inside[1], next(i for i, each in enumerate(inside) if each.tag == "ORD2")
    if not wire.text.lower().startswith(("wire", "lead", "line")):
        return None
    first, second = inside[3:6], [*inside[at - 1 : at + 1], inside[5]]
    joint = wire._replace(tag="IS"), wire._replace(tag="SER"), wire._replace(tag="WITH")
    return [*first, *joint, *second]


def _bridging(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``a wire goes round the middle one``: it shorts it."""
    wire = inside[1]
    return [wire._replace(tag="SHORT")] if wire.text.lower().startswith("wire") else None


def _its_own_volts(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``one is 5 uF and has 12 V across it``: its own p.d., and not that of all."""
    volts = inside[-3]
    if inside[-1].text.lower() != "it":
        return None
    return [*inside[:3], volts._replace(tag="OF"), volts._replace(tag="PD"), volts]


def _joined_to_it(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``to a 6 nF is connected in parallel another``: it stands in parallel with the other."""
    return [*inside[1:], inside[0]._replace(tag="WITH")]


def _to_it(inside: Sequence[Chunk]) -> list[Chunk]:
    """``we connect to it in parallel another``."""
    verb, preposition, it = inside[:3]
    return [it, verb._replace(tag="IS"), verb, inside[-1], preposition._replace(tag="WITH")]


def _was_charged(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``a capacitor of 2 uF we charge to 100 V``."""
    if inside[0].text.lower() not in ("charge", "charges"):
        return None
    return [inside[0]._replace(tag="CHARGED"), inside[1]._replace(tag="TO")]


def _come_to(inside: Sequence[Chunk]) -> list[Chunk]:
    """``together they have 10 nF``."""
    return [inside[0]._replace(tag="CEQ"), inside[2]._replace(tag="IS"), inside[-1]]


def _between_letters(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``find C_AB for``: between two ends, and no capacitor's name."""
    letters = str(inside[1].datum).removeprefix("C").removeprefix("_")
    if not (len(letters) == 2 and letters.isalpha() and letters.isupper()):
        return None
    return [inside[0], inside[1]._replace(tag="CEQ"), inside[2]._replace(tag="STOP")]


def _without_also(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``and other two also in series``."""
    return [] if inside[0].text.lower() == "also" else None


def _with_the_pair(inside: Sequence[Chunk]) -> list[Chunk]:
    """``C3 in series with (C1, C2)``: with what they were put to before."""
    bracket = inside[2]
    return [*inside[:2], bracket._replace(tag="THIS"), bracket._replace(tag="GROUP", text="pair")]


def _nothing_more(_inside: Sequence[Chunk]) -> list[Chunk]:
    return []


_WORDINGS: Final = tuple(
    Phrase(row(pattern), build)
    for pattern, build in (
        ("(THEM | THIS) NUM (?=(IS |JOIN )*(IN )?(SER|PAR) )", _those_two),
        ("(?<=WISHV PD )APPLY (?=(ACROSS|ON|BETWEEN) )", _nothing_more),
        ("NAME COMMA CAPV ((COMMA | AND)+ NAME COMMA CAPV)+", _each_with_its_value),
        ("(NAME | CAPV | CAP) JOIN IN? SER (?=COMMA |STOP |AND |$)", _following),
        (
            "(ONE | A | THE) JOIN JOIN THE ORD1 GROUP (TO | WITH) THE ORD2 GROUP?",
            _wired_to_the_next),
        ("ONE (IS | OF) CAPV AND? (OF | HOLD) VOLT ACROSS THEM", _its_own_volts),
        (
            "TO (A | THE | CAP | OF | CAPV | NAME)+ IS? JOIN IN? (SER | PAR)"
            " (?=(A|OTHER|CAPV|NAME|UNKNOWN|CAP) )", _joined_to_it),
        ("JOIN (TO | WITH) THEM IN? (SER | PAR) (?=(A|OTHER|CAPV|NAME|UNKNOWN|CAP) )", _to_it),
        ("(?<=CAPV )CHGN (ON | TO) (?=A? (PD OF)? VOLT )", _was_charged),
        ("TOGETHER THEM (OF | HOLD) CAPV", _come_to),
        ("WISHV NAME (FOR | COLON)", _between_letters),
        ("(A | ONE) JOIN (WHICH | IS | JOIN)* ACROSS (?=(THE|A|NAME|CAPV) )", _bridging),
        ("(?<=[EPV] )FROM THEIR OFSIDE TO THEIR OFSIDE", _nothing_more),
        ("(?<=GROUP )THEM (?=A? CAPV )", _nothing_more),
        ("(?<=CAPV )EQ (?=QUERY )", _nothing_more),
        ("AND (?=(IN|SER|PAR) )", _without_also),
        ("(SER | PAR) WITH OPEN NAME (COMMA | AND) NAME CLOSE", _with_the_pair),
        ("THE EQUAL WNUM (?=(IS|JOIN|IN|SER|PAR|CAP) )", _the_same_two),
        (
            "(?<=PD )(IS | THEM | CLAIM | THE | CAP)+ CHARGED (UP | TO)* (?=QUERY |STOP |$)",
            _nothing_more),
    )
)  # fmt: skip
