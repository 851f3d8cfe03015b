"""What a text wants to know, as the strict notation asks for it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Final

from grammar.lenient.tabletop import Tabletop
from grammar.records import Refusal

SYMBOL: Mapping[str, str] = {
    "total": "C", "capacitance": "C", "charge": "Q", "voltage": "V", "energy": "E",
    "field": "field", "force": "force", "heat": "heat",
}  # fmt: skip
_OF: Mapping[str, str] = {"charge": "charge on", "voltage": "p.d. across", "energy": "energy in"}
_OF_MEASURES: Final = ("field", "force")


def wanted_of(table: Tabletop, names: Mapping[int, str]) -> list[str]:
    """Each thing wanted, once; what the text gives, and what is worked out anyway, is left out.

    Errors: ``Refusal`` for a field or a force where no measures are given.
    """
    return list(dict.fromkeys(_wanted(table, names)))


def _wanted(table: Tabletop, names: Mapping[int, str]) -> Iterator[str]:
    for quantity, whom in table.wishes:
        if quantity in _OF_MEASURES and not any("gap" in cap.worth for cap in table.caps):
            raise Refusal(
                f"The {quantity} is told of one capacitor by its measures.",
                "Give its area and its gap, as in plates 100 cm2 gap 2 mm.",
            )
        if quantity in ("capacitance", "total"):
            yield from _capacitances(table, names, whom, quantity)
        elif whom and quantity in _OF and len(table.caps) > 1:
            named = [names[index] for index in whom if names.get(index)]
            yield from (_of_one(quantity, name, names) for name in named)
        elif not _is_known(table, quantity):
            yield _symbol(quantity, names)


def _of_one(quantity: str, name: str, names: Mapping[int, str]) -> str:
    """Q1 for the charge on C1; in words for any other name, or where one is called C alone."""
    if re.fullmatch(r"C[0-9]+", name) and "C" not in names.values():
        return SYMBOL[quantity] + name[1:]
    return f"{_OF[quantity]} {name}"


def _capacitances(
    table: Tabletop, names: Mapping[int, str], whom: tuple[int, ...], quantity: str
) -> Iterator[str]:
    """The one that is sought, or that of the whole."""
    sought = [index for index, cap in enumerate(table.caps) if cap.worth == "?"]
    among = sought if (quantity == "capacitance" or table.totals) and not whom else whom
    for name in (names[index] for index in among if index in sought and names.get(index)):
        yield name if name.startswith("C") else f"capacitance of {name}"
    by_measures = len(table.caps) == 1 and re.search("radi|gap", table.caps[0].worth)
    if (not among or by_measures) and not table.totals:
        yield _symbol(quantity, names)


def _symbol(quantity: str, names: Mapping[int, str]) -> str:
    """The sign of a quantity of the whole; C may be the name of a capacitor."""
    sign = SYMBOL[quantity]
    return f"{sign}eq" if sign == "C" and sign in names.values() else sign


def _is_known(table: Tabletop, quantity: str) -> bool:
    """Whether a quantity of the whole is given, or worked out in any case."""
    given = [each.quantity for each in table.supplies]
    given += [each.quantity for each in table.givens if each.of is None]
    if quantity == "heat":
        return not table.changes and not any(cap.start for cap in table.caps)
    return quantity in given and not table.changes
