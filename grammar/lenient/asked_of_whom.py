"""Who is asked about: a question read again once the network is known.

A noun phrase picks capacitors by name, by value, by size among the others, by order, or by how they
are joined. Each of its words that is known leaves fewer of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from itertools import pairwise
from types import MappingProxyType
from typing import Final

from grammar.lenient.closing import are_sought
from grammar.lenient.facts import told_of
from grammar.lenient.mentions import WAYS
from grammar.lenient.patterns import text_of
from grammar.lenient.questions_heard import ALONE, GROUPS, LEAST, MOST, HeardWishes, word_of
from grammar.lenient.tabletop import Knot, Tabletop, Tied, between_inner_points, leaves, subtrees
from grammar.lenient.tokens import Chunk
from grammar.lenient.wanted import of_a_group

_ORDER: Final[Mapping[str, int]] = MappingProxyType(
    {
        "ORD1": 0,
        "ORD2": 1,
        "ORD3": 2,
        "ORD4": 3,
        "ORD5": 4,
        "ORDLAST": -1,
        "FORMER": 0,
        "TOP": 0,
        "BOTTOM": -1,
    }
)
_EXPONENT: Final[Mapping[str, int]] = MappingProxyType({"u": -6, "n": -9, "p": -12, "m": -3})
_ALL_ALIKE: Final = ("EACH", "BOTH", "ALL")


def with_questions(table: Tabletop, questions: HeardWishes) -> Tabletop:
    """The table at the end of its text with what was heard as a wish of the whole, or not heard,
    said of those that are meant; words that ask what is not clear are kept to be told.
    """
    wishes = list(table.wishes)
    kinds = {each.quantity for each in questions.asked}
    for said, pieces in questions.asked:
        quantity = _OF_A_VERB.get(said, said)
        whom = _meant(table, quantity, pieces) if quantity in _HELD else ()
        if whom is None or (not whom and (said in _OF_A_VERB or table.unclear)):
            if _names_another(pieces) and (quantity, ()) in wishes:
                wishes.remove((quantity, ()))
            continue
        if whom:  # it has become clear
            words = text_of(pieces).lower()
            unclear = tuple(each for each in table.unclear if each.lower() not in words)
            table = table._replace(unclear=unclear)
        same = [wish for wish in wishes if wish[0] in (quantity, *_ALSO.get(quantity, ()))]
        meant = (quantity, whom)
        if (same == [(quantity, ())] and whom) or (same == [("energy", ())] and said == "heat"):
            wishes[wishes.index(same[0])] = meant
        elif not same and _TOTAL in wishes and "total" not in kinds:
            wishes[wishes.index(_TOTAL)] = meant  # the resulting p.d. is no total
        elif not same:
            wishes.append(meant)
    table = table._replace(wishes=tuple(wishes))
    return table if wishes else _with_what_is_open(table, questions)


def _with_what_is_open(table: Tabletop, questions: HeardWishes) -> Tabletop:
    """A table of which no quantity is asked with what is to be found of it all the same, or with
    the words of a question that is not clear.
    """
    if are_sought(table) or any(cap.worth == "?" for cap in table.caps):
        return table._replace(wishes=(("capacitance", ()),))
    if questions.comes_out and _is_bare(table):
        return table._replace(wishes=(_TOTAL,))
    if table.unclear or not questions.words or any(cap.rating for cap in table.caps):
        return table
    return table._replace(unclear=(questions.words,))


# What a verb is about where no quantity is named: of the p.d. one sees a share, a charge is held.
_OF_A_VERB: Final[Mapping[str, str]] = MappingProxyType({"seen": "voltage", "held": "charge"})
_HELD: Final = ("charge", "voltage", "energy")
_TOTAL: Final = ("total", ())
# What else a wish may have been heard as.
_ALSO: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {"heat": ("energy",), "energy": ("heat",), "total": ("capacitance",)}
)


def _is_bare(table: Tabletop) -> bool:
    """Whether nothing is told of the capacitors but their values, and how they are joined."""
    told = table.supplies or table.totals or table.apart or table.changes or table.givens
    return len(table.caps) > 1 and not told and not any(cap.start for cap in table.caps)


def _meant(table: Tabletop, quantity: str, said: Sequence[Chunk]) -> tuple[int, ...] | None:
    """The capacitors that are meant; none by name for the whole, None where that is not clear."""
    if (group := _group_meant(table, said)) is not None:
        return tuple(of_a_group(table, quantity, group))
    among = list(range(len(table.caps)))
    picked = False
    for piece in said:
        kept = _kept(table, piece, among)
        if kept is not None:
            among, picked = kept, True
    if not picked:
        return None if _names_another(said) else ()
    alike = any(each.tag in _ALL_ALIKE for each in said)
    return tuple(among) if among and (len(among) == 1 or alike) else None


def _names_another(said: Sequence[Chunk]) -> bool:
    """``the blue one``: one capacitor by a word that is not known."""
    tags = [each.tag for each in said]
    return any(pair in (("WORD", "ONE"), ("WORD", "CAP")) for pair in pairwise(tags))


def _group_meant(table: Tabletop, said: Sequence[Chunk]) -> Tied | None:
    """``the middle pair``, ``one box``, ``the parallel pair``: a group of capacitors by itself."""
    if not any(word_of(each) in GROUPS for each in said):
        return None
    inner = [t for root in table.roots for t in subtrees(root) if _is_innermost(t)]
    groups = [each for each in inner if isinstance(each, Tied)]
    for piece in said:
        if piece.tag in ("SER", "PAR"):
            groups = [each for each in groups if each.way == WAYS[piece.tag]]
        elif piece.tag == "MIDDLE" and len(groups) % 2:
            groups = [groups[len(groups) // 2]]
        elif piece.tag in _ORDER and -1 <= _ORDER[piece.tag] < len(groups):
            groups = [groups[_ORDER[piece.tag]]]
    alike = {(each.way, *sorted(table.caps[i].worth for i in leaves(each))) for each in groups}
    return groups[0] if len(alike) == 1 else None


def _is_innermost(tree: Knot) -> bool:
    return isinstance(tree, Tied) and all(isinstance(each, int) for each in tree.members)


def _kept(table: Tabletop, piece: Chunk, among: Sequence[int]) -> list[int] | None:
    """Those that fit a piece; None where it picks none out."""
    if word_of(piece) in LEAST | MOST:
        return _by_size(table, word_of(piece) in LEAST, among)
    if word_of(piece) in ALONE:
        return _standing_alone(table, among)
    pick = _PICKS.get(piece.tag)
    return None if pick is None else pick(table, piece, among)


def _worth(table: Tabletop, index: int) -> Decimal | None:
    number, _, unit = table.caps[index].worth.partition(" ")
    try:
        return Decimal(number).scaleb(_EXPONENT.get(unit[:1], 0) if unit != "F" else 0)
    except InvalidOperation:
        return None


def _by_size(table: Tabletop, is_least: bool, among: Sequence[int]) -> list[int]:
    worths = {index: worth for index in among if (worth := _worth(table, index)) is not None}
    if len(worths) < len(among) or not worths:
        return []
    end = min(worths.values()) if is_least else max(worths.values())
    return [index for index in among if worths[index] == end]


def _standing_alone(table: Tabletop, among: Sequence[int]) -> list[int]:
    """Those that are joined to a group, and in none themselves."""
    root = table.roots[0] if len(table.roots) == 1 else None
    if not isinstance(root, Tied):
        return []
    alone = [each for each in root.members if isinstance(each, int)]
    return [each for each in alone if each in among] if len(alone) < len(root.members) else []


def _by_worth(table: Tabletop, piece: Chunk, among: Sequence[int]) -> list[int]:
    return [index for index in among if table.caps[index].worth == str(piece.datum)]


def _by_number(table: Tabletop, piece: Chunk, among: Sequence[int]) -> list[int] | None:
    """``the 8``: of that value, whatever its unit."""
    fits = [i for i in among if table.caps[i].worth.partition(" ")[0] == piece.text]
    return fits or None


def _by_name(table: Tabletop, piece: Chunk, among: Sequence[int]) -> list[int] | None:
    said = str(piece.datum or piece.text).replace("_", "")
    fits = [i for i in among if table.caps[i].name.replace("_", "") == said]
    if fits or piece.tag != "NAME" or any(cap.name for cap in table.caps):
        return fits if fits or piece.tag == "NAME" else None
    number = re.fullmatch("C([0-9]+)", said)
    return [i for i in among if number and i == int(number[1]) - 1]


def _by_order(_table: Tabletop, piece: Chunk, among: Sequence[int]) -> list[int]:
    at = _ORDER[piece.tag]
    return [among[at]] if among and -1 <= at < len(among) else []


def _of_a_sign(table: Tabletop, piece: Chunk, among: Sequence[int]) -> list[int] | None:
    of = piece.datum[1]
    return _by_name(table, piece._replace(tag="NAME", datum=f"C{of}"), among) if of else None


def _middle(table: Tabletop, _piece: Chunk, among: Sequence[int]) -> list[int]:
    if len(table.places) > 1:
        across = between_inner_points(table)
        return [] if across is None else [across]
    return [among[len(among) // 2]] if len(among) % 2 else []


def _in_a_group(table: Tabletop, piece: Chunk, among: Sequence[int]) -> list[int] | None:
    """``of the parallel pair``: those that stand in a group that is joined so."""
    groups = [t for root in table.roots for t in subtrees(root) if isinstance(t, Tied)]
    inside = {
        i for t in groups if t.way == WAYS[piece.tag] for i in t.members if isinstance(i, int)
    }
    return [i for i in among if i in inside] or None


def _not_told_of(table: Tabletop, _piece: Chunk, among: Sequence[int]) -> list[int] | None:
    """The other: the one of which nothing is told, where something is told of all the rest."""
    told = told_of(table)
    others = [i for i in among if i not in told]
    return others if told and len(others) == 1 else None


def _all_of_them(_table: Tabletop, _piece: Chunk, among: Sequence[int]) -> list[int]:
    return list(among)


_PICKS: Final[Mapping[str, Callable[[Tabletop, Chunk, Sequence[int]], list[int] | None]]] = (
    MappingProxyType(
        {
            "CAPV": _by_worth,
            "NUM": _by_number,
            "NAME": _by_name,
            "LETTER": _by_name,
            "SYM": _of_a_sign,
            "EACH": _all_of_them,
            "BOTH": _all_of_them,
            "MIDDLE": _middle,
            "OTHER": _not_told_of,
            "SER": _in_a_group,
            "PAR": _in_a_group,
            **dict.fromkeys(_ORDER, _by_order),
        }
    )
)
