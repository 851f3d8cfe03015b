"""A pair of plates in characters, edge on, with what lies between them roughly to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from grammar.records import Plates
from tutor.front.plain import Page
from tutor.teaching.depicted import Depicted, Slice, measures, slices

TALL: Final = 6  # lines between the plates, if each filling gets one
WIDE, NARROW = 36, 12
FILLINGS: Final = (".", ":", "o", "x")
METAL: Final = "#"


def plates_rows(drawn: Depicted, plates: Plates, page: Page, indent: str) -> list[str]:
    """The lines of the drawing, and under it what has been found."""
    c = drawn.network.capacitors[0]
    found = ", ".join(filter(None, (c.name, drawn.value(c), *drawn.under(c))))
    pieces = slices(plates)
    beside = bool(plates.beside)
    right = 0 if beside else max(len(page.plain(piece.words)) for piece in pieces)
    wide = max(NARROW, min(WIDE, page.columns - len(indent) - 4 - right))
    between = list((_abreast if beside else _stacked)(pieces, wide))
    plus = drawn.plus_of(c.name)
    signs = ("", "") if plus is None else (" +", " −") if plus == c.start else (" −", " +")
    rows = [
        f"{' ' * (wide // 2)}│ {c.start}",
        f"{'═' * (wide // 2)}╧{'═' * (wide - wide // 2 - 1)}{signs[0]}",
        *between,
        f"{'═' * (wide // 2)}╤{'═' * (wide - wide // 2 - 1)}{signs[1]}",
        f"{' ' * (wide // 2)}│ {c.end}",
    ]
    key = [found, measures(plates)]
    if drawn.has_source:
        key.append(f"across {drawn.held}")
    if beside:
        key += [f"{number}: {piece.words}" for number, piece in enumerate(pieces, start=1)]
    return [f"{indent}{page.plain(row)}".rstrip() for row in rows] + [
        line for text in key for line in page.wrapped(text, indent)
    ]


def _sizes(pieces: Sequence[Slice], room: int, least: int) -> list[int]:
    """How many lines or columns each takes, at least so many."""
    total = sum((piece.share for piece in pieces), Fraction(0))
    return [max(least, round(piece.share / total * room)) for piece in pieces]


def _fill(piece: Slice, at: int) -> str:
    if piece.kind == "air":
        return " "
    return METAL if piece.kind == "metal" else FILLINGS[at % len(FILLINGS)]


def _stacked(pieces: Sequence[Slice], wide: int) -> Iterator[str]:
    for at, (piece, tall) in enumerate(zip(pieces, _sizes(pieces, TALL, 1), strict=True)):
        for row in range(tall):
            words = f"  {piece.words}" if row == (tall - 1) // 2 else ""
            yield f"{_fill(piece, at) * wide}{words}"


def _abreast(pieces: Sequence[Slice], wide: int) -> Iterator[str]:
    """Numbers stand for the words, which are told under the drawing."""
    sizes = _sizes(pieces, wide, 3)
    sizes[sizes.index(max(sizes))] += wide - sum(sizes)
    for row in range(TALL // 2):
        line = ""
        for at, (piece, size) in enumerate(zip(pieces, sizes, strict=True)):
            number = f" {at + 1} " if row == 1 else ""
            line += number.center(size, _fill(piece, at))
        yield line
