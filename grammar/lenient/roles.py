"""Pieces that could be two things settled by what stands around them: A, C, V and bare numbers.

Every number of a text gets a role here: a value, a p.d., a count, the name of a point, or the
label of a branch. One that has none is left as it is, and no reading can then be made.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from grammar.lenient.letters import letters_settled
from grammar.lenient.patterns import Phrase, found_in, rewritten, row
from grammar.lenient.plates_told import with_plates
from grammar.lenient.point_pairs import points_settled
from grammar.lenient.tokens import Chunk

MICRO: Final = "uF"
_MOST_COUNTED: Final = 24
_NO_CAPACITANCE_AFTER: Final = ("RATED", "HOLD", "CHARGED", "JUNK", "DOUBLE", "GAPN", "PERM")
_NOTHING: Final = Chunk("", "", -1)


def settled(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """The pieces with nothing left open, and whether a unit had to be supposed."""
    found = letters_settled(pieces)
    found = points_settled(found)
    found = _without_twice_told_stops([each for each in found if each.tag != "WORD"])
    found = _with_plus_settled(found)
    found = _named_by_number(_over_in_a_divider(found))
    found = rewritten(found, _OTHER_NUMBERS)
    found = _ratings(with_plates(found))
    found = _without_what_is_shown(found)
    found = _without_fillings(_lines_listed(found))
    found = _labels(found)
    found = _counts(found)
    return _spread(found)


def _as_volts(inside: Sequence[Chunk]) -> list[Chunk] | None:
    at = next(i for i in reversed(range(len(inside))) if inside[i].tag == "NUM")
    number = inside[at]
    volts = number._replace(tag="VOLT", datum=f"{number.datum} V")
    return [*inside[:at], volts, *inside[at + 1 :]]


def _volts_first(inside: Sequence[Chunk]) -> list[Chunk] | None:
    return [inside[0]._replace(tag="VOLT", datum=f"{inside[0].datum} V"), *inside[1:]]


def _permittivity(inside: Sequence[Chunk]) -> list[Chunk]:
    return [*inside[:-1], inside[-1]._replace(tag="PERMV")]


def _with_plus_settled(pieces: Sequence[Chunk]) -> list[Chunk]:
    """Beside // or || a plus stands for in series."""
    tags = {each.tag for each in pieces}
    if "PARSIGN" not in tags or tags & {"SER", "PAR"}:
        return list(pieces)
    return [each._replace(tag="SERSIGN") if each.tag == "PLUS" else each for each in pieces]


def _over_in_a_divider(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``a divider, 10p over 90p``: one after the other."""
    if not any(each.tag == "DIVIDER" for each in pieces):
        return list(pieces)
    return [
        each._replace(tag="AND") if each.tag == "ACROSS" and each.text.lower() == "over" else each
        for each in pieces
    ]


def _named_by_number(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``cap 1 = 4, cap 2 = 6; 1 and 2 in parallel``: numbers that stand for names."""
    named = {
        str(first.datum)[1:]
        for first, second in pairwise(pieces)
        if first.tag == "NAME"
        and second.tag in ("EQ", "COLON", "IS")
        and str(first.datum)[1:].isdigit()
    }
    sentences: list[list[Chunk]] = [[]]
    for piece in pieces:
        sentences[-1].append(piece)
        if piece.tag in ("STOP", "QUERY"):
            sentences.append([])
    found: list[Chunk] = []
    for sentence in sentences:
        tags = {each.tag for each in sentence}
        numbers = [each.text for each in sentence if each.tag == "NUM"]
        if (
            len(named) > 1
            and numbers
            and set(numbers) <= named
            and tags & {"SER", "PAR"}
            and not tags & {"NAME", "CAPV", "UNITF"}
        ):
            found += [
                each._replace(tag="NAME", datum=f"C{each.text}") if each.tag == "NUM" else each
                for each in sentence
            ]
        else:
            found += sentence
    return found


def _factor(inside: Sequence[Chunk]) -> list[Chunk]:
    number = next(each for each in inside if each.tag in ("NUM", "WNUM"))
    return [number._replace(tag="FACTOR", text=" ".join(each.text for each in inside))]


def _charging(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``charge a 4 uF to 12 V``: the verb."""
    if inside[0].text.lower() not in ("charge", "charges", "charging"):
        return None
    return [inside[0]._replace(tag="CHARGEV"), *inside[1:]]


def _in_series_with_them(inside: Sequence[Chunk]) -> list[Chunk]:
    """``K before that`` stands in series with it; ``after that a 4`` goes on."""
    *before, mark = inside
    series = mark._replace(tag="SER"), mark._replace(tag="WITH"), mark._replace(tag="THEM")
    return [*before, *series]


def _going_on(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="THEN")]


def _splitting(inside: Sequence[Chunk]) -> list[Chunk]:
    """``it splits into 2 uF and 4 uF``."""
    return [inside[-1]._replace(tag=tag) for tag in ("A", "PAR", "GROUP", "OF")]


def _equals(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``C1 - 20 nF``: a stroke for an equals sign."""
    if inside[1].text not in ("-", "–", "—"):
        return None
    return [inside[0], inside[1]._replace(tag="EQ"), inside[2]]


def _dividing(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="SER"), inside[0]._replace(tag="COLON")]


def _heading(inside: Sequence[Chunk]) -> list[Chunk]:
    return [each for each in inside[:-1] if each.tag != "SERSIGN"]


def _with_that(inside: Sequence[Chunk]) -> list[Chunk] | None:
    if inside[1].text.lower() != "that":
        return None
    noun = inside[1]._replace(tag="GROUP", text="group")
    return [inside[0], inside[1]._replace(tag="THIS"), noun]


def _parallel_with(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="PAR"), inside[0]._replace(tag="WITH")]


