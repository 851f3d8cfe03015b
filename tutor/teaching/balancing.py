"""The balances of floating points as lines: written down, and solved one after the other."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.beyond import bounds
from tutor.circuit.charge_balance import PointBalance
from tutor.circuit.elimination import EliminationRow, eliminate
from tutor.circuit.network import Network
from tutor.circuit.values import Value, in_letters, same, tidy
from tutor.teaching.speech import Speech, listed

WIDTH = 96
TIE = "\u00a0"


class Lines(NamedTuple):
    """How the balances of a network with these ends are put: numbers in the usual units.

    ``voltage`` is the p.d. between the ends; where it is None or letters stand for a value, the
    potential of the + end stays V_A (or what the end is called).
    """

    equations: tuple[PointBalance, ...]
    ends: tuple[str, str]
    voltage: Value | None
    speech: Speech

    def units(self) -> str:
        """What the numbers are counted in."""
        plus, minus = (self.potential(end) for end in self.ends)
        if not self._in_numbers:
            return f"With {minus} = 0:"
        units = f"{self.speech.unit('capacitance')} and {self.speech.unit('voltage')}"
        return f"In {units}, with {plus} = {self._given(Fraction(1))} and {minus} = 0:"

    def begun(self) -> list[str]:
        """The balances with what their numbers are counted in."""
        if self._in_numbers:
            return [self.units(), *self.written()]
        return [*self.written(), self.units()]

    def written(self) -> list[str]:
        """One balance a line: 4 V_P = 1 × 12 + 2 × 0 + 1 V_R."""
        return _wrapped(
            f"Balance at {e.point}: {self._number(e.own)}{TIE}{self.potential(e.point)} = "
            f"{self._pulls(e)}"
            for e in self._scaled()
        )

    def solving(self, point: str) -> list[str]:
        """How the potential of a point comes out, those of the points before it being known.

        The last equals sign is left to be written.
        """
        equations = self._scaled()
        place = [e.point for e in equations].index(point)
        if len(equations) == 1:
            return _wrapped([self._weighted(equations[0])])
        done = eliminate(equations, self.ends)
        if place:
            row = next(row for row in done.put if row.point == point)
            return _wrapped([f"{self.potential(point)} = {self._right(row)}"])
        lines = []
        for at, row in enumerate(done.put):
            with_those = "" if at == 0 else ", with that" if at == 1 else ", with those"
            found = f"{self.potential(row.point)} = {self._right(row)}"
            lines.append(f"From the balance at {row.point}{with_those}: {found}")
        own = f"{self._number(done.first.own)}{TIE}{self.potential(point)}"
        lines.append(f"Put into the balance at {point}: {own} = {self._right(done.first)}")
        return _wrapped(lines)

    def potential(self, point: str) -> str:
        """V_P, in the learner's letter for a p.d."""
        return f"{self.speech.letters('V')}_{point}"

    def of_the_plus_end(self, share: Value, space: str = " ") -> str:
        """A potential as so many times that of the + end: 0.4 V_A."""
        return f"{self._number(share)}{space}{self.potential(self.ends[0])}"

    @property
    def _in_numbers(self) -> bool:
        return self.voltage is not None and not in_letters(self.voltage) and not self._has_letters

    @property
    def _has_letters(self) -> bool:
        return any(in_letters(value) for e in self.equations for _, value in e.others)

    def _scaled(self) -> tuple[PointBalance, ...]:
        """Plain numbers in the usual unit of capacitance; letters stay as they are."""
        if self._has_letters:
            return self.equations
        unit = Fraction(10) ** self.speech.powers["capacitance"]
        return tuple(
            PointBalance(e.point, e.own / unit, tuple((p, value / unit) for p, value in e.others))
            for e in self.equations
        )

    def _weighted(self, e: PointBalance) -> str:
        """V_P = (3 × 12 + 7 × 0)/(3 + 7): potentials weighted by the capacitances."""
        weights = " + ".join(self._number(value) for _, value in e.others)
        return f"{self.potential(e.point)} = ({self._pulls(e)})/({weights})"

    def _pulls(self, e: PointBalance) -> str:
        return " + ".join(self._pull(value, other) for other, value in e.others)

    def _pull(self, weight: Value, point: str) -> str:
        if self._in_numbers and point in self.ends:
            level = self._given(Fraction(1)) if point == self.ends[0] else "0"
            return f"{self._number(weight)}{TIE}×{TIE}{level}"
        return f"{self._number(weight)}{TIE}{self.potential(point)}"

    def _right(self, row: EliminationRow) -> str:
        terms = [] if same(row.given, Fraction(0)) else [self._given(row.given)]
        terms += [f"{self._number(value)}{TIE}{self.potential(p)}" for p, value in row.others]
        return " + ".join(terms) or "0"

    def _given(self, times: Value) -> str:
        """So many times the potential of the + end: one number where that is a number."""
        if not self._in_numbers or self.voltage is None:
            return self.of_the_plus_end(times, TIE)
        volts = self.voltage / Fraction(10) ** self.speech.powers["voltage"]
        return self._number(tidy(times * volts))

    def _number(self, value: Value) -> str:
        text = self.speech.ratio(value)
        return f"({text})" if in_letters(value) else text


def bridge_bound(network: Network, speech: Speech) -> str:
    """The closing bound of a bridge: what joins its inner points left out, and made a wire."""
    found = bounds(network)
    if found is None:
        return ""
    low, high = speech.apart([found.low, found.high], "capacitance")
    if same(found.low, found.high):
        joined = listed(found.names)
        return f"With {joined} left out, or a wire there instead, it comes to the same {low}."
    made = "it" if len(found.names) == 1 else "each"
    return (
        f"It must lie between {low}, with {listed(found.names)} left out, and {high}, with {made} "
        "made a wire, and does."
    )


def _wrapped(lines: Iterable[str]) -> list[str]:
    """Lines short enough for any page; a weight stays with its potential."""
    found: list[str] = []
    for line in lines:
        pieces = textwrap.wrap(line, WIDTH, subsequent_indent="  ", break_long_words=False)
        found += [piece.replace(TIE, " ") for piece in pieces]
    return found
