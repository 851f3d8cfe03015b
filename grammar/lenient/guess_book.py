"""The book of what has been claimed, and what a row of things heard holds at a place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from grammar.lenient.guess_records import WordHeard
from grammar.lenient.guess_trees import JoinClaim, bits_of

AGREED: Final = 1.0
LIKELY: Final = 0.9
OPEN: Final = 0.5
LOOSELY: Final = 0.4


class Span(NamedTuple):
    """Some capacitors as they stand in a sentence: each told by itself, or ``closed`` as one."""

    members: tuple[int, ...]
    closed: bool = False

    @property
    def mask(self) -> int:
        """All of them."""
        return union_of(self.members)


def union_of(masks: Sequence[int]) -> int:
    """All capacitors of some sets of them."""
    whole = 0
    for each in masks:
        whole |= each
    return whole


class ClaimBook:
    """What has been claimed so far, and what may be pointed back at."""

    def __init__(self) -> None:
        self.claims: list[JoinClaim] = []
        self.groups: list[int] = []  # told as groups, in their order
        self.so_far = 0
        self.unused: list[WordHeard] = []  # words of joining that nothing came of

    def claim(self, way: str, operands: Sequence[int], text: str) -> None:
        """What is certain, if anything is."""
        self.claims.append(JoinClaim(way, ((AGREED, tuple(operands)),), text))

    def pointed_at(self, each: WordHeard, before: int, last: int = 0) -> list[int]:
        """What words that point back can mean, the likeliest first; ``last`` where they may mean
        one alone.
        """
        many, whole = each.many, before or self.so_far
        if not many and whole and words_of(each) & ALL_OF_IT:
            return [whole]
        found = [last] if last else []
        found += [mask for mask in reversed(self.groups) if many in (0, mask.bit_count())]
        if len(self.groups) >= many > 1:
            found.append(union_of(self.groups[-many:]))
        if many in (0, whole.bit_count()):
            found.append(whole)
        return list(dict.fromkeys(mask for mask in found if mask))


def has_some(row: Sequence[WordHeard]) -> bool:
    """Whether capacitors are told of."""
    return any(each.kind == "some" for each in row)


def rights(right: Span) -> list[tuple[float, tuple[int, ...]]]:
    """How several on the right may be meant."""
    if right.closed or len(right.members) == 1:
        return [(AGREED, (right.mask,))]
    return [(AGREED, right.members), (LIKELY, (right.mask,)), (OPEN, right.members[:1])]


def begins_with_one(row: Sequence[WordHeard], at: int) -> bool:
    """``(a series connection) of an 18 and a parallel connection``, ``of an 18, then a 3``: one,
    and then a group or others.
    """
    told = [each for each in row[at : at + 5] if each.kind != "comma"]
    told = told[told[:1] != [] and told[0].kind == "noun" :]
    kinds = [each.kind for each in told[:3]]
    is_in_turn = kinds[1:2] == ["way"] and told[1].form == "weak"
    return kinds[:1] == ["some"] and (is_in_turn or kinds[1:] in (["and", "way"], ["and", "noun"]))


def points_at_all(row: Sequence[WordHeard], at: int) -> bool:
    """``all of this in series with``: what was told before, within a group or not, is closed."""
    after = row[at + 1] if at + 1 < len(row) else None
    return (
        row[at].kind == "back"
        and bool(words_of(row[at]) & ALL_OF_IT)
        and after is not None
        and after.kind == "way"
        and after.form == "to"
    )


def words_of(each: WordHeard) -> set[str]:
    """The words of what is heard, in small letters."""
    return {*each.text.lower().split()}


ALL_OF_IT: Final = frozenset(("all", "whole", "entire", "everything"))


def way_follows(row: Sequence[WordHeard], at: int) -> bool:
    """Whether a word of joining stands next."""
    return at + 1 < len(row) and row[at + 1].kind == "way"


def goes_on(row: Sequence[WordHeard], at: int) -> bool:
    """Whether a list goes on here."""
    return at < len(row) and row[at].kind in ("some", "and")


def after_commas(row: Sequence[WordHeard], at: int) -> int:
    """Where the next thing stands that is no mere break."""
    while at < len(row) and row[at].kind in ("comma", "and", "which"):
        at += 1
    return at


def closing(row: Sequence[WordHeard], at: int) -> int:
    """Where a bracket that opens here is closed; the end where it is not."""
    depth = 0
    for i in range(at, len(row)):
        depth += (row[i].kind == "open") - (row[i].kind == "close")
        if not depth:
            return i
    return len(row)


def one_by_one(members: Sequence[int]) -> tuple[int, ...]:
    """Several of one value, told at once, stand each by itself in a list."""
    return tuple(bit for each in members for bit in bits_of(each))
