"""Values and working set out in a table: each row as the statements that its cells make.

A row is C1 | 6 V | 36 µC, or 6 µF | 6 | 36 below a heading that says what stands in each column, or
Q in µC | 36 | 72 below one that says of which capacitor it is; or C23 | 2 + 4 | 6 µF, what is
sought, its sum and its result.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import TypeAlias

LEAST_CELLS = 3
LEAST_AMOUNTS = 2
_PARTED = re.compile(r"\s*\|\s*|\t+|\s{3,}")
_AMOUNT = re.compile(r"[-+]?\d[\d.,]*(?:e-?\d+)?\s*[pnuµμmk]?([FVCJ])")
_NUMBER = re.compile(r"[-+]?\d[\d.,]*(?:e-?\d+)?")
_OWNER = re.compile(r"C_?\w{1,4}|(?:the\s+)?\d[\d.]*\s*(?:[pnuµμm]?F)?", re.IGNORECASE)
_WHOLE = re.compile(r"(?:tot(?:al)?|whole|all|both|together|circuit|network)\.?", re.IGNORECASE)
_HEADING = re.compile(
    r"(?:(Q|charge)|(V|U|p\.?d\.?|voltage|volts)|(E|W|energy)|(C|capacitance))"
    r"_?(\d{1,4})?\b(.*)",
    re.IGNORECASE,
)
_QUANTITY = re.compile(  # Q (µC), V/V, charge in nC, 1/C, Q = CV
    r"(?:1/)?(?:[QVUEWC]|charge|p\.?d\.?|voltage|volts|energy|capacitance)"
    r"(?:\s*=\s*[½¼CQVE/*×·\s\d^²().]+)?"
    r"(?:\s*[(/\[]\s*[pnuµμmk]?[FCVJ]\s*[)\]]?|\s+in\s+[pnuµμmk]?[FCVJ])?",
    re.IGNORECASE,
)
_OF_RULE = " |-—–:+="
_UNIT = re.compile(r"[pnuµμmk]?[FCVJ]\b")
_BARRED = re.compile(r"\s+\|\s+|\t+")
_ROOM = re.compile(r"\s{2,}|\s*;\s*")
_NAME = r"[CQVUEW](?:_?[A-Za-z\d]{1,5})?'*"
_NAMES = re.compile(rf"{_NAME}(?:\s*(?:=|,|and|&)\s*{_NAME})*")
_HEAD = re.compile(r"[A-Za-z]|\d.*[a-z]{3}")
_ROW_NUMBER = re.compile(r"(?:\d{1,2}|[a-h])[.)]?")
_WORDS = re.compile(r"[^\d=+*/×·÷^²√]*[A-Za-z]{2,}[^\d=+*/×·÷^²√]*")
_SUM = re.compile(rf"(?:\d[\d.,]*|[-+*/×·÷()^²√½=≈]|\s|\bx\b|[pnuµμmk]?[FVCJ]\b|{_NAME})+")
_SIGNS = re.compile(r"[\w)²]\s*(?:[-+*/×·÷(]|\bx\b)\s*[\w(½]")
_OWN_NAME = re.compile(rf"\s*(?:[A-Za-z]+:\s*)?({_NAME})\s*[=≈]\s*(?=.)")
_SYMBOLS = "QVEC"
_OF_UNIT: Mapping[str, str] = MappingProxyType({"V": "V", "C": "Q", "J": "E", "F": "C"})
# One state, or one capacitor, and what it holds: before: 8 uF 25 V 200 uC; C1 5 uF | Q 120 uC.
_HELD = r"(?:[CQVUE]_?\d{0,4}\s*[=:]?\s*)?[-+]?\d[\d.]*\s*[pnuµμmk]?[FCVJ](?![A-Za-z])"
_AMOUNTS = re.compile(
    rf"\s*\|?\s*(before|after|at\s+first|start|end|C_?\d{{1,4}}|tot(?:al)?|whole|all)\s*[:|-]?\s*"
    rf"({_HELD}(?:[\s,;|/]+{_HELD}){{1,4}})\s*\|?\s*",
    re.IGNORECASE,
)
_EARLIER = frozenset({"before", "at first", "start"})
Headed: TypeAlias = list[tuple[str, str]]


def with_rows_said(lines: Iterable[str]) -> Iterator[str]:
    """Lines with the rows of tables as statements, the others as they stand."""
    columns: Headed = []
    owners: list[str] = []
    rows = list(lines)
    for at, line in enumerate(rows):
        if (said := _held(line)) is not None:
            yield said
            continue
        cells = _cells(line)
        if owners and (said := _of_owners(owners, cells)) is not None:
            yield said
            continue
        owners = _owners(cells, rows[at + 1 : at + 3])
        if owners:
            yield ""
            continue
        if len(cells) < LEAST_CELLS:
            columns = []
            yield _worked(line) or line
            continue
        if columns and not line.strip(" |-–—:+="):  # the rule below the headings
            yield ""
            continue
        if (found := _columns(cells)) is not None:
            columns = found
            yield ""
            continue
        yield _said(cells, columns) or _worked(line) or line


def _cells(line: str) -> list[str]:
    return [cell for cell in _PARTED.split(line.strip().strip("|").strip()) if cell]


def _held(line: str) -> str | None:
    """What a row of amounts says of one capacitor or of one time, each in its own unit; None for
    any other line.
    """
    row = _AMOUNTS.fullmatch(line)
    amounts = list(_AMOUNT.finditer(row[2])) if row else []
    symbols = [_OF_UNIT[each[1]] for each in amounts]
    if row is None or len(set(symbols)) < max(len(symbols), LEAST_AMOUNTS):
        return None
    head = " ".join(row[1].lower().split())
    index = head[1:].removeprefix("_") if head[1:].removeprefix("_").isdigit() else ""
    time = " before" if head in _EARLIER else ""
    named = [
        (f"{symbol}{index}{time}", each[0]) for symbol, each in zip(symbols, amounts, strict=True)
    ]
    return "; ".join(f"{name} = {value}" for name, value in named)


def _owners(cells: list[str], below: Sequence[str]) -> list[str]:
    """Of which capacitor each column is, for a row of headings with rows of one quantity below."""
    named = cells if cells and _is_owner(cells[0]) else cells[1:]
    rows = [_cells(row) for row in below if row.strip(_OF_RULE)]
    is_headed = bool(rows) and len(rows[0]) == len(named) + 1 and _QUANTITY.fullmatch(rows[0][0])
    return named if len(named) > 1 and is_headed and all(map(_is_owner, named)) else []


def _is_owner(cell: str) -> bool:
    return bool(_OWNER.fullmatch(cell) or _WHOLE.fullmatch(cell))


def _of_owners(owners: list[str], cells: list[str]) -> str | None:
    """What a row of one quantity says of each; None where it is none. What is given of single
    capacitors is not said again.
    """
    if not cells or not "".join(cells).strip(_OF_RULE):
        return ""
    head = _QUANTITY.fullmatch(cells[0])
    if head is None or len(cells) != len(owners) + 1:
        return None
    turned, symbol = cells[0].startswith("1"), _columns([cells[0].removeprefix("1/")])
    (name, unit), *_ = symbol or [("", "")]
    said = []
    for owner, cell in zip(owners, cells[1:], strict=True):
        is_whole = _WHOLE.fullmatch(owner) is not None
        if not _NUMBER.match(cell) or (name == "C" and not is_whole):
            continue
        value = cell if not unit or not _NUMBER.fullmatch(cell) else f"{cell} {unit}"
        said.append(f"{'1/' if turned else ''}{_named(name, owner)} = {value}")
    return "; ".join(said)


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
        unit = _UNIT.search(heading[6])
        found.append((f"{symbol}{heading[5] or ''}", unit[0] if unit else ""))
    return found


def _said(cells: list[str], columns: Headed) -> str:
    """What a row says, empty where it is none."""
    owner, *values = (cell.strip() for cell in cells)
    if len(columns) == len(cells) and any(name[1:] for name, _ in columns):
        return _by_names(columns, [owner, *values])
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


def _by_names(columns: Headed, values: list[str]) -> str:
    """What a row says below names such as V3, empty where a cell is no value."""
    if not all(name and _NUMBER.match(v) for (name, _), v in zip(columns, values, strict=True)):
        return ""
    return "; ".join(
        f"{name} = {value}{'' if _AMOUNT.fullmatch(value) else f' {unit}'}".rstrip()
        for (name, unit), value in zip(columns, values, strict=True)
    )


def _named(symbol: str, owner: str) -> str:
    if _WHOLE.fullmatch(owner):
        return symbol
    if owner[:1] in "Cc":
        return f"{symbol}{owner[1:]}"
    value = owner if owner[-1:] in "Ff" else f"the {owner.removeprefix('the ')}"
    word = {"Q": "charge", "V": "voltage", "E": "energy", "C": "capacitance"}[symbol]
    return f"{word} on {value}"


# Rows of working


def _worked(line: str) -> str:
    """What is sought, how it is worked out and what it comes to, as one chain of equalities; empty
    for a line that is no such row.
    """
    text = line.strip().strip("|").strip()
    for parting, fewest in ((_BARRED, 2), (_ROOM, LEAST_CELLS)):
        cells = [cell.strip() for cell in parting.split(text) if cell.strip()]
        if len(cells) > 2 and _ROW_NUMBER.fullmatch(cells[0]) and cells[1][:1].isalpha():
            cells = cells[1:]
        said = _chain(cells) if len(cells) >= fewest else ""
        if said and (parting is _BARRED or _NAMES.fullmatch(cells[0])):
            return said
    return ""


def _chain(cells: list[str]) -> str:
    """Cells as a chain of equalities, words among them left to what stands in front."""
    if _NAMES.fullmatch(cells[-1]) and not _NAMES.fullmatch(cells[0]):
        cells = [cells[-1], *cells[:-1]]
    if all(_OWN_NAME.match(cell) for cell in cells):
        return "; ".join(cells)  # BEFORE: Q1 = 60 | Q2 = 0
    if len(cells) > 2 and _UNIT.fullmatch(cells[-1]):
        cells = [*cells[:-2], f"{cells[-2]} {cells[-1]}"]
    head, *rest = cells
    words = [cell for cell in rest if _WORDS.fullmatch(cell) and not _NAMES.fullmatch(cell)]
    sides = [_without_name(cell.lstrip("=≈ "), head) for cell in rest if cell not in words]
    is_row = _HEAD.match(head) and sides and all(_SUM.fullmatch(side) for side in sides)
    if not is_row or not re.search(r"\d", sides[-1]):
        return ""
    other = _OWN_NAME.match(sides[0])
    if other and re.search(r"\d", other[1]) and re.search(r"\d", head):
        return ""  # C1 | C2 = 5 uF
    if len(sides) > 1 and not all(_SIGNS.search(side) for side in sides[:-1]):
        return ""  # values beside each other
    if _NAMES.fullmatch(head):
        return " = ".join([head, *sides])
    return f"{' '.join([head, *words])}: {' = '.join(sides)}"


def _without_name(cell: str, head: str) -> str:
    """A cell without the name that stands in front of the row already."""
    own = _OWN_NAME.match(cell)
    return cell[own.end() :] if own and own[1] == head else cell
