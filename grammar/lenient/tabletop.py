"""The table that fills up: capacitors, what has been joined so far, and what was spoken of last.

A table never changes; every act gives another one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from grammar.lenient.mentions import MIDDLE, GivenBeside, HowTied, Mention, Ref, Supplied
from grammar.lenient.tokens import Chunk


class NoSense(Exception):
    """An act that makes no sense on this table; ``str()`` says why, or is empty; ``cure`` is what
    would do, "" where nothing better than brackets can be said.
    """

    def __init__(self, why: str = "", cure: str = "") -> None:
        super().__init__(why)
        self.cure = cure


class Cap(NamedTuple):
    """One capacitor on the table; "" for what has not been said of it.

    ``pointed`` says that it was spoken of as one that is known, before it was told of.
    Where ``promised`` is not 0 it keeps the place of a group that is told later, of so many
    branches, joined in the ``way``, what is in each of them joined in the way ``inside``.
    ``bridged`` says that a wire joins both its ends.
    """

    worth: str = ""
    name: str = ""
    start: str = ""
    rating: str = ""
    said: int = 0
    promised: int = 0
    way: HowTied | None = None
    inside: HowTied | None = None
    pointed: bool = False
    bridged: bool = False


class Tied(NamedTuple):
    """Trees joined in one way; a tree is the number of a capacitor or a group."""

    way: HowTied
    members: tuple[Knot, ...]


Knot: TypeAlias = "int | Tied"


class Done(NamedTuple):
    """One thing done later: which, to whom, and with what."""

    kind: str
    whom: tuple[int, ...] = ()
    text: str = ""


class Tabletop(NamedTuple):
    """``roots`` stand side by side, not joined to each other yet; ``last`` was spoken of last,
    ``groups`` were made in this order. ``counted`` is how many the text says there are.
    ``branches`` have been told and are not joined yet; ``apart`` are p.d.s and charges said of
    single capacitors, which may be what they begin with or a supply. ``crossed`` and ``alike``
    say how the plates are joined, ``stays`` that the supply is still on; ``givens`` are quantities
    given beside the supply; ``stock`` is what each is of which no more is told; ``named`` are
    groups with a name or a number of their own, and the capacitors in each. ``waiting`` is wanted
    of something that is not clear yet, ``unclear`` are the words for what never became so.
    """

    caps: tuple[Cap, ...] = ()
    roots: tuple[Knot, ...] = ()
    last: tuple[Knot, ...] = ()
    groups: tuple[Tied, ...] = ()
    counted: int = 0
    sentence: int = 0
    supplies: tuple[Supplied, ...] = ()
    totals: tuple[str, ...] = ()
    wishes: tuple[tuple[str, tuple[int, ...]], ...] = ()
    changes: tuple[Done, ...] = ()
    places: tuple[tuple[Knot, tuple[str, str]], ...] = ()
    wires: tuple[tuple[str, str], ...] = ()
    ends: tuple[str, str] | None = None
    crossed: bool = False
    alike: bool = False
    stays: bool = False
    cost: int = 0
    branched: bool = False
    latest: tuple[int, ...] = ()
    branches: tuple[Knot, ...] = ()
    apart: tuple[tuple[int, str], ...] = ()
    givens: tuple[GivenBeside, ...] = ()
    stock: str = ""
    named: tuple[tuple[str, tuple[int, ...]], ...] = ()
    waiting: tuple[tuple[str, Chunk], ...] = ()
    unclear: tuple[str, ...] = ()

    @property
    def blanks(self) -> list[int]:
        """The capacitors without a value."""
        return [index for index, cap in enumerate(self.caps) if not (cap.worth or cap.promised)]

    def with_cap(self, index: int, cap: Cap) -> Tabletop:
        """The table with one capacitor put in place of another."""
        return self._replace(caps=(*self.caps[:index], cap, *self.caps[index + 1 :]))

    def holds_alone(self, index: int) -> bool:
        """Whether a capacitor is not joined to anything yet."""
        return index in self.roots


def leaves(tree: Knot) -> list[int]:
    """The capacitors of a tree in order."""
    if isinstance(tree, int):
        return [tree]
    return [leaf for member in tree.members for leaf in leaves(member)]


def shares(quantity: str, tree: Knot) -> bool:
    """Whether the members of a group have this quantity in full."""
    shared = {"parallel": "voltage", "series": "charge"}
    return isinstance(tree, Tied) and shared.get(tree.way) == quantity


def subtrees(tree: Knot) -> Iterator[Knot]:
    """The tree and every part of it, inner parts last."""
    yield tree
    if isinstance(tree, Tied):
        for member in tree.members:
            yield from subtrees(member)


def flat(way: HowTied, members: Sequence[Knot]) -> Tied:
    """A group; a member joined in the same way is taken apart into its own members."""
    found: list[Knot] = []
    for member in members:
        found.extend(member.members if isinstance(member, Tied) and member.way == way else [member])
    return Tied(way, tuple(found))


def replaced(tree: Knot, old: Knot, new: Knot) -> Knot:
    """The tree with one part put in place of another."""
    if tree == old:
        return new
    if isinstance(tree, int):
        return tree
    return flat(tree.way, [replaced(member, old, new) for member in tree.members])


def as_told(tree: Knot) -> Knot:
    """The tree with the members of every group in the order in which the text told of them."""
    if isinstance(tree, int):
        return tree
    return Tied(tree.way, tuple(sorted(map(as_told, tree.members), key=lambda m: min(leaves(m)))))


def introduced(table: Tabletop, cap: Cap) -> tuple[Tabletop, int]:
    """One more capacitor on the table."""
    index = len(table.caps)
    cap = cap._replace(said=table.sentence)
    return table._replace(caps=(*table.caps, cap), roots=(*table.roots, index)), index


def join(table: Tabletop, way: HowTied, trees: Sequence[Knot]) -> Tabletop:
    """The trees joined, each taken from where it stands.

    Errors: ``NoSense`` where they stand inside one another or in two networks already.
    """
    distinct = list(dict.fromkeys(trees))
    if len(distinct) > 2 and len(distinct) < len(trees):
        raise NoSense  # one of several is named twice
    members = _gathered(table, distinct)
    if len(members) < 2:
        whole = members[0] if members else None
        if isinstance(whole, Tied) and whole.way == way:
            return table._replace(last=(whole,))  # said once more
        raise NoSense
    taken = [leaf for member in members for leaf in leaves(member)]
    if len(set(taken)) < len(taken):
        raise NoSense
    inside = [member for member in members if member not in table.roots]
    group = flat(way, members)
    if not inside:
        roots = [root for root in table.roots if root not in members]
        at = min(table.roots.index(member) for member in members)
        roots.insert(min(at, len(roots)), group)
        return _with_group(table._replace(roots=tuple(roots)), group)
    if len(inside) > 1:
        raise NoSense
    host = next((root for root in table.roots if inside[0] in subtrees(root)), None)
    if host is None:
        raise NoSense
    if any(
        leaf in leaves(host) for member in members if member != inside[0] for leaf in leaves(member)
    ):
        raise NoSense
    new = replaced(host, inside[0], group)
    roots = [new if root == host else root for root in table.roots if root not in members]
    return _with_group(table._replace(roots=tuple(roots)), group)


def _with_group(table: Tabletop, group: Tied) -> Tabletop:
    return table._replace(last=(group,), groups=(*table.groups, group))


def _gathered(table: Tabletop, trees: list[Knot]) -> list[Knot]:
    """The trees; where some are all the capacitors of one group, that group in their place."""
    for root in table.roots:
        for tree in subtrees(root):
            if isinstance(tree, int):
                continue
            inner = set(leaves(tree))
            among = [each for each in trees if isinstance(each, int) and each in inner]
            if len(among) == len(inner) and len(trees) > len(among):
                at = trees.index(among[0])
                rest = [each for each in trees if each not in among]
                return _gathered(table, [*rest[:at], tree, *rest[at:]])
            if len(among) == len(inner) == len(trees):
                return [tree]
    return trees


# What words point back to


def meant_by(table: Tabletop, ref: Ref) -> list[tuple[Knot, ...]]:
    """Each way to take words that point back, the likeliest alone where there is one.

    Errors: ``NoSense`` where nothing fits.
    """
    found = _KINDS[ref.kind](table, ref)
    if not found:
        raise NoSense
    return found


def _group(table: Tabletop, ref: Ref) -> list[tuple[Knot, ...]]:
    standing = {tree for root in table.roots for tree in subtrees(root)}
    known = dict(table.named).get(ref.text)
    if known is not None:
        meant = [tree for tree in standing if sorted(leaves(tree)) == sorted(known)]
        return [(meant[0],)] if meant else []
    groups = [group for group in table.groups if group in standing]
    groups += [t for t in standing if isinstance(t, Tied) and t not in groups and not table.groups]
    inner = [each for each in groups if all(isinstance(member, int) for member in each.members)]
    place = re.match("ORD([1-5]) ", ref.text)
    if place and len(inner) > 1 and len(inner) >= int(place[1]):
        return [(inner[int(place[1]) - 1],)]
    if ref.way:
        groups = [group for group in groups if group.way == ref.way]
    several = ref.many > 1 or ref.text == "groups"
    if several:
        free = [root for root in table.roots if isinstance(root, Tied)]
        if ref.many in (0, len(free)) and len(free) > 1:
            return [tuple(free)]
        if ref.many == len(table.roots):
            return [table.roots]
        if len(table.last) == ref.many:
            return [tuple(table.last)]
        fitting = [group for group in groups if len(group.members) == (ref.many or 2)]
        return [(fitting[-1],)] if fitting else []
    if groups:
        return [(groups[0] if ref.first else groups[-1],)]
    if ref.way:
        return []
    return [table.last] if len(table.last) > 1 else [table.roots] if table.roots else []


def _them(table: Tabletop, _ref: Ref) -> list[tuple[Knot, ...]]:
    last = tuple(tree for tree in table.last if stands(table, tree))
    return [last] if last else [table.roots] if table.roots else []


def stands(table: Tabletop, tree: Knot) -> bool:
    """Whether a tree is still part of what stands there."""
    return any(tree in subtrees(root) for root in table.roots)


def _whole(table: Tabletop, ref: Ref) -> list[tuple[Knot, ...]]:
    """All that is on the table, or what has been joined of it so far."""
    tied = tuple(root for root in table.roots if isinstance(root, Tied))
    if ref.kind == "whole" and tied and len(tied) < len(table.roots):
        return [table.roots, tied]
    return [table.roots] if table.roots else []


def _count(table: Tabletop, ref: Ref) -> list[tuple[Knot, ...]]:
    last = tuple(tree for tree in table.last if tree in table.roots)
    if ref.text in ("groups", "group"):
        return _group(table, ref)
    if ref.first:
        return [tuple(range(ref.many))] if len(table.caps) >= ref.many else []
    if len(last) == ref.many:
        return [last]
    if len(table.roots) == ref.many:
        return [table.roots]
    if len(table.last) == 1 and len(leaves(table.last[0])) == ref.many:
        return [table.last]
    if len(table.caps) == ref.many:
        return [tuple(range(ref.many))]
    groups = [g for g in table.groups if len(g.members) == ref.many and stands(table, g)]
    return [(groups[-1],)] if groups else []


def _other(table: Tabletop, ref: Ref) -> list[tuple[Knot, ...]]:
    free: tuple[Knot, ...] = tuple(
        r for r in table.roots if isinstance(r, int) and r not in table.last
    )
    if not free and table.blanks:
        free = tuple(table.blanks)
    spoken = {leaf for tree in table.last for leaf in leaves(tree)}
    if not free:
        free = tuple(root for root in table.roots if not spoken & {*leaves(root)})
    if not free:
        free = tuple(index for index in range(len(table.caps)) if index not in spoken)
    if free and ref.many in (0, len(free)):
        return [free]
    alike = [each for each in table.groups if stands(table, each)]
    alike = [each for each in alike if len(leaves(each)) == ref.many < len(table.caps)]
    return [tuple(leaves(alike[0]))] if len(alike) == 1 else []


def _each(table: Tabletop, _ref: Ref) -> list[tuple[Knot, ...]]:
    return [tuple(range(len(table.caps)))]


def _some(table: Tabletop, ref: Ref) -> list[tuple[Knot, ...]]:
    """As many as are meant of those not joined yet; the last ones where it says so."""
    free = tuple(root for root in table.roots if isinstance(root, int))
    free = tuple(index for index in free if not table.caps[index].promised)
    every = tuple(range(len(table.caps)))
    if ref.many == 1 and not set(free) - {*table.latest}:
        joined = next((g for g in reversed(table.groups) if stands(table, g)), None)
        among = tuple(leaves(joined)) if joined is not None else every
        if len({table.caps[index].worth for index in among}) == 1:
            return [among[:1]]
    if ref.many > len(free):
        return [table.last] if len(table.last) == ref.many else []
    alike = len({table.caps[index].worth for index in free}) == 1
    if not alike and len(free) > ref.many and not (ref.first or ref.text == "last"):
        return []
    return [free[-ref.many :] if ref.text == "last" else free[: ref.many]]


_KINDS: Mapping[str, Callable[[Tabletop, Ref], list[tuple[Knot, ...]]]] = {
    "group": _group,
    "them": _them,
    "whole": _whole,
    "all": _whole,
    "count": _count,
    "other": _other,
    "each": _each,
    "some": _some,
}


def found_item(
    table: Tabletop, item: Mention, used: Sequence[int] = ()
) -> list[tuple[Tabletop, tuple[int, ...]]]:
    """Each way to take the capacitors that a phrase names: those on the table, or new ones."""
    found: list[tuple[Tabletop, tuple[int, ...]]] = [(table, ())]
    for worth, name in zip(item.worths, item.names, strict=True):
        following = []
        for before, indices in found:
            for after, index in _one(before, item, (worth, name), (*used, *indices)):
                following.append((after, (*indices, index)))
        found = following
    if not found:
        raise NoSense
    return [(_settled(after, item, indices), indices) for after, indices in found]


def _settled(table: Tabletop, item: Mention, indices: tuple[int, ...]) -> Tabletop:
    for index in indices:
        cap = table.caps[index]
        cap = cap._replace(start=item.start or cap.start, rating=item.rating or cap.rating)
        table = table.with_cap(index, cap)
    if item.so_many and item.how != "old":
        table = table._replace(counted=max(table.counted, len(indices)))
    return table


def _one(
    table: Tabletop, item: Mention, said: tuple[str, str], used: Sequence[int]
) -> Iterator[tuple[Tabletop, int]]:
    worth, name = said
    if name:
        yield _by_name(table, worth, name, used)
        return
    if worth == "=" or (item.ordinal and not worth):
        yield from _like_others_or_in_order(table, item.ordinal, worth)
        return
    blanks = [index for index in table.blanks if index not in used and not table.caps[index].name]
    if not worth:
        if item.so_many and blanks and len(blanks) >= len(item.worths) and not item.how:
            yield table, blanks[0]
        else:
            yield introduced(table, Cap())
        return
    same = [i for i, cap in enumerate(table.caps) if cap.worth == worth and i not in used]
    alike = _spoken_of_before(table, item, same)
    if alike:
        named = [index for index in alike if table.caps[index].name]
        if len(alike) > 1 and named and not _interchangeable(table, alike):
            yield from ((table, index) for index in alike)
        else:
            told = table.caps[alike[0]]._replace(pointed=False)
            yield table.with_cap(alike[0], told), alike[0]
        if item.how in ("", "again") and not (item.so_many or any(map(table.holds_alone, alike))):
            yield introduced(table._replace(cost=table.cost + 2), Cap(worth))
        return
    if blanks and worth != "?":
        yield table.with_cap(blanks[0], table.caps[blanks[0]]._replace(worth=worth)), blanks[0]
        return
    yield introduced(table, Cap(worth, pointed=item.how == "old"))


def _like_others_or_in_order(
    table: Tabletop, ordinal: int, worth: str
) -> Iterator[tuple[Tabletop, int]]:
    """``another such``, ``a third`` where all are alike; else ``the third`` of those told."""
    valued = [cap.worth for cap in table.caps if cap.worth]
    if worth == "=" and (valued or table.stock):
        yield introduced(table, Cap(table.stock or valued[-1]))
    elif not worth and table.stock and ordinal > len(table.caps):
        yield introduced(table, Cap(table.stock))
    elif not worth:
        yield table, _by_order(table, ordinal)


def _spoken_of_before(table: Tabletop, item: Mention, same: Sequence[int]) -> list[int]:
    """Those of the same value that a phrase may point back to, those not joined yet first."""
    if item.how == "new":
        return []
    alike = list(same)
    if item.how == "":
        alike = [index for index in alike if _may_be_meant_again(table, index)]
        if item.so_many and len(alike) < len(item.worths):
            return []
    return [index for index in alike if table.holds_alone(index)] or alike


def _may_be_meant_again(table: Tabletop, index: int) -> bool:
    """Whether a value without a word before it may be one told of before: what one sentence lists
    are so many capacitors.
    """
    return table.caps[index].said < table.sentence or table.caps[index].pointed


def _interchangeable(table: Tabletop, indices: Sequence[int]) -> bool:
    return all(table.holds_alone(index) for index in indices)


def _by_name(table: Tabletop, worth: str, name: str, used: Sequence[int]) -> tuple[Tabletop, int]:
    for index, cap in enumerate(table.caps):
        if cap.name == name:
            if worth and cap.worth and worth != cap.worth:
                raise NoSense(f"{name} is given two values, {cap.worth} and {worth}.")
            return table.with_cap(index, cap._replace(worth=worth or cap.worth)), index
    for index in table.blanks:
        if index not in used and not table.caps[index].name:
            cap = table.caps[index]._replace(worth=worth, name=name)
            return table.with_cap(index, cap), index
    return introduced(table, Cap(worth, name))


def between_inner_points(table: Tabletop) -> int | None:
    """The one capacitor that is joined to neither end, as in the middle of a bridge."""
    ends = {*(table.ends or ("A", "B"))}
    inner = [tree for tree, points in table.places if not ends & {*points}]
    return inner[0] if len(inner) == 1 and isinstance(inner[0], int) else None


def _by_order(table: Tabletop, ordinal: int) -> int:
    if ordinal == MIDDLE and len(table.places) > 1:
        if (across := between_inner_points(table)) is None:
            raise NoSense
        return across
    if ordinal == MIDDLE and table.caps:
        rows = [leaves(group) for group in table.groups if len(group.members) % 2]
        rows = rows or [list(range(len(table.caps)))]
        return rows[-1][len(rows[-1]) // 2]
    if ordinal < 0 and table.caps:
        return len(table.caps) - 1
    if 0 < ordinal <= len(table.caps):
        return ordinal - 1
    raise NoSense
