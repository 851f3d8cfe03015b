"""What the pupil's own equations lead to, taken together: who has set up one of several wrongly,
or in letters that were not understood, and solves them rightly makes no further mistake.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Name, Num, Op, names_in
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.marking.fitting import NEAR, usual_unit
from tutor.teaching.marking.grading import Topic
from tutor.teaching.marking.linear import CONSTANT, Row, independent, less, row_of
from tutor.teaching.marking.problem_kind import ProblemKind, S
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.unknowns import all_sides, plain, without_units

MOST_EQUATIONS: Final = 8  # the last few are remembered
MOST_NAMES: Final = 6
EXACTLY: Final = Fraction(1, 10**6)


def with_equation(sheet: S, said: Said) -> S:
    """The sheet with a statement in names, unless it only gives a value to one."""
    statement = said.statement
    if statement is None or said.doubt or len(said.names) + len(statement.sides) < len("=="):
        return sheet
    if not names_in(*statement.sides) and len(said.names) < len("=="):
        return sheet
    return sheet._replace(equations=(*sheet.equations, said)[-MOST_EQUATIONS:])


def follows_from_all(
    by: ProblemKind[S, Topic], sheet: S, said: Said, value: Value | None = None
) -> bool:
    """Whether the pupil's equations together lead to a statement: to the ``value`` of a name, or
    to one more equation; where two contradict one another the later one counts.
    """
    assert said.statement is not None
    if not sheet.equations:
        return False
    if value is None:
        sides, within = _sides_of(said), EXACTLY
    elif said.names and not said.statement.turned and not in_letters(value):
        sides, within = [Name(said.names[0]), said.statement.sides[-1]], NEAR
    else:
        return False
    own = [_sides_of(each) for each in reversed(sheet.equations)]
    for shared in ([], *_shared_out(by, sheet, own)):
        every = [sides, *shared, *own]
        wanted, *rows = (list(_rows(by, sheet, each, every)) for each in every)
        lead = independent(row for several in rows for row in several)
        if wanted and all(_is_nothing(less(row, lead), row, within) for row in wanted):
            return True
    return False


def _shared_out(
    by: ProblemKind[S, Topic], sheet: S, equations: Sequence[Sequence[Expression]]
) -> Iterator[list[list[Expression]]]:
    """What all that stands in ratios comes to together: each of the given values in turn."""
    ratios = [sides for sides in equations if _is_ratio(sides[0])]
    names = [Name(name) for name in dict.fromkeys(names_in(*(s[0] for s in ratios)))]
    if len(names) < len("ab"):
        return
    total: Expression = names[0]
    for name in names[1:]:
        total = Op("+", total, name)
    given = set(by.given(sheet))
    for value, kind in dict.fromkeys(by.right_values(sheet)):
        if value in given and not in_letters(value):
            whole = Fraction(value) / usual_unit(by.powers(sheet), kind)
            yield [[total, Num(whole, None, 0, "")]]


def _is_ratio(side: Expression) -> bool:
    if not isinstance(side, Op) or side.sign != "/":
        return False
    return isinstance(side.left, Name) and isinstance(side.right, Name)


def _sides_of(said: Said) -> list[Expression]:
    assert said.statement is not None
    return list(all_sides(said.names, said.statement.sides, said.statement.turned))


def _multiplied_out(one: Expression, other: Expression) -> tuple[Expression, Expression]:
    """Two equal sides of which the first is a ratio of names, without it: V1 = 2/3 of V2."""
    if not isinstance(one, Op) or not _is_ratio(one):
        return one, other
    return one.left, Op("*", other, one.right)


def _is_nothing(left: Row, row: Row, within: Fraction) -> bool:
    """Whether nothing is left of an equation in unknowns, as far as rounding goes."""
    if not any(factor for place, factor in row.items() if place != CONSTANT):
        return False
    if any(factor for place, factor in left.items() if place != CONSTANT):
        return False
    return abs(left.get(CONSTANT, Fraction(0))) <= within * abs(row[CONSTANT])


def _rows(
    by: ProblemKind[S, Topic],
    sheet: S,
    sides: Sequence[Expression],
    every: Sequence[Sequence[Expression]],
) -> Iterator[Row]:
    """The factors of what is to be found in each equals sign of a statement, where that is of the
    first degree; ``every`` are all statements, which decide the places of their names.
    """
    powers = by.powers(sheet)
    names = dict.fromkeys(name for each in every for name in names_in(*each))
    given = _given(by, sheet, names)
    unknown = [name for name in names if name not in given]
    if len(unknown) > MOST_NAMES:
        return
    for pair in pairwise(without_units(side, powers) for side in sides):
        whole = Op("-", *_multiplied_out(*pair))

        def difference(levels: Mapping[int, Fraction], whole: Expression = whole) -> Value | None:
            known = {name: Measure(levels[at], bare=True) for at, name in enumerate(unknown)}
            try:
                return evaluate(whole, {**given, **known}).value
            except Refusal:
                return None

        row = row_of(difference, range(len(unknown)))
        if row is not None:
            yield row


def _given(by: ProblemKind[S, Topic], sheet: S, names: Mapping[str, None]) -> dict[str, Measure]:
    """The names that stand for a value of the text, as plain numbers."""
    given = set(by.given(sheet))
    own = set(sheet.aliases) | {by.called(sheet, about)[1] for about in by.truth(sheet)}
    worth = by.worth(sheet, [Name(name) for name in names])
    return {
        name: plain(measure)
        for name, measure in worth.items()
        if name not in own and measure.value in given
    }
