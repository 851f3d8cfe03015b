"""How the capacitors of a clause are joined: every way to read a row of them, with what it costs.

A row such as ``4 uF, in series with, 2 uF, and, 3 uF, in parallel`` can often be put together in
several ways; a way that no writer means costs more. All that cost the least stand.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from operator import itemgetter
from typing import Any, Final, NamedTuple, TypeAlias, TypeVar

from grammar.lenient.concepts import words
from grammar.lenient.mentions import HowTied, Ref
from grammar.lenient.tabletop import NoSense
from grammar.lenient.tokens import Chunk

JOINTS: Final = frozenset(
    words("SER PAR SERWITH PARWITH SEROF PAROF SERSIGN PARSIGN JOINTO JOINED JOINOF NEXTTO")
)
_BREAKS: Final = ("AND", "COMMA", "PLUS", "THEN", "STOP", "IF")
_AFTER: Mapping[str, HowTied] = {"SER": "series", "PAR": "parallel", "JOINED": "together"}
_WITH: Mapping[str, HowTied] = {
    "SERWITH": "series",
    "PARWITH": "parallel",
    "SERSIGN": "series",
    "PARSIGN": "parallel",
    "JOINTO": "together",
    "THEN": "series",
    "SER": "series",
    "PAR": "parallel",
}
_OF: Mapping[str, HowTied] = {"SEROF": "series", "PAROF": "parallel", "JOINOF": "together"}
_BEFORE_A_JOINT: Final = ("COMMA", "AND", "WHICH", "THEN", "COLON")
_MOST_KEPT: Final = 10
LONGEST: Final = 42  # pieces of one clause
MOST_WAYS: Final = 4_000  # to put parts of one clause together; who writes for a reader needs 800
_Way = TypeVar("_Way", bound=tuple[Any, ...])


class Mentioned(NamedTuple):
    """One phrase that names capacitors, or points back to some."""

    piece: Chunk


class Grouped(NamedTuple):
    """Members joined in one way. A lone member is joined to what was spoken of before."""

    way: HowTied
    members: tuple[Grouping, ...]
    loose: bool = False
    told: str = ""


Grouping: TypeAlias = "Mentioned | Grouped"


class Parsed(NamedTuple):
    """What a clause says, in order: groups, and lists of what is merely named."""

    cost: int
    nodes: tuple[Grouping, ...]


@lru_cache(maxsize=64)  # pure: the same row is put together once, whatever stands on the table
def ways_to_join(pieces: tuple[Chunk, ...]) -> tuple[Parsed, ...]:
    """The cheapest ways to read the pieces, those a little dearer too; none where they make no
    sense.

    Errors: ``NoSense`` where they could mean far more than any writer does.
    """
    if len(pieces) > LONGEST:
        raise NoSense
    return tuple(_Clause(pieces).whole(0, len(pieces)))


_Lists: TypeAlias = "list[tuple[int, tuple[Grouping, ...]]]"
_Elements: TypeAlias = "list[tuple[int, Grouping]]"


class _Clause:
    """One clause while it is being put together; spans are worked out once each."""

    def __init__(self, pieces: tuple[Chunk, ...]) -> None:
        self.pieces = pieces
        self.tags = (*(each.tag for each in pieces), "", "", "")  # none before or after them
        self.ways = 0  # looked at so far
        self.known_groups: dict[tuple[int, int], _Elements] = {}
        self.known_lists: dict[tuple[int, int], _Lists] = {}
        self.known_wholes: dict[int, list[Parsed]] = {}

    def _kept(self, found: list[_Way]) -> list[_Way]:
        """The cheapest of the ways to put a part together, their cost being what they begin with.

        Errors: ``NoSense`` where there have been too many.
        """
        self.ways += len(found) + 1
        if self.ways > MOST_WAYS:
            raise NoSense
        kept = sorted(dict.fromkeys(found), key=itemgetter(0))
        return [each for each in kept if each[0] <= kept[0][0] + 2][:_MOST_KEPT]

    def whole(self, start: int, end: int) -> list[Parsed]:
        """The clause as a row of units with breaks between them."""
        if start >= end:
            return [Parsed(0, ())]
        dear = 2 * (self.tags[0] in _OF and self.pieces[0].text.endswith(":"))
        if start in self.known_wholes:
            return self.known_wholes[start]
        found: list[Parsed] = []
        if self.tags[start] in (*_BREAKS, "WHICH", "WITH", "COLON"):
            found += self.whole(start + 1, end)
        if self.tags[start] in (*_WITH, "THEN") and self.tags[start] not in _AFTER:
            found += self._going_on(start, end)
        for stop in range(start + 1, end + 1):
            following, cost = self._break_at(stop, end)
            if following < 0:
                continue
            for unit_cost, nodes in self._units(start, stop):
                for rest in self.whole(following, end):
                    more = dear if rest.nodes else 0
                    cost_of_all = unit_cost + cost + rest.cost + more
                    found.append(Parsed(cost_of_all, (*nodes, *rest.nodes)))
        self.known_wholes[start] = self._kept(found)
        return self.known_wholes[start]

    def _going_on(self, start: int, end: int) -> Iterator[Parsed]:
        """``then a 4 uF`` at the beginning: in series with what was spoken of before."""
        for stop in range(start + 2, end + 1):
            following, cost = self._break_at(stop, end)
            if following < 0:
                continue
            for unit_cost, nodes in self.lists(start + 1, stop):
                for rest in self.whole(following, end):
                    bound = Grouped(_WITH[self.tags[start]], nodes, True)
                    extra = self.tags[start] == "THEN"
                    yield Parsed(unit_cost + cost + rest.cost + extra, (bound, *rest.nodes))

    def _break_at(self, stop: int, end: int) -> tuple[int, int]:
        """Where the next unit begins if one ends before ``stop``, and what that costs."""
        if stop == end:
            return end, 0
        tags = []
        at = stop
        while at < end and self.tags[at] in (*_BREAKS, "WITH", "WHICH", "COLON"):
            tags.append(self.tags[at])
            at += 1
        if not tags:
            return (
                (-1, 0)
                if self.tags[stop]
                not in ("ITEM", "REF", "SEROF", "PAROF", "JOINOF", "OPEN", "GROUPOF")
                else (stop, 2)
            )
        if "THEN" in tags and "STOP" not in tags:
            return at, 1
        if at == end or {"STOP", "COLON", "IF"} & set(tags):
            return at, 0
        if tags in (["COMMA", "AND"], ["COMMA", "WITH"], ["COMMA", "AND", "WITH"]):
            return at, 0
        return at, 1

    def _units(self, start: int, end: int) -> _Lists:
        found: _Lists = [(cost, (node,)) for cost, node in self.groups(start, end)]
        found += [(cost + 2 * (len(nodes) > 1), nodes) for cost, nodes in self.lists(start, end)]
        return found

    def lists(self, start: int, end: int) -> _Lists:
        """Members side by side, parted by commas and ands."""
        if (start, end) in self.known_lists:
            return self.known_lists[start, end]
        found: _Lists = [(cost, (node,)) for cost, node in self.elements(start, end)]
        for at in range(start + 1, end):
            separator = self._separator(at, start, end)
            if separator is None or at + separator[0] >= end:
                continue
            width, cost = separator
            for last_cost, last in self.elements(at + width, end):
                for first_cost, nodes in self.lists(start, at):
                    # A group in the middle of a list is one only if nothing simpler will do.
                    inner = sum(isinstance(n, Grouped) and n.loose for n in (*nodes[:1], last))
                    found.append((first_cost + last_cost + cost + inner, (*nodes, last)))
        self.known_lists[start, end] = self._kept(found)
        return self.known_lists[start, end]

    def _separator(self, at: int, start: int, end: int) -> tuple[int, int] | None:
        tag, after = self.tags[at], self.tags[at + 1]
        if tag == "COMMA" and after == "AND":
            commas = "COMMA" in self.tags[start:at]
            return 2, 0 if commas else 1
        if tag == "THEN" or (tag == "COMMA" and after == "THEN"):
            return (1 if tag == "THEN" else 2), 1
        if tag in ("AND", "PLUS"):
            return 1, 0
        if tag == "COMMA":
            more = any(self.tags[i] in ("AND", "COMMA") for i in range(at + 1, end))
            rest = [self.tags[i] for i in (at - 1, end, end + 1)]  # 1 uF, 2 uF and 3 uF
            more = more or rest == ["ITEM", "AND", "ITEM"]
            before = "COMMA" in self.tags[start:at]
            return 1, 0 if more or before else 1
        if tag in ("ITEM", "REF", "OPEN", "GROUPOF", "SEROF", "PAROF") and self.tags[at - 1] in (
            "ITEM",
            "REF",
            "CLOSE",
        ):
            return 0, int(self.tags[start] in _WITH)
        return None

    def elements(self, start: int, end: int) -> _Elements:
        """One member: a phrase, a bracket, or a group."""
        if end - start == 1:
            return (
                [(0, Mentioned(self.pieces[start]))] if self.tags[start] in ("ITEM", "REF") else []
            )
        found: _Elements = []
        if self.tags[start] == "GROUPOF":
            return [
                (cost, node._replace(loose=False))
                for cost, node in self.groups(start + 1, end)
                if isinstance(node, Grouped)
            ]
        if (
            self.tags[start] == "OPEN"
            and self.tags[end - 1] == "CLOSE"
            and self._matched(start, end - 1)
        ):
            found += [
                (cost, node._replace(loose=False) if isinstance(node, Grouped) else node)
                for cost, node in self.groups(start + 1, end - 1)
            ]
            found += [
                (c, n) for c, n in self.elements(start + 1, end - 1) if isinstance(n, Mentioned)
            ]
            return found
        made = self.groups(start, end)
        within = bool(made) and "THEN" in self.tags[start:end]
        return [(cost + (within or _is_told_late(node)), node) for cost, node in made]

    def _matched(self, start: int, end: int) -> bool:
        depth = 0
        for index in range(start, end + 1):
            depth += {"OPEN": 1, "CLOSE": -1}.get(self.tags[index], 0)
            if depth == 0:
                return index == end
        return False

    def groups(self, start: int, end: int) -> _Elements:
        """Members and the word that joins them."""
        if end <= start:
            return []
        if (start, end) in self.known_groups:
            return self.known_groups[start, end]
        self.known_groups[start, end] = []
        found = [*self._after(start, end), *self._of(start, end), *self._between(start, end)]
        found += self._fronted(start, end)
        if (
            self.tags[start] == "OPEN"
            and self.tags[end - 1] == "CLOSE"
            and self._matched(start, end - 1)
        ):
            found += self.groups(start + 1, end - 1)
        self.known_groups[start, end] = self._kept(found)
        return self.known_groups[start, end]

    def _after(self, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        """``2 uF and 3 uF in parallel``."""
        for way in self._ways_after(end - 1):
            yield from self._after_in(way, start, end)

    def _ways_after(self, at: int) -> tuple[HowTied, ...]:
        """Next to each other is either way, but after a first and a then."""
        if self.tags[at] == "NEXTTO":
            told = self.pieces[at].text.startswith("next") and any(
                each.tag == "THEN" for each in self.pieces
            )
            return ("parallel",) if told else ("series", "parallel")
        way = _AFTER.get(self.tags[at])
        return () if way is None else (way,)

    def _after_in(self, way: HowTied, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        stop, late = end - 1, ""
        while stop > start and self.tags[stop - 1] in ("COMMA", "WHICH", "WITH", "COLON", "THEN"):
            late = "late" if self.tags[stop - 1] == "COMMA" else late
            stop -= 1
        for cost, nodes in self.lists(start, stop):
            if len(nodes) == 1 and isinstance(nodes[0], Grouped) and nodes[0].way == way:
                yield cost, nodes[0]  # said once more
                continue
            beside = self.tags[start - 1] == "AND" and self.tags[start - 2] in _AFTER
            told = "beside" if beside and len(nodes) == 1 else ""
            lone = not told and len(nodes) == 1 and not _is_plural(nodes[0])
            lone = lone and isinstance(nodes[0], Mentioned)
            beset = self.tags[start - 1] in ("AND", "ITEM") or self.tags[end] in ("ITEM", "REF")
            odd = 2 * (lone and beset)
            order = self._told_in_order(way, start, stop)
            of_the_last = self.tags[stop] == "WHICH" and len(nodes) > 1 and _is_plural(nodes[-1])
            yield cost + odd + order + of_the_last, Grouped(way, nodes, True, told)

    def _told_in_order(self, way: str, start: int, end: int) -> int:
        """What is told one after the other is hardly in parallel."""
        return 4 if way == "parallel" and "THEN" in self.tags[start:end] else 0

    def _of(self, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        """``a parallel combination of 2 uF and 3 uF``."""
        way = _OF.get(self.tags[start]) or _AFTER.get(self.tags[start])
        if way is None:
            return
        extra = 0 if self.tags[start] in _OF else 1
        first = start + 1
        while self.tags[first] in ("COLON", "COMMA"):
            first += 1
        if (
            self.tags[first] == "OPEN"
            and self.tags[end - 1] == "CLOSE"
            and self._matched(first, end - 1)
        ):
            first, end = first + 1, end - 1
        for cost, nodes in self.lists(first, end):
            single = len(nodes) == 1 and isinstance(nodes[0], Mentioned)
            of_one = 3 * (single and not _is_plural(nodes[0]))  # hardly a group
            if extra and len(nodes) == 1 and not _is_plural(nodes[0]):
                continue
            late = self._told_in_order(way, start, end)
            late += 3 * any(isinstance(n, Grouped) and n.way == way for n in nodes)
            yield cost + of_one + extra + late, Grouped(way, nodes, len(nodes) > 1)

    def _between(self, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        """``4 uF in series with 3 uF``."""
        for at in range(start + 1, end - 1):
            way = _WITH.get(self.tags[at])
            if self.tags[at] == "NEXTTO":
                yield from self._next_to(at, start, end)
            if way is None:
                continue
            bare = 2 if self.tags[at] in _AFTER else 1 if self.tags[at] == "THEN" else 0
            left, relative = at, False
            told = "late" if self.pieces[at].datum == "main" else ""
            while left > start and self.tags[left - 1] in _BEFORE_A_JOINT:
                relative = relative or self.tags[left - 1] == "WHICH"
                if self.tags[left - 1] in ("COMMA", "THEN") and self.tags[at] != "THEN":
                    told = "late"
                left -= 1
            if bare == 2 and left < at:
                continue
            for right_cost, right in self.lists(at + 1, end):
                for left_cost, members in self.lists(start, left):
                    listed = bare == 2 and len(members) + len(right) > 2
                    extra = (
                        bare
                        + listed
                        + (1 if relative and (len(members) > 1 or _is_open(members[0])) else 0)
                    )
                    late = "" if relative else told
                    if self._signs_on_both_sides(at):
                        extra += sum(map(_is_open, (members[-1], right[0])))
                    extra += self._told_in_order(way, start, left) // 2
                    extra += self._told_in_order(way, at + 1, end) // 2
                    yield (
                        left_cost + right_cost + extra,
                        Grouped(way, (*members, *right), True, late),
                    )

    def _signs_on_both_sides(self, at: int) -> bool:
        """Whether this is one of two signs, in 10n//22n in series with 33n//47n."""
        signs = [each.tag for each in self.pieces if each.tag == self.tags[at]]
        return self.tags[at] in ("PARSIGN", "SERSIGN") and len(signs) > 1

    def _fronted(self, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        """``parallel to this row is 4 nF``, ``behind them comes 10 uF``: the joint first."""
        way = _WITH.get(self.tags[start])
        if way is None or self.tags[start] not in ("SERWITH", "PARWITH"):
            return
        for at in range(start + 2, end):
            first = at - (self.tags[at - 1] == "COMMA")
            for partner_cost, partner in self.elements(start + 1, first):
                for cost, nodes in self.lists(at, end):
                    dear = not _points_back(partner)
                    node = Grouped(way, (partner, *nodes), True, "late")
                    yield partner_cost + cost + dear, node

    def _next_to(self, at: int, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        """``5 uF next to 7 uF``: either way."""
        for right_cost, right in self.lists(at + 1, end):
            for left_cost, left in self.lists(start, at):
                for way in self._ways_after(at):
                    yield left_cost + right_cost, Grouped(way, (*left, *right), True)


def _points_back(node: Grouping) -> bool:
    if not isinstance(node, Mentioned):
        return False
    said = node.piece.datum
    return isinstance(said, Ref) or said.how == "old" or not any(said.worths)


def _is_plural(node: Grouping) -> bool:
    return isinstance(node, Mentioned) and (
        isinstance(node.piece.datum, Ref) or len(node.piece.datum.worths) > 1
    )


def _is_open(node: Grouping) -> bool:
    return isinstance(node, Grouped) and node.loose


def _is_told_late(node: Grouping) -> bool:
    return isinstance(node, Grouped) and node.told == "late"