def _parallel_sign(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="PAR")]


def _to_for_two(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``2 a 100 V cell``, as on a phone."""
    return [inside[0]._replace(tag="TO")] if inside[0].text == "2" else None


def _line_going_on(inside: Sequence[Chunk]) -> list[Chunk] | None:
    return [inside[0]] if all("\n" in each.text for each in inside[1:]) else None


def _that_group(inside: Sequence[Chunk]) -> list[Chunk] | None:
    if inside[0].text.lower() != "that":
        return None
    return [inside[0]._replace(tag="THIS"), *inside[1:]]


def _letter_permittivity(inside: Sequence[Chunk]) -> list[Chunk]:
    return [*inside[:-1], inside[-1]._replace(tag="PERMV", datum="k")]


def _charging_up(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="CHARGEV")]


def _nothing_more(_inside: Sequence[Chunk]) -> list[Chunk]:
    return []


def _units_in_a_bracket(inside: Sequence[Chunk]) -> list[Chunk]:
    """``(uF, V)``: units for the numbers before; the bracket goes."""
    return [each for each in inside if each.tag == "UNITF"]


_OTHER_NUMBERS: Final = tuple(
    Phrase(row(pattern), build)
    for pattern, build in (
        (
            "OPEN (ALL | IN | COMMA | VALUE)* UNITF (COMMA | AND | LV | VOLT)* CLOSE",
            _units_in_a_bracket),
        ("(ALL | BOTH) (IN | CAPN | IS | COMMA)* UNITF", _units_in_a_bracket),
        ("NAME (SERSIGN | DASH) CAPV", _equals),
        ("SLAB (?=CAP )", _nothing_more),
        ("(?<=CAPV )SLAB (?=COMMA |STOP |AND |CAP |$)", _nothing_more),
        ("(?<=NUM )SLAB (?=COMMA |STOP |AND |CAP |$)", _nothing_more),
        ("DIVIDER (COLON | OF | WITH)*", _dividing),
        ("(WITH | TO) WHICH (?=STOP |COMMA |VOLT |QUERY |AND |$)", _with_that),
        ("(?<=VOLT )LETTER (?=SOURCE )", _nothing_more),
        ("OPEN UNCHARGED CLOSE", _nothing_more),
        ("STOP SERSIGN STOP", _heading),
        ("PARBY", _parallel_with),
        ("PARSIGN (?=COMMA |STOP |CLOSE |THEN |$)", _parallel_sign),
        ("THEN PLUS", _going_on),
        ("SEMI (?=SOURCE )", _nothing_more),
        ("NUM (?=A VOLT )", _to_for_two),
        ("POINT (LETTER | LC) (COLON | IS | EQ) (AND | POSITIVE | NEGATIVE)?", _nothing_more),
        ("(SER | PAR) COLON STOP", _heading),
        ("(WITH | AND | TO | COMMA | PLUS) STOP+", _line_going_on),
        ("WHICH (SER | PAR)? GROUP", _that_group),
        (
            "(A | THE)? (SQUARE | STAR | BRIDGE) (WITH A CAP (ON | IN) EACH OFSIDE)?"
            " (COLON | OF | WITH)* (?=PLACE )", _nothing_more),
        ("(LV | LU) (EQ | IS | COLON) NUM", _as_volts),
        (
            "(SOURCE | PD) (OF | IS | EQ | COLON | APPLY | AT)* NUM (?!CAP|UNITF|COMMA"
            " NUM)", _as_volts),
        ("NUM (SOURCE)", _volts_first),
        ("(COMMA | STOP | SER | PAR) (ACROSS | ON) NUM (?=(?:\\bSTOP |$))", _as_volts),
        (
            "(CAPV | NAME | CAP | IS | ORD1 | ORD2 | ORD3 | ORDLAST | ONE | NUMS | NUM)"
            " SERALL", _in_series_with_them),
        ("SERALL", _going_on),
        (
            "(THEM | THE | JOIN)* SPLITS (TO | IN | UP | WITH | OF | COLON | COMMA)*"
            " (?=CAPV |A |NAME )", _splitting),
        ("(THEM | THE | JOIN)* SPLITS (TO | IN | UP)*", _nothing_more),
        ("(NUM | WNUM) FACTORW", _factor),
        ("FACTORW (OF)? (NUM | WNUM)", _factor),
        (
            "(?<!THE )(?<!A )(?<!CEQ )(?<!OF )CHGN (A | THEM | CAPV | NAME | WNUM |"
            " COUNT | EACH | BOTH)", _charging),
        ("PERM (OF | EQ | IS | A | ABOUT | COLON)* NUM", _permittivity),
        ("PERM (OF | EQ | IS | A)* PERM", _letter_permittivity),
        (
            "(?<!THE )(?<!A )(?<!DET )(?<!OTHER )(?<!THIS )(?<!WNUM )CHARGED (UP)?"
            " (?=(A|CAPV|NAME|THEM|EACH|BOTH|WNUM|COUNT|ALL|THE|DET) )", _charging_up),
    )
)  # fmt: skip


def _without_twice_told_stops(pieces: Sequence[Chunk]) -> list[Chunk]:
    found: list[Chunk] = []
    for piece in pieces:
        if piece.tag != "STOP" or (found and found[-1].tag != "STOP"):
            found.append(piece)
    return found


def _lines_listed(pieces: Sequence[Chunk]) -> list[Chunk]:
    """After a heading such as ``parallel:`` the lines below are a list."""
    found: list[Chunk] = []
    below = False
    for index, piece in enumerate(pieces):
        before = found[-1].tag if found else ""
        after = pieces[index + 1].tag if index + 1 < len(pieces) else ""
        if before == "COLON" and len(found) > 1 and found[-2].tag in ("SER", "PAR"):
            below = True
        if (
            piece.tag == "STOP"
            and below
            and before in ("CAPV", "NUM", "CAP")
            and after in ("CAPV", "NUM", "SER", "PAR")
        ):
            found.append(piece._replace(tag="COMMA"))
            continue
        below = below and piece.tag != "STOP"
        found.append(piece)
    return found


_SHOWN: Final = row("(IS | EQ | OF | HOLD) ABOUT? A? (VOLT | CHG | ENE) (?=STOP |QUERY |$)")


def _without_what_is_shown(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``Show that the p.d. is 3.8 V``: a value that is to come out says nothing of the network."""
    found: list[Chunk] = []
    shows = False
    for index, piece in enumerate(pieces):
        if piece.tag in ("STOP", "QUERY"):
            shows = False
        if piece.tag == "WISHV" and piece.text.lower() in ("show", "prove", "verify", "check"):
            shows = True
        span = (
            found_in(_SHOWN, pieces, index)
            if shows and piece.tag in ("IS", "EQ", "OF", "HOLD")
            else None
        )
        if span is not None and span[0] == index:
            shows = False
            del found[len(found) :]
            found.append(Chunk("SHOWN", "", piece.start, span[1]))
            continue
        if found and found[-1].tag == "SHOWN" and index < found[-1].datum:
            continue
        found.append(piece)
    return [each for each in found if each.tag != "SHOWN"]


def _without_fillings(pieces: Sequence[Chunk]) -> list[Chunk]:
    """Where a permittivity is given, sentences that only tell of the filling say nothing more."""
    if not any(each.tag == "PERMV" for each in pieces):
        return list(pieces)
    found: list[Chunk] = []
    sentence: list[Chunk] = []
    for piece in [*pieces, _NOTHING]:
        sentence.append(piece)
        if piece.tag not in ("STOP", "QUERY", ""):
            continue
        tags = {each.tag for each in sentence}
        if not tags & {
            "PERMV",
            "OFF",
            "TAKEOUT",
            "DISCON",
            "GAPN",
            "DOUBLE",
            "HALVE",
            "TRIPLE",
            "FACTOR",
        }:
            sentence = [
                each for each in sentence if each.tag not in ("SLAB", "FILL", "PLATE", "AIR")
            ]
        found += [each for each in sentence if each.tag]
        sentence = []
    return found


def _ratings(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``22 uF 200 V caps``: a p.d. right after a value is a rating where each has one, where a
    stroke parts the two, or where the noun comes after both.
    """
    found = rewritten(pieces, _SURE_RATINGS)
    pairs = sum(first.tag == "CAPV" and second.tag == "VOLT" for first, second in pairwise(found))
    values = sum(each.tag == "CAPV" for each in found)
    if pairs == values > 1 or (pairs and any(each.tag in ("RATED", "HOWMANY") for each in found)):
        found = rewritten(found, _RATINGS)
    return found


def _rating(inside: Sequence[Chunk]) -> list[Chunk]:
    volts = next(each for each in inside if each.tag == "VOLT")
    kept = [each for each in inside if each.tag not in ("VOLT", "SLASH")]
    return [*kept, volts._replace(tag="RATING")]


_SURE_RATINGS: Final = (
    Phrase(row("CAPV SLASH VOLT CAP?"), _rating),
    Phrase(row("CAPV VOLT (WORD)* CAP"), _rating),
)
_RATINGS: Final = (Phrase(row("CAPV VOLT CAP?"), _rating),)


def _labels(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``branch 1: …``: the number of a branch, which counts nothing."""
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        before = found[-1] if found else _NOTHING
        after = pieces[index + 1].tag if index + 1 < len(pieces) else ""
        is_label = (
            piece.tag in ("NUM", "WNUM", "ONE")
            and before.tag in ("GROUP", "BRANCH")
            and not before.text.lower().endswith("s")
            and after
            in ("OPEN", "COLON", "IS", "OF", "DASH", "EQ", "SERSIGN", "COMMA", "JOIN", "STOP", "")
        )
        if is_label:
            found[-1] = before._replace(
                tag="BRANCH", text=f"{before.text} {piece.text}", datum=piece.datum
            )
            continue
        found.append(piece)
    return found


def _counts(pieces: Sequence[Chunk]) -> list[Chunk]:
    """A bare number that counts capacitors, and one in words that is a value."""
    found: list[Chunk] = []
    for index, told in enumerate(pieces):
        piece = told
        before = found[-1] if found else _NOTHING
        after = pieces[index + 1] if index + 1 < len(pieces) else _NOTHING
        if piece.tag == "SEC" and re.fullmatch(r"[0-9.]+s", piece.text):
            piece = piece._replace(tag="NUMS")
        if piece.tag == "NUM" and _is_count(piece, before, pieces[index + 1 :]):
            piece = piece._replace(tag="COUNT")
        elif piece.tag == "WNUM" and _is_value(found, after):
            piece = piece._replace(tag="NUM")
        found.append(piece)
    return found


def _is_value(found: Sequence[Chunk], after: Chunk) -> bool:
    before = found[-1].tag if found else ""
    if before == "NAME":
        return True
    if before == "A" and after.tag in ("AND", "COMMA", "IN", "SER", "PAR", "CAPV", "STOP"):
        return True
    is_said = before in ("EQ", "IS") and len(found) > 1 and found[-2].tag == "NAME"
    return is_said and after.tag not in ("CAP", "GROUP", "BRANCH")


def _is_count(piece: Chunk, before: Chunk, rest: Sequence[Chunk]) -> bool:
    if not str(piece.datum).isdigit() or not 1 <= int(piece.datum) <= _MOST_COUNTED:
        return False
    tags = [each.tag for each in rest[:4]]
    tags += [""] * (4 - len(tags))
    if before.tag in ("A", "EQ") or tags[0] == "COMMA":
        return False
    joint = tags[1:] if tags[0] == "IN" else tags
    if (
        joint[0] in ("SER", "PAR")
        and "CAPV" in joint[1:3]
        and before.tag in ("", "STOP", "THEN", "COMMA", "COLON")
    ):
        return True
    if tags[0] == "TIMES":
        return tags[1] in ("CAPV", "NUM", "NUMS")
    if tags[0] == "OF":
        return tags[1] in ("THEM", "THE", "THIS", "CAPV", "NUM") or tags[1:3] == ["A", "CAPV"]
    while tags[0] in ("EQUAL", "UNCHARGED", "SINGLE", "SER", "PAR", "PLATED", "CHARGED"):
        if tags[0] == "EQUAL":
            return True
        tags = tags[1:]
    if tags[0] in ("CAP", "BRANCH", "GROUP"):
        noun = next(each for each in rest if each.tag == tags[0])
        return noun.text.lower().endswith("s") or (
            tags[0] == "CAP"
            and before.tag not in ("THE", "AND", "COMMA", "NUM")
            and int(piece.datum) > 1
            and tags[1]
            in ("SER", "PAR", "IN", "CAPV", "COLON", "OPEN", "WITH", "OF", "ALL", "NAME")
        )
    if tags[0] == "CAPV":
        several = tags[1] == "CAP" and rest[
            [e.tag for e in rest].index("CAP")
        ].text.lower().endswith("s")
        return (several or tags[1] in ("EACH", "SER", "PAR", "IN")) and before.tag not in (
            "NUM",
            "CAPV",
            "COMMA",
            "AND",
        )
    return tags[0] == "NUMS"


def _spread(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """Bare numbers that are values, each with the unit of the value that follows it, or else of
    the one before; micro where the text has no unit at all.
    """
    units = [_unit_of(each) for each in pieces]
    supposed = False
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        if piece.tag == "UNITF":
            continue
        before = found[-1].tag if found else ""
        if piece.tag not in ("NUM", "NUMS") or before in _NO_CAPACITANCE_AFTER:
            found.append(piece)
            continue
        if not _may_be_a_value(pieces, index):
            found.append(piece)
            continue
        unit = next((each for each in units[index + 1 :] if each), "")
        unit = unit or next((each for each in reversed(units[:index]) if each), "")
        if not unit and any(each.tag == "CAPV" for each in pieces):
            found.append(piece)
            continue
        supposed = supposed or not unit
        found.append(piece._replace(tag="CAPV", datum=f"{piece.datum} {unit or MICRO}"))
    return found, supposed


_IN_A_LIST: Final = (
    "COMMA",
    "AND",
    "SLASH",
    "PLUS",
    "A",
    "THE",
    "DET",
    "ONE",
    "OF",
    "PARSIGN",
    "SERSIGN",
)
_BEFORE_A_VALUE: Final = (
    "A",
    "THE",
    "DET",
    "OTHER",
    "EQ",
    "THIS",
    "TIMES",
    "COUNT",
    "WNUM",
    "COLON",
)


def _may_be_a_value(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a bare number may be a capacitance: where others have their units, only with an
    article or in a list with one of them.
    """
    if pieces[at].tag == "NUMS" or any(each.tag == "UNITF" for each in pieces):
        return True
    if not any(each.tag == "CAPV" and each.datum.endswith("F") for each in pieces):
        return True
    if at and pieces[at - 1].tag in _BEFORE_A_VALUE:
        return True
    for step in (1, -1):
        near = at + step
        while 0 <= near < len(pieces) and pieces[near].tag in (*_IN_A_LIST, "NUM"):
            near += step
        if 0 <= near < len(pieces) and pieces[near].tag == "CAPV" and abs(near - at) > 1:
            return True
    return False


def _unit_of(piece: Chunk) -> str:
    if piece.tag == "UNITF":
        return str(piece.datum)
    is_value = piece.tag == "CAPV" and str(piece.datum).endswith("F")
    return str(piece.datum).split()[-1] if is_value else ""
