"""Points joined by capacitors: the one working model.

Short names used throughout the circuit room:
    C capacitance in farads, V p.d. in volts, Q charge in coulombs, E stored energy in joules.
A point is a piece of metal at one potential; wires have already made their two ends one point.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import count
from types import MappingProxyType
from typing import Literal, NamedTuple

from grammar import records
from grammar.outline import elements_of, leaves
from grammar.records import (
    Amount,
    Asked,
    Body,
    Chain,
    Description,
    Dimension,
    Letter,
    Part,
    Plates,
    Worth,
)
from tutor.circuit.joining import PARTNER, HeldSymbol
from tutor.circuit.many_letters import ValueBetween, refuse_many_letters
from tutor.circuit.plates import capacitance_of, prefix_power
from tutor.circuit.values import Value, in_letters, value_of

# P and R rather than letters that already mean a quantity (C, E, Q, U, V, W) or look like a
# figure or like one another (I, O, l, b, d).
INNER_POINT_LETTERS = "PRSTXYZMNKHLDG"
SMALLEST_PREFIX, LARGEST_PREFIX = -12, 6


class Capacitor(NamedTuple):
    """A capacitance of ``value`` farads between the points ``start`` and ``end``."""

    name: str
    value: Value
    start: str
    end: str

    @property
    def points(self) -> frozenset[str]:
        """The one or two points it joins."""
        return frozenset((self.start, self.end))


class Network(NamedTuple):
    """Capacitors between points; ``ends`` are where the supply is, its + side first."""

    capacitors: tuple[Capacitor, ...]
    ends: tuple[str, str]

    def named(self, names: Iterable[str]) -> tuple[Capacitor, ...]:
        """These capacitors, in the order of the network."""
        wanted = set(names)
        return tuple(c for c in self.capacitors if c.name in wanted)

    def points(self) -> tuple[str, ...]:
        """Every point, the ends first and last, the rest in order of first mention."""
        plus, minus = self.ends
        inner = (point for c in self.capacitors for point in (c.start, c.end))
        return (plus, *dict.fromkeys(p for p in inner if p not in self.ends), minus)

    def meeting(self, point: str) -> tuple[Capacitor, ...]:
        """The capacitors with an end on this point; one with both ends there comes twice."""
        return tuple(
            c for c in self.capacitors for end in (c.start, c.end) if end == point
        )


class Supply(NamedTuple):
    """A p.d. held across the ends in volts, or a total charge given to them in coulombs."""

    quantity: Literal["voltage", "charge"]
    value: Value

    @property
    def holds(self) -> HeldSymbol:
        """What it fixes for the whole."""
        return "V" if self.quantity == "voltage" else "Q"

    @property
    def leaves(self) -> HeldSymbol:
        """What comes of that and the capacitance."""
        return PARTNER[self.holds]


class Problem(NamedTuple):
    """A network with what is joined to it and what is asked.

    ``joined`` lists points that wires make one, the name that is kept first; ``drawn`` and
    ``wires`` are a list of joins as it was written, before that. ``powers`` are the powers of ten
    of the prefixes people would use here (−6 for µF where the text says µF), ``typed`` those of
    the prefixes in the text.
    """

    network: Network
    supply: Supply | None
    asked: tuple[Asked, ...]
    joined: tuple[tuple[str, ...], ...]
    powers: Mapping[Dimension, int]
    drawn: Network | None = None
    wires: tuple[tuple[str, str], ...] = ()
    typed: Mapping[str, int] = MappingProxyType({})

    @property
    def fingerprint(self) -> str:
        """The network and what feeds it, equal for equal ones alone."""
        parts = [f"{c.name} {c.value} {c.start} {c.end}" for c in self.network.capacitors]
        fed = f"{self.supply.quantity} {self.supply.value}" if self.supply is not None else ""
        return "; ".join([*parts, fed])


def build(description: Description) -> Problem:
    """The working model of a description that reading has found sound.

    Errors: ``Refusal`` for more different letters than an answer can hold.
    """
    ends = description.ends
    if description.nest is not None:
        network = Network(tuple(_lay_out(description.nest, ends)), ends)
        joined: tuple[tuple[str, ...], ...] = ()
    else:
        network, joined = _join_up(description)
    between = [ValueBetween(c.value, c.start, c.end) for c in network.capacitors]
    refuse_many_letters(between, ends)
    supply = description.supply
    return Problem(
        network,
        Supply(supply.quantity, value_of(supply.worth)) if supply else None,
        description.asked,
        joined,
        _usual_powers(description),
        _as_drawn(description),
        tuple((wire.start, wire.end) for wire in description.wires),
        {c.name: c.worth.power for c in elements_of(description) if isinstance(c.worth, Amount)},
    )


def _as_drawn(description: Description) -> Network | None:
    """A list of joins with its points as named, wires not yet taken into account."""
    if not description.joins:
        return None
    capacitors = tuple(
        Capacitor(j.capacitor.name, value_of(j.capacitor.worth), j.start, j.end)
        for j in description.joins
    )
    return Network(capacitors, description.ends)


def _lay_out(nest: Part, ends: tuple[str, str]) -> Iterator[Capacitor]:
    """Give every junction of a nest a point; an explicit stack, since nests may be deep."""
    taken = {*ends, *(c.name for c in leaves(nest)), *_letters(nest)}
    fresh = (name for name in point_names() if name not in taken)
    waiting: list[tuple[Part, str, str]] = [(nest, *ends)]
    while waiting:
        part, start, end = waiting.pop()
        if isinstance(part, records.Element):
            yield Capacitor(part.name, value_of(part.worth), start, end)
        elif isinstance(part, Chain):
            stops = [start, *(next(fresh) for _ in part.members[1:]), end]
            waiting.extend(reversed(list(zip(part.members, stops, stops[1:], strict=False))))
        else:
            waiting.extend((member, start, end) for member in reversed(part.members))


def _letters(nest: Part) -> set[str]:
    return {c.worth.symbol for c in leaves(nest) if isinstance(c.worth, Letter)}


def point_names() -> Iterator[str]:
    """Names for inner points, in the order in which they are given out; without end."""
    yield from INNER_POINT_LETTERS
    for number in count(2):
        yield from (f"{letter}{number}" for letter in INNER_POINT_LETTERS)


def _join_up(description: Description) -> tuple[Network, tuple[tuple[str, ...], ...]]:
    """Make points joined by wire one point, named after an end if an end is among them."""
    mentioned = dict.fromkeys(
        [*description.ends]
        + [p for j in description.joins for p in (j.start, j.end)]
        + [p for w in description.wires for p in (w.start, w.end)]
    )
    groups: dict[str, list[str]] = {point: [point] for point in mentioned}
    for wire in description.wires:
        few, many = sorted((groups[wire.start], groups[wire.end]), key=len)
        if few is not many:  # a point moves into a group twice its old one's size: seldom
            many.extend(few)
            groups.update(dict.fromkeys(few, many))
    together: dict[int, list[str]] = {}
    for point in mentioned:
        together.setdefault(id(groups[point]), []).append(point)
    kept = {point: together[id(group)][0] for point, group in groups.items()}
    capacitors = tuple(
        Capacitor(j.capacitor.name, value_of(j.capacitor.worth), kept[j.start], kept[j.end])
        for j in description.joins
    )
    joined = tuple(tuple(group) for group in together.values() if len(group) > 1)
    return Network(capacitors, description.ends), joined


def _suited_power(worth: Worth) -> int | None:
    """The prefix of one value; None for letters."""
    if isinstance(worth, Plates):
        return prefix_power(capacitance_of(worth))
    if isinstance(worth, Body):
        value = value_of(worth)
        return None if in_letters(value) else prefix_power(Fraction(value))
    return worth.power if isinstance(worth, Amount) else None


def _usual_powers(description: Description) -> Mapping[Dimension, int]:
    """The prefixes people would use: the commonest among the capacitors, then what follows.

    Plates count with the prefix that suits their value, since none is written.
    """
    suited = (_suited_power(c.worth) for c in elements_of(description))
    seen = Counter(power for power in suited if power is not None)
    capacitance = seen.most_common(1)[0][0] if seen else 0
    supply = description.supply
    typed = supply.worth.power if supply and isinstance(supply.worth, Amount) else 0
    voltage = typed
    if supply and supply.quantity == "charge":
        voltage = typed - capacitance if isinstance(supply.worth, Amount) else 0
    powers: dict[Dimension, int] = {
        "capacitance": capacitance,
        "voltage": voltage,
        "charge": capacitance + voltage,
        "energy": capacitance + 2 * voltage,
    }
    return {
        dimension: min(max(power, SMALLEST_PREFIX), LARGEST_PREFIX)
        for dimension, power in powers.items()
    }
