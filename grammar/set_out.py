"""Values set out in a table: each row as the statements that its cells make.

A row is C1 | 6 V | 36 µC, or 6 µF | 6 | 36 below a heading that says what stands in each column.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import TypeAlias

LEAST_CELLS = 3
_PARTED = re.compile(r"\s*\|\s*|\t+|\s{3,}")
_AMOUNT = re.compile(r"[-+]?\d[\d.,]*(?:e-?\d+)?\s*[pnuµμmk]?([FVCJ])")
_NUMBER = re.compile(r"[-+]?\d[\d.,]*(?:e-?\d+)?")
_OWNER = re.compile(r"C_?\w{1,4}|(?:the\s+)?\d[\d.]*\s*(?:[pnuµμm]?F)?", re.IGNORECASE)
_WHOLE = re.compile(r"(?:tot(?:al)?|whole|all|together|circuit|network)\.?", re.IGNORECASE)
_HEADING = re.compile(
    r"(?:(Q|charge)|(V|U|p\.?d\.?|voltage|volts)|(E|W|energy)|(C|capacitance))\b(.*)",
    re.IGNORECASE,
)
_UNIT = re.compile(r"[pnuµμmk]?[FCVJ]\b")
_SYMBOLS = "QVEC"
_OF_UNIT: Mapping[str, str] = MappingProxyType({"V": "V", "C": "Q", "J": "E", "F": "C"})
Headed: TypeAlias = list[tuple[str, str]]


def with_rows_said(lines: Iterable[str]) -> Iterator[str]:
    """Lines with the rows of tables as statements, the others as they stand."""
    columns: Headed = []
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


def _columns(cells: list[str]) -> Headed | None:
    """Symbol and unit of each column, for a row of headings; the first may stand above what owns
    the values, with no symbol.
    """
    found: Headed = []
    for cell in cells:
        heading = _HEADING.match(cell.strip())
        if heading is None and (found or _NUMBER.match(cell)):
            return None
        if heading is None:
            found.append(("", ""))
            continue
        symbol = next(s for s, group in zip(_SYMBOLS, heading.groups(), strict=False) if group)
        unit = _UNIT.search(heading[5])
        found.append((symbol, unit[0] if unit else ""))
    return found


def _said(cells: list[str], columns: Headed) -> str:
    """What a row says, empty where it is none."""
    owner, *values = (cell.strip() for cell in cells)
    if not _OWNER.fullmatch(owner) and not _WHOLE.fullmatch(owner):
        return ""
    above = (
        columns[len(columns) - len(values) :]
        if len(columns) - len(values) in (0, 1)
        else [
            (_OF_UNIT.get(found[1], "") if (found := _AMOUNT.fullmatch(value)) else "", "")
            for value in values
        ]
    )
    said = []
    for (symbol, unit), value in zip(above, values, strict=True):
        if not symbol or not _NUMBER.match(value):
            return ""
        has_unit = _AMOUNT.fullmatch(value) is not None
        said.append(f"{_named(symbol, owner)} = {value}{'' if has_unit else f' {unit}'}".rstrip())
    return "; ".join(said)


def _named(symbol: str, owner: str) -> str:
    if _WHOLE.fullmatch(owner):
        return symbol
    if owner[:1] in "Cc":
        return f"{symbol}{owner[1:]}"
    value = owner if owner[-1:] in "Ff" else f"the {owner.removeprefix('the ')}"
    word = {"Q": "charge", "V": "voltage", "E": "energy", "C": "capacitance"}[symbol]
    return f"{word} on {value}"
