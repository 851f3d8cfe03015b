"""What a report holds, whatever it is printed on: headings, paragraphs, tables and pictures.

Whoever works something out for a teacher gives such blocks. The terminal prints them as text,
`report_page` as one page of HTML and `report_table` as a table for a spreadsheet.
"""

from __future__ import annotations

from typing import NamedTuple, TypeAlias


class Heading(NamedTuple):
    """The title of what follows; ``level`` is 2 for a part of the whole, 3 within a part."""

    text: str
    level: int = 2


class Columns(NamedTuple):
    """A table: ``caption`` says what it shows. The first cell of each row names the row."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Figure(NamedTuple):
    """A picture: ``svg`` for a page, ``lines`` of characters for a terminal, and ``told``, what it
    shows in words, for whoever sees neither.
    """

    svg: str
    lines: tuple[str, ...]
    told: str


ReportPart: TypeAlias = Heading | Columns | Figure | str

A_FEW = 5


def counted_kindly(number: int, of: int) -> str:
    """So many of so many, without pointing at a few: fewer than five are 'a few'."""
    if number == 0:
        return "nobody" if of else "nobody had it"
    if of < A_FEW:
        return "a few"
    if number < A_FEW:
        return f"a few of {of}"
    return f"all {of}" if number == of else f"{number} of {of}"
