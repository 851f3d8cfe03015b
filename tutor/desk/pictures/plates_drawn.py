"""A pair of plates with what lies between them, to scale as far as words leave room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from grammar.records import Description, Element, Plates
from tutor.desk.pictures.canvas import (
    VALUE_SIZE,
    Lettering,
    Mark,
    Patch,
    Picture,
    Stroke,
    width_of,
)
from tutor.teaching.depicted import Slice, measures, plates_in_words, slices

WIDE, TALL = 240.0, 150.0
LEAST: Final = 26.0  # so thick that its words have room
MARGIN: Final = 16.0
LEAD: Final = 24.0
METAL: Final = 0.55
SHADES: Final = (0.06, 0.18, 0.12, 0.24)


def plates_in(description: Description) -> Plates | None:
    """The one pair of plates that a text is about; None where it is about anything else."""
    part = description.nest
    if part is None and len(description.joins) == 1:
        part = description.joins[0].capacitor
    worth = part.worth if isinstance(part, Element) else None
    return worth if isinstance(worth, Plates) else None


def plates_picture(plates: Plates, name: str) -> Picture:
    """The plates from the side, edge on."""
    pieces = slices(plates)
    sizes = _sizes([each.share for each in pieces], WIDE if plates.beside else TALL)
    words = [each.words for each in pieces]
    beside = bool(plates.beside)
    wide = max(sum(sizes), WIDE) if beside else WIDE
    tall = TALL if beside else max(sum(sizes), LEAST)
    side = 0.0 if beside else max(width_of(text, VALUE_SIZE) for text in words) + 3 * MARGIN
    if beside:
        need = max(width_of(text, VALUE_SIZE) for text in words) + MARGIN
        least = min(sizes)
        sizes = [size * max(1.0, need / least) for size in sizes]
        wide = sum(sizes)
    top = MARGIN + LEAD
    marks = [
        *_fillings(pieces, sizes, (MARGIN, top, wide, tall), beside),
        *_metal_plates(MARGIN, top, wide, tall),
        Lettering(MARGIN + wide / 2 + 14, MARGIN + 6, name, "name", name, anchor="start"),
        Lettering(MARGIN, top + tall + LEAD + 22, measures(plates), "note", anchor="start"),
    ]
    width = max(wide + side, width_of(measures(plates), VALUE_SIZE)) + 2 * MARGIN
    said = plates_in_words(plates, name)
    return Picture(width, top + tall + LEAD + 34, tuple(marks), "A pair of plates", said)


def _shade(piece: Slice, at: int) -> float:
    if piece.kind == "metal":
        return METAL
    return 0.0 if piece.kind == "air" else SHADES[at % len(SHADES)]


def _sizes(shares: Sequence[Fraction], room: float) -> list[float]:
    """Pixels in proportion to the shares, but never less than words need."""
    total = sum(shares, Fraction(0))
    return [max(float(share / total) * room, LEAST) for share in shares]


def _fillings(
    pieces: Sequence[Slice], sizes: Sequence[float], area: tuple[float, float, float, float],
    beside: bool,
) -> Iterator[Mark]:
    left, top, wide, tall = area
    for at, (each, size) in enumerate(zip(pieces, sizes, strict=True)):
        shade = _shade(each, at)
        if beside:
            yield Patch(left, top, size, tall, shade)
            yield Lettering(left + size / 2, top + tall / 2 + 5, each.words, "value")
            left += size
        else:
            yield Patch(left, top, wide, size, shade)
            x, y = left + wide, top + size / 2
            yield Stroke(((x - MARGIN, y), (x + MARGIN, y)), "guide")
            yield Lettering(x + 1.5 * MARGIN, y + 5, each.words, "value", anchor="start")
            top += size


def _metal_plates(left: float, top: float, wide: float, tall: float) -> Iterator[Mark]:
    middle = left + wide / 2
    for y, end in ((top, top - LEAD), (top + tall, top + tall + LEAD - 8)):
        yield Stroke(((left, y), (left + wide, y)), "plate")
        yield Stroke(((left, y + 2), (left + wide, y + 2)) if end > y else
                     ((left, y - 2), (left + wide, y - 2)), "plate")
        yield Stroke(((middle, y), (middle, end)), "wire")
