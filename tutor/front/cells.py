"""A page of characters on which lines are ruled and words are put."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

HOP: Final = ")"  # a line that passes another and is not joined to it
UP, DOWN, LEFT, RIGHT = 1, 2, 4, 8
JOINTS: Mapping[int, str] = MappingProxyType({
    UP: "│", DOWN: "│", UP | DOWN: "│", LEFT: "─", RIGHT: "─", LEFT | RIGHT: "─",
    DOWN | RIGHT: "┌", DOWN | LEFT: "┐", UP | RIGHT: "└", UP | LEFT: "┘",
    UP | DOWN | RIGHT: "├", UP | DOWN | LEFT: "┤", LEFT | RIGHT | DOWN: "┬",
    LEFT | RIGHT | UP: "┴", UP | DOWN | LEFT | RIGHT: "┼",
})


class Cells:
    """Lines meet where they share a cell, and words stand over lines; (row, column) from 0."""

    def __init__(self) -> None:
        self.sides: dict[tuple[int, int], int] = defaultdict(int)
        self.signs: dict[tuple[int, int], str] = {}

    def level(self, row: int, start: int, end: int) -> None:
        """A line from left to right, its ends included."""
        for column in range(start, end):
            self.sides[row, column] |= RIGHT
            self.sides[row, column + 1] |= LEFT

    def upright(self, column: int, start: int, end: int) -> None:
        """A line from above to below, its ends included."""
        for row in range(start, end):
            self.sides[row, column] |= DOWN
            self.sides[row + 1, column] |= UP

    def stub(self, row: int, column: int, side: int) -> None:
        """Half a cell of line, towards words that stand at this side of it."""
        self.sides[row, column] |= side

    def put(self, row: int, column: int, text: str) -> None:
        """Words from this cell to the right."""
        for at, sign in enumerate(text, start=column):
            self.signs[row, at] = sign

    def rows(self) -> list[str]:
        """The page from the top, without blanks at the ends of lines."""
        filled = {**{place: JOINTS[sides] for place, sides in self.sides.items()}, **self.signs}
        last = max(row for row, _ in filled)
        wide = max(column for _, column in filled)
        return [
            "".join(filled.get((row, column), " ") for column in range(wide + 1)).rstrip()
            for row in range(last + 1)
        ]
