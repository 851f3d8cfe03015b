"""The quantities a walk speaks of: C, Q, V and E of a capacitor or of the whole, V of a point,
and W, the work a supply of fixed p.d. does while it charges the network from empty.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from grammar.records import Dimension

Symbol: TypeAlias = Literal["C", "Q", "V", "E", "W"]

DIMENSION: Mapping[Symbol, Dimension] = MappingProxyType(
    {"C": "capacitance", "Q": "charge", "V": "voltage", "E": "energy", "W": "energy"}
)
SYMBOL: Mapping[Dimension, Symbol] = MappingProxyType(
    {"capacitance": "C", "charge": "Q", "voltage": "V", "energy": "E"}
)


class Quantity(NamedTuple):
    """``of`` is a capacitor, given or made; None means the whole network.

    ``point`` is set instead for the potential of a point above the − end (symbol V).
    """

    symbol: Symbol
    of: str | None = None
    point: str | None = None

    @property
    def dimension(self) -> Dimension:
        """Its kind, in the words of the grammar's records."""
        return DIMENSION[self.symbol]

    @property
    def name(self) -> str:
        """How a learner writes it: C23, Q3, V1, E, or Q_Z for a name without a number."""
        if self.point is not None:
            return f"V_{self.point}"
        if self.of is None:
            return self.symbol
        if self.symbol == "C":
            return self.of
        if self.of[:1] == "C" and self.of[1:2].isdigit():
            return self.symbol + self.of[1:]
        return f"{self.symbol}_{self.of}"
