"""Charged networks in words: quantities by name, pieces of metal by their plates, changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from grammar.records import Amount, Change, Dimension
from grammar.writing import write_number
from grammar.writing_values import write_length
from tutor.circuit.islands import AIR, Block, State, blocks
from tutor.circuit.network import Capacitor
from tutor.circuit.structure import pieces
from tutor.circuit.switching import Switched, filling_of, is_filled
from tutor.circuit.values import Value, decided, in_letters, size_of, tidy
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.rules.context import plain_power
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.by_law import ByLaw, law_on

MOST_ASKED = 4
FACTORS: Mapping[Fraction, str] = MappingProxyType(
    {Fraction(2): "doubled", Fraction(1, 2): "halved", Fraction(3): "tripled"}
)


class Scene(NamedTuple):
    """How this problem's values are written; ``only`` is its one capacitor, if it has but one.

    ``letters`` are those that stand for values in the text; no quantity is called by one of them.
    """

    speech: Speech
    only: str | None
    letters: frozenset[str] = frozenset()

    def name(self, symbol: Symbol, of: str | None = None, point: str | None = None) -> str:
        """A quantity as the learner writes it: Q2, V_P; Q alone where there is one capacitor, or
        for all, but Q1 and Q_now where the text has a Q of its own.
        """
        short = self.speech.name(Quantity(symbol, None if of == self.only else of, point))
        if short not in self.letters:
            return short
        return f"{short}_now" if of is None else self.speech.name(Quantity(symbol, of, point))

    def law(self, finds: Dimension, c: Capacitor, state: State, volts: str = "") -> ByLaw:
        """A quantity of a capacitor from the others that it has then; ``volts`` is what its p.d.
        is called where that is the p.d. of others too.
        """
        return self.law_of(finds, c, (state.charges[c.name], state.voltage(c.name)), volts)

    def law_of(
        self, finds: Dimension, c: Capacitor, held: tuple[Value, Value], volts: str = ""
    ) -> ByLaw:
        """The same from the charge and the p.d. that it has."""
        names: dict[Dimension, str] = {
            "capacitance": c.name, "charge": self.name("Q", c.name),
            "voltage": volts or self.name("V", c.name), "energy": self.name("E", c.name),
        }
        charge, voltage = map(size_of, held)
        values: dict[Dimension, Value] = {
            "capacitance": c.value, "charge": charge, "voltage": voltage,
        }
        return law_on(values, names, self.speech, finds)

    def usual(self, value: Value, dimension: Dimension) -> Fraction:
        """A value as a plain number of malrules; nought for letters, on which no wrong rule
        is run.
        """
        if in_letters(value):
            return Fraction(0)
        return value / Fraction(10) ** plain_power(self.speech.powers, dimension)

    def signed(self, value: Value, dimension: Dimension) -> str:
        """An amount with its minus sign, if it has one."""
        return f"{'−' if decided(value) < 0 else ''}{self._size(value, dimension)}"

    def added(self, values: Iterable[Value], dimension: Dimension) -> str:
        """``30 µC − 70 µC``."""
        first, *others = values
        text = self.signed(first, dimension)
        for value in others:
            text += f" {'−' if decided(value) < 0 else '+'} {self._size(value, dimension)}"
        return text

    def factor(self, value: Value, dimension: Dimension) -> str:
        """An amount that something is multiplied or divided by: a sum of letters in brackets."""
        text = self.speech.amount(value, dimension)
        return f"({text})" if in_letters(value) and value.is_Add else text

    def _size(self, value: Value, dimension: Dimension) -> str:
        return self.speech.amount(size_of(value), dimension)

    def number(self, value: Value) -> str:
        """A plain number, rounded where it does not end, or letters."""
        if in_letters(value):
            return self.speech.ratio(value)
        style = self.speech.terms.style
        return write_number(value, style.figures, style.comma)[0]

    @property
    def told(self) -> dict[str, str]:
        """The words that every rule may speak of."""
        terms = self.speech.terms
        return {
            "difference": terms.difference,
            "differences": terms.differences,
            "pd_letter": terms.pd_letter,
        }


def plain(value: Value) -> Fraction:
    """A ratio as a plain number; one that letters are left in counts as nought, since no wrong
    rule is run on letters.
    """
    tidied = tidy(value)
    return Fraction(0) if in_letters(tidied) else tidied


def largest(values: Iterable[Value]) -> Fraction | None:
    """The largest size among those that are numbers; None where all are letters."""
    return max((abs(value) for value in values if not in_letters(value)), default=None)


def signed_sum(terms: Iterable[tuple[str, Value]]) -> str:
    """Names added, each with the sign of its value: ``Q1 − Q2``."""
    text = ""
    for name, value in terms:
        sign = "−" if decided(value) < 0 else "+" if text else ""
        text += f" {sign} {name}" if text else f"{sign}{name}"
    return text or "0"


def has_name(point: str) -> bool:
    """Whether a point is one that people can name, rather than a plate that stands alone."""
    return point[-1] not in "+-'"


def metal(state: State, point: str) -> str:
    """A piece of metal: its point, or the plates on it with the signs of their charges."""
    if has_name(point):
        return point
    plates = []
    for c in state.network.capacitors:
        for at, charge in ((c.start, state.charges[c.name]), (c.end, -state.charges[c.name])):
            if at == point:
                sign = ("", "+ ", "− ")[decided(charge)]
                plates.append(f"the {sign}plate of {c.name}" if sign else f"a plate of {c.name}")
    return listed(plates)


def where(block: Block, state: State) -> str:
    """A block as people would speak of it: between A and B, of C1, of C1 and C2 together."""
    if len(block.capacitors) == 1:
        return f"of {block.names[0]}"
    if set(state.network.ends) <= set(block.points) and all(map(has_name, state.network.ends)):
        return f"between {listed(state.network.ends)}"
    if len(block.points) == 2 and all(map(has_name, block.points)):
        return f"between {listed(block.points)}"
    return f"of {listed(block.names)} together"


def touched(outcome: Switched) -> tuple[Block, ...]:
    """The blocks of the network as it now is in which a charge or a capacitance has changed."""
    after = outcome.after
    moved = set(outcome.moved)
    found = blocks(after.network, after.supply is not None)
    return tuple(block for block in found if moved & set(block.names))


def holding(block: Block, outcome: Switched) -> bool:
    """Whether a capacitor of the block holds charge before or after."""
    return any(
        outcome.carried.charges[name] or outcome.after.charges[name] for name in block.names
    )


# Changes


def done(outcome: Switched, scene: Scene) -> str:
    """What is done, as a clause: the gap of C1 is doubled."""
    change = outcome.change
    if change is None:
        return _put_together(outcome, scene)
    names = listed(change.names)
    plural = "are" if len(change.names) > 1 else "is"
    if change.kind == "remove supply":
        return "the supply is taken away, and nothing takes its place"
    if change.kind == "supply":
        return _supplied(outcome, scene)
    if change.kind == "wire":
        return f"a wire is put between {listed(change.points or ())}"
    if change.kind == "take out":
        return f"{names} {plural} taken out, the others left as they are"
    if change.kind == "fill" and change.part < 1:
        return _slab(change, scene)
    if change.kind == "fill":
        material = f"a material of relative permittivity {scene.number(filling_of(change))}"
        return f"{names} {plural} slowly filled with {material}"
    if change.kind == "empty":
        return f"the filling of {names} is slowly drawn out"
    if change.kind == "gap":
        return f"the gap of {names} is slowly {_new_gap(change, scene)}{_what_fills(outcome)}"
    return _joined(outcome, change)


def _slab(change: Change, scene: Scene) -> str:
    """What is put into a part of the gap, or over a part of the area."""
    names = listed(change.names)
    what = "a sheet of metal"
    if change.amount is not None:
        what = f"a slab of relative permittivity {scene.number(filling_of(change))}"
    where = f"over {change.part} of the area, from plate to plate," if change.over_area else (
        f"{change.part} as thick as the gap and as wide as the plates,"
    )
    return f"{what}, {where} is slowly put into {names}"


def _put_together(outcome: Switched, scene: Scene) -> str:
    if outcome.after.supply is not None:
        return _supplied(outcome, scene).replace(" put ", " ")
    return "the capacitors are put together as listed"


def _supplied(outcome: Switched, scene: Scene) -> str:
    supply = outcome.after.supply
    assert supply is not None, "a supply that is put on has a p.d."
    amount = scene.speech.amount(supply, "voltage")
    return f"a supply of {amount} is put across {across(outcome.after)}"


def across(state: State) -> str:
    """Where the supply is: A and B, or a capacitor that stands alone."""
    ends = state.network.ends
    if all(map(has_name, ends)):
        return listed(ends)
    at = [c.name for c in state.network.capacitors if {c.start, c.end} == set(ends)]
    return at[0] if at else "its ends"


def _what_fills(outcome: Switched) -> str:
    """What becomes of something solid between the plates."""
    assert outcome.change is not None, "only a change makes another gap"
    name = outcome.change.names[0]
    if not is_filled(outcome.before.inside.get(name, AIR)):
        return ""
    wider = decided(tidy(outcome.after.capacitor(name).value
                         - outcome.before.capacitor(name).value)) < 0
    return "; the filling keeps its thickness, and air " + (
        "takes the rest" if wider else "makes room"
    )


def _new_gap(change: Change, scene: Scene) -> str:
    if isinstance(change.amount, Amount):
        return f"made {write_length(change.amount)}"
    assert isinstance(change.amount, Fraction), "a gap is changed to a length or by a factor"
    return FACTORS.get(change.amount) or f"made {scene.number(change.amount)} times what it was"


def _joined(outcome: Switched, change: Change) -> str:
    names = listed(change.names)
    how = "+ plate to − plate" if change.crossed else "like plates together"
    empty = [name for name in change.names if not outcome.before.charges[name]]
    if change.crossed and empty:  # an empty one has no + plate
        how = f"either way round, since {listed(empty)} {'is' if len(empty) == 1 else 'are'} empty"
    cut = ""
    if lifted(outcome):
        cut = " taken apart, each with its own charge, and"
    return f"{names} are{cut} joined, {how}"


def lifted(outcome: Switched) -> bool:
    """Whether capacitors that hung together had to be taken apart for a join."""
    change, network = outcome.change, outcome.before.network
    if change is None or change.kind != "join":
        return False
    piece = pieces(network.capacitors)
    return len({piece.get(c.start, c.start) for c in network.named(change.names)}) < len(
        change.names
    )


def of(capacitors: Iterable[Capacitor]) -> str:
    """C1 + C2."""
    return " + ".join(c.name for c in capacitors)
