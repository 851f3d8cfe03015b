"""A way gone once more with right values in the place of the pupil's wrong ones, and what it would
then come to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import chain, combinations, islice, product
from typing import Final, NamedTuple

from grammar.answers import Measure
from grammar.expressions import Expression, Name, Num, Op, parts_of, rewritten
from tutor.circuit.values import in_letters
from tutor.teaching.marking.fitting import NEAR, is_near, kind_of, numbers_in, usual_unit
from tutor.teaching.marking.following_equations import worth_of
from tutor.teaching.marking.grading import Topic
from tutor.teaching.marking.own_values import held_by
from tutor.teaching.marking.problem_kind import FoundIn, OwnValue, ProblemKind, S
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.true_in_numbers import USUAL_POWERS, holds
from tutor.teaching.marking.unknowns import plain, without_units

MOST_REPLACED: Final = 3  # numbers of one side at once
MOST_PARTS: Final = 8
MOST_TRIED: Final = 400
MOST_LED: Final = 6  # the last few are remembered
SURE: Final = ("stated", "worked out", "begun")
MOST_OFF: Final = 1000  # what is further off is no slip in a sum


class Ways(NamedTuple):
    """What a way is tried with: the value it came to and the right one, and what may stand in it;
    ``turned``: it is one over the value.
    """

    values: tuple[Fraction, Fraction]
    slips: Sequence[OwnValue]
    turned: bool


def is_right_way(by: ProblemKind[S, Topic], sheet: S, side: Expression, ways: Ways) -> bool:
    """Whether a side that comes to the first of two values would come to the second with right
    values in the place of wrong ones.
    """
    value, right = ways.values
    ratios = _ratios(by, sheet, side, ways.slips)
    led = (1 / ratio for ratio in ratios if ratio) if ways.turned else ratios
    return any(is_near(value * ratio, right) for ratio in led)


def _ratios(
    by: ProblemKind[S, Topic], sheet: S, side: Expression, slips: Sequence[OwnValue]
) -> Iterator[Fraction]:
    """By what the value of a side is to be multiplied, for every choice of wrong values in it in
    the place of which the right ones are put.
    """
    powers = by.powers(sheet)
    side = _with_sums(side)
    measures = by.worth(sheet, (side,))
    lookup = {name: plain(measure) for name, measure in measures.items()}
    before = worth_of(without_units(side, powers), lookup)
    parts = [p for p in parts_of(side) if isinstance(p, Name)] + list(numbers_in(side))
    if not before or not 1 < len(parts) <= MOST_PARTS:
        return
    found = [(part, tuple(_matching(part, measures, slips))) for part in parts]
    doubtful = [[(part, ratio) for ratio in ratios] for part, ratios in found if ratios]
    replaced = chain.from_iterable(
        product(*chosen)
        for count in range(1, MOST_REPLACED + 1)
        for chosen in combinations(doubtful, count)
    )
    for chosen in islice(replaced, MOST_TRIED):
        if _is_of_a_chain(side) and not _is_alike(parts, chosen):
            continue
        tried = side
        for part, ratio in chosen:
            tried = _scaled(tried, part, ratio)
        after = worth_of(without_units(tried, powers), lookup)
        if after is not None:
            yield after / before


def _is_of_a_chain(side: Expression) -> bool:
    """Whether it is a product over a sum, in which what stands above stands below as well."""
    below = side.right if isinstance(side, Op) and side.sign == "/" else None
    return isinstance(below, Op) and below.sign == "+"


def _is_alike(parts: Sequence[Expression], chosen: Sequence[tuple[Expression, Fraction]]) -> bool:
    """Whether parts that are written alike are replaced alike."""
    by_place = {id(part): ratio for part, ratio in chosen}
    return all(
        by_place.get(id(one)) == by_place.get(id(other))
        for one, other in combinations(parts, 2)
        if one == other
    )


def _with_sums(side: Expression) -> Expression:
    """A side with the sum of two of its numbers in the place of what they come to: 2·8/10."""
    numbers = list(numbers_in(side))

    def summed(part: Expression) -> Expression | None:
        if not isinstance(part, Op) or part.sign != "/" or not isinstance(part.right, Num):
            return None
        pairs = combinations([n for n in numbers if n is not part.right], 2)
        total, half = part.right.value, part.right.half or 0
        pair = next((p for p in pairs if abs(p[0].value + p[1].value - total) <= half), None)
        if pair is None or part.right.unit is not None:
            return None
        one, other = (Num(*each) for each in pair)  # each a part of its own
        return part._replace(left=rewritten(part.left, summed), right=Op("+", one, other))

    return rewritten(side, summed)


def _matching(
    part: Expression, worth: Mapping[str, Measure], slips: Sequence[OwnValue]
) -> Iterator[Fraction]:
    """By what a part is to be multiplied if it is one of these values: its right value over the
    pupil's.
    """
    for own, right in dict.fromkeys((each.own, each.right) for each in slips):
        if isinstance(part, Name):
            measure = worth.get(part.text)
            values = [] if measure is None or in_letters(measure.value) else [measure.value]
        elif isinstance(part, Num):
            powers = (part.unit.power,) if part.unit else USUAL_POWERS
            values = [part.value * Fraction(10) ** power for power in powers]
        else:
            values = []
        if any(abs(abs(Fraction(v)) - abs(own)) <= NEAR / 2 * abs(own) for v in values):
            yield right / own


def _scaled(side: Expression, part: Expression, ratio: Fraction) -> Expression:
    """A side with one part, that very one, multiplied."""
    scaled = Op("*", part, Num(ratio, None, 0, ""))
    return rewritten(side, lambda each: scaled if each is part else None)


# What ways came to that would have come to something else


def with_led(by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said) -> S:
    """The sheet with what a way of the pupil's came to, where its own numbers come to something
    else or right values in the place of wrong ones would.
    """
    assert said.statement is not None
    *ways, last = said.statement.sides
    if not ways:
        return found.sheet
    own = value_of(by, sheet, last)
    if not own:
        return found.sheet
    off = [one for one in held_by(by, sheet) if one.is_off and one.source in SURE]
    ratio = _slip(by, found.sheet, said) or next(_ratios(by, sheet, ways[0], off), Fraction(1))
    if abs(ratio - 1) <= NEAR / 2:
        return found.sheet
    kind = kind_of(last)
    own *= usual_unit(by.powers(sheet), kind)
    is_sure = any(not each.guessed for each in found.grades)
    led = OwnValue(own, own * ratio, "worked out" if is_sure else "begun", kind)
    return found.sheet._replace(led=(*found.sheet.led, led)[-MOST_LED:])


def value_of(by: ProblemKind[S, Topic], sheet: S, side: Expression) -> Fraction | None:
    """What a side of numbers comes to in the usual units."""
    return worth_of(without_units(side, by.powers(sheet)), {})


def _slip(by: ProblemKind[S, Topic], sheet: S, said: Said) -> Fraction | None:
    """What the first side comes to over what it is said to come to, where these differ."""
    assert said.statement is not None
    first, last = said.statement.sides[0], said.statement.sides[-1]
    if holds(said.statement):
        return None
    one, other = (value_of(by, sheet, side) for side in (first, last))
    if not one or not other or not 1 / MOST_OFF < abs(one / other) < MOST_OFF:
        return None
    return one / other
