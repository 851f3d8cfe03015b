"""What the program makes of an exercise: every value of it by the name that learners write."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from grammar.lengths import size_unit, strength
from grammar.quantity import number, unit
from grammar.reading import read_network
from grammar.records import Description
from tutor.circuit.network import build
from tutor.circuit.solving import solve
from tutor.circuit.surds import near
from tutor.circuit.values import in_letters
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of

_PRINTED = re.compile(r"([-\d.,]+(?:e-?\d+)?)\s*(.*)")


def values_of(text: str) -> Mapping[str, Fraction]:
    """Every value that is worked out, in SI units; of a name that comes twice the last one."""
    description = read_network(text)
    story = story_of(description, DEFAULTS)
    if story is None:
        return _solved(description)
    found = {
        ask.name: near(ask.right)
        for ask in story.asks
        if ask.right is not None and not (in_letters(ask.right) and ask.right.free_symbols)
    }
    return {**found, **{name: near(value) for name, (value, _) in story.results.items()}}


def _solved(description: Description) -> Mapping[str, Fraction]:
    problem = build(description)
    solution = solve(problem.network, problem.supply)
    found: dict[str, Fraction] = {}
    assert solution.whole is not None
    found["C"] = Fraction(solution.whole.value)
    for name, held in solution.holdings.items():
        of = "" if name == solution.whole.name else name.removeprefix("C")
        for dimension in ("charge", "voltage", "energy"):
            found[SYMBOL[dimension] + of] = Fraction(getattr(held.size, dimension))
    return found


def printed(text: str) -> tuple[Fraction, int]:
    """A printed value in SI units, and how many figures it has."""
    match = _PRINTED.fullmatch(text)
    assert match is not None, text
    read = number(match[1])
    value, written = read.value, match[2].strip()
    if "/m" in written:
        volts, _, metre = written.partition("/")
        return strength(match[1], volts, metre).value, read.figures
    if written:
        power = (size_unit(written) or unit(written)).power
        value *= Fraction(10) ** power
    return value, read.figures
