"""The capacitors that a guess is about: their values and names, and what else of a text is left out
before anything is heard of them (what is asked, the supply).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.guess_records import NOTHING, WAYS, CapacitorsTold, NothingHeard, number_of
from grammar.lenient.tokens import Chunk

_BEFORE_A_VALUE: Final = frozenset(
    words("CAP OF EQUAL THE WHICH COMMA EACH ABOUT CAPN IS ALL SINGLE WITH TIMES GROUP")
)
_OF_A_NAME: Final = frozenset(words("EQ IS OF A CAPN COLON OPEN COMMA HOLD WITH CAP"))
_MOST_ALIKE: Final = 6


class ValueTold(NamedTuple):
    """A value where it stands: so many of it, whose it is, and where all that begins and ends."""

    worth: str
    many: int
    name: str
    start: int
    at: int


def values_in(pieces: Sequence[Chunk], unit: str) -> list[ValueTold]:
    """All values of some pieces, those without a unit in the unit of the others.

    Errors: ``NothingHeard`` for a value of several of which the number is not understood.
    """
    found: list[ValueTold] = []
    with_units = any(each.tag == "CAPV" for each in pieces)
    for at in range(len(pieces)):
        worth = _worth(pieces, at, unit, with_units)
        if worth:
            many, start = _counted(pieces, at)
            if many == 1 and at + 1 < len(pieces) and pieces[at + 1].tag == "EACH":
                raise NothingHeard  # a threesome, 3 uF each
            name, start = _name_before(pieces, start, at) if many == 1 else ("", start)
            found.append(ValueTold(worth, many, name, start, at))
    return found


def _worth(pieces: Sequence[Chunk], at: int, unit: str, with_units: bool) -> str:
    """What a piece is worth as a capacitance, "" where it is none: a bare number is one where no
    value has a unit, and beside others where it is picked out, or joined to like they are.
    """
    piece = pieces[at]
    if piece.tag == "CAPV":
        return str(piece.datum)
    before = pieces[at - 1] if at else NOTHING
    if piece.tag == "LC" and (not with_units or not unit):
        return "C" if before.tag != "CAPN" or not with_units else ""
    if piece.tag not in ("NUM", "NUMS"):
        return ""
    after = pieces[at + 1] if at + 1 < len(pieces) else NOTHING
    if not with_units:
        is_count = after.tag in ("CAP", "NUM", "NUMS", "BRANCH", "GROUP", "OTHER", "OF", "TIMES")
        return "" if is_count or piece.text == "1" else f"{piece.datum} {unit or 'uF'}"
    named = before.tag == "EQ" and at > 1 and pieces[at - 2].tag == "NAME"
    own = _folded(f"{piece.datum} {unit}")
    known = any(own == _folded(str(each.datum)) for each in pieces if each.tag == "CAPV")
    is_other = before.tag in ("WITH", "A") and after.tag in _AFTER_ANOTHER
    is_meant = known and before.tag in ("THE", "AND", "COMMA", "ACROSS", "OTHER")
    return f"{piece.datum} {unit}" if named or is_meant or is_other else ""


_AFTER_ANOTHER: Final = frozenset(("", "STOP", "COMMA", "THEN", "AND", "WITH"))


def _counted(pieces: Sequence[Chunk], at: int) -> tuple[int, int]:
    """How many of a value are told before it, 1 where none is said, and where that begins."""
    back = at - 1
    while back >= 0 and pieces[back].tag in _BEFORE_A_VALUE:
        back -= 1
    between = {each.tag for each in pieces[max(back, 0) + 1 : at]}
    if (
        back >= 0
        and pieces[back].tag in _COUNTS
        and not (pieces[back].tag == "NUM" and "COMMA" in between)
    ):
        many = number_of(pieces[back]) or 2 * (pieces[back].tag == "PAIROF")
        each = "EACH" in between or (at + 1 < len(pieces) and pieces[at + 1].tag == "EACH")
        is_list = not each and ("COMMA" in between or _goes_on(pieces, at))
        if pieces[back].text == "1" and pieces[back + 1].tag == "TIMES":
            return 1, back  # 1 x 10n
        if 1 < many <= _MOST_ALIKE and not is_list:
            return many, back
    return 1, at


_COUNTS: Final = ("WNUM", "NUM", "PAIROF")
_OF_A_LIST: Final = frozenset(words("COMMA AND STOP A CAP NAME EQ OF"))


def _goes_on(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether one more value is listed right after one."""
    for each in pieces[at + 1 :]:
        if each.tag in ("CAPV", "LC"):
            return True
        if each.tag not in _OF_A_LIST or each.text == ".":
            return False
    return False


