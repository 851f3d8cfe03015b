"""The values that a text gives, and how a line changes one of them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Any, NamedTuple, TypeAlias

from grammar import records
from grammar.outline import elements_of
from grammar.reading import read_network
from grammar.records import Amount, Description, Dimension, Refusal
from grammar.worth import worth
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.speech import listed
from tutor.teaching.whatif.change_words import VALUE, factor_in, vague_factor_in

FILLING = r"fill(?:ed|ing)?|permittivity|dielectric"
Called: TypeAlias = tuple[str, str, Dimension | None]


class Changeable(NamedTuple):
    """A value that the text gives: how it is spoken of, words that mean it, where it stands."""

    name: str
    words: str
    path: tuple[int | str, ...]
    value: Amount | Fraction
    dimension: Dimension | None


def change_in(description: Description, said: str) -> tuple[Changeable, Amount | Fraction]:
    """The given value that is changed, and what it becomes. Raises Refusal."""
    every = tuple(_givens(description, ()))
    meant = [each for each in every if re.search(rf"(?i)(?<![\w'])(?:{each.words})(?![\w'])", said)]
    kinds = {each.words for each in meant}
    if len(meant) > 1 and len(kinds) > 1:  # a rating of C1 names both; the closer word counts
        meant = [each for each in meant if not each.words.startswith("C") or len(kinds) == 1]
        meant = [each for each in meant if _owner_named(each, said)] or meant
    if len(meant) != 1:
        raise Refusal(
            "Which value is changed?" if meant else "That change could not be read.",
            _examples(every),
        )
    return meant[0], _new_value(meant[0], said, every)


def _owner_named(given: Changeable, said: str) -> bool:
    return any(re.search(rf"(?<!\w){re.escape(word)}(?!\w)", said) for word in given.name.split()
               if word[0].isupper())


def _new_value(given: Changeable, said: str, every: tuple[Changeable, ...]) -> Amount | Fraction:
    old = given.value.value if isinstance(given.value, Amount) else given.value
    found = VALUE.search(said)
    if found is not None and given.dimension in ("capacitance", "voltage", "charge"):
        read = worth(found[1].strip(), given.dimension)
        if isinstance(read, Amount) and read.value > 0:
            return read
    factor = factor_in(said) or vague_factor_in(said)
    if factor is None and (number := re.search(r"(\d+(?:\.\d+)?)\s*$", said)) is not None:
        value = Fraction(number[1])
        if given.dimension is None and not isinstance(given.value, Amount) and value > 0:
            return value
        factor = None
    if factor is None or factor <= 0:
        raise Refusal(f"What does {given.name} become?", _examples(every))
    if isinstance(given.value, Amount):
        return given.value._replace(value=old * factor)
    return old * factor


def _examples(every: tuple[Changeable, ...]) -> str:
    if not every:
        return "Nothing that is given here can be changed; type it anew with other values."
    names = listed(dict.fromkeys(each.name for each in every[:6]))
    return f"Changeable here: {names}. Write it like: what if {every[0].name} is doubled."


def _givens(record: Any, path: tuple[int | str, ...], owner: str = "") -> Iterator[Changeable]:
    """Every value that stands in a description, with the words that mean it."""
    if isinstance(record, records.Element):
        owner = record.name
    if isinstance(record, records.Plates | records.Body):
        yield from _of_plates(record, path, owner)
        return
    if isinstance(record, tuple) and not hasattr(record, "_fields"):
        for at, each in enumerate(record):
            yield from _givens(each, (*path, at), owner)
        return
    if not hasattr(record, "_fields") or isinstance(record, Amount):
        return
    for field in record._fields:
        value = getattr(record, field)
        if isinstance(value, Amount) or (
            isinstance(record, records.Change) and isinstance(value, Fraction)
        ):
            name, words, dimension = _called(record, field, owner)
            if name and value:
                yield Changeable(name, words, (*path, field), value, dimension)
        else:
            yield from _givens(value, (*path, field), owner)


def _called(record: Any, field: str, owner: str) -> Called:
    """How a field of a record is spoken of, the words for it, and what kind of value it is."""
    if isinstance(record, records.Element):
        if field == "worth":
            return owner, re.escape(owner), "capacitance"
        return f"the rating of {owner}", r"ratings?|rated", "voltage"
    if isinstance(record, records.Charging):
        return _of_supply(record, owner)
    if isinstance(record, records.Given):
        letter = SYMBOL[record.quantity]
        name = letter + (record.of or "").removeprefix("C")
        return name, f"{re.escape(name)}|whole|total", record.quantity
    if isinstance(record, records.Change):
        name, words = _OF_CHANGE.get((record.kind, field), ("", ""))
        return name, words, None
    if isinstance(record, records.Ladder):
        return f"the {field} capacitor", field, "capacitance"
    return _OF_BANK.get(field, ("", "", None))


def _of_supply(supply: records.Charging, owner: str) -> Called:
    is_charge = supply.quantity == "charge"
    if owner:
        words = r"charged|charge|beforehand|start(?:ing)?"
        kind = "charge" if is_charge else "p.d."
        more = "" if is_charge else r"|p\.?d\.?|voltage"
        return f"the {kind} of {owner} at first", words + more, supply.quantity
    words = r"supply|battery|cell|source|p\.?d\.?|voltage|charge"
    return "the charge" if is_charge else "the supply", words, supply.quantity


_OF_CHANGE: Mapping[tuple[str, str], tuple[str, str]] = MappingProxyType({
    ("fill", "amount"): ("the filling", FILLING),
    ("gap", "amount"): ("the new gap", r"gaps?"),
})
_OF_BANK: Mapping[str, Called] = MappingProxyType({
    "each": ("each one", r"each|single", "capacitance"),
    "rating": ("the rating", r"ratings?|rated", "voltage"),
    "wanted": ("the wanted capacitance", r"wanted|target|capacitance", "capacitance"),
    "voltage": ("the p.d. wanted", r"supply|p\.?d\.?|voltage", "voltage"),
})


def _of_plates(
    plates: records.Plates | records.Body, path: tuple[int | str, ...], owner: str
) -> Iterator[Changeable]:
    """The numbers in the text of plates, or of another shape: area, gap, radii and filling."""
    if "?" in plates.written:
        return  # what is missing is read with what is given beside it
    for field, (pattern, words) in _IN_TEXT.items():
        found = re.search(pattern, plates.written)
        if found is not None:
            kind = f"{field} radius" if field in ("inner", "outer") else field
            name = f"the {kind} of {owner}"
            yield Changeable(name, words, (*path, field), Fraction(found[1]), None)


_IN_TEXT: Mapping[str, tuple[str, str]] = MappingProxyType({
    "area": (r"plates (\d+(?:\.\d+)?) [a-zµ]+²", r"area|plates?"),
    "gap": (r"gap (\d+(?:\.\d+)?)", r"gap|distance|separation"),
    "filling": (r"filled (\d+(?:\.\d+)?)", FILLING),
    "radius": (r"radius (\d+(?:\.\d+)?)", r"radius"),
    "inner": (r"radii (\d+(?:\.\d+)?)", r"inner|first|smaller"),
    "outer": (r"radii \S+ \S+ and (\d+(?:\.\d+)?)", r"outer|second|larger"),
    "length": (r"length (\d+(?:\.\d+)?)", r"length"),
})


def with_value(record: Any, path: tuple[int | str, ...], new: Any) -> Any:
    """The record with one value in it changed."""
    if not path:
        return new
    first, *rest = path
    if isinstance(first, int):
        items = list(record)
        items[first] = with_value(items[first], tuple(rest), new)
        return tuple(items)
    if isinstance(record, records.Plates | records.Body):
        return _rewritten(record, str(first), new)
    return record._replace(**{first: with_value(getattr(record, first), tuple(rest), new)})


def _rewritten(
    plates: records.Plates | records.Body, field: str, new: Fraction
) -> records.Plates | records.Body:
    """Plates, or another shape, with one number of their text changed, read anew."""
    found = re.search(_IN_TEXT[field][0], plates.written)
    assert found is not None, "only what stands in the text is changed"
    written = plates.written
    text = f"{written[: found.start(1)]}{float(new):.12g}{written[found.end(1) :]}"
    (capacitor,) = elements_of(read_network(text))
    assert isinstance(capacitor.worth, type(plates)), "plates stay plates"
    return capacitor.worth
