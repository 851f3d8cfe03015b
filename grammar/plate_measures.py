"""A capacitor by its two plates: their area, their gap, and what is in the gap."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from grammar.lengths import area, length, length_power
from grammar.preparing import Source
from grammar.quantity import number
from grammar.records import Amount, Layer, Plates, Refusal
from grammar.walking import Node, children, name_of, place_of, start_of
from grammar.writing_values import write_area, write_length, write_plain

_AIR = Fraction(1)
_AREAS = ("area", "square_units", "square", "oblong")


class Filling(NamedTuple):
    """What is in the gap, and how it is written."""

    layers: tuple[Layer, ...] = ()
    beside: tuple[Layer, ...] = ()
    written: str = ""


class Between(NamedTuple):
    """The gap as written, None where only the layers give it, and the metal in it."""

    gap: Amount | None
    metal: Amount | None

    @property
    def free(self) -> Fraction | None:
        """What the metal leaves of the gap, in metres."""
        if self.gap is None:
            return None
        return self.gap.value - (self.metal.value if self.metal else 0)


def read_plates(source: Source, node: Node) -> Plates:
    """The plates that a text describes.

    Errors: ``Refusal`` at the place of a length, an area or a permittivity that cannot be, of
    what is said twice, and of what does not fit between the plates.
    """
    size, size_written = read_area(source, children(node, *_AREAS)[0])
    between = _between(source, node)
    filling = _filling(source, node, size, between)
    thick = sum((each.thickness or Fraction(0) for each in filling.layers), Fraction(0))
    metal = between.metal.value if between.metal else Fraction(0)
    gap = between.gap.value if between.gap else thick + metal
    told = between.gap is not None and not children(node, "layers")
    written = " ".join(
        (
            f"plates {size_written}",
            *((f"gap {write_length(between.gap)}",) if told and between.gap else ()),
            *((filling.written,) if filling.written else ()),
            *((f"metal {write_length(between.metal)}",) if between.metal else ()),
        )
    )
    return Plates(size, gap, filling.layers, filling.beside, metal, written)


def permittivity(source: Source, token: Node) -> Fraction:
    """A relative permittivity. Errors: ``Refusal`` for a number below 1."""
    value = _number(source, token)
    if value >= 1:
        return value
    raise source.refusal(
        int(token.start_pos),
        "A relative permittivity below 1 cannot be.",
        "Write how many times the filling multiplies the capacitance: 1 for air, more for others.",
    )


def read_length(source: Source, node: Node) -> Amount:
    """A length in metres. Errors: ``Refusal`` for another unit, and for zero or less."""
    typed, unit = node.children
    try:
        return length(typed, unit)
    except Refusal as refusal:
        raise source.refusal(start_of(node), refusal.found, refusal.cure) from None


def read_ratio(source: Source, node: Node) -> Fraction:
    """A number or a fraction above zero: 3, 1.5 or 1/3. Errors: ``Refusal`` for any other."""
    above, below = _number(source, node.children[0]), Fraction(1)
    if len(node.children) > 1:
        below = _number(source, node.children[1])
    if above > 0 and below > 0:
        return above / below
    raise source.refusal(
        start_of(node), "A number above zero is needed here.", "Write it like 3, 1.5 or 1/3."
    )


def _number(source: Source, token: Node) -> Fraction:
    try:
        return number(token).value
    except Refusal as refusal:
        raise source.refusal(int(token.start_pos), refusal.found, refusal.cure) from None


def read_area(source: Source, node: Node) -> tuple[Fraction, str]:
    """An area in square metres, and how it is written."""
    rule = name_of(node)
    if rule in ("area", "square_units"):
        typed, unit = node.children if rule == "square_units" else node.children[0].children
        squared = rule == "square_units" or len(node.children) > 1
        try:
            if squared:
                length_power(unit)
            found = area(typed, f"{unit}2" if squared else unit)
        except Refusal as refusal:
            raise source.refusal(start_of(node), refusal.found, refusal.cure) from None
        return found.value, write_area(found)
    sides = [read_length(source, side) for side in children(node, "length")]
    if rule == "square":
        return sides[0].value ** 2, f"{write_length(sides[0])} square"
    return sides[0].value * sides[1].value, " by ".join(map(write_length, sides))


def _between(source: Source, node: Node) -> Between:
    fillings = children(node, "filled", "layers", "beside")
    for nodes in (children(node, "gap"), children(node, "metal"), fillings):
        if len(nodes) > 1:
            raise source.refusal(
                place_of(nodes[1]),
                "This is said of the plates twice.",
                "Give one gap, at most one filling (filled, layers or side by side) and one metal.",
            )
    gaps, metals = (
        [read_length(source, each.children[1]) for each in children(node, rule)]
        for rule in ("gap", "metal")
    )
    if not gaps and not children(node, "layers"):
        raise source.refusal(
            start_of(node),
            "The gap between these plates is not given.",
            "Write it after their area, as in plates 100 cm2 gap 1 mm.",
        )
    if gaps and metals and metals[0].value >= gaps[0].value:
        raise source.refusal(
            start_of(children(node, "metal")[0].children[1]),
            f"This metal does not fit into a gap of {write_length(gaps[0])}.",
            "Write a metal plate thinner than the gap.",
        )
    return Between(gaps[0] if gaps else None, metals[0] if metals else None)


def _filling(source: Source, node: Node, size: Fraction, between: Between) -> Filling:
    for each in children(node, "filled", "layers", "beside"):
        if name_of(each) == "layers":
            return _layers(source, each, between)
        if name_of(each) == "beside":
            return _beside(source, each, size)
        return _filled(source, each, between)
    return Filling()


def _filled(source: Source, node: Node, between: Between) -> Filling:
    value = permittivity(source, node.children[1])
    written = f"filled {write_plain(value)}"
    if len(node.children) == 2:
        return Filling((Layer(value, between.free),), (), written)
    share = share_of(source, node.children[2])
    if share >= 1:
        raise source.refusal(
            start_of(node.children[2]),
            "A slab over the whole area or more is no slab over a part of it.",
            "Write a share below 1, as in over 1/2, or leave it out.",
        )
    parts = (Layer(value, None, share), Layer(_AIR, None, 1 - share))
    return Filling((), parts, f"{written} over {share}")


def _layers(source: Source, node: Node, between: Between) -> Filling:
    layers: list[Layer] = []
    pieces: list[str] = []
    for each in children(node, "layer"):
        thickness = read_length(source, each.children[0])
        value = permittivity(source, each.children[1])
        layers.append(Layer(value, thickness.value))
        pieces.append(f"{write_length(thickness)} of {write_plain(value)}")
    rest = _rest_of_gap(source, node, layers, between)
    if rest is not None:
        layers.append(Layer(_AIR, rest.value))
        pieces.append(f"{write_length(rest)} of 1")
    return Filling(tuple(layers), (), f"layers {', '.join(pieces)}")


def _rest_of_gap(
    source: Source, node: Node, layers: list[Layer], between: Between
) -> Amount | None:
    """The air that the layers leave of a gap that is given with them."""
    if between.gap is None or between.free is None:
        return None
    rest = between.free - sum(each.thickness or Fraction(0) for each in layers)
    if rest < 0:
        raise source.refusal(
            place_of(node),
            f"These layers do not fit into a gap of {write_length(between.gap)}.",
            "Leave the gap out, since the layers give it, or make them thinner.",
        )
    return Amount(rest, between.gap.power) if rest else None


def _beside(source: Source, node: Node, size: Fraction) -> Filling:
    parts: list[Layer] = []
    pieces: list[str] = []
    for each in children(node, "strip"):
        share, written = _strip(source, each.children[0], size)
        value = permittivity(source, each.children[1])
        parts.append(Layer(value, None, share))
        pieces.append(f"{written} of {write_plain(value)}")
    rest = 1 - sum((each.share or Fraction(0) for each in parts), Fraction(0))
    if rest < 0:
        raise source.refusal(
            place_of(node),
            "These fillings take up more than the area of the plates.",
            "Make their areas or shares add up to the plates' area at most; the rest is air.",
        )
    if rest:
        parts.append(Layer(_AIR, None, rest))
    return Filling((), tuple(parts), f"side by side {', '.join(pieces)}")


def _strip(source: Source, node: Node, size: Fraction) -> tuple[Fraction, str]:
    """The share of the plates that one filling takes up, and how it is written."""
    if name_of(node) in ("share", "per_cent", "half"):
        share = share_of(source, node)
        return share, str(share)
    found, written = read_area(source, node)
    return found / size, written


def share_of(source: Source, node: Node) -> Fraction:
    """A share such as 1/2, half or 40 %, above nought. Errors: ``Refusal`` for any other."""
    if name_of(node) == "half":
        return Fraction(1, 2)
    share = read_ratio(source, node)
    return share / 100 if name_of(node) == "per_cent" else share


def whole_number(source: Source, token: Node) -> int:
    """A whole number above zero. Errors: ``Refusal`` for any other."""
    value = _number(source, token)
    if value > 0 and value.denominator == 1:
        return int(value)
    raise source.refusal(
        int(token.start_pos), "A whole number is needed here.", "Write it like 2 or 19."
    )
