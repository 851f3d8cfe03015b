"""What a drawing may show: a network as it stands, and what has been found on it so far.

A drawing for the eye and its words for a screen reader are two readings of one record, which never
holds what is still to be asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

from grammar.records import Layer, Plates
from grammar.writing import write_number
from tutor.circuit.network import Capacitor, Network, Problem, Supply
from tutor.circuit.solving import Holding, plus_point, solve
from tutor.circuit.values import Value, in_letters
from tutor.teaching.quantities import DIMENSION, Quantity, Symbol
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech, speech_for


class Slice(NamedTuple):
    """One filling: what part it takes of the gap in metres, or of the area as a share of it; and
    its words.
    """

    share: Fraction
    kind: Literal["air", "filling", "metal"]
    words: str


def slices(plates: Plates) -> tuple[Slice, ...]:
    """From the first plate to the second, or side by side from left to right."""
    return tuple(_slices(plates))


def _slices(plates: Plates) -> Iterator[Slice]:
    free = plates.gap - plates.metal
    for layer in plates.beside or plates.layers or (Layer(Fraction(1), free),):
        filling = f"εr = {_number(layer.permittivity)}"
        said = "air" if layer.permittivity == 1 else filling
        kind: Literal["air", "filling"] = "air" if layer.permittivity == 1 else "filling"
        if plates.beside:
            share = layer.share or Fraction(0)
            yield Slice(share, kind, f"{_number(share * plates.area * 10**4)} cm², {said}")
        else:
            thick = layer.thickness or free
            yield Slice(thick, kind, f"{_number(thick * 1000)} mm, {said}")
    if plates.metal and not plates.beside:
        yield Slice(plates.metal, "metal", f"{_number(plates.metal * 1000)} mm, metal")


def measures(plates: Plates) -> str:
    """Area and gap, and the metal in it that lies under fillings side by side."""
    said = f"plates {_number(plates.area * 10**4)} cm², gap {_number(plates.gap * 1000)} mm"
    if plates.metal and plates.beside:
        said += f", {_number(plates.metal * 1000)} mm of it metal"
    return said


def plates_in_words(plates: Plates, name: str) -> str:
    """The pair and all that is in it, in a sentence or two."""
    order = "From left to right" if plates.beside else "From the top plate down"
    words = "; ".join(each.words for each in slices(plates))
    return f"{name}: {measures(plates)}. {order}: {words}."


def _number(value: Fraction) -> str:
    return write_number(value)[0]


HELD: Final[tuple[Symbol, ...]] = ("V", "Q", "E")
OPEN: Final = "?"
DOTS: Final = "…"
UNNAMED: Final = "\0"  # begins the name of a point or line that is drawn without a name
LONGEST: Final = 26  # letters of a value beyond which it is left to the list


class Depicted(NamedTuple):
    """A network and what may be shown on it.

    ``known`` are values that have been given, found or shown; ``plus`` has the point of the + plate
    of charged capacitors, which is shown where their charge or p.d. is known. ``notes`` are lines
    under a value, such as a rating; ``still_open`` names capacitors whose value is to be found.
    ``wires`` join points that are drawn apart. ``called`` are names that are shown in the place of
    a capacitor's own, and ``words`` say what its own network would not. ``inside`` is what lies
    between the plates of the only capacitor.
    """

    network: Network
    speech: Speech
    supply: Supply | None = None
    known: Mapping[Quantity, Value] = MappingProxyType({})
    plus: Mapping[str, str] = MappingProxyType({})
    wires: tuple[tuple[str, str], ...] = ()
    notes: Mapping[str, tuple[str, ...]] = MappingProxyType({})
    still_open: frozenset[str] = frozenset()
    called: Mapping[str, str] = MappingProxyType({})
    words: tuple[str, ...] = ()
    inside: Plates | None = None

    def name(self, c: Capacitor) -> str:
        """What it is called on the drawing; dots stand for more of the same."""
        return self.called.get(c.name, c.name)

    def value(self, c: Capacitor) -> str:
        """Its capacitance; a question mark where it is to be found, nothing where it is too long
        or is its own name.
        """
        if c.name in self.still_open:
            return OPEN
        if self.name(c) == DOTS:
            return ""
        text = self.speech.amount(c.value, "capacitance")
        return "" if text == self.name(c) or len(text) > LONGEST else text

    def found(self, of: str | None) -> tuple[str, ...]:
        """The p.d., charge and energy of a capacitor, or of the whole, as far as they are known."""
        return tuple(
            self.speech.amount(self.known[quantity], DIMENSION[symbol])
            for symbol in HELD
            if (quantity := Quantity(symbol, of)) in self.known
            and not (symbol == "E" and self.known[quantity] == 0)
        )

    def under(self, c: Capacitor) -> tuple[str, ...]:
        """What stands under its value."""
        return (*self.notes.get(c.name, ()), *self.found(c.name))

    def plus_of(self, name: str) -> str | None:
        """The point of its + plate, where that may be told."""
        is_told = name in self.notes or any(
            self.known.get(Quantity(symbol, name), 0) != 0 for symbol in ("V", "Q")
        )
        return self.plus.get(name) if is_told else None

    def level(self, point: str) -> str:
        """The potential of a point, if it is known."""
        value = self.known.get(Quantity("V", point=point))
        return "" if value is None else self.speech.amount(value, "voltage")

    @property
    def levels(self) -> Mapping[str, float]:
        """Known potentials to order points by, the ends above and below all; none in letters."""
        found = {q.point: value for q, value in self.known.items() if q.point is not None}
        if any(map(in_letters, found.values())):
            return {}
        plus, minus = self.network.ends
        numbers = {point: float(value) for point, value in found.items()}
        return {**numbers, plus: float("inf"), minus: float("-inf")}

    @property
    def has_source(self) -> bool:
        """Whether a supply holds a p.d. between the ends."""
        return self.supply is not None and self.supply.quantity == "voltage"

    @property
    def held(self) -> str:
        """The p.d. of the supply, or in words the charge given; nothing without either."""
        if self.supply is None:
            return ""
        amount = self.speech.amount(self.supply.value, self.supply.quantity)
        one, other = self.network.ends
        return amount if self.has_source else f"{amount} moved from {other} to {one}"


def as_given(problem: Problem, terms: Settings = DEFAULTS) -> Depicted:
    """The network as it was written, wires and all, with nothing found yet."""
    network = problem.drawn or problem.network
    wires = problem.wires if problem.drawn else ()
    return Depicted(network, speech_for(problem, terms), problem.supply, wires=wires)


def worked_out(problem: Problem, terms: Settings = DEFAULTS) -> Depicted:
    """The network with all that its capacitors hold and the potentials of its points."""
    solution = solve(problem.network, problem.supply)
    known = dict(_held(solution.holdings, problem.network))
    known |= {Quantity("V", point=p): level for p, level in solution.potentials.items()}
    plus = plus_points(problem.network, solution.holdings)
    return Depicted(problem.network, speech_for(problem, terms), problem.supply, known, plus)


def _held(
    holdings: Mapping[str, Holding], network: Network
) -> Iterator[tuple[Quantity, Value]]:
    for c in network.capacitors:
        if c.name in holdings:
            size = holdings[c.name].size
            yield Quantity("V", c.name), size.voltage
            yield Quantity("Q", c.name), size.charge


def plus_points(network: Network, holdings: Mapping[str, Holding]) -> Mapping[str, str]:
    """Where the + plate of each charged capacitor is, by what they hold."""
    found = ((c, holdings.get(c.name)) for c in network.capacitors)
    points = {c.name: plus_point(c, held) for c, held in found if held is not None}
    return {name: point for name, point in points.items() if point is not None}


# In words


def in_words(drawn: Depicted) -> tuple[str, ...]:
    """The same for those who do not see a drawing, a sentence for each thing in it."""
    network = drawn.network
    if drawn.words:
        return (*drawn.words, *_of_the_ends(drawn))
    lines = []
    if drawn.inside is not None:
        lines.append(plates_in_words(drawn.inside, drawn.name(network.capacitors[0])))
    for c in network.capacitors:
        told = ", ".join(filter(None, (c.name, drawn.value(c), *drawn.under(c))))
        if c.start == f"{c.name}+":
            lines.append(f"{told}, by itself.")
            continue
        place = f"both plates on {c.start}" if c.start == c.end else f"from {c.start} to {c.end}"
        plus = drawn.plus_of(c.name)
        charged = f", + plate at {plus}" if plus is not None else ""
        lines.append(f"{told}, {place}{charged}.")
    lines += [f"A wire joins {start} and {end}." for start, end in drawn.wires]
    return (*lines, *_of_the_ends(drawn))


def _of_the_ends(drawn: Depicted) -> Iterator[str]:
    one, other = drawn.network.ends
    if drawn.has_source:
        yield f"A supply holds {drawn.held} between {one} and {other}, + at {one}."
    elif drawn.held:
        yield f"A charge of {drawn.held}."
    elif not one.endswith("+"):
        yield f"The ends are {one} and {other}."
