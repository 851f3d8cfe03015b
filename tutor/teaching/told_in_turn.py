"""Values of a line that lean on one another: each of the part that comes next, in the unit said
before, with a plus between them, or with a comma that may be read in two ways.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress

from grammar.answers import Claim
from grammar.expressions import Name, Num, Op, parts_of
from grammar.records import Refusal
from tutor.teaching.claims import is_right, read
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.walk import Question, Walk, next_question


def each_of_a_sum(walk: Walk, question: Question, told: Sequence[Claim]) -> Sequence[Claim]:
    """The values of the parts, where they are said with a plus between: 60 uC + 40 uC."""
    step, asked = question.step, question.quantity
    if len(told) != 1 or step is None or asked is None or told[0].target:
        return told
    parts = [*parts_of(told[0].sides[-1])]
    numbers = [part for part in parts if isinstance(part, Num)]
    signs = {part.sign for part in parts if isinstance(part, Op)}
    of_each = [Quantity(asked.symbol, part.name) for part in step.parts]
    if signs != {"+"} or len(numbers) != len(of_each) or asked not in of_each:
        return told
    each = [
        Claim(of.name, (Name(of.name), number))
        for of, number in zip(of_each, numbers, strict=True)
    ]
    return each if all(is_right(walk, question, claim) for claim in each) else told


def named_in_turn(walk: Walk, question: Question, told: Sequence[Claim]) -> list[Claim]:
    """The values behind the first under the names of the parts that come next, where they are right
    for these; in the unit of the one before where they have none and are right only so: 2000 pC, so
    the other has 3000.
    """
    found: list[Claim] = []
    unit = None
    for claim in _without_what_was_found(walk, question, told):
        side = claim.sides[-1]
        ways = [claim]
        if isinstance(side, Num) and side.unit is None and unit is not None:
            ways.append(claim._replace(sides=(*claim.sides[:-1], side._replace(unit=unit))))
        of_next = _next_of(walk, question, found) if found and not claim.target else question
        way = next((each for each in ways if is_right(walk, of_next, each)), claim)
        if of_next is not question and is_right(walk, of_next, way) and of_next.quantity:
            name = of_next.quantity.name
            way = Claim(name, (Name(name), *way.sides))
        unit = side.unit if isinstance(side, Num) and side.unit is not None else unit
        found.append(way)
    return found


def _without_what_was_found(
    walk: Walk, question: Question, told: Sequence[Claim]
) -> Sequence[Claim]:
    """Values of the parts without those said once more of the ones that are found: 30 uC and 12 uC,
    where the first is known to hold 30 uC and the second is asked.
    """
    step, asked = question.step, question.quantity
    if step is None or asked is None or not 1 < len(told) <= len(step.parts):
        return told
    left = [*told]
    for part in step.parts:
        of = Quantity(asked.symbol, part.name)
        again = next((
            each for each in left
            if of != asked and of in walk.known and not (each.target or each.reciprocal)
            and not is_right(walk, question, each)
            and is_right(walk, question._replace(quantity=of), each)
        ), None)
        if again is not None and len(left) > 1:
            left.remove(again)
    return left


def _next_of(walk: Walk, question: Question, told: Sequence[Claim]) -> Question:
    """The question of the next part of the step that nothing has been told of."""
    step, asked = question.step, question.quantity
    if step is None or asked is None:
        return question
    names = {claim.target for claim in told}
    others = [
        each for part in step.parts
        if (each := Quantity(asked.symbol, part.name)) != asked and each not in walk.known
        and each.name not in names
    ]
    return question._replace(quantity=others[0]) if others else question


def in_one_of_two_ways(walk: Walk, line: str) -> tuple[Claim, ...]:
    """The values of a line whose comma may be a decimal comma or group its digits, in the way in
    which they are right; 5,625 that is wrong in both ways is 5.625. Nothing for any other line.
    """
    question = next_question(walk)
    decimal = DEFAULTS._replace(decimal_sign="comma").understood(line)
    if decimal == line or question is None:
        return ()
    with suppress(Refusal):
        ways = [read(walk, each) for each in (decimal, re.sub(r"(?<=\d),(?=\d{3})", "", line))]
        return next((way for way in ways if is_right(walk, question, way[0])), ways[0])
    return ()
