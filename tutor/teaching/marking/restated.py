"""A value of the text put into another unit: 25 µF = 0.000025 F, which states nothing new."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from grammar.answers import evaluate
from grammar.expressions import Name, Num
from tutor.teaching.judging import point_moved
from tutor.teaching.marking.fitting import kind_of
from tutor.teaching.marking.grading import Topic
from tutor.teaching.marking.problem_kind import ProblemKind, S
from tutor.teaching.marking.statements import Said

EXACTLY: Final = Fraction(0)  # another unit takes no rounding


def in_the_name_given(by: ProblemKind[S, Topic], sheet: S, said: Said) -> Said:
    """Such a statement under the name that its value has in the text; any other as it is."""
    statement = said.statement
    if said.names or statement is None or len(statement.sides) < len("=="):
        return said
    units = {side.unit for side in statement.sides if isinstance(side, Num)}
    kinds = {kind_of(side) for side in statement.sides}
    if len(units) < len(statement.sides) or None in kinds or len(kinds) > 1:
        return said
    values = [evaluate(side, {}).value for side in statement.sides]
    if values[0] not in by.given(sheet) or point_moved(values[-1], values[0], EXACTLY) is None:
        return said
    every = {name: by.worth(sheet, [Name(name)]).get(name) for name in by.names(sheet)}
    of_value = [name for name, worth in every.items() if worth and worth.value == values[0]]
    name = min(of_value, key=lambda each: (not each[-1:].isdigit(), len(each), each), default="")
    return said._replace(names=(name,)) if name else said
