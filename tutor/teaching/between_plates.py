"""What lies between a pair of plates, piece by piece, with its words: for any picture of it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Literal, NamedTuple

from grammar.records import Layer, Plates
from grammar.writing import write_number


class Slice(NamedTuple):
    """One filling: what part it takes of the gap in metres, or of the area as a share of it; and
    its words.
    """

    share: Fraction
    kind: Literal["air", "filling", "metal"]
    words: str


def slices(plates: Plates) -> tuple[Slice, ...]:
    """From the first plate to the second, or side by side from left to right."""
    return tuple(_slices(plates))


def _slices(plates: Plates) -> Iterator[Slice]:
    free = plates.gap - plates.metal
    for layer in plates.beside or plates.layers or (Layer(Fraction(1), free),):
        filling = f"εr = {_number(layer.permittivity)}"
        said = "air" if layer.permittivity == 1 else filling
        kind: Literal["air", "filling"] = "air" if layer.permittivity == 1 else "filling"
        if plates.beside:
            share = layer.share or Fraction(0)
            yield Slice(share, kind, f"{_number(share * plates.area * 10**4)} cm², {said}")
        else:
            thick = layer.thickness or free
            yield Slice(thick, kind, f"{_number(thick * 1000)} mm, {said}")
    if plates.metal and not plates.beside:
        yield Slice(plates.metal, "metal", f"{_number(plates.metal * 1000)} mm, metal")


def measures(plates: Plates) -> str:
    """Area and gap, and the metal in it that lies under fillings side by side."""
    said = f"plates {_number(plates.area * 10**4)} cm², gap {_number(plates.gap * 1000)} mm"
    if plates.metal and plates.beside:
        said += f", {_number(plates.metal * 1000)} mm of it metal"
    return said


def plates_in_words(plates: Plates, name: str) -> str:
    """The pair and all that is in it, in a sentence or two."""
    order = "From left to right" if plates.beside else "From the top plate down"
    words = "; ".join(each.words for each in slices(plates))
    return f"{name}: {measures(plates)}. {order}: {words}."


def _number(value: Fraction) -> str:
    return write_number(value)[0]
