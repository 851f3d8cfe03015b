"""A row of phrases joined on the table: each way to group them is tried, the likeliest stand."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from contextlib import suppress
from itertools import combinations
from typing import Final

from grammar.lenient.bracketing import JOINTS, Grouped, Grouping, Mentioned, ways_to_join
from grammar.lenient.concepts import words
from grammar.lenient.mentions import WAYS, HowTied, Mention, Ref
from grammar.lenient.prose_bounds import Tries
from grammar.lenient.tabletop import (
    Cap,
    Done,
    Knot,
    NoSense,
    Tabletop,
    Tied,
    found_item,
    introduced,
    join,
    leaves,
    meant_by,
)
from grammar.lenient.tokens import Chunk

_IN_A_ROW: Final = frozenset(
    words(
        "ITEM REF SER PAR SERWITH PARWITH SEROF PAROF SERSIGN PARSIGN AND COMMA PLUS THEN "
        "WHICH OPEN CLOSE COLON JOINTO JOINED JOINOF IF GROUPOF NEXTTO"
    )
)
_ALONE: Final = ("SER", "PAR", "COMMA", "AND", "COLON", "JOINED", "THEN", "NEXTTO")
_LOOSE: Final = ("AND", "COMMA", "PLUS", "COLON", "WHICH", "THEN")
_MOST_TABLES: Final = 12


def cheapest(tables: Sequence[Tabletop]) -> list[Tabletop]:
    """The tables that cost the least so far, and a few that cost a little more."""
    kept = sorted(dict.fromkeys(tables), key=lambda each: each.cost)
    return [each for each in kept if each.cost <= kept[0].cost + 3][:_MOST_TABLES]


def joined(table: Tabletop, segment: Iterable[Chunk], tries: Tries) -> list[Tabletop]:
    """Each way the table can look after what the segment names has been joined.

    Errors: ``NoSense`` where there is no way.
    """
    row = _trimmed([piece for piece in segment if piece.tag in _IN_A_ROW])
    if not row:
        return [table]
    if all(piece.tag in _ALONE for piece in row):
        joints = dict.fromkeys(p.tag for p in row if p.tag in JOINTS)
        if "NEXTTO" in joints:
            joints = dict.fromkeys(("SER", "PAR"))
        return [_all_joined(table, joint) for joint in joints] or [table]
    found: list[Tabletop] = []
    fault = NoSense()
    for parsed in ways_to_join(tuple(row)):
        try:
            tables = _played_in_order(table, parsed.nodes, tries)
        except NoSense as misfit:
            fault = misfit if str(misfit) else fault
            continue
        found.extend(each._replace(cost=each.cost + parsed.cost) for each in tables)
    if not found:
        return _without_weak_pieces(table, row, fault, tries)
    return cheapest(found)


_WEAK: Final = ("JOINTO", "JOINED", "JOINOF", "IF", "WHICH", "COLON", "GROUPOF")
_POINTING: Final = ("them", "group", "whole", "all", "each", "count")
_MOST_WEAK: Final = 8  # in one row: leaving out one or two does not mend a row of more
_MOST_TRIED: Final = 20  # rows with something left out


def _without_weak_pieces(
    table: Tabletop, row: Sequence[Chunk], fault: NoSense, tries: Tries
) -> list[Tabletop]:
    """The row without one or two pieces that only point back, or only say that things are joined.

    Errors: the ``fault`` where there is no way even so. What stands for a capacitor, and what
    says how it is joined, is never left out.
    """
    weak = [index for index, piece in enumerate(row) if _is_weak(piece)]
    if len(weak) > _MOST_WEAK:
        raise fault
    left_out = [(index,) for index in weak] + list(combinations(weak, 2))
    for out in left_out[:_MOST_TRIED]:
        rest = _trimmed([piece for index, piece in enumerate(row) if index not in out])
        if not any(piece.tag in ("ITEM", "REF") for piece in rest):
            continue
        found: list[Tabletop] = []
        for parsed in ways_to_join(tuple(rest)):
            with suppress(NoSense):
                found += [
                    each._replace(cost=each.cost + parsed.cost + len(out))
                    for each in _played_in_order(table, parsed.nodes, tries)
                ]
        if found:
            return cheapest(found)
    raise fault


def _is_weak(piece: Chunk) -> bool:
    if piece.tag == "REF":
        ref: Ref = piece.datum
        return ref.kind in _POINTING and (ref.many < 2 or ref.text == "groups")
    return piece.tag in _WEAK


def _played_in_order(table: Tabletop, nodes: Sequence[Grouping], tries: Tries) -> list[Tabletop]:
    tables = [table]
    for node in nodes:
        tables = [
            _spoken_of(each, after, node, nodes[0])
            for each in tables
            for after, _ in _node(each, node, tries)
        ]
    return tables


def _spoken_of(before: Tabletop, after: Tabletop, node: Grouping, first: Grouping) -> Tabletop:
    """Capacitors that are named one after the other are spoken of together."""
    if isinstance(node, Grouped) or node is first:
        return after
    earlier = [tree for tree in before.last if tree not in after.last and isinstance(tree, int)]
    return after._replace(last=(*earlier, *after.last))


def _all_joined(table: Tabletop, joint: str) -> Tabletop:
    """A clause of a joint alone speaks of all that there is."""
    way = WAYS.get(joint, "together")
    if len(table.roots) > 1:
        return join(table, way, table.roots)
    whole = table.roots[0] if table.roots else None
    if way == "together" and isinstance(whole, Tied) and whole.way == "parallel":
        return table._replace(last=table.roots)
    if not table.roots:
        raise NoSense
    return _bound(table, Grouped(way, ()), table.roots)


def _trimmed(row: list[Chunk]) -> list[Chunk]:
    """The row without commas and ands at its ends, or before a word that joins after a list."""
    while row and row[0].tag in _LOOSE and not _goes_on(row):
        row = row[1:]
    while row and row[-1].tag in _LOOSE:
        row = row[:-1]
    row = _without_empty_brackets(row)
    row = _cut_at_a_second_mention(row)
    return [
        p
        for i, p in enumerate(row)
        if not (p.tag == "COLON" and i and row[i - 1].tag in ("SEROF", "PAROF"))
    ]


def _without_empty_brackets(row: list[Chunk]) -> list[Chunk]:
    """Brackets with no capacitor in them, as in (in parallel), are as good as none."""
    empty: list[int] = []  # the opened brackets that hold nothing yet
    dropped: set[int] = set()
    for place, piece in enumerate(row):
        if piece.tag == "OPEN":
            empty.append(place)
        elif piece.tag in ("ITEM", "REF"):
            empty = []
        elif piece.tag == "CLOSE" and empty:
            dropped.update((empty.pop(), place))
    dropped.update(empty)
    return [piece for place, piece in enumerate(row) if place not in dropped]


def _goes_on(row: list[Chunk]) -> bool:
    """``then in parallel: 2 uF and 6 uF``, ``then a 4 uF``: in series with what was there."""
    if row[0].tag != "THEN" or len(row) < 2:
        return False
    plain = not any(piece.tag in JOINTS for piece in row)
    told_later = row[1].tag == "REF" and row[1].datum.kind == "promise"
    return row[1].tag in ("PAROF", "SEROF") or (plain and (row[1].tag == "ITEM" or told_later))


def _cut_at_a_second_mention(row: list[Chunk]) -> list[Chunk]:
    """Values given first, then the same names in the network: a break between the two."""
    seen: set[str] = set()
    for index, piece in enumerate(row):
        if piece.tag != "ITEM":
            continue
        names = set(filter(None, piece.datum.names))
        names |= set(piece.datum.worths) if piece.datum.how == "old" else set()
        if names and names <= seen and (piece.datum.how == "old" or not any(piece.datum.worths)):
            before = row[index - 1].tag if index else ""
            if before in ("ITEM", "COMMA", "AND", "COLON") and not any(
                p.tag in JOINTS for p in row[:index]
            ):
                return [*row[:index], Chunk("STOP", "", piece.start), *row[index:]]
            return row
        seen |= {*names, *piece.datum.worths}
    return row


def _node(table: Tabletop, node: Grouping, tries: Tries) -> list[tuple[Tabletop, tuple[Knot, ...]]]:
    """Carry out one node; each way gives the table and the trees that the node stands for."""
    tries.count()
    if isinstance(node, Mentioned):
        return in_a_phrase(table, node.piece)
    found: list[tuple[Tabletop, tuple[Knot, ...]]] = []
    before = table.last
    states: list[tuple[Tabletop, tuple[Knot, ...]]] = [(table, ())]
    for member in node.members:
        following = []
        for each, trees in states:
            for after, more in _node(each._replace(last=before or each.last), member, tries):
                further = _beside_the_others(member, trees, more)
                if further:
                    following.append((after, (*trees, *further)))
        states = following
    fault = NoSense()
    for each, alone in states:
        try:
            for trees in _with_partners(each, node, alone, before):
                # One is hardly joined to many at once.
                dear = 2 * (len(alone) == 1 and len(trees) > 2)
                after = _bound(each._replace(cost=each.cost + dear), node, trees)
                found.append((after, after.last))
        except NoSense as misfit:
            fault = misfit
    if not found:
        raise fault
    return found


def _beside_the_others(
    node: Grouping, trees: Sequence[Knot], more: tuple[Knot, ...]
) -> tuple[Knot, ...]:
    """What a member adds to a joint: in 5 uF across both, the 5 uF is not one of the two. What is
    pointed at once more makes no sense: after a 12 uF, the 12 uF.
    """
    said = node.piece.datum if isinstance(node, Mentioned) else None
    if set(trees) & set(more) and said is not None and not isinstance(said, Ref):
        return () if said.how == "old" else more
    return tuple(each for each in more if each not in trees) if isinstance(said, Ref) else more


def _with_partners(
    table: Tabletop, node: Grouped, trees: tuple[Knot, ...], before: tuple[Knot, ...]
) -> list[tuple[Knot, ...]]:
    """What is joined; in ``2 and 3 in series and 4 in parallel`` either the pair or the 3."""
    found = [_with_partner(table, node, trees, before)]
    if node.told == "beside" and len(trees) == 1 and len(found[0]) == 2:
        partner = found[0][0]
        if isinstance(partner, Tied) and partner.way != node.way:
            found.append((leaves(partner)[-1], *trees))
    return found


def _bound(table: Tabletop, node: Grouped, trees: tuple[Knot, ...]) -> Tabletop:
    promised = _promised_alone(table, trees)
    if promised is not None and len(trees) == 1:
        if node.way == "together":
            return table._replace(last=trees)
        cap = table.caps[promised]._replace(way=node.way)
        return table.with_cap(promised, cap)._replace(last=trees)
    if node.way != "series" and table.changes and _all_one(table, trees):
        whom = tuple(sorted(leaf for tree in trees for leaf in leaves(tree)))
        return table._replace(changes=(*table.changes, Done("join", whom)), last=trees)
    return join(table, node.way, trees)


def _promised_alone(table: Tabletop, trees: Sequence[Knot]) -> int | None:
    """The group that is told later, if the trees are that alone."""
    one = trees[0] if len(trees) == 1 else None
    return one if isinstance(one, int) and table.caps[one].promised else None


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
    if _promised_alone(table, trees) is not None and not node.loose:
        return trees
    if _promised_alone(table, trees) is not None and len(table.roots) == 1:
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


def in_a_phrase(table: Tabletop, piece: Chunk) -> list[tuple[Tabletop, tuple[Knot, ...]]]:
    """Each way to take one phrase: the table with what it names, and which trees that are."""
    said = piece.datum
    counted = re.fullmatch(r"the ([0-9]+)", piece.text)
    is_worth = counted and any(cap.worth.split(" ")[0] == counted[1] for cap in table.caps)
    if counted and int(counted[1]) == len(table.caps) and not is_worth:
        said = Ref("count", len(table.caps))  # the 3, where there are three and none is of 3 uF
    nth = _group_in_order(table, said)
    if nth is not None:
        return [(table._replace(last=(nth,), latest=_leaves_of((nth,))), (nth,))]
    if not isinstance(said, Ref):
        return [
            (after._replace(last=indices, latest=indices), indices)
            for after, indices in found_item(table, said)
        ]
    if said.kind == "some" and table.stock:
        return [_out_of_stock(table, said.many)]
    told = _told_already(table, said)
    if told:
        return [(table._replace(last=told, latest=_leaves_of(told)), told)]
    if said.kind == "promise" and said.text and _free(table) >= 2 * said.many:
        size = "pairs" if _free(table) > 2 * said.many else ""
        return [_split(table, Ref("split", said.many, said.text, size))]
    if said.kind == "promise":
        cap = Cap(promised=said.many, way=_way_of(said.way), inside=_way_of(said.text))
        after, index = introduced(table, cap)
        return [(after._replace(last=(index,)), (index,))]
    if said.kind == "split":
        return [_split(table, said)]
    return [
        (table._replace(last=trees, latest=_leaves_of(trees)), trees)
        for trees in meant_by(table, said)
    ]


def _free(table: Tabletop) -> int:
    """How many capacitors are not joined to anything yet."""
    return sum(isinstance(root, int) and not table.caps[root].promised for root in table.roots)


def _way_of(word: str) -> HowTied | None:
    return "series" if word == "series" else "parallel" if word == "parallel" else None


def _group_in_order(table: Tabletop, said: Mention | Ref) -> Knot | None:
    """``the first is parallel with the second``, where groups stand there."""
    groups = [each for each in table.roots if isinstance(each, Tied)]
    if isinstance(said, Ref) or any(said.worths) or any(said.names) or not said.ordinal:
        return None
    fits = 1 < len(groups) == len(table.roots) and said.ordinal <= len(groups)
    return groups[said.ordinal - (said.ordinal > 0)] if fits else None


def _told_already(table: Tabletop, ref: Ref) -> tuple[Knot, ...]:
    """``3 branches in parallel`` after three of them: these, and no new ones."""
    if ref.kind != "promise" or ref.many < 2:
        return ()
    branches = tuple(each for each in table.branches if each in table.roots)
    groups = tuple(each for each in table.roots if isinstance(each, Tied))
    joined = tuple(each for each in groups if len(each.members) == ref.many)
    return next((each for each in (branches, groups) if len(each) == ref.many), joined[:1])


def _out_of_stock(table: Tabletop, many: int) -> tuple[Tabletop, tuple[Knot, ...]]:
    """So many more, each as all of them are."""
    taken: list[int] = []
    for _ in range(many):
        table, index = introduced(table, Cap(table.stock))
        taken.append(index)
    return table._replace(last=tuple(taken), latest=tuple(taken)), tuple(taken)


def _split(table: Tabletop, ref: Ref) -> tuple[Tabletop, tuple[Knot, ...]]:
    """``two series pairs``: those not joined yet, in so many equal groups."""
    free = [root for root in table.roots if isinstance(root, int)]
    size = 2 if ref.text == "pairs" else len(free) // ref.many
    if size < 2 or size * ref.many != len(free):
        raise NoSense
    way: HowTied = "series" if ref.way == "series" else "parallel"
    for at in range(ref.many):
        table = join(table, way, free[at * size : (at + 1) * size])
    made = table.groups[-ref.many :]
    return table._replace(last=made), made


def _leaves_of(trees: Iterable[Knot]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(leaf for tree in trees for leaf in leaves(tree)))
