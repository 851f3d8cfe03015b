"""A drawing in characters read back: what joins what, and where every word stands.

Nothing of the program is used but the lines it printed. Metal is what lines hang together by;
where a line hops over another the two are not joined.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

UP, DOWN, LEFT, RIGHT = (-1, 0), (1, 0), (0, -1), (0, 1)
SIDES = {
    "─": (LEFT, RIGHT), "│": (UP, DOWN), "┌": (DOWN, RIGHT), "┐": (DOWN, LEFT),
    "└": (UP, RIGHT), "┘": (UP, LEFT), "├": (UP, DOWN, RIGHT), "┤": (UP, DOWN, LEFT),
    "┬": (DOWN, LEFT, RIGHT), "┴": (UP, LEFT, RIGHT), "┼": (UP, DOWN, LEFT, RIGHT),
    "╧": (UP,), "╤": (DOWN,),
}
HOP = ")"
Cell = tuple[int, int]


class Part(NamedTuple):
    """A capacitor as drawn: the metal on the left or above, that on the right or below."""

    name: str
    value: str
    one: int
    other: int
    plus: str  # "one", "other" or nothing
    under: tuple[str, ...]


class Read(NamedTuple):
    """All that one drawing says; ``points`` has the words of each piece of metal that has any."""

    parts: tuple[Part, ...]
    points: tuple[tuple[int, str], ...]
    source: tuple[str, int, int] | None
    left_over: str
    places: dict[int, int]  # where the rail of each piece of metal stands

    @property
    def words(self) -> list[str]:
        return [word for _, word in self.points]


class Page:
    """The characters of a drawing by cell; what has been understood is struck out."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.signs = {
            (row, column): sign
            for row, line in enumerate(text.split("\n"))
            for column, sign in enumerate(line) if sign != " "
        }
        self.used: set[Cell] = set()
        self.lines = {
            cell: SIDES["┼"] if sign == HOP else SIDES[sign]
            for cell, sign in self.signs.items()
            if sign in SIDES or (sign == HOP and self._is_hop(cell))
        }
        self.metal = dict(self._metal())

    def at(self, cell: Cell) -> str:
        return self.signs.get(cell, " ")

    def runs(self, cell: Cell, side: Cell) -> bool:
        """Whether a line runs from a cell towards this side."""
        return side in self.lines.get(cell, ())

    def _is_hop(self, cell: Cell) -> bool:
        left, right = _step(cell, LEFT), _step(cell, RIGHT)
        return RIGHT in SIDES.get(self.at(left), ()) and LEFT in SIDES.get(self.at(right), ())

    def _metal(self) -> Iterator[tuple[tuple[Cell, bool], int]]:
        """A number for each cell of line, by whether it is looked at along or across a hop."""
        cells = {(cell, level) for cell in self.lines for level in (False, True)}
        number = 0
        while cells:
            number += 1
            waiting = [cells.pop()]
            while waiting:
                cell, level = waiting.pop()
                self.used.add(cell)
                yield (cell, level), number
                is_hop = self.signs[cell] == HOP
                near = {(_step(cell, side), side in (LEFT, RIGHT)) for side in self.lines[cell]
                        if self.runs(_step(cell, side), _back(side))
                        and (not is_hop or (side in (LEFT, RIGHT)) == level)}
                if not is_hop:
                    near.add((cell, not level))
                for each in near & cells:
                    cells.discard(each)
                    waiting.append(each)

    def words(self, row: int, start: int, end: int) -> str:
        """Words of a line, struck out."""
        self.used |= {(row, column) for column in range(start, end)}
        return "".join(self.at((row, column)) for column in range(start, end)).strip()

    def texts(self, row: int, near: int) -> str:
        """The words that stand over a column, words parted by one blank being together."""
        start = end = near
        while self._is_word(row, start - 1):
            start -= 1
        while self._is_word(row, end):
            end += 1
        return self.words(row, start, end)

    def _is_word(self, row: int, column: int) -> bool:
        here = self.at((row, column))
        if here == "═" or (row, column) in self.used:
            return False
        if here != " ":
            return True
        both = [self.at((row, column + side)) for side in (-1, 1)]
        return all(sign not in " ═" and sign not in SIDES for sign in both)


