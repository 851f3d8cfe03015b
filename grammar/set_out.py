"""Values set out in a table: each row as the statements that its cells make.

A row is C1 | 6 V | 36 µC, or 6 µF | 6 | 36 below a heading that says what stands in each column.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

LEAST_CELLS = 3
_PARTED = re.compile(r"\s*\|\s*|\t+|\s{3,}")
_AMOUNT = re.compile(r"[-+]?\d[\d.,]*(?:e-?\d+)?\s*[pnuµμmk]?([FVCJ])")
_NUMBER = re.compile(r"[-+]?\d[\d.,]*(?:e-?\d+)?")
_OWNER = re.compile(r"C_?\w{1,4}|(?:the\s+)?\d[\d.]*\s*(?:[pnuµμm]?F)?", re.IGNORECASE)
_HEADING = re.compile(
    r"(?:(Q|charge)|(V|U|p\.?d\.?|voltage|volts)|(E|W|energy))\b(.*)", re.IGNORECASE
)
_UNIT = re.compile(r"[pnuµμmk]?[CVJ]\b")
_SYMBOLS = "QVE"


def with_rows_said(lines: Iterable[str]) -> Iterator[str]:
    """Lines with the rows of tables as statements, the others as they stand."""
    columns: list[tuple[str, str]] = []
    for line in lines:
        cells = [cell for cell in _PARTED.split(line.strip().strip("|").strip()) if cell]
        if len(cells) < LEAST_CELLS:
            columns = []
            yield line
            continue
        if columns and not line.strip(" |-–—:+="):  # the rule below the headings
            yield ""
            continue
        if (found := _columns(cells)) is not None:
            columns = found
            yield ""
            continue
        yield _said(cells, columns) or line


def _columns(cells: list[str]) -> list[tuple[str, str]] | None:
    """Symbol and unit of each column after the first, for a row of headings."""
    found = []
    for cell in cells[1:]:
        heading = _HEADING.match(cell.strip())
        if heading is None:
            return None
        symbol = next(s for s, group in zip(_SYMBOLS, heading.groups(), strict=False) if group)
        unit = _UNIT.search(heading[4])
        found.append((symbol, unit[0] if unit else ""))
    return found


def _said(cells: list[str], columns: list[tuple[str, str]]) -> str:
    """What a row says, empty where it is none."""
    owner, *values = (cell.strip() for cell in cells)
    if not _OWNER.fullmatch(owner):
        return ""
    amounts = [_AMOUNT.fullmatch(value) for value in values]
    symbols = (
        [symbol for symbol, _ in columns]
        if len(columns) == len(values)
        else [
            {"V": "V", "C": "Q", "J": "E"}.get(found[1], "") if found else "" for found in amounts
        ]
    )
    if not all(symbols):
        return ""
    units = [unit for _, unit in columns] if len(columns) == len(values) else [""] * len(values)
    said = []
    for symbol, unit, value, amount in zip(symbols, units, values, amounts, strict=True):
        if not _NUMBER.match(value):
            return ""
        said.append(f"{_named(symbol, owner)} = {value}{'' if amount else f' {unit}'}".rstrip())
    return "; ".join(said)


def _named(symbol: str, owner: str) -> str:
    if owner[:1] in "Cc":
        return f"{symbol}{owner[1:]}"
    value = owner if owner[-1:] in "Ff" else f"the {owner.removeprefix('the ')}"
    word = {"Q": "charge", "V": "voltage", "E": "energy"}[symbol]
    return f"{word} on {value}"
