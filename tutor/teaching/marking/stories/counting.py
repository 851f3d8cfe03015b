"""Counts that are rounded up: n = 100/63 = 1.59 = 2 is right, though its sides differ."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression
from grammar.records import Refusal
from tutor.circuit.values import in_letters
from tutor.teaching.judging import RELATIVE_TOLERANCE
from tutor.teaching.marking.grading import Statement
from tutor.teaching.marking.stories.following import unrounded
from tutor.teaching.marking.stories.paper import Paper


def without_ratio(
    paper: Paper, at: int, statement: Statement, known: Mapping[str, Measure]
) -> Statement:
    """A statement without the sides that are still to be rounded up; it may have none left.

    Raises Refusal where a side cannot be worked out.
    """
    if all(path.way.then != "rounded up" for path in paper.paths[at]):
        return statement
    kept = tuple(side for side in statement.sides if not _is_ratio(paper, at, side, known))
    return statement._replace(sides=kept)


def is_counted(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether a statement shows what it counts: a side still to be rounded, and then the count."""
    try:
        kept = without_ratio(paper, at, statement, {}).sides
    except Refusal:
        return False
    return 0 < len(kept) < len(statement.sides)


def _is_ratio(paper: Paper, at: int, side: Expression, known: Mapping[str, Measure]) -> bool:
    """Whether a side is what a way gives before it is rounded up."""
    found = evaluate(side, known).value
    for path in paper.paths[at]:
        ratio = unrounded(path, paper.values(path.links))
        if in_letters(found) or found.denominator == 1 or not isinstance(ratio, Fraction):
            continue  # a whole number is meant as the count
        if abs(found - ratio) <= RELATIVE_TOLERANCE * ratio:
            return True
    return False
