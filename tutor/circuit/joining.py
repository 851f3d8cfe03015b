"""Series and parallel in one table: what members share, what adds up, where the equivalent lies.

Every other file reads the table; none decides anew that a chain shares its charge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.circuit.values import Value, chain_sum, parallel_sum

Connection: TypeAlias = Literal["series", "parallel"]
HeldSymbol: TypeAlias = Literal["Q", "V"]

# Each of the two fixes the other through the capacitance.
PARTNER: Final[Mapping[str, HeldSymbol]] = MappingProxyType({"Q": "V", "V": "Q"})


class Joining(NamedTuple):
    """One way to join capacitors.

    ``shares`` is what has one value for every member and for the equivalent; ``adds`` is what the
    members have each of their own, and what adds up to that of the equivalent. ``turned``: one
    over the capacitances add up, rather than the capacitances.
    """

    way: Connection
    shares: HeldSymbol
    adds: HeldSymbol
    turned: bool

    @property
    def shared(self) -> Literal["charge", "voltage"]:
        """The kind of quantity that is shared."""
        return "charge" if self.shares == "Q" else "voltage"

    @property
    def added(self) -> Literal["charge", "voltage"]:
        """The kind of quantity that adds up."""
        return "voltage" if self.shares == "Q" else "charge"

    def equivalent(self, values: list[Value]) -> Value:
        """The one capacitance in the place of these, in farads."""
        return chain_sum(values) if self.turned else parallel_sum(values)

    def bound(self, values: Iterable[Value]) -> Value:
        """The member that the equivalent lies beyond: below the smallest of a chain, above the
        largest of a parallel set. Numbers only.
        """
        return min(values) if self.turned else max(values)

    def share(self, own: Value, whole: Value) -> Value:
        """Which part of what adds up falls to a member of capacitance ``own``, of the equivalent
        ``whole``: the smaller has more in a chain, the larger in a parallel set.
        """
        return whole / own if self.turned else own / whole


SERIES: Final = Joining("series", "Q", "V", turned=True)
PARALLEL: Final = Joining("parallel", "V", "Q", turned=False)
JOININGS: Final[Mapping[str, Joining]] = MappingProxyType({"series": SERIES, "parallel": PARALLEL})
