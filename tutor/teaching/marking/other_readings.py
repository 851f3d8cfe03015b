"""The last doubt before a line of working is called wrong: what else it may be read as.

A statement is wrong only where what it says of something is not so. One that names capacitors and
gives an amount that none of them can be speaks of what they hold; and a right value without a name
was said of what it is right for, wherever it was put here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from grammar.records import Dimension
from tutor.circuit.values import in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.fitting import kind_of
from tutor.teaching.marking.grading import Topic
from tutor.teaching.marking.problem_kind import FoundIn, ProblemKind, S
from tutor.teaching.marking.statements import Said, is_named

_CAPACITOR: Final = re.compile(r"C_?(\d+)")
_HELD: Final[Mapping[Dimension, str]] = MappingProxyType(
    {"charge": "Q", "voltage": "V", "energy": "E"}
)


def read_otherwise(said: Said) -> Iterator[Said]:
    """What else a statement may say: 80 nC, said of C2, is its charge."""
    assert said.statement is not None
    kind = kind_of(said.statement.sides[-1])
    held = _HELD.get(kind) if kind is not None else None
    named = [_CAPACITOR.fullmatch(name) for name in said.names]
    if held and named and all(named):
        yield said._replace(names=tuple(f"{held}{found[1]}" for found in named if found))


def without_what_has_no_place(
    by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said
) -> FoundIn[S, Topic]:
    """What was found without the guesses of what a value is of that is right for something."""
    assert said.statement is not None
    if is_named(said) or len(said.statement.sides) > 1:
        return found
    rights = [
        Fraction(value) for value, _ in by.right_values(sheet) if value and not in_letters(value)
    ]
    sure = tuple(
        each
        for each in found.grades
        if not each.guessed
        or each.verdict != "wrong"
        or each.value is None
        or in_letters(each.value)
        or not any(close(each.value, right) for right in rights)
    )
    return found if sure == found.grades else FoundIn(sheet, sure, found.why)
