"""What every capacitor holds and every point is at, in columns where the page is wide enough."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from tutor.circuit.network import Capacitor
from tutor.circuit.solving import plus_point
from tutor.front.sheet import FIRST_SHOWN, INDENT, LAST_SHOWN, Sheet

TableRow: TypeAlias = tuple[str, ...]
GAP = "   "


def table(sheet: Sheet) -> Iterator[str]:
    """P.d., charge and energy of each capacitor, and where its + plate is."""
    capacitors = sheet.problem.network.capacitors
    first: tuple[Capacitor, ...] = capacitors
    last: tuple[Capacitor, ...] = ()
    if sheet.is_short and len(capacitors) > FIRST_SHOWN + LAST_SHOWN:
        first, last = capacitors[:FIRST_SHOWN], capacitors[-LAST_SHOWN:]
    rows = _rows(sheet, (*first, *last))
    yield from sheet.title("What each capacitor holds")
    lines = _in_columns(sheet, rows) or _in_words(sheet, rows)
    between = len(lines) - len(last)
    yield from (line for group in lines[:between] for line in group)
    if last:
        missing = len(capacitors) - FIRST_SHOWN - LAST_SHOWN
        yield from sheet.say(f"… {missing} capacitors are left out here …")
    yield from (line for group in lines[between:] for line in group)


def levels(sheet: Sheet) -> Iterator[str]:
    """The potential of every point above the − end; a point that nothing joins has none."""
    network = sheet.problem.network
    found = sheet.solution.potentials
    known = list(zip(found, sheet.alike([*found.values()], "voltage"), strict=True))
    yield from sheet.title(f"Potentials above {network.ends[1]}")
    yield from sheet.some(
        known, lambda item: f"{item[0]}: {item[1]}", "points"
    )
    lost = [p for p in network.points() if p not in sheet.solution.potentials]
    if lost:
        names = ", ".join(lost)
        yield from sheet.say(f"Not joined to the ends, so at no fixed potential: {names}.")


def _rows(sheet: Sheet, capacitors: Sequence[Capacitor]) -> list[TableRow]:
    held = [sheet.solution.holdings[c.name] for c in capacitors]
    columns = [
        [c.name for c in capacitors],
        sheet.alike([each.size.voltage for each in held], "voltage"),
        sheet.alike([each.size.charge for each in held], "charge"),
        sheet.alike([each.size.energy for each in held], "energy"),
        [plus_point(c, each) or "uncharged" for c, each in zip(capacitors, held, strict=True)],
    ]
    rows = zip(*columns, strict=True)
    return [tuple(sheet.page.plain(text) for text in row) for row in rows]


def _in_columns(sheet: Sheet, rows: list[TableRow]) -> list[list[str]]:
    """A group of one line for each row, the heads first; none where the page is too narrow."""
    heads: TableRow = ("", sheet.speech.terms.difference, "charge", "energy", "+ plate at")
    table_rows = [heads, *rows]
    widths = [max(map(len, column)) for column in zip(*table_rows, strict=True)]
    lines = [
        INDENT + GAP.join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        for row in table_rows
    ]
    if max(map(len, lines)) > sheet.page.columns:
        return []
    return [[line.rstrip()] for line in lines]


def _in_words(sheet: Sheet, rows: list[TableRow]) -> list[list[str]]:
    return [
        list(sheet.say(f"{name}: {', '.join(amounts)}, {_where(plus)}"))
        for name, *amounts, plus in rows
    ]


def _where(plus: str) -> str:
    return plus if plus == "uncharged" else f"+ plate at {plus}"
