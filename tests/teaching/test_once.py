"""What follows from a record is worked out once, and never taken from another record."""

from __future__ import annotations

from typing import NamedTuple

from tutor.teaching.once import once


class _Pair(NamedTuple):
    one: int
    other: int


class Pair(_Pair):
    """A record that can keep what follows from it."""


def test_what_follows_is_worked_out_once_for_each_record_and_each_question() -> None:
    asked = []

    @once
    def times(pair: Pair, factor: int) -> int:
        asked.append((pair.one, factor))
        return pair.one * pair.other * factor

    pair = Pair(3, 4)
    assert [times(pair, 1), times(pair, 2), times(pair, 1)] == [12, 24, 12]
    assert times(pair._replace(one=5), 1) == 20
    assert asked == [(3, 1), (3, 2), (5, 1)]


def test_two_functions_of_a_record_are_kept_apart() -> None:
    @once
    def added(pair: Pair) -> int:
        return pair.one + pair.other

    @once
    def taken(pair: Pair) -> int:
        return pair.one - pair.other

    pair = Pair(3, 4)
    assert (added(pair), taken(pair), added(pair)) == (7, -1, 7)


def test_what_is_kept_makes_no_two_records_different() -> None:
    @once
    def turned(pair: Pair) -> tuple[int, int]:
        return pair.other, pair.one

    pair = Pair(3, 4)
    assert turned(pair) == (4, 3)
    assert pair == Pair(3, 4)
