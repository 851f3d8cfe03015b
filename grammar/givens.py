"""Missing values and what is given in their place: ``C2 = ?`` with ``V1 = 8.4 V``."""

from __future__ import annotations

from collections.abc import Sequence

from grammar.asking import QUANTITY, capacitor_meant
from grammar.building import Leaf
from grammar.definitions import means_whole, quantity_named
from grammar.preparing import Source
from grammar.records import Amount, Given, Refusal, Unknown
from grammar.walking import Node, start_of
from grammar.worth import worth

MOST_MISSING = 2
_EXAMPLES = "C = 2.1 uF, V1 = 8.4 V or Q2 = 25 uC"


def read_givens(source: Source, nodes: Sequence[Node], names: Sequence[str]) -> tuple[Given, ...]:
    """What is given beside the network, in the order of the text. ``names`` are the capacitors.

    Errors: ``Refusal`` for a capacitor that is not there, a value of another kind or in letters,
    and a quantity given twice.
    """
    found: list[Given] = []
    for node in nodes:
        given = _given(source, node, names)
        if any((each.quantity, each.of) == (given.quantity, given.of) for each in found):
            raise source.refusal(
                start_of(node), "This quantity is given twice.", "Keep one of the two."
            )
        found.append(given)
    return tuple(found)


def check_missing(source: Source, leaves: Sequence[Leaf], givens: Sequence[Node]) -> None:
    """Whether as much is given as is missing.

    Errors: ``Refusal`` for too many missing values, and for too little given.
    """
    missing = [leaf for leaf in leaves if isinstance(leaf.worth, Unknown)]
    if len(missing) > MOST_MISSING:
        raise source.refusal(
            missing[MOST_MISSING].offset,
            f"More than {MOST_MISSING} values are missing.",
            "Put a number in place of all but two of the ? signs.",
        )
    if missing and not givens:
        raise source.refusal(
            missing[0].offset,
            "A value is missing, and nothing is given from which to find it.",
            f"Add what is known in a clause of its own, as in {_EXAMPLES}.",
        )
    if len(missing) > len(givens):
        raise source.refusal(
            missing[len(givens)].offset,
            "Two values are missing, and only one thing is given.",
            f"Give one more in a clause of its own, as in {_EXAMPLES}.",
        )


def _given(source: Source, node: Node, names: Sequence[str]) -> Given:
    name, value = node.children
    letter, rest = quantity_named(str(name)) or ("C", str(name).removeprefix("C"))
    quantity = QUANTITY[letter]
    try:
        read = worth(source.text_of(value), quantity)
    except Refusal as refusal:
        raise source.refusal(start_of(value), refusal.found, refusal.cure) from None
    if not isinstance(read, Amount):
        raise source.refusal(
            start_of(value), f"{name} is given in letters.", "Give it as a number with its unit."
        )
    return Given(quantity, _whose(source, node, rest.removeprefix("_"), names), read)


def _whose(source: Source, node: Node, of: str, names: Sequence[str]) -> str | None:
    """The capacitor that is meant, or None for the whole network."""
    if of in names:
        return of
    if means_whole(of):
        return None
    return capacitor_meant(source, f"C{of}", start_of(node), names)
