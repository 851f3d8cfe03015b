"""Letters in a story of changes: which may stand beside which.

A sum such as U + 3 V, or CU + Q, has no shorter form, and nothing could be said of its size.
Capacitances in letters beside others in numbers are refused where the text is read.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grammar import records
from grammar.records import (
    PERMITTIVITY_LETTER,
    Amount,
    Charging,
    Description,
    Letter,
    Refusal,
    Worth,
)


def refuse_mixtures(
    description: Description, capacitors: Sequence[records.Element]
) -> None:
    """Errors: ``Refusal`` where a letter and a number, or a p.d. and a charge, come together."""
    sources = list(_sources(description, capacitors))
    _one_kind([source.worth for source in sources])
    _one_meaning(description, capacitors)
    letters = [source.worth.symbol for source in sources if isinstance(source.worth, Letter)]
    if letters and len({source.quantity for source in sources}) > 1:
        raise Refusal(
            f"A p.d. and a charge are given side by side, and {letters[0]} has no number, so they "
            "cannot be added.",
            "Give every p.d., or every charge, or numbers for all.",
        )


def _one_meaning(
    description: Description, capacitors: Sequence[records.Element]
) -> None:
    """The letter of a relative permittivity must be no capacitance as well."""
    filled = any(isinstance(change.amount, Letter) for change in description.changes)
    worths = [c.worth for c in capacitors if isinstance(c.worth, Letter)]
    if filled and PERMITTIVITY_LETTER in {worth.symbol for worth in worths}:
        raise Refusal(
            f"{PERMITTIVITY_LETTER} stands for a capacitance here and for a filling too.",
            "Give the capacitance another letter, such as C.",
        )


def letters_in(
    description: Description, capacitors: Sequence[records.Element]
) -> frozenset[str]:
    """Every letter that stands for a value."""
    worths = [c.worth for c in capacitors]
    worths += [source.worth for source in _sources(description, capacitors)]
    return frozenset(worth.symbol for worth in worths if isinstance(worth, Letter))


def _sources(
    description: Description, capacitors: Sequence[records.Element]
) -> Iterator[Charging]:
    yield from (c.start for c in capacitors if c.start is not None)
    yield from (change.supply for change in description.changes if change.supply is not None)
    if description.supply is not None:
        yield description.supply


def _one_kind(worths: Sequence[Worth]) -> None:
    letters = [worth.symbol for worth in worths if isinstance(worth, Letter)]
    numbers = [worth for worth in worths if isinstance(worth, Amount) and worth.value != 0]
    if letters and numbers:
        symbol = letters[0]
        volts = f" A number before {symbol} is read as volts: take U for the letter, as in 2U."
        raise Refusal(
            f"{symbol} has no number, and others beside it have one, so they cannot be added.",
            f"Give {symbol} a value, or letters for all.{volts if symbol == 'V' else ''}",
        )

