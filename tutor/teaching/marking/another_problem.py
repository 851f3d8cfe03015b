"""Whether a script is the working of another problem than the one it was handed in for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from tutor.circuit.network import Problem
from tutor.circuit.values import Value, in_letters
from tutor.teaching.marking.marked import Marked
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed, speech_for

FEWEST_SUMS: Final = 3  # lines from which on a script shows where it comes from
FACTORS: Final = frozenset(("1", "2", "4", "0.5", ".5", "10", "100", "1000"))
_POWER: Final = re.compile(r"[×x*·]\s*10\s*(?:\^\s*\(?\s*[-−]?\d+\)?|⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)")
_EXPONENT: Final = re.compile(r"(?<=\d)[eE][-−+]?\d+")
_TIMES: Final = re.compile(r"(?<=[\d)])\s*[xX]\s*(?=[\d(])")
_NAME: Final = re.compile(r"(?<![\w.])[^\W\d]\w*")
_NUMBER: Final = re.compile(r"(?<![\w.])\d+(?:[.,]\d+)?")
_SIGN: Final = re.compile(r"\d[^=≈]*[-−+*/×·÷x(][^=≈]*\d")
_EQUALS: Final = re.compile(r"[=≈]")


def another_problem(problem: Problem, found: Marked, settings: Settings) -> str:
    """A note that a script seems to be of another problem, '' where it does not.

    It does where no value in it is right, where it starts from a number that is no value of this
    problem, two of them together or a square of one, and where most of those values stand nowhere
    in it.
    """
    if any(credit.verdict == "right" for credit in found.credits):
        return ""
    given = {text: _figures(text) for text in _given(problem, settings)}
    sums = list(_sums(found))
    started = list(dict.fromkeys(each for first, _ in sums for each in first or ()))
    met = {_figures(each) for _, every in sums for each in every}.intersection(given.values())
    at_home = _at_home(given)
    strange = [n for n in started if n not in FACTORS and _figures(n) not in at_home]
    is_short = sum(first is not None for first, _ in sums) < FEWEST_SUMS
    if is_short or 2 * len(met) >= len(given) or not strange:
        return ""
    return (
        f"This working starts from {listed(started)}; given here are {listed(list(given))}. Is it "
        "that of another problem? No marks are given for what is not written."
    )


def _at_home(given: Iterable[str]) -> set[str]:
    """The figures of what is given, of two such values together, and of squares."""
    values = [Fraction(_NUMBER.findall(text)[0].replace(",", ".")) for text in given]
    made = [*values, *(a + b for a in values for b in values), *(a * a for a in values)]
    return {_figures(f"{float(each):.6f}") for each in made}


def _given(problem: Problem, settings: Settings) -> Iterator[str]:
    """The values of the text as it shows them."""
    speech = speech_for(problem, settings)
    values: list[tuple[Value, str]] = [
        (c.value, speech.amount(c.value, "capacitance")) for c in problem.network.capacitors
    ]
    if problem.supply is not None:
        supply = problem.supply
        values.append((supply.value, speech.amount(supply.value, supply.quantity)))
    yield from dict.fromkeys(shown for value, shown in values if not in_letters(value))


def _sums(found: Marked) -> Iterator[tuple[list[str] | None, list[str]]]:
    """For each line the numbers put into the first of its sums, None without one, and all of its
    numbers but a result at its end; without those that a line before has led to.
    """
    reached: set[str] = set()
    for line in found.lines:
        plain = _EXPONENT.sub("", _POWER.sub("", line.text))
        plain = _NAME.sub(" ", _TIMES.sub(" × ", plain))
        sides = [
            (side, [each for each in _NUMBER.findall(side) if each not in reached])
            for side in _EQUALS.split(plain)
        ]
        sums = [numbers for side, numbers in sides if _SIGN.search(side)]
        put_in = sums[:1] + [numbers for _, numbers in sides[:-1]] + sums[1:]
        first = [each for each in sums[0] if each != "1"] if sums else None
        yield first, [each for numbers in put_in for each in numbers]
        reached |= {each for _, numbers in sides[1:] for each in numbers}


def _figures(shown: str) -> str:
    """The digits of a number, wherever its point stands: a prefix does not make it another."""
    number = _NUMBER.search(shown)
    return "" if number is None else re.sub(r"[.,]", "", number.group()).strip("0")
