"""Pieces that could be two things settled by what stands around them: A, C, V and bare numbers.

Every number of a text gets a role here: a value, a p.d., a count, the name of a point, or the
label of a branch. One that has none is left as it is, and no reading can then be made.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from grammar.lenient.bare_numbers import with_bare_numbers_settled
from grammar.lenient.concepts import words
from grammar.lenient.in_one_breath import one_after_the_other
from grammar.lenient.letters import letters_settled
from grammar.lenient.patterns import (
    found_in,
    phrases,
    plainly,
    rewritten,
    row,
    sentences_of,
    tags_of,
)
from grammar.lenient.plates_told import with_letters_for_measures, with_plates
from grammar.lenient.point_pairs import points_settled
from grammar.lenient.polarities import with_polarities
from grammar.lenient.rewordings import reworded
from grammar.lenient.round_shapes import with_round_shapes
from grammar.lenient.shapes_told import with_shapes
from grammar.lenient.taken_back import put_right
from grammar.lenient.tokens import Chunk


def settled(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """The pieces with nothing left open, and whether a unit had to be supposed."""
    found = letters_settled(with_letters_for_measures(put_right(pieces)))
    found = points_settled(found)
    found = with_round_shapes(with_shapes(found))
    found = [each for each in rewritten(found, _PERSONS) if each.tag != "WORD"]
    found = _with_signs_settled(rewritten(found, _STOPS))
    found = _like_another(_named_by_number(found))
    found = with_polarities(reworded(found))
    found = one_after_the_other(_ratings(with_plates(found)))
    found = _without_what_is_shown(found)
    found = _without_fillings(_lines_listed(found))
    return with_bare_numbers_settled(found)


# A student connects …: the article of a word that is no part of the network.
_PERSONS: Final = (
    plainly("A WORD+ (?=(JOIN|TAKE) )"),
    plainly("A WORD+ (OF | WITH)", "-1", ".* (?:has|have|had|with)$"),
)
_STOPS: Final = (plainly("(^|(?<=STOP ))STOP+"),)


def _with_signs_settled(pieces: Sequence[Chunk]) -> list[Chunk]:
    """Beside // or || a plus stands for in series, and so does over in a divider."""
    tags = {each.tag for each in pieces}
    found = rewritten(pieces, _OVER if "DIVIDER" in tags else ())
    return rewritten(found, _PLUS if "PARSIGN" in tags and not tags & {"SER", "PAR"} else ())


_OVER: Final = (plainly("ACROSS", "1:AND", "over$"),)
_PLUS: Final = (plainly("PLUS", "1:SERSIGN"),)


