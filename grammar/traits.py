"""What is said of one capacitor beside its value: its rating, and how it is charged beforehand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

from grammar.preparing import Source
from grammar.quantity import number
from grammar.records import Amount, Charging, Refusal
from grammar.walking import Node, children, name_of, place_of, start_of
from grammar.worth import is_worth, worth

SupplyQuantity = Literal["voltage", "charge"]


class Traits(NamedTuple):
    """The greatest p.d. a capacitor bears, and what it is charged to before anything is joined."""

    rating: Amount | None = None
    start: Charging | None = None


def traits_of(source: Source, nodes: Sequence[Node]) -> Traits:
    """Read all that is said of one capacitor.

    Errors: ``Refusal`` for anything said twice, and for values of another kind.
    """
    rated = [node for node in nodes if name_of(node) == "rated"]
    charged = [node for node in nodes if name_of(node) != "rated"]
    if len(rated) > 1:
        raise source.refusal(
            place_of(rated[1]),
            "This capacitor is rated twice.",
            "Keep one rating, the greatest p.d. it bears.",
        )
    if len(charged) > 1:
        raise source.refusal(
            place_of(charged[1]),
            "This capacitor is charged twice.",
            "Keep one: its p.d., as in charged to 10 V, or its charge, as in holding 30 uC.",
        )
    return Traits(
        _rating(source, rated[0]) if rated else None,
        _start(source, charged[0]) if charged else None,
    )


def _rating(source: Source, node: Node) -> Amount:
    value = children(node, "value")[0]
    if _sign(value) <= 0:
        raise source.refusal(
            start_of(value),
            "A rating is above zero.",
            "Write the greatest p.d. that the capacitor bears, as in rated 100 V.",
        )
    found = read_worth(source, value, "voltage")
    if isinstance(found.worth, Amount):
        return found.worth
    raise source.refusal(
        start_of(value), "A rating needs a number.", "Write it in volts, as in rated 100 V."
    )


def _start(source: Source, node: Node) -> Charging:
    value = children(node, "value")[0]
    text = source.text_of(value)
    _refuse_below_zero(source, value)
    if name_of(node) == "holding" or is_worth(text, "charge"):
        return read_worth(source, value, "charge")
    return read_worth(source, value, "voltage")


def _refuse_below_zero(source: Source, value: Node) -> None:
    if _sign(value) == 0:
        raise source.refusal(
            start_of(value),
            "Zero means that it is not charged.",
            "Leave this out: a capacitor has no charge unless the text gives it one.",
        )
    if _sign(value) < 0:
        raise source.refusal(
            start_of(value),
            "A capacitor is charged to a value above zero.",
            "To turn its plates round, write join C1 and C2 crossed, or swap its two points.",
        )


def _sign(value: Node) -> int:
    """1 above zero, 0 and -1; what is no number is left to whoever reads it."""
    token = value.children[0]
    try:
        size = number(token).value if token.type == "NUMBER" else 1
    except Refusal:
        return 1
    return (size > 0) - (size < 0)


def read_worth(source: Source, value: Node, quantity: SupplyQuantity) -> Charging:
    """A p.d. or a charge as written. Errors: ``Refusal`` with its place."""
    try:
        return Charging(quantity, worth(source.text_of(value), quantity))
    except Refusal as refusal:
        raise source.refusal(start_of(value), refusal.found, refusal.cure) from None
