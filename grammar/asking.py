"""What a text wants to know: ``asked: Q3``, or a book's "find the charge on C3"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple, cast

from grammar.preparing import Source
from grammar.records import Asked, Dimension
from grammar.refusals import nearest
from grammar.walking import Node, children, name_of, start_of

QUANTITY: Mapping[str, Dimension] = {
    "C": "capacitance",
    "Q": "charge",
    "V": "voltage",
    "U": "voltage",
    "E": "energy",
    "W": "energy",
}
_SYMBOL = re.compile(r"([CQVUEW])_?(.*)", re.IGNORECASE)
_OF_THE_WHOLE = ("", "eq", "t", "tot", "total")


class WantedAt(NamedTuple):
    """One thing wanted and where it stands."""

    asked: Asked
    offset: int


def questions(
    source: Source,
    nodes: Sequence[Node],
    names: Sequence[str],
    unsaid: Sequence[str] = (),
    has_changes: bool = False,
) -> tuple[Asked, ...]:
    """Everything asked, each once, in the order of the text. ``names`` are the capacitors.

    ``unsaid`` are those whose capacitance, as it comes to be, the text does not say. Errors:
    ``Refusal`` for a name that is no capacitor here, for a value that is given, and for energy lost
    where nothing is done to the network.
    """
    found: list[WantedAt] = []
    for node in nodes:
        before: Dimension | None = None
        for wanted in children(node, "wanted"):
            new, before = _wanted(source, wanted, names, before, has_changes)
            found.extend(new)
    for question in found:
        _refuse_unsized(source, question, names, unsaid)
        if question.asked.lost and not has_changes:
            raise source.refusal(
                question.offset,
                "Nothing is done here in which energy could be lost.",
                "Say what is, as in C1 = 2 uF charged to 9 V; C2 = 4 uF; join C1 and C2.",
            )
        of = question.asked.of
        if question.asked.quantity == "capacitance" and of is not None and of not in unsaid:
            raise source.refusal(
                question.offset,
                f"The capacitance of {of} is given in the text.",
                "Ask for its charge, p.d. or energy, or for the equivalent capacitance.",
            )
    return tuple(dict.fromkeys(question.asked for question in found))


def _refuse_unsized(
    source: Source, question: WantedAt, names: Sequence[str], unsaid: Sequence[str]
) -> None:
    """Errors: ``Refusal`` for a field or a force where no one capacitor has its measures told."""
    if question.asked.quantity in ("field", "force") and (len(names) > 1 or not unsaid):
        raise source.refusal(
            question.offset,
            f"The {question.asked.quantity} is told of one capacitor by its measures.",
            "Describe it alone, as in plates 100 cm2 gap 2 mm, across 500 V; find field.",
        )


def _wanted(
    source: Source,
    node: Node,
    names: Sequence[str],
    before: Dimension | None,
    has_changes: bool,
) -> tuple[list[WantedAt], Dimension | None]:
    """What one phrase asks for, and the quantity that a bare name after it would share.

    After a change a prime says what is asked anyhow: the value as it comes to be.
    """
    first, offset = node.children[0], start_of(node)
    if isinstance(first, str):
        if before and first in names:
            return [WantedAt(Asked(before, str(first)), offset)], before
        meant = _without_primes(first) if has_changes and first not in names else first
        return [WantedAt(_symbol(source, meant, names), offset)], None
    if name_of(first) == "heat":
        return [WantedAt(Asked("energy", lost=True), offset)], None
    quantity = cast(Dimension, name_of(first))
    whose = children(node, "whose", "each")
    if not whose:
        return [WantedAt(Asked(quantity), offset)], None
    if name_of(whose[0]) == "each":
        return [WantedAt(Asked(quantity, name), offset) for name in names], None
    token = whose[0].children[0]
    name = capacitor_meant(source, str(token), int(token.start_pos), names)
    return [WantedAt(Asked(quantity, name), int(token.start_pos))], quantity


def _without_primes(token: Node) -> Node:
    return token.update(value=token.rstrip("'"))


def _symbol(source: Source, token: Node, names: Sequence[str]) -> Asked:
    match = _SYMBOL.fullmatch(token)
    if match is None and token in names:
        return Asked("capacitance", str(token))
    if match is None or not (token in names or _names_one(match[2], names)):
        raise source.refusal(
            int(token.start_pos), f"{token} is not a quantity.", _how_to_ask(str(token))
        )
    quantity = QUANTITY[match[1].upper()]
    suffix = match[2]
    if quantity == "capacitance" and token in names:
        return Asked(quantity, str(token))
    for name in (f"C{suffix}", suffix):
        if suffix and name in names:
            return Asked(quantity, name)
    if suffix.lower() in _OF_THE_WHOLE:
        return Asked(quantity)
    if some := _together(suffix, names):
        letter = match[1]
        raise source.refusal(
            int(token.start_pos),
            f"{token} may mean {' and '.join(some)} together, which is no one capacitor.",
            f"Ask for each, as in {', '.join(f'{letter}{name[1:]}' for name in some)}, or between"
            " two points, as in V_AP.",
        )
    return Asked(quantity, capacitor_meant(source, f"C{suffix}", int(token.start_pos), names))


def _how_to_ask(token: str) -> str:
    """What would do in the place of a symbol that means nothing here."""
    if at := re.fullmatch(r"[VU]_?(?!B)([A-Z])", token):
        return (
            "A potential is counted from another point: ask for the p.d. between the two, as in"
            f" V_{at[1]}B."
        )
    return "Ask with C, Q, V (or U) or E (or W), as in Q3, V1 or C for the whole network."


def _together(suffix: str, names: Sequence[str]) -> tuple[str, ...]:
    """The capacitors that the figures of a suffix name one by one, as in V12; none for others."""
    each = tuple(f"C{figure}" for figure in suffix)
    return each if len(each) > 1 and suffix.isdigit() and {*each} <= {*names} else ()


def _names_one(suffix: str, names: Sequence[str]) -> bool:
    """Whether a suffix names a capacitor, or the whole, or could name one by its number."""
    known = suffix.lower() in _OF_THE_WHOLE or suffix in names or f"C{suffix}" in names
    return known or re.fullmatch(r"[0-9]+'*", suffix) is not None


def capacitor_meant(source: Source, typed: str, offset: int, names: Sequence[str]) -> str:
    """The capacitor that is meant; c1 means C1 where only C1 is there.

    Errors: ``Refusal`` with the names that there are.
    """
    if typed in names:
        return typed
    alike = [name for name in names if name.lower() == typed.lower()]
    if len(alike) == 1:
        return alike[0]
    if not names:
        raise source.refusal(
            offset,
            "No capacitor of this network has a name.",
            "Ask for the whole, as in asked: C.",
        )
    meant = nearest(typed, names) if len(names) > 8 else None
    shown = ", ".join(names[:8]) + (", ..." if len(names) > 8 else "")
    raise source.refusal(
        offset,
        f"There is no capacitor {typed} in the network.",
        f"Did you mean {meant}?" if meant else f"The capacitors are {shown}.",
    )