def _named_by_number(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``cap 1 = 4, cap 2 = 6; 1 and 2 in parallel``: numbers that stand for names."""
    named = {
        str(first.datum)[1:]
        for first, second in pairwise(pieces)
        if first.tag == "NAME"
        and second.tag in ("EQ", "COLON", "IS")
        and str(first.datum)[1:].isdigit()
    }
    found: list[Chunk] = []
    for sentence in sentences_of(pieces):
        tags = {each.tag for each in sentence}
        numbers = {each.text for each in sentence if each.tag == "NUM"}
        is_joined = bool(tags & {"SER", "PAR"}) and not tags & {"NAME", "CAPV", "UNITF"}
        are_names = len(named) > 1 and bool(numbers) and numbers <= named and is_joined
        found += [
            each._replace(tag="NAME", datum=f"C{each.text}")
            if are_names and each.tag == "NUM"
            else each
            for each in sentence
        ]
    return found


def _like_another(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``C3 = C1``, where the value of C1 is told: C3 has the same."""
    told = {
        first.datum: third
        for first, second, third in zip(pieces, pieces[1:], pieces[2:], strict=False)
        if (first.tag, second.tag, third.tag) == ("NAME", "EQ", "CAPV")
    }
    found = list(pieces)
    for at, piece in enumerate(found[2:], 2):
        before = [each.tag for each in found[at - 2 : at]]
        ends = at + 1 == len(found) or found[at + 1].tag in ("STOP", "COMMA", "AND", "CLOSE")
        if before == ["NAME", "EQ"] and piece.tag == "NAME" and piece.datum in told and ends:
            found[at] = told[piece.datum]._replace(start=piece.start)
    return found


def _lines_listed(pieces: Sequence[Chunk]) -> list[Chunk]:
    """After a heading such as ``parallel:`` the lines below are a list."""
    found: list[Chunk] = []
    below = False
    line: set[str] = set()
    for index, piece in enumerate(pieces):
        before = found[-1].tag if found else ""
        after = pieces[index + 1].tag if index + 1 < len(pieces) else ""
        if before == "COLON" and line & {"SER", "PAR"}:
            below = True
            if piece.tag == "STOP":
                continue
        line = set() if piece.tag == "STOP" else line | {piece.tag}
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


_SHOWN: Final = row(
    "(IS | EQ | OF | HOLD) ABOUT? (A? (VOLT | CHG | ENE) | (DOUBLE | TRIPLE | HALVE | FACTOR)"
    " (WHICH | THIS | THE | PD | CHGN | ENERGY | ACROSS | ON | OF | IN | NAME | CAPV | CAP)+)"
    " (?=STOP |QUERY |$)"
)


_SHOWING: Final = ("show", "prove", "verify", "check")


def _without_what_is_shown(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``Show that the p.d. is 3.8 V``: a value that is to come out says nothing of the network."""
    found: list[Chunk] = []
    for sentence in sentences_of(pieces):
        shows = [i for i, each in enumerate(sentence) if each.text.lower() in _SHOWING]
        span = found_in(_SHOWN, sentence, shows[0]) if shows else None
        found += sentence if span is None else [*sentence[: span[0]], *sentence[span[1] :]]
    return found


_OF_A_FILLING: Final = frozenset(words("SLAB FILL PLATE AIR"))
_OF_A_CHANGE: Final = frozenset(words("PERMV OFF TAKEOUT DISCON GAPN DOUBLE HALVE TRIPLE FACTOR"))


def _without_fillings(pieces: Sequence[Chunk]) -> list[Chunk]:
    """Where a permittivity is given, sentences that only tell of the filling say nothing more."""
    if not any(each.tag == "PERMV" for each in pieces):
        return list(pieces)
    found: list[Chunk] = []
    for sentence in sentences_of(pieces):
        is_changed = any(each.tag in _OF_A_CHANGE for each in sentence)
        found += [each for each in sentence if is_changed or each.tag not in _OF_A_FILLING]
    return found


def _ratings(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``22 uF 200 V caps``: a p.d. right after a value is a rating where each has one, where a
    stroke parts the two, or where the noun comes after both.
    """
    found = rewritten(pieces, _SURE_RATINGS)
    pairs = len(re.findall(_BEHIND_ITS_VALUE, tags_of(found)))
    values = sum(each.tag == "CAPV" for each in found)
    adjoining = "CAPV VOLT " in tags_of(found)
    if pairs == values > 1 or (
        adjoining and any(each.tag in ("RATED", "HOWMANY") for each in found)
    ):
        found = _rated_or_charged(found)
    return found


# In volts right behind a value; a noun after both has made one a rating already.
_BEHIND_ITS_VALUE: Final = (
    r"\bCAPV (?:COMMA )?VOLT |\bCAPV (?:CAP )?OPEN VOLT CLOSE |\bCAPV CAP RATING "
)


def _rated_or_charged(pieces: list[Chunk]) -> list[Chunk]:
    """What stands in volts behind each value: what it was charged to where charges are spoken of,
    else what it bears.
    """
    tags = {each.tag for each in pieces}
    is_charged = tags & _OF_CHARGES and not tags & {"RATED", "RATING", "HOWMANY"}
    return rewritten(pieces, _CHARGED_TO if is_charged else _RATINGS)


def _charged_to(inside: Sequence[Chunk]) -> list[Chunk]:
    volts = next(each for each in inside if each.tag == "VOLT")
    kept = [each for each in inside if each.tag in ("CAPV", "CAP")]
    return [*kept, volts._replace(tag="CHARGED", text="charged to", datum=None), volts]


_OF_CHARGES: Final = frozenset(words("CHARGED CHARGEV UNCHARGED LIKEPL CROSSED POSITIVE"))


def _rating(inside: Sequence[Chunk]) -> list[Chunk]:
    volts = next(each for each in inside if each.tag == "VOLT")
    kept = [e for e in inside if e.tag not in ("VOLT", "SLASH", "COMMA", "OPEN", "CLOSE")]
    return [*kept, volts._replace(tag="RATING")]


def _rating_of_one(inside: Sequence[Chunk]) -> list[Chunk]:
    """``a 2 uF capacitor, which can withstand 400 V,``: the value with its rating."""
    return _rating([each for each in inside if each.tag in ("CAPV", "CAP", "VOLT")])


_VOLTS_BEHIND: Final = "CAPV COMMA? VOLT CAP? | CAPV CAP? OPEN VOLT CLOSE"
_CHARGED_TO: Final = phrases((_VOLTS_BEHIND, _charged_to))
_SURE_RATINGS: Final = phrases(
    ("CAPV CAP? COMMA WHICH? (IS | OF)* RATED (AT | TO | IS | FOR | BY | A)* VOLT COMMA?",
     _rating_of_one),
    ("CAPV SLASH VOLT CAP?", _rating),
    ("CAPV VOLT CAP", _rating),
    ("CAP (OF | WITH | AT)* CAPV VOLT (?=EACH )", _rating),
)  # fmt: skip
_RATINGS: Final = phrases(
    (_VOLTS_BEHIND, _rating),
    # two capacitors are marked 4 uF, 50 V and 6 uF, 80 V
    (
        "(WNUM | COUNT) CAP (COMMA | IS | OF | WITH | COLON)*"
        " (?=CAPV RATING (COMMA |AND )+CAPV RATING )", ""),
)  # fmt: skip
