"""Values met in passing: written down on the way, with no name that says what they are.

They earn nothing. Where a later value is wrong, and follows rightly once one of them is taken for
a quantity that leads to it, then the slip is there, and the later value is carried.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from grammar.answers import as_si, evaluate
from grammar.measures import PURE
from grammar.records import Refusal
from tutor.teaching.judging import close
from tutor.teaching.marking.grading import Judgement, Topic
from tutor.teaching.marking.problem_kind import FoundIn, Passing, ProblemKind, S
from tutor.teaching.marking.statements import Said

MOST: Final = 3  # the last few are remembered


def kept(sheet: S, each: Judgement[Topic]) -> S:
    """The sheet with what a judgement says of a quantity."""
    one = frozenset((each.quantity,))
    off = each.verdict != "right" and each.fault != "unit"
    unsure = each.guessed and each.verdict == "wrong"
    stated = {} if each.value is None else {each.quantity: each.value}
    return sheet._replace(
        stated={**sheet.stated, **stated},
        hint=(),
        wrong=sheet.wrong | one if off else sheet.wrong - one,
        doubtful=sheet.doubtful | one if unsure else sheet.doubtful - one,
    )


def passed_by(by: ProblemKind[S, Topic], sheet: S, said: Said, line: int) -> S:
    """The sheet with the value that a statement about nothing comes to, if it has a unit or
    is not what it begins with.
    """
    assert said.statement is not None
    sides = said.statement.sides
    try:
        first, measure = (evaluate(s, by.worth(sheet, (s,))) for s in (sides[0], sides[-1]))
    except Refusal:
        return sheet
    differs = first.value != measure.value
    if (measure.bare and not differs) or measure.value == 0 or said.statement.turned:
        return sheet
    passed = Passing(line, measure, first, bool(said.names))
    return sheet._replace(passing=(*sheet.passing, passed)[-MOST:])


def carried_from(
    by: ProblemKind[S, Topic],
    sheet: S,
    found: FoundIn[S, Topic],
    judge: Callable[[S], FoundIn[S, Topic]],
) -> FoundIn[S, Topic] | None:
    """What ``judge`` makes of a statement called wrong, if a value met in passing led to it."""
    if not any(each.verdict == "wrong" for each in found.grades):
        return None
    for line, slip in _slips(by, sheet):
        tried = by.settled(kept(sheet, slip))
        try:
            other = judge(tried)
        except Refusal:
            continue
        if other.is_good and all(
            each.verdict == "carried" and each.quantity != slip.quantity for each in other.grades
        ):
            slipped = (*sheet.slipped, (line, slip))
            return other._replace(sheet=other.sheet._replace(slipped=slipped, passing=()))
    return None


def _slips(by: ProblemKind[S, Topic], sheet: S) -> Iterator[tuple[int, Judgement[Topic]]]:
    """Each value met in passing as a wrong one of each quantity of its kind: of those without a
    value first.
    """
    truth = sorted(by.truth(sheet).items(), key=lambda item: item[0] in sheet.stated)
    for about, (right, dimension) in truth:
        power = by.powers(sheet)[dimension] if dimension else 0
        for line, measure, begun, _ in reversed(sheet.passing):
            if measure.bare:
                continue
            try:
                value, first = (as_si(m, dimension or PURE, power) for m in (measure, begun))
            except Refusal:
                continue
            if close(value, right):
                continue
            told = (
                f"If this is meant for {by.called(sheet, about)[1]}, it is not right. What follows "
                "rightly from it is not marked down again."
            )
            is_begun_well = close(first, right)
            yield (
                line,
                Judgement(
                    about,
                    "wrong",
                    "arithmetic" if is_begun_well else None,
                    method=is_begun_well,
                    value=value,
                    is_final=True,
                    in_numbers=True,
                    told=told,
                ),
            )
