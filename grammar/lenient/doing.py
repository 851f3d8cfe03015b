"""What a sentence says beside the joining: supplies, charges, ratings, and what is done."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from grammar.lenient.facts import quantity_of
from grammar.lenient.mentions import Event, Mention, Ref, Supplied
from grammar.lenient.tabletop import Done, NoSense, Tabletop, Tied, found_item, leaves
from grammar.lenient.tokens import Chunk

BESIDE: Final = ("SUPPLY", "TOTAL", "RATING", "EVENT")


def done_beside(table: Tabletop, piece: Chunk, segment: list[Chunk]) -> list[Tabletop]:
    """Each way the table can look after one such piece of a segment."""
    if piece.tag == "TOTAL":
        return [table._replace(totals=(*table.totals, str(piece.datum)))]
    if piece.tag == "RATING":
        return [_rated(table, str(piece.datum), piece, segment)]
    if piece.tag == "SUPPLY":
        ends = piece.datum.points or table.ends
        over = piece.datum.over
        if isinstance(over, Mention) and any(over.worths) and not table.caps:
            table, named = found_item(table, over)[0]
            table = table._replace(last=named, latest=named)
        return [table._replace(supplies=(*table.supplies, piece.datum), ends=ends)]
    event: Event = piece.datum
    if event.kind == "charge":
        return _charged(table, event.text, piece, segment)
    if event.kind == "at":
        if len(table.latest) != 1:
            return _charged(table, event.text, piece, segment)
        return [table._replace(apart=(*table.apart, (table.latest[0], event.text)))]
    if event.kind == "stock":
        return [table._replace(stock=event.text)]
    if event.kind == "worth":
        return [_with_worths(table, event.text)]
    if event.kind in _OF_ONE:
        return [_OF_ONE[event.kind](table)]
    if event.kind in ("remove", "switched"):
        return [_taken_off(table, event.kind == "switched")]
    if event.kind == "put":
        return [_supplied_again(table, event.text)]
    return [table._replace(changes=(*table.changes, Done(event.kind, _subject(table), event.text)))]


def _bridged(table: Tabletop) -> Tabletop:
    """A wire from end to end of what was just named. Errors: ``NoSense`` for several."""
    whom = _subject(table)
    if len(whom) != 1 or len(table.caps) < 2:
        raise NoSense("It is not clear which capacitor is shorted.")
    return table.with_cap(whom[0], table.caps[whom[0]]._replace(bridged=True))


def _taken_off(table: Tabletop, by_switch: bool) -> Tabletop:
    """The supply taken away: a capacitor alone begins with what it got from it."""
    held = [each for each in table.supplies if each.quantity == "voltage"]
    if len(table.caps) == len(table.apart) == 1 and not held:
        table = table.with_cap(0, table.caps[0]._replace(start=table.apart[0][1]))
        table = table._replace(apart=())
    charged = held or any(cap.start not in ("", "0") for cap in table.caps)
    if by_switch and not charged:
        return table
    if len(held) == len(table.caps) == 1 and not table.changes:
        table = table.with_cap(0, table.caps[0]._replace(start=held[0].text))
        table = table._replace(supplies=tuple(s for s in table.supplies if s not in held))
    return table._replace(changes=(*table.changes, Done("remove")))


def _supplied_again(table: Tabletop, text: str) -> Tabletop:
    """The supply put back. Errors: ``NoSense`` where it was not taken away before."""
    before = [each.text for each in table.supplies if each.quantity == "voltage"]
    before += [cap.start for cap in table.caps if quantity_of(cap.start) == "voltage"]
    first = next(iter(before), "")
    if not any(done.kind == "remove" for done in table.changes) or not (text or first):
        raise NoSense("The supply that is put back was not taken away before.")
    return table._replace(changes=(*table.changes, Done("put", (), text or first)))


def _emptied(table: Tabletop) -> Tabletop:
    """The capacitor that was just named begins without charge."""
    if len(table.latest) != 1 or table.caps[table.latest[0]].start:
        return table
    at = table.latest[0]
    return table.with_cap(at, table.caps[at]._replace(start="0"))


def _with_worths(table: Tabletop, worth: str) -> Tabletop:
    """One value for all that have none. Errors: ``NoSense`` where all have one."""
    if not table.blanks:
        raise NoSense
    for index in table.blanks:
        table = table.with_cap(index, table.caps[index]._replace(worth=worth))
    return table


def _subject(table: Tabletop) -> tuple[int, ...]:
    """The capacitors of which a piece is said: those before it in its segment, or the last ones."""
    return tuple(dict.fromkeys(leaf for tree in table.last for leaf in leaves(tree)))


def _rated(table: Tabletop, text: str, piece: Chunk, segment: list[Chunk]) -> Tabletop:
    whom: Sequence[int] = _subject(table)
    all_of_them = "each" in piece.text or "all" in piece.text
    all_of_them = all_of_them or any(
        p.tag == "REF" and p.datum.kind in ("each", "all") for p in segment
    )
    if not (all_of_them or any(p.tag == "REF" for p in segment)):
        raise NoSense(f'Whose "{piece.text}" is, is not clear.')
    for index in range(len(table.caps)) if all_of_them else whom:
        table = table.with_cap(index, table.caps[index]._replace(rating=text))
    return table


def _charged(table: Tabletop, text: str, piece: Chunk, segment: list[Chunk]) -> list[Tabletop]:
    """Single capacitors begin with a p.d. each; of a group it is the supply of the whole. Right
    after the last of a group either may be meant.
    """
    before = segment[segment.index(piece) - 1] if piece in segment[1:] else piece
    told = [each for each in segment[: segment.index(piece)] if each.tag in ("ITEM", "REF")]
    if told and told[-1].tag == "REF" and _is_of_all(table, told[-1].datum):
        quantity = quantity_of(text)
        supplied = Supplied(quantity, text, word=piece.text)
        return [table._replace(supplies=(*table.supplies, supplied))]
    each = any(p.tag == "REF" and p.datum.kind == "each" for p in segment)
    if before.tag == "WHICH" and table.latest and not each:  # the one that had been charged
        return [_charged_all(table._replace(last=table.latest[-1:]), text, piece)]
    is_last = before.tag == "ITEM" and piece.text.lower().startswith("charged")
    group = len(table.last) == 1 and isinstance(table.last[0], Tied)
    if not (is_last and group):
        return [_charged_all(table, text, piece)]
    alone = table._replace(last=(leaves(table.last[0])[-1],))
    return [_charged_all(each, text, piece) for each in (table, alone)]


def _is_of_all(table: Tabletop, ref: Ref) -> bool:
    """Whether words point at all that has been joined, as in the network is charged."""
    joined = len(table.roots) == 1 and isinstance(table.roots[0], Tied)
    return joined and (ref.kind == "whole" or ref.text == "group") and not ref.way


def _charged_all(table: Tabletop, text: str, piece: Chunk) -> Tabletop:
    texts = text.split(", ")
    if len(table.last) == 1 and isinstance(table.last[0], Tied):
        supplied = Supplied(quantity_of(text), text, word=piece.text)
        return table._replace(supplies=(*table.supplies, supplied))
    one = re.match(r"(?i)charged|is\b|was\b|has\b|initially", piece.text)
    whom = table.latest if one and len(texts) == 1 else _subject(table)
    if len(texts) not in (1, len(whom)) or not whom:
        raise NoSense
    for number, index in enumerate(whom):
        if table.caps[index].start not in ("", "0"):
            raise NoSense("One capacitor is charged twice here.")
        start = texts[number] if len(texts) > 1 else text
        table = table.with_cap(index, table.caps[index]._replace(start=start))
    return table


# What is said of the capacitor that was just named.
_OF_ONE: Final[Mapping[str, Callable[[Tabletop], Tabletop]]] = MappingProxyType(
    {"uncharged": _emptied, "bridge": _bridged}
)
