"""Drawings are read back cell by cell, as wires, plates and names, and give the same network."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import count, product
from typing import Any, NamedTuple

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.records import Amount, Capacitor, Chain, Description, Parallel, Part
from tutor.circuit.network import build
from tutor.front.drawing import MOST_CAPACITORS, Look, draw

ENDLESS = 100_000

# --- The reader -------------------------------------------------------------------------------

WAYS = {"U": (-1, 0), "D": (1, 0), "L": (0, -1), "R": (0, 1)}
BACK = {"U": "D", "D": "U", "L": "R", "R": "L"}
# Each character of a line, followed by the sides towards which it runs.
LINES = "─LR │UD ┌DR ┬LDR ┐LD ├UDR ┼UDLR ┤UDL └UR ┴ULR ┘UL -LR |UD +UDLR"
STROKES = {entry[0]: entry[1:] for entry in LINES.split()}
NAME = re.compile(r"[A-Za-z][A-Za-z0-9']*")
SIDE_PLATES = {("╢", "╟"), ("|", "|")}
FLAT_PLATES = {("═╧═", "═╤═"), ("---", "---")}

Cell = tuple[int, int]
Page = dict[Cell, str]
Socket = tuple[Cell, str]  # where a line must come from, and towards which side it runs


class UnreadableError(Exception):
    """A drawing whose lines cannot be followed."""


class Span(NamedTuple):
    """A name in a drawing: its row, its first column and the column after it."""

    row: int
    start: int
    stop: int


def read_back(text: str) -> tuple[dict[str, frozenset[str]], list[str]]:
    """The points that each capacitor joins, and every point name as often as it stands there."""
    page = {
        (row, column): character
        for row, line in enumerate(text.split("\n"))
        for column, character in enumerate(line)
        if character != " "
    }
    graph = nx.Graph()
    sockets: dict[Socket, Any] = {}
    capacitors: list[str] = []
    points: dict[Any, str] = {}
    for row, line in enumerate(text.split("\n")):
        for match in NAME.finditer(line):
            span = Span(row, *match.span())
            plates = take_plates(page, span)
            for column in range(*match.span()):
                del page[row, column]
            if plates is None:
                points[span] = match[0]
                graph.add_node(span)
                sockets.update(dict.fromkeys(around(span), span))
            else:
                capacitors.append(match[0])
                sockets.update((socket, (match[0], side)) for side, socket in enumerate(plates))
    join_wires(graph, page, sockets)
    if len(set(capacitors)) < len(capacitors):
        raise UnreadableError(f"a capacitor comes twice: {capacitors}")
    named = point_of_node(graph, points)
    ends = {name: frozenset((named[name, 0], named[name, 1])) for name in capacitors}
    return ends, list(points.values())


def take_plates(page: Page, span: Span) -> tuple[Socket, Socket] | None:
    """Remove the plates around a name and give their sockets; None for the name of a point."""
    row, start, stop = span
    if (page.get((row, start - 1)), page.get((row, stop))) in SIDE_PLATES:
        del page[row, start - 1], page[row, stop]
        return ((row, start - 2), "R"), ((row, stop + 1), "L")
    for middle in range(start, stop):
        cells = [[(r, middle + shift) for shift in (-1, 0, 1)] for r in (row - 1, row + 1)]
        above, below = ("".join(page.get(cell, " ") for cell in plate) for plate in cells)
        if (above, below) in FLAT_PLATES:
            for cell in cells[0] + cells[1]:
                del page[cell]
            return ((row - 2, middle), "D"), ((row + 2, middle), "U")
    return None


def around(span: Span) -> Iterator[Socket]:
    """Where wires may reach a point: beside its name after a space, right above, right below."""
    row, start, stop = span
    yield (row, start - 2), "R"
    yield (row, stop + 1), "L"
    for column in range(start, stop):
        yield (row - 1, column), "D"
        yield (row + 1, column), "U"


def join_wires(graph: Any, page: Page, sockets: dict[Socket, Any]) -> None:
    for cell, character in page.items():
        contacts = 0
        for way in STROKES.get(character, ""):
            beside = (cell[0] + WAYS[way][0], cell[1] + WAYS[way][1])
            if (cell, way) in sockets:
                graph.add_edge(cell, sockets[cell, way])
            elif BACK[way] in STROKES.get(page.get(beside, " "), ""):
                graph.add_edge(cell, beside)
            elif character == "+":
                continue  # a plain corner does not show which way it goes
            else:
                raise UnreadableError(f"a loose end at {cell}")
            contacts += 1
        if contacts < 2:
            raise UnreadableError(f"{character} at {cell} joins nothing")


def point_of_node(graph: Any, points: dict[Any, str]) -> dict[Any, str]:
    named = {}
    for component in nx.connected_components(graph):
        names = [points[node] for node in component if node in points]
        if len(names) != 1:
            raise UnreadableError(f"one piece of metal has the names {names}")
        named.update(dict.fromkeys(component, names[0]))
    return named


PLAIN_EXAMPLE = """\
A -+-|C1|-+- B
   |      |
   +-|C2|-+"""


def test_the_reader_reads() -> None:
    ends = frozenset("AB")
    assert read_back(PLAIN_EXAMPLE) == ({"C1": ends, "C2": ends}, ["A", "B"])


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text.replace("A -", "A  "),
        lambda text: text.replace("|C2|-+", "|C2| +"),
        lambda text: text.replace("   |      |", "   |       "),
        lambda text: text.replace("- B", "-"),
        lambda text: text.replace("C2", "C1"),
        lambda text: text.replace("-|C2|-", "------"),
        lambda text: text.replace("A", " "),
    ],
)
def test_the_reader_refuses_damage(damage: Callable[[str], str]) -> None:
    damaged = damage(PLAIN_EXAMPLE)
    assert damaged != PLAIN_EXAMPLE
    with pytest.raises((UnreadableError, KeyError)):
        read_back(damaged)


# --- Nests ------------------------------------------------------------------------------------


class Sketch(NamedTuple):
    """What ``draw`` is given, apart from the look."""

    nest: Part
    points: dict[str, tuple[str, str]]
    ends: tuple[str, str]


def capacitor(name: str) -> Capacitor:
    return Capacitor(name, Amount(Fraction(1)))


def with_points(nest: Part) -> Sketch:
    network = build(Description(nest)).network
    return Sketch(nest, {c.name: (c.start, c.end) for c in network.capacitors}, network.ends)


def names(most: int) -> st.SearchStrategy[str]:
    return st.builds(str.__add__, st.sampled_from("CXPm"), st.text("aB019'", max_size=most - 1))


@st.composite
def sketches(choose: st.DrawFn) -> Sketch:
    """Nests of 1 to 12 capacitors: ends either way round, members of chains in any order."""
    size = choose(st.integers(1, 12))
    labels = choose(st.lists(names(6), min_size=size, max_size=size, unique=True))
    stops = choose(st.lists(names(4), min_size=size + 1, max_size=size + 1, unique=True))
    ends = (stops.pop(), stops.pop())
    points: dict[str, tuple[str, str]] = {}

    def grow(group: list[str], start: str, end: str) -> Part:
        if len(group) == 1:
            points[group[0]] = (start, end) if choose(st.booleans()) else (end, start)
            return capacitor(group[0])
        cuts = sorted(choose(st.sets(st.integers(1, len(group) - 1), min_size=1)))
        pieces = [group[a:b] for a, b in zip([0, *cuts], [*cuts, len(group)], strict=True)]
        if choose(st.booleans()):
            return Parallel(tuple(grow(piece, start, end) for piece in pieces))
        way = [start, *(stops.pop() for _ in cuts), end]
        members = [grow(p, a, b) for p, a, b in zip(pieces, way, way[1:], strict=False)]
        return Chain(tuple(choose(st.permutations(members))))

    return Sketch(grow(labels, *ends), points, ends)


def widest(text: str) -> int:
    return max(map(len, text.split("\n")))


def assert_shows(text: str, sketch: Sketch) -> None:
    joined, points = read_back(text)
    assert joined == {name: frozenset(ends) for name, ends in sketch.points.items()}
    assert sorted(points) == sorted({point for ends in sketch.points.values() for point in ends})
    assert points[0] == sketch.ends[0]
    assert not re.search(r"[ \t]$|\t", text, re.MULTILINE)


@given(sketches(), st.booleans())
def test_both_forms_show_the_network(sketch: Sketch, plain: bool) -> None:
    across = draw(*sketch, Look(ENDLESS, plain))
    assert across is not None
    assert_shows(across, sketch)
    assert across.startswith(f"{sketch.ends[0]} ")
    assert across.split("\n")[0].endswith(f" {sketch.ends[1]}")
    down = draw(*sketch, Look(widest(across) - 1, plain))
    if down is not None:
        assert_shows(down, sketch)
        assert down.split("\n")[-1].strip() == sketch.ends[1]
        assert draw(*sketch, Look(widest(down) - 1, plain)) is None


@given(sketches(), st.integers(40, 200), st.booleans())
def test_a_drawing_keeps_to_the_page(sketch: Sketch, width: int, plain: bool) -> None:
    across = draw(*sketch, Look(ENDLESS, plain))
    text = draw(*sketch, Look(width, plain))
    assert across is not None
    if widest(across) <= width:
        assert text == across
    if text is not None:
        assert widest(text) <= width
        assert_shows(text, sketch)
        assert text.isascii() is plain


# --- Fixed examples ---------------------------------------------------------------------------

C1, C2, C3, C4, C5, C66666 = (capacitor(f"C{number}") for number in (1, 2, 3, 4, 5, 66666))
BRANCHED = Chain((C1, Parallel((C2, C3))))


@pytest.mark.parametrize(
    ("nest", "look", "expected"),
    [
        (C1, Look(20, False), ["A ─╢C1╟─ B"]),
        (C1, Look(20, True), ["A -|C1|- B"]),
        (
            BRANCHED,
            Look(40, False),
            [
                "A ─╢C1╟─ P ─┬─╢C2╟─┬─ B",
                "            │      │",
                "            └─╢C3╟─┘",
            ],
        ),
        (
            Chain((Parallel((Chain((C1, Parallel((C2, C3)))), C4)), C5)),
            Look(60, True),
            [
                "A -+-|C1|- R -+-|C2|-+-+- P -|C5|- B",
                "   |          |      | |",
                "   |          +-|C3|-+ |",
                "   |                   |",
                "   +--------|C4|-------+",
            ],
        ),
        (
            Parallel((C1, C2, Chain((C3, C66666)))),
            Look(22, False),
            [
                "      A",
                "      │",
                " ┌────┼──────┐",
                " │    │      │",
                " │    │     ═╧═",
                " │    │     C3",
                " │    │     ═╤═",
                "═╧═  ═╧═     │",
                "C1   C2      P",
                "═╤═  ═╤═     │",
                " │    │     ═╧═",
                " │    │   C66666",
                " │    │     ═╤═",
                " │    │      │",
                " └────┼──────┘",
                "      │",
                "      B",
            ],
        ),
        (BRANCHED, Look(7, False), None),
    ],
)
def test_examples(nest: Part, look: Look, expected: list[str] | None) -> None:
    text = draw(*with_points(nest), look)
    assert (text.split("\n") if text is not None else None) == expected


def shapes(size: int) -> set[tuple[Any, ...]]:
    """Every way to nest ``size`` leaves in unordered groups of at least two; a leaf is ()."""
    if size == 1:
        return {()}
    return {
        tuple(sorted(members))
        for sizes in split(size, size - 1)
        for members in product(*map(shapes, sizes))
    }


def split(total: int, most: int) -> Iterator[tuple[int, ...]]:
    if total == 0:
        yield ()
    for first in range(min(total, most), 0, -1):
        yield from ((first, *rest) for rest in split(total - first, first))


def nest_of(shape: tuple[Any, ...], labels: Iterator[str], groups: tuple[Any, Any]) -> Part:
    if not shape:
        return capacitor(next(labels))
    return groups[0](tuple(nest_of(member, labels, groups[::-1]) for member in shape))  # type: ignore[no-any-return]


@pytest.mark.parametrize("groups", [(Chain, Parallel), (Parallel, Chain)])
def test_every_nest_of_eight_fits_forty_columns(groups: tuple[Any, Any]) -> None:
    # 522 series-parallel networks of 8 equal parts, half of them chains at the top: MacMahon
    # 1892, sequence A000084 of the On-Line Encyclopedia of Integer Sequences (from memory).
    every = shapes(8)
    assert len(every) == 522 / 2
    for shape in every:
        sketch = with_points(nest_of(shape, (f"C{number}" for number in count(1)), groups))
        text = draw(*sketch, Look(40, False))
        assert text is not None
        assert widest(text) <= 40


# --- Limits and misfits -----------------------------------------------------------------------


def test_the_most_capacitors() -> None:
    row = tuple(capacitor(f"C{number}") for number in range(MOST_CAPACITORS + 1))
    for group in (Chain, Parallel):
        full, over = with_points(group(row[:-1])), with_points(group(row))
        assert draw(*full, Look(ENDLESS, False)) is not None
        assert draw(*over, Look(ENDLESS, False)) is None


def ladder(rungs: int) -> Part:
    """Capacitors by turns in series and in parallel with all that came before."""
    nest: Part = capacitor("C0")
    for number in range(1, rungs):
        group = Chain if number % 2 else Parallel
        nest = group((nest, capacitor(f"C{number}")))
    return nest


def test_the_deepest_nest_is_drawn_and_deeper_ones_are_not() -> None:
    sketch = with_points(ladder(MOST_CAPACITORS))
    text = draw(*sketch, Look(ENDLESS, True))
    assert text is not None
    assert_shows(text, sketch)
    assert draw(ladder(50_000), {}, ("A", "B"), Look(ENDLESS, True)) is None


def test_brackets_that_change_nothing() -> None:
    points = {"C1": ("A", "B")}
    nest = Chain((Parallel((Chain((C1,)),)),))
    assert draw(nest, points, ("A", "B"), Look(40, True)) == "A -|C1|- B"
    inside, flat = Parallel((Parallel((C1, C2)), C3)), Parallel((C1, C2, C3))
    assert draw(*with_points(inside), Look(40, True)) == draw(*with_points(flat), Look(40, True))
    tower: Part = C1
    for _ in range(50_000):
        tower = Chain((tower,))
    assert draw(tower, points, ("A", "B"), Look(40, True)) is None


@pytest.mark.parametrize(
    ("points", "message"),
    [
        ({"C1": ("A", "P"), "C2": ("R", "B"), "C3": ("R", "B")}, "C2 does not lead from P"),
        ({"C1": ("A", "P"), "C2": ("P", "B"), "C3": ("P", "R")}, "from P end at B and R"),
        ({"C1": ("A", "P"), "C2": ("P", "R"), "C3": ("P", "R")}, "from A to R, not to B"),
        ({"C1": ("A", "A"), "C2": ("A", "B"), "C3": ("A", "B")}, "C1 does not lead from A"),
    ],
)
def test_points_of_another_network(points: dict[str, tuple[str, str]], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        draw(BRANCHED, points, ("A", "B"), Look(80, False))


@pytest.mark.parametrize(
    ("nest", "way"),
    [
        (Parallel((Chain((C1, C2)), Chain((C3, C4)))), "AP PB AP PB"),
        (Chain((Chain((C1, C2)), C3)), "AP PA AB"),
    ],
)
def test_a_point_at_two_places(nest: Part, way: str) -> None:
    points = {f"C{place}": (p[0], p[1]) for place, p in enumerate(way.split(), 1)}
    with pytest.raises(ValueError, match="a point comes at two places"):
        draw(nest, points, ("A", "B"), Look(80, False))
