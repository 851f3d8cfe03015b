"""What is wanted of a bank of equal capacitors: a sentence to a record."""

from __future__ import annotations

import re

from grammar.parsing import Unparsed, parse
from grammar.preparing import Source, prepare
from grammar.records import Amount, Bank, Dimension, Refusal
from grammar.walking import Node, children, start_of
from grammar.worth import worth

EXAMPLE = "bank of 10 uF rated 50 V for 20 uF at 200 V"
_PLACES: tuple[Dimension, ...] = ("capacitance", "voltage", "capacitance", "voltage")


def speaks_of_bank(text: str) -> bool:
    """Whether a text, its remarks taken out, asks for a bank, whether or not it can be read."""
    return re.match(r"[\s;]*(smallest\s+)?bank\s+of\b", text, re.IGNORECASE) is not None


def read_bank(text: str) -> Bank:
    """Read what is wanted of a bank. Errors: ``Refusal`` for a text that cannot be read."""
    source = prepare(text, one_sentence=True)
    try:
        tree = parse("bank", source.plain, "bank")
    except Unparsed as stuck:
        found = f'"{stuck.text}" does not fit here.' if stuck.text else "The text ends too soon."
        raise source.refusal(stuck.offset, found, f"A bank is written like {EXAMPLE}.") from None
    values = zip(children(tree, "value"), _PLACES, strict=True)
    return Bank(*(_amount(source, node, place) for node, place in values))


def _amount(source: Source, node: Node, place: Dimension) -> Amount:
    try:
        found = worth(source.text_of(node), place)
    except Refusal as refusal:
        raise source.refusal(start_of(node), refusal.found, refusal.cure) from None
    if isinstance(found, Amount):
        return found
    raise source.refusal(
        start_of(node), "A bank needs numbers with units.", f"Write it like {EXAMPLE}."
    )
