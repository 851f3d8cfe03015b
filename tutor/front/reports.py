"""A report as text: headings, paragraphs, and tables in columns where the page is wide enough."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tutor.desk.report import Columns, Figure, Heading, ReportPart
from tutor.front.plain import Page

GAP = "  "


def report_lines(blocks: Iterable[ReportPart], page: Page) -> Iterator[str]:
    """The lines to print, an empty one before each heading and each table."""
    for block in blocks:
        if isinstance(block, Heading):
            yield ""
            yield from page.wrapped(block.text)
        elif isinstance(block, Columns):
            yield from _table(block, page)
        elif isinstance(block, Figure):
            yield ""
            shown = page.drawings and max(map(len, block.lines), default=0) <= page.columns
            yield from map(page.plain, block.lines if shown else ())
            yield from page.wrapped(block.told)
        else:
            for line in block.split("\n"):
                yield from page.wrapped(line)


def _table(table: Columns, page: Page) -> Iterator[str]:
    yield ""
    yield from page.wrapped(f"{table.caption}:")
    rows = [tuple(map(page.plain, row)) for row in (table.heads, *table.rows)]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    if sum(widths) + len(GAP) * len(widths) <= page.columns and page.drawings:
        for row in rows:
            padded = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
            yield f"  {GAP.join(padded)}".rstrip()
        return
    for name, *cells in table.rows:
        named = zip(table.heads[1:], cells, strict=True)
        said = "; ".join(f"{head[:1].lower()}{head[1:]}: {cell}" for head, cell in named if cell)
        yield from page.wrapped(f"{name}: {said}" if said else name, "  ")
