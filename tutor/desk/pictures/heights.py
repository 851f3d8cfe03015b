"""Potentials as heights: each point a level line, each capacitor a drop from one to another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.records import Refusal
from tutor.circuit.network import Capacitor, Problem
from tutor.circuit.solving import Solution, solve
from tutor.circuit.values import Value, in_letters
from tutor.desk.pictures.canvas import (
    NAME_SIZE,
    VALUE_SIZE,
    Disc,
    Lettering,
    Mark,
    Picture,
    Stroke,
    width_of,
)
from tutor.desk.pictures.symbols import UNIT, capacitor_symbol
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech, speech_for

TALL: Final = 260.0
TOP: Final = 18.0
APART: Final = 18.0  # between the base lines of two levels' words
GAP: Final = 18.0
LEADER: Final = 22.0
SHORTEST: Final = 18.0  # of a drop with room for two plates


def heights(problem: Problem, terms: Settings = DEFAULTS) -> Picture:
    """The picture of a network of numbers with a supply.

    Errors: ``Refusal`` for one with letters or without a supply.
    """
    if problem.supply is None or _has_letters(problem):
        raise Refusal(
            "Heights need numbers and a supply.", "Add one to the text, such as: across 12 V."
        )
    solution = solve(problem.network, problem.supply)
    chart = Chart(problem, solution, speech_for(problem, terms))
    return Picture(
        chart.width, chart.height, tuple(chart.marks()), "Potentials as heights", chart.words()
    )


def _has_letters(problem: Problem) -> bool:
    values: list[Value] = [c.value for c in problem.network.capacitors]
    return any(map(in_letters, [*values, problem.supply.value if problem.supply else Fraction(0)]))


class Chart(NamedTuple):
    """The solved network on its area, to scale."""

    problem: Problem
    solution: Solution
    speech: Speech

    @property
    def levels(self) -> Mapping[str, Fraction]:
        """The potentials of the points, the highest first; hanging ones are there too."""
        found = {p: Fraction(level) for p, level in self.solution.potentials.items()}
        return dict(sorted(found.items(), key=lambda entry: -entry[1]))

    @property
    def drops(self) -> list[Capacitor]:
        """The capacitors whose points both have a potential."""
        capacitors = self.problem.network.capacitors
        return [c for c in capacitors if {c.start, c.end} <= set(self.levels)]

    def _level_words(self, point: str) -> str:
        others = next((names for names in self.problem.joined if names[0] == point), (point,))
        return f"{', '.join(others)}  {self.speech.amount(self.levels[point], 'voltage')}"

    def _drop_words(self, c: Capacitor) -> tuple[str, str]:
        size = abs(self.levels[c.start] - self.levels[c.end])
        return c.name, self.speech.amount(size, "voltage")

    @property
    def _left(self) -> float:
        widest = max(width_of(self._level_words(point), VALUE_SIZE) for point in self.levels)
        return widest + LEADER + 2 * GAP

    @property
    def pitch(self) -> float:
        """Pixels from one drop to the next."""
        words = [self._drop_words(c) for c in self.drops]
        return GAP + max(
            max(width_of(name, NAME_SIZE), width_of(drop, VALUE_SIZE)) for name, drop in words
        )

    @property
    def width(self) -> float:
        """Of the whole area."""
        return self._left + self.pitch * len(self.drops) + GAP

    @property
    def height(self) -> float:
        """Of the whole area."""
        return self._foot + 2 * APART + GAP

    @property
    def _foot(self) -> float:
        return max([TOP + TALL, *self._word_heights().values()]) + GAP

    def _y(self, level: Fraction) -> float:
        levels = self.levels.values()
        high, low = max(levels), min(levels)
        return TOP + (TALL * float((high - level) / (high - low)) if high > low else 0)

    def _word_heights(self) -> Mapping[str, float]:
        """Where the words of each level stand: at the level, or below the words above them."""
        found: dict[str, float] = {}
        free = 0.0
        for point, level in self.levels.items():
            found[point] = max(self._y(level), free)
            free = found[point] + APART
        return found

    def marks(self) -> Iterator[Mark]:
        """Everything on it."""
        right = self._left + self.pitch * len(self.drops)
        for point, at in self._word_heights().items():
            y = self._y(self.levels[point])
            words = self._level_words(point)
            yield Lettering(self._left - LEADER - GAP, at + 4, words, "point", point, anchor="end")
            yield Stroke(
                ((self._left - LEADER - GAP / 2, at), (self._left - GAP / 2, y), (right, y)),
                "guide", point,
            )
        for number, c in enumerate(self.drops):
            yield from self._drop(c, self._left + self.pitch * (number + 0.5))

    def _drop(self, c: Capacitor, x: float) -> Iterator[Mark]:
        top, bottom = sorted((self._y(self.levels[c.start]), self._y(self.levels[c.end])))
        for y in {top, bottom}:
            yield Disc(x, y, 3.2, of=c.name)
        middle, half = (top + bottom) / 2, capacitor_symbol().width / 2
        if bottom - top < SHORTEST:
            yield Stroke(((x, top), (x, bottom)), of=c.name)
        else:
            yield Stroke(((x, top), (x, middle - half)), of=c.name)
            yield Stroke(((x, middle + half), (x, bottom)), of=c.name)
            wide = UNIT / 5
            for y in (middle - half, middle + half):
                yield Stroke(((x - wide, y), (x + wide, y)), "plate", c.name)
        name, drop = self._drop_words(c)
        yield Lettering(x, self._foot + APART, name, "name", c.name, NAME_SIZE)
        yield Lettering(x, self._foot + 2 * APART, drop, "value", c.name)

    def words(self) -> str:
        """The same for those who do not see the picture."""
        levels = (
            f"{point} at {self.speech.amount(level, 'voltage')}"
            for point, level in self.levels.items()
        )
        drops = (
            f"{c.name} from {c.start} to {c.end}, {self._drop_words(c)[1]}" for c in self.drops
        )
        return f"Potentials: {'; '.join(levels)}. Drops: {'; '.join(drops)}."
