"""What a text says: frozen records, and no physics.

Values are exact and in SI units: farads, volts, coulombs, joules; of what has a size, metres,
square metres, farads per metre, volts per metre, newtons.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.refusals import Place as Place  # noqa: PLC0414 - what a reading ends in, beside what it says
from grammar.refusals import Refusal as Refusal  # noqa: PLC0414 - as above

Dimension: TypeAlias = Literal[
    "capacitance",
    "voltage",
    "charge",
    "energy",
    "length",
    "area",
    "permittivity",
    "field",
    "force",
]


class Amount(NamedTuple):
    """A number with its unit: ``value`` in the SI unit, ``power`` the prefix as it was typed.

    ``Amount(Fraction(4, 10**6), -6)`` is 4 µF in a capacitor's place. The power keeps the
    learner's own prefix for what is printed; it never changes the value.
    """

    value: Fraction
    power: int = 0


class Letter(NamedTuple):
    """A value in letters: ``factor`` times ``symbol``, as in 2C, C/2 or C1.

    Of two letters, as in kC, the first stands for a number.
    """

    symbol: str
    factor: Fraction = Fraction(1)

    @property
    def letters(self) -> tuple[str, ...]:
        """The letters that are multiplied: k and C of kC."""
        return tuple(self.symbol) if self.symbol == "kC" else (self.symbol,)


# The one letter for a relative permittivity, which has no unit and is above 1.
PERMITTIVITY_LETTER: Final = "k"


class Unknown(NamedTuple):
    """A value that is missing, written ``?``. It has no fields, so ask ``isinstance`` for it."""


class Layer(NamedTuple):
    """One filling between plates, by its relative permittivity (1 for air).

    In ``Plates.layers`` it has its ``thickness`` in metres, in ``Plates.beside`` its ``share``
    of the plates' area, above 0 and up to 1; the other of the two is None.
    """

    permittivity: Fraction
    thickness: Fraction | None = None
    share: Fraction | None = None


class Plates(NamedTuple):
    """Two flat plates: ``area`` in m², ``gap`` between them in m, and what is in the gap.

    ``layers`` lie on one another from plate to plate: their thicknesses and ``metal`` add up to
    the gap. ``beside`` stand side by side, each from plate to plate except for the metal: their
    shares add up to 1. At most one of the two is there; with neither there is air. Air that the
    text leaves unsaid is a layer like any other. ``metal`` is the thickness in m of a metal plate
    between the two, as wide as they are. ``written`` is how the text gives it, made tidy.
    """

    area: Fraction
    gap: Fraction
    layers: tuple[Layer, ...] = ()
    beside: tuple[Layer, ...] = ()
    metal: Fraction = Fraction(0)
    written: str = ""


SizeName: TypeAlias = Literal[
    "area", "gap", "filling", "plates", "strength", "radius", "inner", "outer", "length"
]


class Size(NamedTuple):
    """One measure of a capacitor: metres, square metres or volts per metre, or a plain number.

    ``filling`` is a relative permittivity, ``plates`` how many there are in a stack, ``strength``
    the greatest field that what is between bears. Of layers each has its own ``gap``, ``filling``
    and ``strength``, told apart by ``layer``, from 1 on.
    """

    name: SizeName
    worth: Amount | Letter | Unknown
    layer: int = 0


class Body(NamedTuple):
    """A capacitor by its measures, where one relation gives its capacitance.

    ``plates``: so many plates (two unless said) of one ``area``, neighbours a ``gap`` apart, joined
    alternately; ``layers``: two plates with layers on one another, each with its thickness as its
    gap; ``sphere``: one by itself, of this ``radius``; ``spheres``: one in the other, of
    radii ``inner`` and ``outer``; ``cable``: wire and sheath of these radii, over a ``length``.
    Any measure may be missing or a letter. ``written`` is how the text gives it, made tidy.
    """

    kind: Literal["plates", "layers", "sphere", "spheres", "cable"]
    sizes: tuple[Size, ...]
    written: str = ""

    def size(self, name: SizeName) -> Amount | Letter | Unknown | None:
        """The measure of this name; None where the text does not speak of it."""
        return next((each.worth for each in self.sizes if each.name == name), None)

    @property
    def missing(self) -> tuple[Size, ...]:
        """The measures that are to be found."""
        return tuple(each for each in self.sizes if isinstance(each.worth, Unknown))


Worth: TypeAlias = Amount | Letter | Unknown | Plates | Body


class Charging(NamedTuple):
    """A p.d. (``across``) or a charge (``holding``) given: of all, or of one capacitor at first."""

    quantity: Literal["voltage", "charge"]
    worth: Worth


class Element(NamedTuple):
    """One capacitor, as the text names it; an unnamed one has been given the next free Cn.

    ``rating`` is the greatest p.d. it bears, in volts. ``start`` is the p.d. or the charge it has
    before anything is joined; its + plate is then the one nearer the first of the ends, or at
    the ``start`` of its join.
    """

    name: str
    worth: Worth
    rating: Amount | None = None
    start: Charging | None = None


class Chain(NamedTuple):
    """Parts one after the other (in series), in the order of the text."""

    members: tuple[Part, ...]


class Parallel(NamedTuple):
    """Parts side by side (in parallel), in the order of the text."""

    members: tuple[Part, ...]


Part: TypeAlias = Element | Chain | Parallel


class Join(NamedTuple):
    """One line of a list of joins: a capacitor from one point to another."""

    capacitor: Element
    start: str
    end: str


class Wire(NamedTuple):
    """A wire between two points, which makes them one point."""

    start: str
    end: str


class Asked(NamedTuple):
    """What the text wants to know: a quantity of one capacitor, or of the whole (``of`` None).

    ``lost`` asks for the energy that leaves as heat and radiation in what is done last.
    """

    quantity: Dimension
    of: str | None = None
    lost: bool = False


class Change(NamedTuple):
    """What is done to the network next, after all that stands before it.

    - ``remove supply``: it is taken away, and nothing takes its place;
    - ``supply``: ``supply`` (a p.d.) is put across the ends, in place of any that is there;
    - ``wire``: between the two ``points``;
    - ``take out``, ``fill``, ``empty``: the capacitors ``names``; ``amount`` of a filling is its
      relative permittivity, a Fraction or the letter k, None for metal; it takes up the whole gap,
      or only ``part`` of it, or of the area where it is ``over_area``;
    - ``gap``: of the one capacitor in ``names``; a Fraction multiplies it, an Amount is the new
      gap in metres;
    - ``join``: the capacitors ``names``, like plates together; ``crossed``, the unlike plates
      of the two.
    """

    kind: Literal["remove supply", "supply", "wire", "take out", "fill", "empty", "gap", "join"]
    names: tuple[str, ...] = ()
    points: tuple[str, str] | None = None
    amount: Amount | Fraction | Letter | None = None
    crossed: bool = False
    supply: Charging | None = None
    part: Fraction = Fraction(1)
    over_area: bool = False


class Given(NamedTuple):
    """What is known beside an ``Unknown``: a quantity of one capacitor, or of the whole."""

    quantity: Dimension
    of: str | None
    worth: Amount


class Ladder(NamedTuple):
    """So many equal ``sections``, each a capacitor in series and then one across (the shunt).

    Sections count from the first of the ends; the last one ends with its shunt. None: there is
    no end.
    """

    series: Worth
    shunt: Worth
    sections: int | None = None


class Bank(NamedTuple):
    """Equal capacitors, ``each`` with its ``rating``, for a ``wanted`` capacitance at ``voltage``.

    Farads and volts; the wanted capacitance is the least that will do.
    """

    each: Amount
    rating: Amount
    wanted: Amount
    voltage: Amount


class PairTotal(NamedTuple):
    """What is known of two capacitors together.

    What they come to in ``series`` or in ``parallel``, and by how many farads (``difference``) or
    how many times (``ratio``, without a unit) the first is the larger; the second, where it is
    ``turned``.
    """

    kind: Literal["series", "parallel", "difference", "ratio"]
    worth: Amount
    turned: bool = False


class SoughtPair(NamedTuple):
    """Two capacitors whose values are missing, and the two things known of both."""

    names: tuple[str, str]
    facts: tuple[PairTotal, PairTotal]


class SoughtEqual(NamedTuple):
    """Equal capacitors whose value is missing, and what they come to in one way of joining."""

    names: tuple[str, ...]
    way: Literal["series", "parallel"]
    total: Amount


class Description(NamedTuple):
    """A whole text: either ``nest`` or ``joins`` holds the network, never both.

    ``ends`` are the two points of the supply, the first joined to its + side. A nest has the
    ends A and B unless the text names others; a list of joins always names them. A ``ladder``
    with so many sections is also written out in full as the nest; one without end has no nest.

    Capacitors that stand apart until a ``join`` change are joins too, each between two points of
    its own: C1 from C1+ to C1-, which no text can name. Where all stand apart, the ends are the
    plates of the one that a supply is across, else of the first. A wish for a ``bank`` stands
    alone: there is no network yet.
    """

    nest: Part | None = None
    joins: tuple[Join, ...] = ()
    wires: tuple[Wire, ...] = ()
    ends: tuple[str, str] = ("A", "B")
    supply: Charging | None = None
    asked: tuple[Asked, ...] = ()
    changes: tuple[Change, ...] = ()
    givens: tuple[Given, ...] = ()
    ladder: Ladder | None = None
    bank: Bank | None = None
    pair: SoughtPair | SoughtEqual | None = None
    exchange: Literal["star", "triangle"] | None = None


class ReadText(NamedTuple):
    """One way to read a text: in the strict notation, and what that describes."""

    text: str
    description: Description
