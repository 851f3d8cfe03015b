"""A pair of plates with what lies between them, to scale as far as words leave room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.records import Capacitor, Description, Layer, Plates
from grammar.writing import write_number
from tutor.desk.pictures.canvas import (
    VALUE_SIZE,
    Lettering,
    Mark,
    Patch,
    Picture,
    Stroke,
    width_of,
)

WIDE, TALL = 240.0, 150.0
LEAST: Final = 26.0  # so thick that its words have room
MARGIN: Final = 16.0
LEAD: Final = 24.0
METAL: Final = 0.55
SHADES: Final = (0.06, 0.18, 0.12, 0.24)


class Slice(NamedTuple):
    """One filling: what part of the gap or of the area it takes, its shade, its words."""

    share: Fraction
    shade: float
    words: str


def plates_in(description: Description) -> Plates | None:
    """The one pair of plates that a text is about; None where it is about anything else."""
    part = description.nest
    if part is None and len(description.joins) == 1:
        part = description.joins[0].capacitor
    worth = part.worth if isinstance(part, Capacitor) else None
    return worth if isinstance(worth, Plates) else None


def plates_picture(plates: Plates, name: str) -> Picture:
    """The plates from the side, edge on."""
    slices = list(_slices(plates))
    sizes = _sizes([each.share for each in slices], WIDE if plates.beside else TALL)
    words = [each.words for each in slices]
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
        *_fillings(slices, sizes, (MARGIN, top, wide, tall), beside),
        *_metal_plates(MARGIN, top, wide, tall),
        Lettering(MARGIN + wide / 2 + 14, MARGIN + 6, name, "name", name, anchor="start"),
        Lettering(MARGIN, top + tall + LEAD + 22, _measures(plates), "note", anchor="start"),
    ]
    width = max(wide + side, width_of(_measures(plates), VALUE_SIZE)) + 2 * MARGIN
    title = "A pair of plates"
    order = "From left to right" if beside else "From the top plate down"
    said = f"{name}: {_measures(plates)}. {order}: {'; '.join(words)}."
    return Picture(width, top + tall + LEAD + 34, tuple(marks), title, said)


def _slices(plates: Plates) -> Iterator[Slice]:
    free = plates.gap - plates.metal
    for at, layer in enumerate(plates.beside or plates.layers or (Layer(Fraction(1), free),)):
        shade = 0.0 if layer.permittivity == 1 else SHADES[at % len(SHADES)]
        if plates.beside:
            share = layer.share or Fraction(0)
            area = _number(share * plates.area * 10**4)
            yield Slice(share, shade, f"{area} cm², {_filling(layer)}")
        else:
            thick = layer.thickness or free
            yield Slice(thick, shade, f"{_number(thick * 1000)} mm, {_filling(layer)}")
    if plates.metal and not plates.beside:
        yield Slice(plates.metal, METAL, f"{_number(plates.metal * 1000)} mm, metal")


def _filling(layer: Layer) -> str:
    number = _number(layer.permittivity)
    return "air" if layer.permittivity == 1 else f"εr = {number}"


def _number(value: Fraction) -> str:
    return write_number(value)[0]


def _measures(plates: Plates) -> str:
    said = f"plates {_number(plates.area * 10**4)} cm², gap {_number(plates.gap * 1000)} mm"
    if plates.metal and plates.beside:
        said += f", {_number(plates.metal * 1000)} mm of it metal"
    return said


def _sizes(shares: Sequence[Fraction], room: float) -> list[float]:
    """Pixels in proportion to the shares, but never less than words need."""
    total = sum(shares, Fraction(0))
    return [max(float(share / total) * room, LEAST) for share in shares]


def _fillings(
    slices: Sequence[Slice], sizes: Sequence[float], area: tuple[float, float, float, float],
    beside: bool,
) -> Iterator[Mark]:
    left, top, wide, tall = area
    for each, size in zip(slices, sizes, strict=True):
        if beside:
            yield Patch(left, top, size, tall, each.shade)
            yield Lettering(left + size / 2, top + tall / 2 + 5, each.words, "value")
            left += size
        else:
            yield Patch(left, top, wide, size, each.shade)
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
