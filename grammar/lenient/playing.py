"""A sentence carried out on the table: what is named, joined, supplied, done, wanted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from grammar.asking import QUANTITY
from grammar.lenient.acts import with_acts
from grammar.lenient.bracketing import Grouped, Grouping, Mentioned, ways_to_join
from grammar.lenient.happenings import with_early_joints, with_happenings, with_joints
from grammar.lenient.mentions import Event, HowTied, Mention, Ref, Supplied
from grammar.lenient.parts import with_parts
from grammar.lenient.tabletop import (
    Done,
    Knot,
    NoSense,
    Tabletop,
    Tied,
    found_item,
    join,
    leaves,
    meant_by,
    subtrees,
)
from grammar.lenient.tokens import Chunk

_IN_A_ROW: Final = ("ITEM", "REF", "SER", "PAR", "SERWITH", "PARWITH", "SEROF", "PAROF", "SERSIGN",
                    "PARSIGN", "AND", "COMMA", "PLUS", "THEN", "WHICH", "OPEN", "CLOSE", "COLON",
                    "JOINTO", "JOINED", "JOINOF", "IF")  # fmt: skip
_JOINTS: Final = (
    "SER",
    "PAR",
    "SERWITH",
    "PARWITH",
    "SEROF",
    "PAROF",
    "SERSIGN",
    "PARSIGN",
    "JOINTO",
    "JOINED",
    "JOINOF",
)
_QUANTITIES: Mapping[str, str] = {
    "CAPN": "capacitance",
    "CHGN": "charge",
    "PD": "voltage",
    "ENERGY": "energy",
    "CEQ": "capacitance",
}
# What may be passed by; anything else that no phrase has taken up is not understood.
_FILLERS: Final = frozenset(
    [
        "A",
        "DET",
        "THE",
        "OF",
        "WITH",
        "TO",
        "IN",
        "ON",
        "AT",
        "BY",
        "FOR",
        "IS",
        "JOIN",
        "CAPN",
        "ONE",
        "THEIR",
        "ABOUT",
        "PUNCTUAL",
        "WORD",
        "GROUP",
        "SOURCE",
        "TERMINAL",
        "WISHV",
        "MANY",
        "QUERY",
        "CHGN",
        "PD",
        "ENERGY",
        "CEQ",
        "APPLY",
        "EACH",
        "TOP",
        "BOTTOM",
        "MIDDLE",
        "ORD1",
        "ORD2",
        "ORD3",
        "ORD4",
        "ORD5",
        "ORDLAST",
        "CAP",
        "EQUAL",
        "SINGLE",
        "POINT",
        "UNCHARGED",
        "LIKE",
        "HOLD",
        "RESPECTIVELY",
        "OTHER",
        "ALL",
        "BOTH",
        "OFF",
        "TOGETHER",
        "THIS",
        "LIKEPL",
        "CROSSED",
        "FORMER",
        "PLATED",
        "SAMEPOINTS",
        "ACROSS",
        "BETWEEN",
        "FROM",
        "POSITIVE",
        "NEGATIVE",
        "SUPPLY",
        "EVENT",
        "RATING",
        "TOTAL",
        "PLACE",
        "ITEM",
        "REF",
        "WIRE",
        "PAIROF",
        "POLARITY",
        "AIR",
        "SYM",
        "COUNT",
        "WNUM",
    ]
) | frozenset(_IN_A_ROW)
_BESIDE: Final = ("SUPPLY", "TOTAL", "RATING", "EVENT")
MOST_TABLES: Final = 12


def phrased(pieces: Sequence[Chunk]) -> list[Chunk]:
    """A sentence as a row of phrases."""
    return with_joints(with_happenings(with_acts(with_parts(with_early_joints(pieces)))))


def played(tables: Sequence[Tabletop], sentence: Sequence[Chunk]) -> list[Tabletop]:
    """Each way the tables can look after a sentence.

    Errors: ``NoSense`` where it makes sense on none of them.
    """
    phrases = _listed_in_order(phrased(sentence))
    if any(piece.tag in _JOINTS and piece.tag != "JOINOF" for piece in phrases):
        phrases = [piece for piece in phrases if piece.tag != "JOINOF"]
    asks = any(p.tag in ("WISHV", "QUERY") for p in sentence)
    found: list[Tabletop] = []
    fault = NoSense()
    for table in tables:
        row, wants = _wishes(_without_it(phrases, table), asks, table)
        try:
            found.extend(_carried_out(table._replace(sentence=table.sentence + 1), row, wants))
        except NoSense as misfit:
            fault = misfit if str(misfit) or not str(fault) else fault
    if not found:
        raise fault
    return cheapest(found)


def cheapest(tables: Sequence[Tabletop]) -> list[Tabletop]:
    """The tables that cost the least so far, and a few that cost a little more."""
    kept = sorted(dict.fromkeys(tables), key=lambda each: each.cost)
    return [each for each in kept if each.cost <= kept[0].cost + 3][:MOST_TABLES]


def _without_it(row: list[Chunk], table: Tabletop) -> list[Chunk]:
    """Before anything is on the table a first it points at nothing: it is given that."""
    first = next((p for p in row if p.tag in ("REF", "ITEM")), None)
    if table.caps or first is None or first.tag == "ITEM" or first.datum.kind != "them":
        return row
    return [piece for piece in row if piece is not first]


def _listed_in_order(row: list[Chunk]) -> list[Chunk]:
    """After ``in series:`` every then is a comma."""
    opened = [i for i, p in enumerate(row) if p.tag == "SEROF" and p.text.endswith(":")]
    if not opened:
        return row
    return [p for i, p in enumerate(row) if not (p.tag == "THEN" and i > opened[0])]


_Wants = list[tuple[str, list[Chunk]]]


def _wishes(row: list[Chunk], asks: bool, table: Tabletop) -> tuple[list[Chunk], _Wants]:
    """The row without what is wanted, and that."""
    wants: _Wants = []
    kept: list[Chunk] = []
    index = 0
    while index < len(row):
        piece = row[index]
        quantity = _QUANTITIES.get(piece.tag) if asks else None
        if piece.tag == "SYM" and asks:
            letter, of = piece.datum
            name = Mention(("",), (f"C{of}",)) if of[:1].isdigit() or of in tuple("abcde") else None
            target = [Chunk("ITEM", piece.text, piece.start, name)] if name and of else []
            wants.append((QUANTITY[letter], target))
            index += 1
            continue
        if quantity is None:
            kept.append(piece)
            index += 1
            continue
        after, target = _whose(row, index + 1)
        kept += [each for each in target if _is_news(each, table)]
        index = after
        if piece.tag == "CEQ" and any(w[0] for w in wants[-1:]) and not target:
            continue
        wants.append((quantity, target))
    return kept, wants


def _is_news(piece: Chunk, table: Tabletop) -> bool:
    """Whether a wish speaks of a capacitor that is not on the table: it is then described so."""
    if piece.tag != "ITEM":
        return False
    known = {cap.worth for cap in table.caps}
    return any(worth and worth not in known for worth in piece.datum.worths)


def _whose(row: list[Chunk], index: int) -> tuple[int, list[Chunk]]:
    """What a quantity is wanted of, and where the row goes on."""
    start, target = index, []
    while index < len(row) and row[index].tag in (
        "OF", "ON", "ACROSS", "IN", "BY", "HOLD", "BETWEEN", "THE", "FOR", "PLATE", "WORD", "TERMINAL",
        "CAPN", "PARWITH", "AT", "IS", "PD", "CEQ", "JOIN", "WISHV",
    ):  # fmt: skip
        index += 1
    at = index
    while at < len(row) and row[at].tag in ("ITEM", "REF", "AND", "COMMA"):
        if row[at].tag in ("ITEM", "REF"):
            target.append(row[at])
        at += 1
    if not target:
        return index, []
    new = any(p.tag == "ITEM" and any(p.datum.worths) and p.datum.how != "old" for p in target)
    joined_after = at < len(row) and row[at].tag in _JOINTS
    if joined_after or (new and any(p.tag in _JOINTS for p in row[at:])):
        each = [p for p in target if p.tag == "REF" and p.datum.kind == "each"]
        return (start, []) if not each else (index + 1, each)
    return at, target


def _carried_out(table: Tabletop, row: list[Chunk], wants: _Wants) -> list[Tabletop]:
    _refuse_what_is_left(row)
    tables = [table]
    segments = _segments(row)
    for segment in segments:
        following: list[Tabletop] = []
        for each in tables:
            following.extend(_segment(each, segment))
        tables = following
        if not tables:
            raise NoSense
    return [_with_wishes(each, wants) for each in tables]


def _refuse_what_is_left(row: list[Chunk]) -> None:
    """Errors: ``NoSense`` for a piece that would be passed by and is no filler."""
    for index, piece in enumerate(row):
        if piece.tag == "LETTER" and piece.text == "I":
            continue
        if piece.tag == "DASH" and index + 1 < len(row):
            following = row[index + 1]
            if following.tag in ("ITEM", "REF") and following.start > piece.start + 1:
                continue
        if piece.tag == "SUPPLY" and 0 < index < len(row) - 1:
            if row[index - 1].tag == "ITEM" and row[index + 1].tag in ("SERSIGN", "PARSIGN"):
                raise NoSense(f'Whether "{piece.text}" belongs to one capacitor or to all is open.')
            continue
        after = row[index + 1] if index + 1 < len(row) else Chunk("", "", 0)
        if piece.tag == "HOLD" and after.tag == "SUPPLY" and after.datum.quantity == "voltage":
            raise NoSense(f'"{piece.text} {after.text}" is not clear here: a charge is held.')
        if piece.tag == "ACROSS" and (not after.tag or after.tag == "SUPPLY"):
            raise NoSense(f'"{piece.text}" wants a p.d. after it, as in across 12 V.')
        if (
            piece.tag == "THEN"
            and not any(p.tag in _JOINTS or p.tag in _BESIDE for p in row)
            and (not after.tag or not any(p.tag in ("ITEM", "REF") for p in row))
        ):
            raise NoSense(f'What comes after "{piece.text}" is not clear.')
        bare = piece.tag == "PARWITH" and piece.text.lower() == "across" and after.tag == "ITEM"
        bare = bare and row[index - 1].tag == "COMMA" and any(after.datum.worths)
        if bare and not after.datum.how:
            raise NoSense(f'"across {after.text}" wants a p.d., as in across 12 V.')
        if piece.tag not in _FILLERS:
            raise NoSense(f'"{piece.text}" is not clear here.')


def _segments(row: list[Chunk]) -> list[list[Chunk]]:
    """The row cut after every event, so that what is done is done in order."""
    found: list[list[Chunk]] = [[]]
    for piece in row:
        found[-1].append(piece)
        if piece.tag == "EVENT":
            found.append([])
    return [each for each in found if each]


def _segment(table: Tabletop, segment: list[Chunk]) -> list[Tabletop]:
    beside = [piece for piece in segment if piece.tag in _BESIDE]
    if any(piece.tag == "PLACE" for piece in segment):
        tables = _placed(table, segment)
    else:
        tables = _joined(table, segment)
    for piece in beside:
        tables = [after for each in tables for after in _beside(each, piece, segment)]
    return tables


def _joined(table: Tabletop, segment: Iterable[Chunk]) -> list[Tabletop]:
    row = [piece for piece in segment if piece.tag in _IN_A_ROW]
    row = _trimmed(row)
    if not row:
        return [table]
    if all(piece.tag in ("SER", "PAR", "COMMA", "AND", "COLON", "JOINED", "THEN") for piece in row):
        joint = next((p.tag for p in row if p.tag in ("SER", "PAR", "JOINED")), "")
        return [_all_joined(table, joint)] if joint else [table]
    found: list[Tabletop] = []
    fault = NoSense()
    for parsed in ways_to_join(row):
        tables = [table]
        try:
            for node in parsed.nodes:
                tables = [
                    _spoken_of(each, after, node, parsed.nodes[0])
                    for each in tables
                    for after, _ in _node(each, node)
                ]
        except NoSense as misfit:
            fault = misfit if str(misfit) else fault
            continue
        found.extend(each._replace(cost=each.cost + parsed.cost) for each in tables)
    if not found:
        raise fault
    return cheapest(found)


def _spoken_of(before: Tabletop, after: Tabletop, node: Grouping, first: Grouping) -> Tabletop:
    """Capacitors that are named one after the other are spoken of together."""
    if isinstance(node, Grouped) or node is first:
        return after
    earlier = [tree for tree in before.last if tree not in after.last and isinstance(tree, int)]
    return after._replace(last=(*earlier, *after.last))


def _all_joined(table: Tabletop, joint: str) -> Tabletop:
    """A clause of a joint alone speaks of all that there is."""
    way: HowTied = {"SER": "series", "PAR": "parallel"}.get(joint, "together")  # type: ignore[assignment]
    if len(table.roots) > 1:
        return join(table, way, table.roots)
    if not table.roots:
        raise NoSense
    return _bound(table, Grouped(way, ()), table.roots)


def _trimmed(row: list[Chunk]) -> list[Chunk]:
    """The row without commas and ands at its ends, or before a word that joins after a list."""
    loose = ("AND", "COMMA", "PLUS", "COLON", "WHICH", "THEN")
    while row and row[0].tag in loose:
        row = row[1:]
    while row and row[-1].tag in loose:
        row = row[:-1]
    row = _cut_at_a_second_mention(row)
    return [
        p
        for i, p in enumerate(row)
        if not (p.tag == "COLON" and i and row[i - 1].tag in ("SEROF", "PAROF"))
    ]


def _cut_at_a_second_mention(row: list[Chunk]) -> list[Chunk]:
    """Values given first, then the same names in the network: a break between the two."""
    seen: set[str] = set()
    for index, piece in enumerate(row):
        if piece.tag != "ITEM":
            continue
        names = set(filter(None, piece.datum.names))
        if names and names <= seen and not any(piece.datum.worths):
            before = row[index - 1].tag if index else ""
            if before in ("ITEM", "COMMA", "AND") and not any(
                p.tag in _JOINTS for p in row[:index]
            ):
                return [*row[:index], Chunk("STOP", "", piece.start), *row[index:]]
            return row
        seen |= names
    return row


def _node(table: Tabletop, node: Grouping) -> list[tuple[Tabletop, tuple[Knot, ...]]]:
    """Carry out one node; each way gives the table and the trees that the node stands for."""
    if isinstance(node, Mentioned):
        return _leaf(table, node.piece)
    found: list[tuple[Tabletop, tuple[Knot, ...]]] = []
    before = table.last
    states: list[tuple[Tabletop, tuple[Knot, ...]]] = [(table, ())]
    for member in node.members:
        following = []
        for each, trees in states:
            for after, more in _node(each._replace(last=before or each.last), member):
                following.append((after, (*trees, *more)))
        states = following
    for each, trees in states:
        several = len(trees)
        trees = _with_partner(each, node, trees, before)
        if several == 1 and len(trees) > 2:
            each = each._replace(cost=each.cost + 2)  # one is hardly joined to many at once
        after = _bound(each, node, trees)
        found.append((after, after.last))
    return found


def _bound(table: Tabletop, node: Grouped, trees: tuple[Knot, ...]) -> Tabletop:
    if node.way != "series" and table.changes and _all_one(table, trees):
        whom = tuple(sorted(leaf for tree in trees for leaf in leaves(tree)))
        return table._replace(changes=(*table.changes, Done("join", whom)), last=trees)
    return join(table, node.way, trees)


def _all_one(table: Tabletop, trees: tuple[Knot, ...]) -> bool:
    """Whether the trees are parts of one network that stands already."""
    inside = {leaf for tree in trees for leaf in leaves(tree)}
    return any(isinstance(root, Tied) and inside <= set(leaves(root)) for root in table.roots)


def _with_partner(
    table: Tabletop, node: Grouped, trees: tuple[Knot, ...], before: tuple[Knot, ...]
) -> tuple[Knot, ...]:
    """A lone member is joined to what was spoken of before."""
    if len(trees) != 1 or (
        isinstance(trees[0], Tied)
        and trees[0].way == node.way
        and len(node.members) == 1
        and isinstance(node.members[0], Mentioned)
    ):
        return trees
    mine = set(leaves(trees[0]))
    others = [root for root in table.roots if not mine & set(leaves(root))]
    if len(others) == 1:
        return (others[0], *trees)
    focus = [tree for tree in before if not mine & set(leaves(tree))]
    if focus:
        return (*focus, *trees)
    if others:
        return (*others, *trees)
    if isinstance(trees[0], Tied):
        return trees
    raise NoSense


def _leaf(table: Tabletop, piece: Chunk) -> list[tuple[Tabletop, tuple[Knot, ...]]]:
    if isinstance(piece.datum, Ref):
        return [
            (table._replace(last=trees, latest=_leaves_of(trees)), trees)
            for trees in meant_by(table, piece.datum)
        ]
    return [
        (after._replace(last=indices, latest=indices), indices)
        for after, indices in found_item(table, piece.datum)
    ]


def _leaves_of(trees: Iterable[Knot]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(leaf for tree in trees for leaf in leaves(tree)))


# What stands beside the joining


def _beside(table: Tabletop, piece: Chunk, segment: list[Chunk]) -> list[Tabletop]:
    if piece.tag == "TOTAL":
        return [table._replace(totals=(*table.totals, str(piece.datum)))]
    if piece.tag == "RATING":
        return [_rated(table, str(piece.datum), piece, segment)]
    if piece.tag == "SUPPLY":
        return [
            table._replace(
                supplies=(*table.supplies, piece.datum), ends=piece.datum.points or table.ends
            )
        ]
    event: Event = piece.datum
    if event.kind == "charge":
        return _charged(table, event.text, piece, segment)
    if event.kind == "uncharged":
        return [table]
    if event.kind == "remove":
        return [table._replace(changes=(*table.changes, Done("remove")))]
    whom = _subject(table)
    return [table._replace(changes=(*table.changes, Done(event.kind, whom, event.text)))]


def _subject(table: Tabletop) -> tuple[int, ...]:
    """The capacitors of which a piece is said: those before it in its segment, or the last ones."""
    return tuple(dict.fromkeys(leaf for tree in table.last for leaf in leaves(tree)))


def _rated(table: Tabletop, text: str, piece: Chunk, segment: list[Chunk]) -> Tabletop:
    whom: Sequence[int] = _subject(table)
    spread = any(p.tag == "REF" for p in segment) or "each" in piece.text or "all" in piece.text
    if not spread:
        raise NoSense(f'Whose "{piece.text}" is, is not clear.')
    if (
        "each" in piece.text
        or "all" in piece.text
        or any(p.tag == "REF" and p.datum.kind in ("each", "all") for p in segment)
    ):
        whom = range(len(table.caps))
    for index in whom:
        table = table.with_cap(index, table.caps[index]._replace(rating=text))
    return table


def _charged(table: Tabletop, text: str, piece: Chunk, segment: list[Chunk]) -> list[Tabletop]:
    """Single capacitors begin with a p.d. each; of a group it is the supply of the whole. Right
    after the last of a group either may be meant.
    """
    before = segment[segment.index(piece) - 1] if piece in segment[1:] else piece
    is_last = before.tag == "ITEM" and piece.text.lower().startswith("charged")
    group = len(table.last) == 1 and isinstance(table.last[0], Tied)
    if not (is_last and group):
        return [_charged_all(table, text, piece)]
    alone = table._replace(last=(leaves(table.last[0])[-1],))
    return [_charged_all(each, text, piece) for each in (table, alone)]


def _charged_all(table: Tabletop, text: str, piece: Chunk) -> Tabletop:
    texts = text.split(", ")
    if len(table.last) == 1 and isinstance(table.last[0], Tied):
        quantity = "charge" if text.endswith("C") or text.endswith("Q") else "voltage"
        return table._replace(supplies=(*table.supplies, Supplied(quantity, text, word=piece.text)))  # type: ignore[arg-type]
    one = re.match(r"(?i)charged|is\b|was\b|has\b|initially", piece.text)
    whom = table.latest if one and len(texts) == 1 else _subject(table)
    if len(texts) not in (1, len(whom)):
        raise NoSense
    for number, index in enumerate(whom):
        if table.caps[index].start not in ("", "0"):
            raise NoSense("One capacitor is charged twice here.")
        start = texts[number] if len(texts) > 1 else text
        table = table.with_cap(index, table.caps[index]._replace(start=start))
    return table


def _with_wishes(table: Tabletop, wants: _Wants) -> Tabletop:
    for quantity, targets in wants:
        whom: list[int] = []
        for piece in targets:
            if isinstance(piece.datum, Ref) and piece.datum.kind == "whole":
                continue
            try:
                after, trees = _leaf(table, piece)[0]
            except NoSense:
                continue
            if len(after.caps) > len(table.caps):
                raise NoSense(f'There is no "{piece.text}" in the network.')
            whom.extend(leaf for tree in trees for leaf in leaves(tree) if leaf < len(table.caps))
        table = table._replace(wishes=(*table.wishes, (quantity, tuple(dict.fromkeys(whom)))))
    return table


# Points


def _placed(table: Tabletop, segment: list[Chunk]) -> list[Tabletop]:
    """Capacitors between points: ``C1 from A to P``, ``between P and B hangs a 4``."""
    tables = [table]
    for points, row in _governed(segment):
        if points[0] == points[1]:
            raise NoSense(f"Both points are {points[0]}.")
        if not any(piece.tag in ("ITEM", "REF") for piece in row):
            tables = [_just_points(each, points, segment) for each in tables]
            continue
        following = []
        for each in tables:
            for after in _joined(each, row):
                trees = tuple(
                    tree for tree in after.last if any(tree in subtrees(r) for r in after.roots)
                )
                following.append(
                    after._replace(places=(*after.places, *((t, points) for t in trees)))
                )
        tables = following
    return tables


def _governed(segment: list[Chunk]) -> list[tuple[tuple[str, str], list[Chunk]]]:
    """Each pair of points with the part of the row that stands between them."""
    places = [index for index, piece in enumerate(segment) if piece.tag == "PLACE"]
    items = [index for index, piece in enumerate(segment) if piece.tag in ("ITEM", "REF")]
    first = not items or places[0] < items[0]
    found = []
    for number, index in enumerate(places):
        if first:
            end = places[number + 1] if number + 1 < len(places) else len(segment)
            row = segment[index + 1 : end]
        else:
            row = segment[places[number - 1] + 1 if number else 0 : index]
        found.append((segment[index].datum, row))
    return found


def _just_points(table: Tabletop, points: tuple[str, str], segment: list[Chunk]) -> Tabletop:
    if any(
        piece.tag == "WIRE" or piece.text.lower() in ("wire", "wired", "wires") for piece in segment
    ):
        return table._replace(wires=(*table.wires, points))
    return table._replace(ends=points)
