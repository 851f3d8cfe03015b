"""The circuit diagram of a network: its plan put on an area, with symbols, names and values.

Every row has room for words of its own above and below the line, and the words of points stand
where rails begin, so that no word meets a line or another word.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from tutor.desk.pictures.canvas import (
    NAME_SIZE,
    VALUE_SIZE,
    Disc,
    Lettering,
    Mark,
    Picture,
    Stroke,
    moved,
    width_of,
)
from tutor.desk.pictures.ruled import Rail, Ruled, Rung, ruled
from tutor.desk.pictures.symbols import LineArt, capacitor_symbol, source_symbol
from tutor.teaching.depicted import Depicted, in_words

MARGIN: Final = 14.0
LEAD: Final = 26.0  # of a terminal without a supply
CLEAR: Final = 5.0
DOT, RING = 3.2, 3.6  # radii
SIGN_SIZE: Final = 13
LINE: Final = 17.0  # from one line of words to the next
NARROWEST: Final = 92.0
MOST_IN_PICTURE: Final = 60


def diagram(drawn: Depicted) -> Picture:
    """The diagram of a network of up to sixty capacitors."""
    network = drawn.network
    under = {
        c.name: tuple(filter(None, (drawn.value(c), *drawn.under(c)))) for c in network.capacitors
    }
    plus = {c.name: drawn.plus_of(c.name) for c in network.capacitors}
    names = {c.name: drawn.name(c) for c in network.capacitors}
    areas = []
    for plan in ruled(drawn):
        said, has_source = (drawn.held, drawn.has_source) if plan.is_supplied else ("", False)
        measures = measured(plan, under, said, has_source)
        areas.append(Area(plan, names, under, plus, said, has_source, measures))
    width = max(area.width for area in areas)
    marks: list[Mark] = []
    down = 0.0
    for area in areas:
        marks += moved(area.marks(), (width - area.width) / 2, down)
        down += area.height
    return Picture(width, down, tuple(marks), _title(len(network.capacitors)),
                   " ".join(in_words(drawn)))


def _title(number: int) -> str:
    return "A capacitor" if number == 1 else f"A network of {number} capacitors"


class Measures(NamedTuple):
    """Pixels: ``width`` of the whole, ``left`` of the first rail, ``pitch`` from column to column,
    ``rise`` from row to row.
    """

    width: float
    left: float
    pitch: float
    rise: float


def _above() -> float:
    """Room above the line of a row."""
    return capacitor_symbol().height / 2 + CLEAR + NAME_SIZE


def measured(
    plan: Ruled, under: Mapping[str, Sequence[str]], held: str, has_source: bool
) -> Measures:
    """How large a plan has to be drawn for its words to have room."""
    most = max((len(under.get(rung.bond.name, ())) for rung in plan.rungs), default=0)
    rise = _above() + capacitor_symbol().height / 2 + LINE * most + 3 * CLEAR
    lead = 0 if has_source else LEAD
    edge = MARGIN + lead + max(width_of(point, NAME_SIZE) / 2 for point in plan.ends)
    pitch = _pitch(plan, under)
    across = plan.columns * pitch
    width = max(2 * edge + across, width_of(held, VALUE_SIZE) + 2 * CLEAR)
    return Measures(width, (width - across) / 2, pitch, rise)


def _pitch(plan: Ruled, under: Mapping[str, Sequence[str]]) -> float:
    widest = NARROWEST
    for rung in plan.rungs:
        wanted = _wanted(rung, under.get(rung.bond.name, ()))
        widest = max(widest, wanted / _room(rung, plan.rails))
    gaps = [b - a for a, b in pairwise(sorted({rail.column for rail in plan.rails}))]
    names = [width_of(rail.point, NAME_SIZE) for rail in plan.rails if not rail.is_hidden]
    return max([widest, *((max(names, default=0) + 2 * CLEAR) / gap for gap in gaps)])


def _wanted(rung: Rung, under: Sequence[str]) -> float:
    """How wide what is drawn on a rung is, with room for the names of points beside it."""
    if rung.bond.kind == "wire":
        return 3 * LEAD
    words = [width_of(rung.bond.name, NAME_SIZE), *(width_of(t, VALUE_SIZE) for t in under)]
    beside = max(width_of(point, NAME_SIZE) for point in (rung.left, rung.right))
    return max([capacitor_symbol().width + 2 * LEAD, *words]) + beside + 4 * CLEAR


class Area(NamedTuple):
    """One piece of a network on its area; ``held`` is what the supply's place says, and a source
    is drawn there, below all rows, where it ``has_source``.
    """

    plan: Ruled
    names: Mapping[str, str]
    under: Mapping[str, Sequence[str]]
    plus: Mapping[str, str | None]
    held: str
    has_source: bool
    measures: Measures

    @property
    def width(self) -> float:
        """Of the whole area."""
        return self.measures.width

    @property
    def height(self) -> float:
        """Of the whole area."""
        if self.has_source:
            return self._y(self.plan.rows) + source_symbol().height / 2 + LINE + MARGIN
        below = LINE if self.held else 0
        return self._y(self.plan.rows) - _above() + below + CLEAR

    def _x(self, column: float) -> float:
        return self.measures.left + column * self.measures.pitch

    def _y(self, row: float) -> float:
        return MARGIN + _above() + row * self.measures.rise

    def marks(self) -> Iterator[Mark]:
        """Everything on it."""
        for rung in self.plan.rungs:
            yield from self._rung(rung)
        for rail in self.plan.rails:
            yield from self._rail(rail)
        if self.has_source:
            yield from self._cell()
        elif self.held:
            yield Lettering(self.width / 2, self.height - CLEAR, self.held, "note")

    def _rung(self, rung: Rung) -> Iterator[Mark]:
        y, name = self._y(rung.row), rung.bond.name
        left, right = map(self._x, rung.span)
        if rung.bond.kind == "wire":
            yield Stroke(((left, y), (right, y)), of=name)
            return
        symbol, x = capacitor_symbol(), self._x(rung.symbol)
        yield from _symbol(symbol, x, y, name)
        yield Stroke(((left, y), (x - symbol.width / 2, y)), of=name)
        yield Stroke(((x + symbol.width / 2, y), (right, y)), of=name)
        half = symbol.height / 2
        yield Lettering(x, y - half - CLEAR, self.names[name], "name", name, NAME_SIZE)
        for at, text in enumerate(self.under.get(name, ()), start=1):
            yield Lettering(x, y + half + at * LINE - 2, text, "value", name)
        yield from self._signs(rung, x, y)

    def _signs(self, rung: Rung, x: float, y: float) -> Iterator[Mark]:
        """+ and − beside the plates of a charged capacitor."""
        point = self.plus.get(rung.bond.name)
        if point is None:
            return
        away = capacitor_symbol().width / 2 + 8
        signs = ("+", "−") if point == rung.left else ("−", "+")
        for place, sign in ((x - away, signs[0]), (x + away, signs[1])):
            yield Lettering(place, y - CLEAR, sign, "sign", rung.bond.name, SIGN_SIZE)

    def _rail(self, rail: Rail) -> Iterator[Mark]:
        x, top = self._x(rail.column), self._y(rail.first)
        is_end = rail.point in self.plan.ends and (
            self.plan.is_supplied or self._is_unnamed(rail)
        )
        last = self.plan.rows if is_end and self.has_source else rail.last
        if last > rail.first:
            yield Stroke(((x, top), (x, self._y(last))), of=rail.point)
        lead = 0.0
        if is_end and not self.has_source:
            lead = -LEAD if rail.point == self.plan.ends[0] else LEAD
            yield from self._terminal(rail, x, top, lead)
        for row in self._joints(rail, last, bool(lead)):
            yield Disc(x, self._y(row), DOT, of=rail.point)
        if not self._is_unnamed(rail):
            away = top - CLEAR - 3
            yield Lettering(x + lead, away, rail.point, "point", rail.point, NAME_SIZE)

    def _joints(self, rail: Rail, last: int, has_lead: bool) -> list[int]:
        """The rows where at least three lines meet, and where the name of the point stands."""
        found = []
        for row in sorted(set(rail.rows)):
            lines = rail.rows.count(row) + (row > rail.first) + (row < last)
            lines += has_lead and row == rail.first
            named = row == rail.first and not has_lead and not self._is_unnamed(rail)
            if lines > 2 or named:
                found.append(row)
        return found

    def _is_unnamed(self, rail: Rail) -> bool:
        """Whether the point is only a bend, or the plate of a capacitor that stands apart."""
        return rail.is_hidden or any(
            rail.point in (f"{rung.bond.name}+", f"{rung.bond.name}-") for rung in self.plan.rungs
        )

    def _terminal(self, rail: Rail, x: float, y: float, lead: float) -> Iterator[Mark]:
        ring = RING if lead > 0 else -RING
        yield Stroke(((x, y), (x + lead - ring, y)), of=rail.point)
        yield Disc(x + lead, y, RING, True, rail.point)

    def _cell(self) -> Iterator[Mark]:
        y, symbol, x = self._y(self.plan.rows), source_symbol(), self.width / 2
        by_name = {rail.point: rail for rail in self.plan.rails}
        left, right = (self._x(by_name[point].column) for point in self.plan.ends)
        yield from _symbol(symbol, x, y, "supply")
        yield Stroke(((left, y), (x - symbol.width / 2, y)), of="supply")
        yield Stroke(((x + symbol.width / 2, y), (right, y)), of="supply")
        away = symbol.width / 2 + 10
        for place, sign in ((x - away, "+"), (x + away, "−")):
            yield Lettering(place, y - CLEAR, sign, "sign", "supply", SIGN_SIZE)
        yield Lettering(x, y + symbol.height / 2 + LINE, self.held, "value", "supply")


def _symbol(symbol: LineArt, x: float, y: float, of: str) -> Iterator[Mark]:
    for line in symbol.lines:
        yield Stroke(tuple((x + right, y + down) for right, down in line), "plate", of)


def _room(rung: Rung, rails: Sequence[Rail]) -> float:
    """The columns between the rails on either side of what is drawn on a rung."""
    left, right = rung.span
    inside = [
        rail.column for rail in rails
        if left < rail.column < right and rail.first < rung.row < rail.last
    ]
    before = max([left, *(at for at in inside if at < rung.symbol)])
    after = min([right, *(at for at in inside if at > rung.symbol)])
    return after - before
