"""A capacitor by its measures: plates one of them missing, a stack, spheres, a cable."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple, TypeAlias

from grammar.lengths import is_length, strength
from grammar.plate_measures import (
    permittivity,
    read_area,
    read_length,
    read_plates,
    whole_number,
)
from grammar.preparing import Source
from grammar.quantity import number
from grammar.records import Amount, Body, Letter, Plates, Refusal, Size, SizeName, Unknown
from grammar.walking import Node, children, name_of, place_of, start_of
from grammar.worth import LETTER
from grammar.writing_values import write_length, write_letter, write_plain

LEAST_PLATES: Final = 2
MOST_LAYERS: Final = 9
PI: Final = Fraction("3.14159265358979323846264338327950288419717")
NO_MEASURE: Final = (
    "is no measure.",
    "Write a number with its unit, one letter such as d, or ? for what is to be found.",
)
NO_FILLING: Final = (
    "is no relative permittivity.",
    "Write it as a number: 4 for a filling that makes the capacitance four times as large.",
)
_BETWEEN = ("gap", "filled", "layers", "beside", "metal", "strength")
_ROUND: Mapping[str, tuple[SizeName, ...]] = MappingProxyType(
    {
        "sphere": ("radius",),
        "spheres": ("inner", "outer"),
        "cable": ("length", "inner", "outer"),
    }
)
SizeWorth: TypeAlias = Amount | Letter | Unknown


class ReadSize(NamedTuple):
    """One measure and how the text, made tidy, gives it."""

    worth: SizeWorth
    written: str


def read_sized(source: Source, node: Node) -> Plates | Body:
    """The capacitor that its measures describe.

    Errors: ``Refusal`` for measures that cannot be, that are said twice or that do not fit.
    """
    if name_of(node) != "plates":
        return _round(source, node)
    if _is_plain(node):
        return read_plates(source, node)
    return _stack(source, node)


def is_missing(node: Node) -> bool:
    """Whether a measure of this capacitor is to be found."""
    return any(
        name_of(each) == "missing"
        for part in (
            node,
            *children(node, "gap", "filled", "strength", "number_of"),
            *_layers(node),
        )
        for each in part.children
    )


def _is_plain(node: Node) -> bool:
    """Whether all that is told is measures of two plates, in numbers."""
    parts = (node, *children(node, "gap", "filled"), *_layers(node))
    loose = any(children(part, "missing", "letter", "scaled") for part in parts)
    strong = any(children(each, "strength") for each in _layers(node))
    return not loose and not strong and not children(node, "number_of", "strength", "disc")


def _layers(node: Node) -> list[Node]:
    return [layer for each in children(node, "layers") for layer in children(each, "layer")]


def _stack(source: Source, node: Node) -> Body:
    layers = _layers(node)
    unfit = ("number_of", "gap", "filled", "strength") if layers else ("layers",)
    refused = children(node, "beside", "metal", *unfit)
    if refused:
        raise source.refusal(
            place_of(refused[0]),
            "This is said of plates with a measure missing, in letters, or of a stack.",
            "There one filling goes from plate to plate, as in filled 2.5, or nothing but layers, "
            "as in layers d/2 of k, d/2 of 3.",
        )
    _refuse_twice(source, node)
    counts, areas = children(node, "number_of"), children(node, "missing", "letter")
    discs = children(node, "disc")
    if discs:
        area = _disc(source, discs[0])
    else:
        area = _measure(source, areas[0], _a_length) if areas else ReadSize(*_area(source, node))
    if layers:
        return _layered(source, layers, area)
    gaps = children(node, "gap")
    if not gaps:
        raise source.refusal(
            start_of(node),
            "The gap between these plates is not given.",
            "Write it after their area, as in plates 100 cm2 gap 1 mm, or gap ? to find it.",
        )
    gap = _measure(source, gaps[0].children[1], _a_length)
    count = _count(source, counts[0]) if counts else None
    sizes: list[Size] = [Size("plates", count.worth)] if count else []
    sizes += [Size("area", area.worth), Size("gap", gap.worth)]
    more, told = _filling(source, node)
    before = f"{count.written} " if count else ""
    written = " ".join((f"{before}plates {area.written}", f"gap {gap.written}", *told))
    return Body("plates", (*sizes, *more), written)


def _layered(source: Source, layers: list[Node], area: ReadSize) -> Body:
    """Plates with layers of which a measure is missing or a letter, or that bear only so much."""
    if len(layers) > MOST_LAYERS:
        raise source.refusal(
            start_of(layers[MOST_LAYERS]),
            f"More than {MOST_LAYERS} layers are not taken up here.",
            "Put layers of one filling together.",
        )
    sizes = [Size("area", area.worth)]
    told = []
    for at, node in enumerate(layers, start=1):
        thickness = _measure(source, node.children[0], _a_length)
        filling = _measure(source, node.children[1], _permittivity)
        sizes += [Size("gap", thickness.worth, at), Size("filling", filling.worth, at)]
        text = f"{thickness.written} of {filling.written}"
        for each in children(node, "strength"):
            bears = _strength(source, each)
            sizes.append(Size("strength", bears.worth, at))
            text += f" strength {bears.written}"
        told.append(text)
    return Body("layers", tuple(sizes), f"plates {area.written} layers {', '.join(told)}")


def _area(source: Source, node: Node) -> tuple[Amount, str]:
    size, written = read_area(source, children(node, "area", "square_units", "square", "oblong")[0])
    return Amount(size), written


def _disc(source: Source, node: Node) -> ReadSize:
    """The area of round plates, by their radius or their diameter."""
    word, length = node.children
    across = str(word).lower().startswith("diameter")
    told = read_length(source, length)
    radius = told.value / 2 if across else told.value
    written = f"{'diameter' if across else 'radius'} {write_length(told)}"
    return ReadSize(Amount(PI * radius**2), written)


def _count(source: Source, node: Node) -> ReadSize:
    (inner,) = node.children
    if name_of(inner) == "missing":
        return ReadSize(Unknown(), "?")
    if inner.type == "ROLLED":  # each foil faces the other on both sides, as three plates do
        return ReadSize(Amount(Fraction(3)), "rolled")
    number = whole_number(source, inner)
    if number < LEAST_PLATES:
        raise source.refusal(
            start_of(node), "It takes two plates at least.", "Write how many there are: 2 or more."
        )
    return ReadSize(Amount(Fraction(number)), str(number))


def _round(source: Source, node: Node) -> Body:
    """Spheres and cables, by radii or by diameters."""
    _refuse_twice(source, node)
    kind = name_of(node)
    words = [each for each in node.children if isinstance(each, str)]
    is_across = words[1].lower().startswith("diameter")
    told = [
        _measure(source, each, _a_length) for each in children(node, "length", "missing", "letter")
    ]
    sizes = []
    for name, each in zip(_ROUND[kind], told, strict=True):
        worth = _halved(each.worth) if is_across and name != "length" else each.worth
        sizes.append(Size(name, worth))
    _refuse_inside_out(source, node, sizes)
    first = [told.pop(0).written] if kind == "cable" else []
    one, more = ("diameter", "diameters") if is_across else ("radius", "radii")
    more_sizes, filling = _filling(source, node)
    radii = f"{one if len(told) == 1 else more} {' and '.join(each.written for each in told)}"
    written = " ".join((kind, *first, radii, *filling))
    return Body(kind, (*sizes, *more_sizes), written)  # type: ignore[arg-type]


def _halved(worth: SizeWorth) -> SizeWorth:
    if isinstance(worth, Amount):
        return worth._replace(value=worth.value / 2)
    return worth._replace(factor=worth.factor / 2) if isinstance(worth, Letter) else worth


def _refuse_inside_out(source: Source, node: Node, sizes: list[Size]) -> None:
    known = {size.name: size.worth for size in sizes if isinstance(size.worth, Amount)}
    inner, outer = known.get("inner"), known.get("outer")
    if inner and outer and inner.value >= outer.value:
        raise source.refusal(
            start_of(node),
            "The inner radius is not smaller than the outer one.",
            "Write the inner one first, as in radii 1 mm and 4 mm.",
        )


def _filling(source: Source, node: Node) -> tuple[list[Size], list[str]]:
    """What is between, and how strong a field that bears."""
    sizes: list[Size] = []
    written: list[str] = []
    for each in children(node, "filled"):
        if len(each.children) > 2:
            raise source.refusal(
                start_of(each.children[2]),
                "A filling over a part of the area goes with two plates in numbers alone.",
                "Leave the part out, or write all measures as numbers.",
            )
        told = _measure(source, each.children[1], _permittivity)
        sizes.append(Size("filling", told.worth))
        written.append(f"filled {told.written}")
    for each in children(node, "strength"):
        told = _strength(source, each)
        sizes.append(Size("strength", told.worth))
        written.append(f"strength {told.written}")
    return sizes, written


def _strength(source: Source, node: Node) -> ReadSize:
    if children(node, "missing"):
        return ReadSize(Unknown(), "?")
    _, typed, volts, metre = node.children
    try:
        found = strength(typed, volts, metre)
    except Refusal as refusal:
        raise source.refusal(int(typed.start_pos), refusal.found, refusal.cure) from None
    number = write_plain(found.value / Fraction(10) ** found.power)
    return ReadSize(found, f"{number} {volts}/{metre}")


def _measure(source: Source, node: Node, read: Callable[[Source, Node], ReadSize]) -> ReadSize:
    if name_of(node) == "missing":
        return ReadSize(Unknown(), "?")
    if name_of(node) in ("length", "scaled"):
        factor, symbol = (str(each) for each in node.children)
        if LETTER.fullmatch(symbol) and not is_length(symbol):
            times = number(factor).value
            return ReadSize(Letter(symbol, times), f"{write_plain(times)}{symbol}")
    if name_of(node) == "letter":
        return _letter(source, node, NO_FILLING if read is _permittivity else NO_MEASURE)
    return read(source, node)


def _letter(source: Source, node: Node, refused: tuple[str, str]) -> ReadSize:
    name, *below = node.children
    if not LETTER.fullmatch(name) and len(name) > 2:
        raise source.refusal(start_of(node), f"{name} {refused[0]}", refused[1])
    factor = 1 / Fraction(whole_number(source, below[0])) if below else Fraction(1)
    found = Letter(str(name), factor)
    return ReadSize(found, write_letter(found))


def _a_length(source: Source, node: Node) -> ReadSize:
    found = read_length(source, node)
    return ReadSize(found, write_length(found))


def _permittivity(source: Source, node: Node) -> ReadSize:
    value = permittivity(source, node)
    return ReadSize(Amount(value), write_plain(value))


def _refuse_twice(source: Source, node: Node) -> None:
    for kind in _BETWEEN:
        if len(said := children(node, kind)) > 1:
            raise source.refusal(
                place_of(said[1]), "This is said twice.", "Give each measure once."
            )
