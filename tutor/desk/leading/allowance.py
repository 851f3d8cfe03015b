"""How much one hand may do in a while, so that nobody floods a session."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import NamedTuple

MOST_HANDS = 2_000


class Pace(NamedTuple):
    """So many at once, and then so many a second."""

    at_once: float
    a_second: float


class Allowance:
    """What is left to each hand at a pace. ``clock`` tells seconds; hands not seen for long are
    forgotten, which only gives them their full measure again.
    """

    def __init__(self, pace: Pace, clock: Callable[[], float]) -> None:
        self.pace = pace
        self.clock = clock
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def has(self, hand: str) -> bool:
        """Whether it may; nothing is counted."""
        return self._left_to(hand) >= 1

    def takes(self, hand: str) -> bool:
        """Whether this hand may do one more thing now; if so, it is counted."""
        left = self._left_to(hand)
        may = left >= 1
        self._left[hand] = (left - may, self.clock())
        self._left.move_to_end(hand)
        if len(self._left) > MOST_HANDS:
            self._left.popitem(last=False)
        return may

    def _left_to(self, hand: str) -> float:
        now = self.clock()
        left, since = self._left.get(hand, (self.pace.at_once, now))
        return min(self.pace.at_once, left + (now - since) * self.pace.a_second)
