"""Pieces that could be two things settled by what stands around them: A, C, V and bare numbers.

Every number of a text gets a role here: a value, a p.d., a count, the name of a point, or the
label of a branch. One that has none is left as it is, and no reading can then be made.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from grammar.lenient.bare_numbers import with_bare_numbers_settled
from grammar.lenient.in_one_breath import one_after_the_other
from grammar.lenient.letters import letters_settled
from grammar.lenient.patterns import Phrase, found_in, rewritten, row
from grammar.lenient.plates_told import with_letters_for_measures, with_plates
from grammar.lenient.point_pairs import points_settled
from grammar.lenient.polarities import with_polarities
from grammar.lenient.rewordings import reworded
from grammar.lenient.round_shapes import with_round_shapes
from grammar.lenient.shapes_told import with_shapes
from grammar.lenient.tokens import Chunk

_NOTHING: Final = Chunk("", "", -1)


def settled(pieces: Sequence[Chunk]) -> tuple[list[Chunk], bool]:
    """The pieces with nothing left open, and whether a unit had to be supposed."""
    found = letters_settled(with_letters_for_measures(pieces))
    found = points_settled(found)
    found = with_round_shapes(with_shapes(found))
    found = [each for each in _without_persons(found) if each.tag != "WORD"]
    found = _without_twice_told_stops(found)
    found = _with_plus_settled(found)
    found = _named_by_number(_over_in_a_divider(found))
    found = with_polarities(reworded(found))
    found = one_after_the_other(_ratings(with_plates(found)))
    found = _without_what_is_shown(found)
    found = _without_fillings(_lines_listed(found))
    return with_bare_numbers_settled(found)


def _without_persons(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``a student connects``: the article of a word that is no part of the network."""
    found: list[Chunk] = []
    for index, piece in enumerate(pieces):
        after = index + 1
        while after < len(pieces) and pieces[after].tag == "WORD":
            after += 1
        verb = pieces[after] if after < len(pieces) else _NOTHING
        acts = verb.tag in ("JOIN", "TAKE") or verb.text.lower() in ("has", "have", "had", "with")
        if piece.tag == "A" and after > index + 1 and acts:
            continue
        found.append(piece)
    return found


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