def read_back(text: str) -> Read:
    """What a drawing says."""
    page = Page(text)
    is_across = "╢" in text
    source = _source(page) if is_across else None
    parts = tuple(_across(page) if is_across else _down(page))
    source = source if is_across else _source_down(page)
    points = tuple(_points(page, is_across))
    left_over = "".join(
        sign for cell, sign in sorted(page.signs.items()) if cell not in page.used
    )
    places: dict[int, int] = {}
    rails = "│├┤┼┌┐└┘┬┴" if is_across else "─┬┴┼├┤┌┐└┘"
    for (cell, _), number in sorted(page.metal.items()):
        if page.at(cell) in rails and number not in places:
            places[number] = cell[1] if is_across else cell[0]
    return Read(parts, points, source, left_over, places)


def _step(cell: Cell, side: Cell) -> Cell:
    return cell[0] + side[0], cell[1] + side[1]


def _back(side: Cell) -> Cell:
    return -side[0], -side[1]


def _said(inside: str) -> tuple[str, str, str]:
    signs = re.fullmatch(r"([+−]) (.*) ([+−])", inside)
    inner = signs[2] if signs else inside
    plus = "" if not signs else "one" if signs[1] == "+" else "other"
    name, _, value = inner.partition(" ")
    return name, value, plus


def _across(page: Page) -> Iterator[Part]:
    symbols = [
        (row, found) for row, line in enumerate(page.text.split("\n"))
        for found in re.finditer("╢([^╟]*)╟", line)
    ]
    insides = [page.words(row, *found.span())[1:-1] for row, found in symbols]
    for (row, found), inside in zip(symbols, insides, strict=True):
        name, value, plus = _said(inside)
        middle = (found.start() + found.end() - 1) // 2
        under = []
        below = row + 1
        while page._is_word(below, middle):
            under.append(page.texts(below, middle))
            below += 1
        one = page.metal[(row, found.start() - 1), True]
        other = page.metal[(row, found.end()), True]
        yield Part(name, value, one, other, plus, tuple(under))


def _down(page: Page) -> Iterator[Part]:
    for row, line in enumerate(page.text.split("\n")):
        for found in re.finditer("═╧═", line):
            axis = found.start() + 1
            assert page.text.split("\n")[row + 1][axis - 1 : axis + 2] == "═╤═"
            sign = page.words(row, axis - 3, axis - 2)
            page.words(row + 1, axis - 3, axis - 2)
            lines = []
            for down in range(row, row + 8):
                if page.at((down, axis + 3)) == " " or page.at((down, axis + 3)) in SIDES:
                    break
                lines.append(page.texts(down, axis + 3))
            for down in (row, row + 1):
                page.words(down, axis - 1, axis + 2)
            name, _, value = lines[0].partition(" ")
            plus = "" if not sign else "one" if sign == "+" else "other"
            one = page.metal[(row, axis), False]
            other = page.metal[(row + 1, axis), False]
            yield Part(name, value, one, other, plus, tuple(lines[1:]))


def _source(page: Page) -> tuple[str, int, int] | None:
    for row, line in enumerate(page.text.split("\n")):
        for found in re.finditer(r"\(\+ (.*) −\)", line):
            one = page.metal[(row, found.start() - 1), True]
            other = page.metal[(row, found.end()), True]
            page.words(row, *found.span())
            middle = (found.start() + found.end() - 1) // 2
            if page._is_word(row + 1, middle):
                page.texts(row + 1, middle)
            return found[1], one, other
    return None


def _source_down(page: Page) -> tuple[str, int, int] | None:
    lone = [cell for cell, sign in page.signs.items() if sign == "+" and cell not in page.used]
    for row, column in lone:
        if not page.runs((row - 1, column), DOWN):
            continue
        page.words(row, column, column + 1)
        said, down = [], row + 1
        while page.at((down, column)) != "−":
            said.append(page.texts(down, column))
            down += 1
        page.words(down, column, column + 1)
        down += 1
        while not page.runs((down, column), UP):
            said.append(page.texts(down, column))
            down += 1
        return said[0], page.metal[(row - 1, column), False], page.metal[(down, column), False]
    return None


def _points(page: Page, is_across: bool) -> Iterator[tuple[int, str]]:
    """The words at which lines end that lead nowhere else."""
    for (cell, level), number in list(page.metal.items()):
        side = UP if is_across else LEFT
        if level == is_across or page.at(cell) == "╧" or not page.runs(cell, side):
            continue
        there = _step(cell, side)
        if page.runs(there, _back(side)) or there in page.used:
            continue
        if is_across:
            yield number, page.texts(there[0], there[1])
        else:
            yield number, page.texts(cell[0], cell[1] - 2)
