"""What a text says: frozen records, and no physics.

Values are exact and in SI units: farads, volts, coulombs, joules.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal, NamedTuple, TypeAlias

Dimension: TypeAlias = Literal["capacitance", "voltage", "charge", "energy"]


class Amount(NamedTuple):
    """A number with its unit: ``value`` in the SI unit, ``power`` the prefix as it was typed.

    ``Amount(Fraction(4, 10**6), -6)`` is 4 µF in a capacitor's place. The power keeps the
    learner's own prefix for what is printed; it never changes the value.
    """

    value: Fraction
    power: int = 0


class Letter(NamedTuple):
    """A value in letters: ``factor`` times ``symbol``, as in 2C, C/2 or C1."""

    symbol: str
    factor: Fraction = Fraction(1)


Worth: TypeAlias = Amount | Letter


class Capacitor(NamedTuple):
    """One capacitor as the text names it; an unnamed one has been given the next free Cn."""

    name: str
    worth: Worth


class Chain(NamedTuple):
    """Parts one after the other (in series), in the order of the text."""

    members: tuple[Part, ...]


class Parallel(NamedTuple):
    """Parts side by side (in parallel), in the order of the text."""

    members: tuple[Part, ...]


Part: TypeAlias = Capacitor | Chain | Parallel


class Join(NamedTuple):
    """One line of a list of joins: a capacitor from one point to another."""

    capacitor: Capacitor
    start: str
    end: str


class Wire(NamedTuple):
    """A wire between two points, which makes them one point."""

    start: str
    end: str


class Supply(NamedTuple):
    """What is joined to the ends: a p.d. (``across``) or a total charge given (``holding``)."""

    quantity: Literal["voltage", "charge"]
    worth: Worth


class Asked(NamedTuple):
    """What the text wants to know: a quantity of one capacitor, or of the whole (``of`` None)."""

    quantity: Dimension
    of: str | None = None


class Description(NamedTuple):
    """A whole text: either ``nest`` or ``joins`` holds the network, never both.

    ``ends`` are the two points of the supply, the first joined to its + side. A nest has the
    ends A and B unless the text names others; a list of joins always names them.
    """

    nest: Part | None = None
    joins: tuple[Join, ...] = ()
    wires: tuple[Wire, ...] = ()
    ends: tuple[str, str] = ("A", "B")
    supply: Supply | None = None
    asked: tuple[Asked, ...] = ()


class Place(NamedTuple):
    """Where in a text: line and column count from 1, ``line_text`` is that whole line."""

    line: int
    column: int
    line_text: str


class Refusal(Exception):
    """A text that cannot be read. ``args`` stay plain so that it pickles.

    ``found`` says what stands there, ``cure`` what would do; both are whole sentences in a
    learner's words. ``str()`` gives the message of one line, without the place.
    """

    def __init__(self, found: str, cure: str, place: Place | None = None) -> None:
        super().__init__(found, cure, place)
        self.found = found
        self.cure = cure
        self.place = place

    def __str__(self) -> str:
        return f"{self.found} {self.cure}".strip()
