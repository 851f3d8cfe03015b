"""How the capacitors of a clause are joined: every way to read a row of them, with what it costs.

A row such as ``4 uF, in series with, 2 uF, and, 3 uF, in parallel`` can often be put together in
several ways; a way that no writer means costs more. All that cost the least stand.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple, TypeAlias

from grammar.lenient.concepts import words
from grammar.lenient.mentions import HowTied, Ref
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
_MOST_KEPT: Final = 10
LONGEST: Final = 42  # pieces of one clause


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


def ways_to_join(pieces: Sequence[Chunk]) -> list[Parsed]:
    """The cheapest ways to read the pieces, those a little dearer too; none where they make no
    sense.
    """
    if len(pieces) > LONGEST:
        return []
    return _Clause(tuple(pieces)).whole(0, len(pieces))


_Lists: TypeAlias = "list[tuple[int, tuple[Grouping, ...]]]"
_Elements: TypeAlias = "list[tuple[int, Grouping]]"


class _Clause:
    """One clause while it is being put together; spans are worked out once each."""

    def __init__(self, pieces: tuple[Chunk, ...]) -> None:
        self.pieces = pieces
        self.known_groups: dict[tuple[int, int], _Elements] = {}
        self.known_lists: dict[tuple[int, int], _Lists] = {}
        self.known_wholes: dict[int, list[Parsed]] = {}

    def tag(self, index: int) -> str:
        return self.pieces[index].tag if 0 <= index < len(self.pieces) else ""

    def whole(self, start: int, end: int) -> list[Parsed]:
        """The clause as a row of units with breaks between them."""
        if start >= end:
            return [Parsed(0, ())]
        dear = 2 * (self.tag(0) in _OF and self.pieces[0].text.endswith(":"))
        if start in self.known_wholes:
            return self.known_wholes[start]
        found: list[Parsed] = []
        if self.tag(start) in (*_BREAKS, "WHICH", "WITH", "COLON"):
            found += self.whole(start + 1, end)
        if self.tag(start) in (*_WITH, "THEN") and self.tag(start) not in _AFTER:
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
        self.known_wholes[start] = _cheapest(found)
        return self.known_wholes[start]

    def _going_on(self, start: int, end: int) -> Iterator[Parsed]:
        """``then a 4 uF`` at the beginning: in series with what was spoken of before."""
        for stop in range(start + 2, end + 1):
            following, cost = self._break_at(stop, end)
            if following < 0:
                continue
            for unit_cost, nodes in self.lists(start + 1, stop):
                for rest in self.whole(following, end):
                    bound = Grouped(_WITH[self.tag(start)], nodes, True)
                    extra = self.tag(start) == "THEN"
                    yield Parsed(unit_cost + cost + rest.cost + extra, (bound, *rest.nodes))

    def _break_at(self, stop: int, end: int) -> tuple[int, int]:
        """Where the next unit begins if one ends before ``stop``, and what that costs."""
        if stop == end:
            return end, 0
        tags = []
        at = stop
        while at < end and self.tag(at) in (*_BREAKS, "WITH", "WHICH", "COLON"):
            tags.append(self.tag(at))
            at += 1
        if not tags:
            return (
                (-1, 0)
                if self.tag(stop)
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
        self.known_lists[start, end] = _cheapest_lists(found)
        return self.known_lists[start, end]

    def _separator(self, at: int, start: int, end: int) -> tuple[int, int] | None:
        tag, after = self.tag(at), self.tag(at + 1)
        if tag == "COMMA" and after == "AND":
            commas = any(self.tag(i) == "COMMA" for i in range(start, at))
            return 2, 0 if commas else 1
        if tag == "THEN" or (tag == "COMMA" and after == "THEN"):
            return (1 if tag == "THEN" else 2), 1
        if tag in ("AND", "PLUS"):
            return 1, 0
        if tag == "COMMA":
            more = any(self.tag(i) in ("AND", "COMMA") for i in range(at + 1, end))
            rest = [self.tag(i) for i in (at - 1, end, end + 1)]  # 1 uF, 2 uF and 3 uF
            more = more or rest == ["ITEM", "AND", "ITEM"]
            before = any(self.tag(i) == "COMMA" for i in range(start, at))
            return 1, 0 if more or before else 1
        if tag in ("ITEM", "REF", "OPEN", "GROUPOF", "SEROF", "PAROF") and self.tag(at - 1) in (
            "ITEM",
            "REF",
            "CLOSE",
        ):
            return 0, int(self.tag(start) in _WITH)
        return None

    def elements(self, start: int, end: int) -> _Elements:
        """One member: a phrase, a bracket, or a group."""
        if end - start == 1:
            return (
                [(0, Mentioned(self.pieces[start]))] if self.tag(start) in ("ITEM", "REF") else []
            )
        found: _Elements = []
        if self.tag(start) == "GROUPOF":
            return [
                (cost, node._replace(loose=False))
                for cost, node in self.groups(start + 1, end)
                if isinstance(node, Grouped)
            ]
        if (
            self.tag(start) == "OPEN"
            and self.tag(end - 1) == "CLOSE"
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
        within = any(self.tag(index) == "THEN" for index in range(start, end))
        return [
            (cost + (1 if _is_told_late(node) or within else 0), node)
            for cost, node in self.groups(start, end)
        ]

    def _matched(self, start: int, end: int) -> bool:
        depth = 0
        for index in range(start, end + 1):
            depth += {"OPEN": 1, "CLOSE": -1}.get(self.tag(index), 0)
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
            self.tag(start) == "OPEN"
            and self.tag(end - 1) == "CLOSE"
            and self._matched(start, end - 1)
        ):
            found += self.groups(start + 1, end - 1)
        self.known_groups[start, end] = _cheapest_nodes(found)
        return self.known_groups[start, end]

    def _after(self, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        """``2 uF and 3 uF in parallel``."""
        for way in self._ways_after(end - 1):
            yield from self._after_in(way, start, end)

    def _ways_after(self, at: int) -> tuple[HowTied, ...]:
        """Next to each other is either way, but after a first and a then."""
        if self.tag(at) == "NEXTTO":
            told = self.pieces[at].text.startswith("next") and any(
                each.tag == "THEN" for each in self.pieces
            )
            return ("parallel",) if told else ("series", "parallel")
        way = _AFTER.get(self.tag(at))
        return () if way is None else (way,)

    def _after_in(self, way: HowTied, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        stop, late = end - 1, ""
        while stop > start and self.tag(stop - 1) in ("COMMA", "WHICH", "WITH", "COLON", "THEN"):
            late = "late" if self.tag(stop - 1) == "COMMA" else late
            stop -= 1
        for cost, nodes in self.lists(start, stop):
            if len(nodes) == 1 and isinstance(nodes[0], Grouped) and nodes[0].way == way:
                yield cost, nodes[0]  # said once more
                continue
            beside = self.tag(start - 1) == "AND" and self.tag(start - 2) in _AFTER
            told = "beside" if beside and len(nodes) == 1 else ""
            lone = not told and len(nodes) == 1 and not _is_plural(nodes[0])
            lone = lone and isinstance(nodes[0], Mentioned)
            beset = self.tag(start - 1) in ("AND", "ITEM") or self.tag(end) in ("ITEM", "REF")
            odd = 2 * (lone and beset)
            order = self._told_in_order(way, start, stop)
            of_the_last = self.tag(stop) == "WHICH" and len(nodes) > 1 and _is_plural(nodes[-1])
            yield cost + odd + order + of_the_last, Grouped(way, nodes, True, told)

    def _told_in_order(self, way: str, start: int, end: int) -> int:
        """What is told one after the other is hardly in parallel."""
        return (
            4 if way == "parallel" and any(self.tag(i) == "THEN" for i in range(start, end)) else 0
        )

    def _of(self, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        """``a parallel combination of 2 uF and 3 uF``."""
        way = _OF.get(self.tag(start)) or _AFTER.get(self.tag(start))
        if way is None:
            return
        extra = 0 if self.tag(start) in _OF else 1
        first = start + 1
        while self.tag(first) in ("COLON", "COMMA"):
            first += 1
        if (
            self.tag(first) == "OPEN"
            and self.tag(end - 1) == "CLOSE"
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
            way = _WITH.get(self.tag(at))
            if self.tag(at) == "NEXTTO":
                yield from self._next_to(at, start, end)
            if way is None:
                continue
            bare = 2 if self.tag(at) in _AFTER else 1 if self.tag(at) == "THEN" else 0
            left, relative = at, False
            told = "late" if self.pieces[at].datum == "main" else ""
            while left > start and self.tag(left - 1) in ("COMMA", "AND", "WHICH", "THEN", "COLON"):
                relative = relative or self.tag(left - 1) == "WHICH"
                if self.tag(left - 1) in ("COMMA", "THEN") and self.tag(at) != "THEN":
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
        signs = [each.tag for each in self.pieces if each.tag == self.tag(at)]
        return self.tag(at) in ("PARSIGN", "SERSIGN") and len(signs) > 1

    def _fronted(self, start: int, end: int) -> Iterator[tuple[int, Grouping]]:
        """``parallel to this row is 4 nF``, ``behind them comes 10 uF``: the joint first."""
        way = _WITH.get(self.tag(start))
        if way is None or self.tag(start) not in ("SERWITH", "PARWITH"):
            return
        for at in range(start + 2, end):
            first = at - (self.tag(at - 1) == "COMMA")
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


def _cheapest(found: list[Parsed]) -> list[Parsed]:
    kept = sorted(dict.fromkeys(found), key=lambda each: each.cost)
    return [each for each in kept if each.cost <= kept[0].cost + 2][:_MOST_KEPT]


def _cheapest_lists(found: _Lists) -> _Lists:
    kept = sorted(dict.fromkeys(found), key=lambda each: each[0])
    return [each for each in kept if each[0] <= kept[0][0] + 2][:_MOST_KEPT]


def _cheapest_nodes(found: _Elements) -> _Elements:
    kept = sorted(dict.fromkeys(found), key=lambda each: each[0])
    return [each for each in kept if each[0] <= kept[0][0] + 2][:_MOST_KEPT]
