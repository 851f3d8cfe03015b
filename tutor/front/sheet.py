"""A solved problem on a page: what every section of a printed solution has before it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple, TypeVar

from grammar.records import Dimension
from grammar.writing import write_number
from tutor.circuit.network import Problem
from tutor.circuit.solving import Solution
from tutor.circuit.values import Value, in_letters
from tutor.front.plain import Page
from tutor.teaching.speech import Shown, Speech

INDENT = "  "
MOST_IN_FULL = 60
FIRST_SHOWN, LAST_SHOWN = 20, 5

MOST_SIGNS = 160

Listed = TypeVar("Listed")


class Sheet(NamedTuple):
    """The problem, its solution, how values are put, and the page."""

    problem: Problem
    solution: Solution
    speech: Speech
    page: Page

    @property
    def is_short(self) -> bool:
        """Whether there are too many capacitors to print everything."""
        return len(self.problem.network.capacitors) > MOST_IN_FULL

    @property
    def wants_more_than_capacitance(self) -> bool:
        """Whether what is asked goes beyond what the whole is worth; all is, where nothing is."""
        asked = self.problem.asked
        return not asked or any(each.quantity != "capacitance" for each in asked)

    def shown(self, value: Value, dimension: Dimension) -> Shown:
        """A value in words, short whatever it is: factors of more than six figures are rounded."""
        shown = self.speech.shown(value, dimension)
        if not in_letters(value) or _is_brief(shown.text):
            return shown
        factor, rest = value.as_coeff_Mul()
        style = self.speech.terms.style
        number, _ = write_number(Fraction(int(factor.p), int(factor.q)), style.figures, style.comma)
        text = f"{number} × {self.speech.amount(rest, dimension)}"
        if not _is_brief(text):
            text = f"an expression of {len(shown.text)} signs"
        return Shown(text, False)

    def alike(self, values: Sequence[Value], dimension: Dimension) -> list[str]:
        """A column of values, each short, and none with more figures than one that is rounded."""
        return [
            self.shown(value, dimension).text if in_letters(value) else text
            for value, text in zip(values, self.speech.alike(values, dimension), strict=True)
        ]

    def say(self, *texts: str) -> Iterator[str]:
        """Paragraphs under a heading; an empty one takes no line."""
        for text in texts:
            yield from self.page.wrapped(text, INDENT)

    def title(self, text: str) -> Iterator[str]:
        """The heading of a section, with an empty line before it."""
        yield ""
        yield from self.page.wrapped(text)

    def some(
        self, items: Sequence[Listed], text: Callable[[Listed], str], noun: str
    ) -> Iterator[str]:
        """A line for each item; of a long list the first 20, the last 5 and a count."""
        shown = FIRST_SHOWN + LAST_SHOWN
        if len(items) <= shown:
            yield from self.say(*map(text, items))
            return
        yield from self.say(*map(text, items[:FIRST_SHOWN]))
        yield from self.say(f"… {len(items) - shown} {noun} are left out here …")
        yield from self.say(*map(text, items[-LAST_SHOWN:]))


def _is_brief(text: str) -> bool:
    return len(text) <= MOST_SIGNS and re.search(r"\d{7}", text) is None
