"""What is held here, for whoever judges what a reason says of values."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple, TypeAlias

from grammar.answers import Measure
from grammar.records import Dimension
from tutor.circuit.values import Value
from tutor.teaching.amounts import Sayable
from tutor.teaching.quantities import Symbol

ValuesHeld: TypeAlias = Mapping[tuple[Symbol, str | None], tuple[Value, ...]]


class ValuesHere(NamedTuple):
    """What the capacitors hold, in SI units, by symbol and name, None for the whole; of several
    moments one after the other. ``in_hand`` are those that 'both' and 'each' mean, ``names`` what
    letters are worth in a sum, ``asked`` is the capacitor that 'it' means, ``answer`` the value in
    plain numbers that the reason is given for, of this ``kind``, which comes ``never_by`` these
    signs alone. Where a change ``is_supposed``, more and less are said of before and after.
    ``asks_work``: the energy may be all that a supply gives.
    """

    values: ValuesHeld
    in_hand: tuple[str, ...]
    powers: Mapping[Dimension, int]
    names: Mapping[str, Measure]
    asked: str | None = None
    answer: Value | None = None
    kind: Dimension | None = None
    is_supposed: bool = False
    never_by: str = ""
    asks_work: bool = False

    @property
    def sayable(self) -> Sayable:
        """The same for the reader of amounts."""
        sizes = {
            owner: values[0] for (symbol, owner), values in self.values.items()
            if symbol == "C" and owner is not None
        }
        return Sayable(sizes, self.in_hand, None, (), self.powers["capacitance"])
