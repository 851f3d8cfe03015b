"""Of all networks of the capacitors of a text, those that its words speak for.

It is the second opinion on what the other readers make of a text, and the last resort where all
have refused; what it finds then is never sure: it is asked about, with the words that were not
understood.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.guess_claims import claims_of
from grammar.lenient.guess_heard import heard_in
from grammar.lenient.guess_records import CapacitorsTold, NothingHeard, WordHeard
from grammar.lenient.guess_trees import (
    MOST_PARTS,
    GuessTree,
    bits_of,
    trees_over,
    worth_of,
)
from grammar.lenient.prose import ASKED_AFTER, IN_MICROFARADS, read_as_told
from grammar.lenient.tokens import Chunk, scan
from grammar.lenient.trees_in_signs import PartsJoined, PartTree, in_one_order, in_signs
from grammar.lenient.unit_of_all import unit_of_all
from grammar.lenient.unmarked import made_plain
from grammar.records import ReadText, Refusal

_NEAR: Final = 0.3  # by how much a reading may be behind the best and still be offered
_MOST_OFFERED: Final = 4
_MOST_CAPACITORS: Final = 10
# Words that say nothing of how something is joined, so that nobody need be told of them.
_IDLE: Final = frozenset(
    words(
        "there theres here so we you i up does do did my our has had also just only well then very "
        "must simply straight right left said as such than will would shall should can could may "
        "might one other its his her out down too s re m t what no but because again finally whole"
        " measured drawn drawing shown held starting starts begins begin ends ending coming come"
    )
)


class GuessedReading(NamedTuple):
    """What a text may mean, the likeliest first.

    ``unused`` are the words that had no part in it, ``supposes_units`` says that it gives none.
    """

    ways: tuple[ReadText, ...]
    unused: tuple[str, ...]
    supposes_units: bool

    @property
    def notes(self) -> tuple[str, ...]:
        """What was supposed, and which words were passed by, as it is told."""
        notes = (IN_MICROFARADS,) if self.supposes_units else ()
        if not self.unused:
            return notes
        *others, last = (f'"{each}"' for each in self.unused)
        listed = f"{', '.join(others)} and {last}" if others else last
        return (*notes, f"I did not use {listed}.")


class Guess(NamedTuple):
    """A network in signs, and how well it honours what the words say."""

    signs: str
    worth: float


def guessed(text: str) -> GuessedReading | None:
    """What the words of a text speak for; None where nothing is likely, or too much."""
    plain = made_plain(text)
    whole, unit = unit_of_all(ASKED_AFTER.sub(".\n", plain))
    try:
        supply = _supply_in(scan(whole))
        stock, heard = heard_in(whole, unit)
    except NothingHeard:
        return None
    ways: dict[str, ReadText] = {}
    for guess in _guesses(stock, heard):
        with suppress(Refusal):
            told = read_as_told(plain, f"{guess.signs}\n{supply}").ways
            ways.update((each.text, each) for each in told)
    found = tuple(ways.values())
    if not 0 < len(found) <= _MOST_OFFERED:
        return None
    return GuessedReading(found, _passed_by(heard), not _has_units(stock, whole))


def _has_units(stock: CapacitorsTold, whole: str) -> bool:
    """Whether no unit had to be supposed."""
    in_farads = any(each[:1].isdigit() and each.endswith("F") for each in stock.worths)
    return not in_farads or any(each.tag == "CAPV" for each in scan(whole))


def _passed_by(heard: Sequence[WordHeard]) -> tuple[str, ...]:
    """The words that had no part in what was made of the text, but those that say nothing."""
    said = [e.text for e in heard if e.kind == "word" and e.text.lower() not in _IDLE]
    return tuple(dict.fromkeys(each for each in said if len(each) > 1))


def _supply_in(pieces: Sequence[Chunk]) -> str:
    """The one supply of a text as a sentence, "" where none is told.

    Errors: ``NothingHeard`` where there are several, or what is told may be that of one capacitor.
    """
    told = [each for each in pieces if each.tag in ("VOLT", "CHG", "ENE")]
    if not told:
        return "supply of V." if any(each.tag == "LV" for each in pieces) else ""
    if len({str(each.datum) for each in told}) > 1 or told[0].tag == "ENE":
        raise NothingHeard
    at = pieces.index(told[0])
    if _is_of_one(pieces[at + 1 : at + 5]) or _is_of_one(pieces[max(0, at - 7) : at]):
        raise NothingHeard
    if told[0].tag == "CHG":
        return _charge_in(pieces, told[0])
    return f"supply of {told[0].text}."


def _charge_in(pieces: Sequence[Chunk], told: Chunk) -> str:
    """A charge of all together. Errors: ``NothingHeard`` where it may be that of each."""
    said = {each.tag for each in pieces} | {each.text.lower() for each in pieces}
    if "EACH" in said or not said & _OF_ALL:
        raise NothingHeard
    return f"They hold {told.text} in all."


_OF_ALL: Final = frozenset(words("total altogether together whole all source supply battery"))


def _is_of_one(near: Sequence[Chunk]) -> bool:
    """``12 V on the 3 uF``, ``the p.d. across C1 is 12 V``: said of one capacitor."""
    tags = [each.tag for each in near]
    for at, tag in enumerate(tags):
        whom = tags[at + 1 : at + 3]
        if tag in ("ON", "ACROSS", "OVER", "FOR", "OF") and "THE" in whom and {*whom} & _ONES:
            return True
    return False


_ONES: Final = frozenset(("CAPV", "NAME", "NUM", "ORD1", "ORD2", "ORD3"))


def _guesses(stock: CapacitorsTold, heard: Sequence[WordHeard]) -> list[Guess]:
    """The networks that the words speak for, the best first; none where a word of joining has no
    part in what they claim.
    """
    if not 1 < len(stock.worths) <= _MOST_CAPACITORS:
        return []
    parts = _parts_of(heard, len(stock.worths))
    if not 0 < len(parts) <= MOST_PARTS:
        return []
    claims, unused = claims_of(heard)
    if unused:
        return []
    found: dict[str, Guess] = {}
    for tree in trees_over(parts):
        worth = worth_of(tree, claims)
        if worth is None:
            continue
        told = _told(tree, stock)
        same = found.get(key := in_one_order(told))
        if same is None or same.worth < worth:
            found[key] = Guess(in_signs(told), worth)
    best = sorted(found.values(), key=lambda each: -each.worth)
    return [each for each in best if each.worth > best[0].worth - _NEAR]


def _parts_of(heard: Sequence[WordHeard], many: int) -> list[int]:
    """The capacitors as they are told: those that are always told together are one part."""
    masks = [sum(1 << i for i in each.who) for each in heard if each.kind == "some"]
    told: dict[tuple[bool, ...], int] = {}
    order: list[tuple[bool, ...]] = []
    for bit in (1 << i for mask in masks for i in range(many) if mask >> i & 1):
        key = tuple(bool(mask & bit) for mask in masks)
        if key not in told:
            order.append(key)
        told[key] = told.get(key, 0) | bit
    return [told[key] for key in order]


def _told(tree: GuessTree, stock: CapacitorsTold) -> PartTree:
    if isinstance(tree, int):
        return stock.written(next(bits_of(tree)).bit_length() - 1)
    return PartsJoined(tree.way, tuple(_told(each, stock) for each in tree.members))