def _name_before(pieces: Sequence[Chunk], start: int, at: int) -> tuple[str, int]:
    back = at - 1
    while back >= 0 and pieces[back].tag in _OF_A_NAME:
        back -= 1
    before = [each.tag for each in pieces[max(back - 2, 0) : max(back, 0)]]
    is_last = before[:1] == ["NAME"] and before[-1] in ("AND", "COMMA")
    after = [each.tag for each in pieces[at + 1 : at + 4]]
    is_group = after[:2] == ["AND", "CAPV"] or after == ["AND", "A", "CAPV"]  # G = 2 uF and 3 uF
    if (is_last and _goes_on(pieces, at)) or is_group:
        return "", start  # K, L and M have 2, 3 and 4 uF
    if back >= 0 and pieces[back].tag == "NAME" and back >= at - 4:
        return str(pieces[back].datum), back
    return "", start


# What a guess leaves alone: what is no network, what is done to one, what is left out.
_BEYOND: Final = frozenset(
    words(
        "RESISTOR INDUCTOR SEMI ALTERNATING OHM HENRY HZ AMP SEC TIMING DISCHARGING NOT OR SWITCH "
        "MOVED LADDER RUNG BRIDGE CUBE STAR TRIANGLE SQUARE TETRAHEDRON CURVED ROUNDN SLAB "
        "PERMV FILL GAPN AREAN LEN AREA PCT CHARGED UNCHARGED DISCON TAKEOUT LIKEPL CROSSED "
        "SHORT DOUBLE HALVE TRIPLE RESTORED STAYS TAKENBACK RATED UNKNOWN LOST MIDDLE POINTS "
        "UNLIKE FIELDN FORCEN"
    )
)


_NO_CAPACITANCE: Final = frozenset(("PERM", "PLATE"))


def with_letters_named(pieces: Sequence[Chunk], valued: Sequence[str]) -> list[Chunk]:
    """``Capacitors K, L and M``, ``X of 2 uF``: letters that are names, some of them ``valued``."""
    named = {*valued}
    for at, each in enumerate(pieces):
        before, first = pieces[max(at - 1, 0)].tag, pieces[max(at - 2, 0)].text
        goes_on = before in ("COMMA", "AND") and first in named
        if each.tag == "LETTER" and (before == "CAP" or goes_on):
            named.add(each.text)
    return [e._replace(tag="NAME") if e.tag == "LETTER" and e.text in named else e for e in pieces]


def refuse_what_is_beyond(pieces: Sequence[Chunk]) -> None:
    """Errors: ``NothingHeard`` for what a guess leaves alone."""
    told = {each.tag for each in pieces_told(pieces)}
    if (
        any(_is_beyond(pieces, at) for at in range(len(pieces)))
        or told & _NO_CAPACITANCE
        or _is_no_nest(pieces)
    ):
        raise NothingHeard


