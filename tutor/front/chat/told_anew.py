"""Whether a line said in a problem, or after it, tells another network: two 6 uF on 12 V."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from grammar.any_text import readings_of
from grammar.outline import elements_of
from grammar.records import Amount, Description, Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.values import Value
from tutor.teaching.staged.amounts_of_story import held_in
from tutor.teaching.staged.story import Telling
from tutor.teaching.walk import Walk, given

_VOLTS: Final = re.compile(r"(?i)(?<![\w.])\d[\d.,]*\s*[mk]?(?:v|volts?)\b")
# It says what comes of something, or why: an answer, whatever it reads as.
_ANSWERS: Final = re.compile(
    r"(?i)[=?]|\b(?:so|as|because|since|therefore|each|both|must|would|if|gives?|giving|makes?|making"
    r"|is|are|comes|gets?|total|same|share[sd]?|charges?)\b"
)
MOST_WORDS: Final = 40  # a longer line is no remark, and reading it in all ways takes long


def tells_another(problem: Walk | Telling, line: str) -> bool:
    """Whether a line that says how something is joined describes a whole network, with what is
    across it, in which a capacitor stands that this problem does not have; told by its own values a
    network is an answer.
    """
    if len(_VOLTS.findall(in_figures(line))) != 1 or _ANSWERS.search(line):
        return False
    if len(line.split()) > MOST_WORDS:
        return False
    try:
        found = readings_of(line)
    except Refusal:
        return False
    if len(found.ways) != 1 or found.is_unsure or found.beyond:
        return False
    description = found.ways[0].description
    sizes = [*_sizes(description)]
    here = {*_sizes_in(problem)}
    return description.supply is not None and len(sizes) > 1 and any(
        size not in here for size in sizes
    )


_ASKS_WHY: Final = re.compile(r"(?i)^\W*(?:but\s+|and\s+|so\s+)?(?:why|how\s+come)\b")


def asks_of_another(problem: Walk | Telling, line: str) -> bool:
    """Whether a question tells a network of its own, with a capacitor that the problem which is
    done does not have: an exercise of a book ends in one.
    """
    if not re.search(r"\d", line) or _ASKS_WHY.match(line):
        return False
    try:
        found = readings_of(line)
    except Refusal:
        return False
    here = {*_sizes_in(problem)}
    worths = [each.worth for each in elements_of(found.ways[0].description)] if found.ways else []
    return any(not isinstance(each, Amount) or each.value not in here for each in worths)


def _sizes(description: Description) -> Iterator[Fraction]:
    for element in elements_of(description):
        if isinstance(element.worth, Amount):
            yield element.worth.value


def _sizes_in(problem: Walk | Telling) -> Iterator[Value]:
    """The capacitances that a problem speaks of, given or made."""
    if isinstance(problem, Walk):
        yield from (c.value for c in given(problem))
        yield from (value for each, value in problem.truth.items() if each.symbol == "C")
    else:
        for (symbol, _), values in held_in(problem).items():
            if symbol == "C":
                yield from values