def _is_beyond(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a piece tells what a guess leaves alone; a middle row is a row."""
    tag = pieces[at].tag
    after = pieces[at + 1].tag if at + 1 < len(pieces) else ""
    if tag == "MIDDLE" and after == "BRANCH":
        return False
    return tag in _BEYOND and not (tag == "UNCHARGED" and pieces[at].text.startswith("initially"))


def _is_no_nest(pieces: Sequence[Chunk]) -> bool:
    """Whether points are named, a rating, a total or a letter stands beside values with units."""
    signs = {each.tag for each in pieces}
    for at, each in enumerate(pieces):
        near = [e.tag for e in pieces[at + 1 : at + 4]]
        is_joint = each.tag == "POINT" and each.text.lower()[:4] in ("junc", "node")
        if (is_joint and "LETTER" in near) or (each.tag == "SLASH" and "VOLT" in near):
            return True
        if each.tag in ("CEQ", "TOTAL") and "CAPV" in near:
            return True
        if each.tag == "BETWEEN" and {*near[:2]} & {"THEM", "WNUM", "THIS"}:
            return not {*near[1:]} & {"IN", "SER", "PAR"}  # between them in parallel
        if (each.tag == "PLUS" and "PARSIGN" in signs) or (each.tag == "DASH" and "POINT" in near):
            return True
    letters = {e.datum for e in pieces if e.tag == "LETTER" and e.text not in ("I", "A")}
    return len({*letters, *(e.datum for e in pieces if e.text == "A" and e.start)}) > 2


def stock_of(
    values: Sequence[ValueTold], pieces: Sequence[Chunk]
) -> tuple[CapacitorsTold, dict[int, tuple[int, ...]]]:
    """The stock, and which capacitors each value stands for, by where it stands."""
    names: list[str] = []
    worths: list[str] = []
    whom: dict[int, tuple[int, ...]] = {}
    of_worth: dict[str, list[int]] = {}
    for value in values:
        known = of_worth.setdefault(_folded(value.worth), [])
        if value.name and value.name in names:
            whom[value.at] = (names.index(value.name),)
            continue
        if known and not value.name and _is_definite(pieces, value.start):
            whom[value.at] = tuple(known[: value.many] if value.many > 1 else known)
            continue
        whom[value.at] = tuple(range(len(names), len(names) + value.many))
        known += whom[value.at]
        names += [value.name] * value.many
        worths += [value.worth] * value.many
    _align(names, pieces)
    return CapacitorsTold(tuple(names), tuple(worths)), whom


def _folded(worth: str) -> str:
    """A value as it is compared with others."""
    return re.sub(r"[\s-]", "", worth).lower()


def _is_definite(pieces: Sequence[Chunk], start: int) -> bool:
    before = pieces[start - 1] if start else NOTHING
    return before.tag in ("THE", "THIS", "THEIR") or before.text.lower() in ("that", "those")


def _align(names: list[str], pieces: Sequence[Chunk]) -> None:
    """Names told apart from the values, as many as there are, are theirs in the same order."""
    told = [str(each.datum) for each in pieces if each.tag == "NAME"]
    apart = [each for each in dict.fromkeys(told) if each not in names]
    if not apart:
        return
    if any(names) or len(apart) != len(names):
        raise NothingHeard
    names[:] = sorted(apart) if sorted(apart) == sorted(apart, key=apart.index) else apart


_OF_A_SUPPLY: Final = frozenset(
    words(
        "ACROSS ON TO JOIN IS A OF SOURCE WITH FROM AT IN BY APPLY PD THE SUPPLY DET TERMINAL HOLD "
        "BETWEEN PLUS DASH CHGN EQ LV LU LQ CHARGED"
    )
)
_OF_THE_WHOLE: Final = frozenset(words("WHOLE ALL THEM BOTH GROUP THIS"))


def pieces_told(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces without what is asked and without the supply."""
    found: list[Chunk] = []
    sentences = [*_sentences(pieces)]
    many = [_holds(sentence) for sentence in sentences]
    for sentence, held in zip(sentences, many, strict=True):
        told_elsewhere = sum(many) - held > 1
        found += _without_supply(_without_wish(sentence, told_elsewhere))
    return found


def _sentences(pieces: Sequence[Chunk]) -> Iterator[list[Chunk]]:
    row: list[Chunk] = []
    for piece in pieces:
        row.append(piece)
        if piece.tag in ("STOP", "QUERY"):
            yield row
            row = []
    if row:
        yield row


def _without_wish(sentence: list[Chunk], told_elsewhere: bool) -> list[Chunk]:
    """The sentence up to its wish; a wish with values of its own tells as well."""
    asks = [i for i, each in enumerate(sentence) if each.tag in ("WISHV", "HOWTO")]
    if not asks and sentence[-1].tag != "QUERY":
        return sentence
    told = [i for i, each in enumerate(sentence) if each.tag == "IF"]
    if asks and told and told[0] > asks[0] and _holds(sentence[told[0] :]) > 1:
        return sentence[told[0] :]  # what is the charge when 2 uF and 3 uF are ...
    start = asks[0] if asks else 0
    joins = any(each.tag in WAYS for each in sentence)
    values = _holds(sentence[start:])
    if (
        joins
        and not told_elsewhere
        and (values > 1 or (values and not any(e.tag in _VALUES for e in sentence[:start])))
    ):
        return [each for each in sentence if each.tag != "WISHV"]
    start = start if joins and any(each.tag in _VALUES for each in sentence[:start]) else 0
    return [*sentence[:start], Chunk("STOP", ".", sentence[-1].start)]


_VALUES: Final = ("CAPV", "NUMS")


def _holds(sentence: Sequence[Chunk]) -> int:
    return sum(each.tag in _VALUES for each in sentence)


def _without_supply(sentence: list[Chunk]) -> list[Chunk]:
    """The sentence without the values of a supply and the words around them that go with it."""
    left = list(sentence)
    while at := next(
        (i for i, e in enumerate(left, 1) if e.tag in ("VOLT", "CHG", "ENE", "LV")), 0
    ):
        start, end = at - 1, at
        while start and left[start - 1].tag in _OF_A_SUPPLY:
            start -= 1
        while end < len(left) and left[end].tag in _OF_A_SUPPLY | _OF_THE_WHOLE:
            end += 1
        end = at if end < len(left) and left[end].tag == "CAPV" else end
        left[start:end] = [Chunk("COMMA", ",", left[start].start)]
    return left
