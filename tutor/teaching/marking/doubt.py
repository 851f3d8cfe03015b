"""The benefit of the doubt: before a line is called wrong, whether its value follows after all.

A way is right where it comes to the right value once each wrong value of the pupil's in it is
replaced by the right one of the same thing; and so is the root of an equation of the pupil's.
Nothing is known here of the kind of problem, or of the rule that the pupil used.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import chain, combinations, islice, product
from typing import Final, NamedTuple

from grammar.answers import DIMS, Measure, evaluate
from grammar.expressions import Expression, Name, Neg, Num, Op, Power, parts_of
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.fitting import numbers_in
from tutor.teaching.marking.grading import Judgement, Topic, holds
from tutor.teaching.marking.problem_kind import FoundIn, ProblemKind, S
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.unknowns import all_sides, equal_in_usual_units, plain, without_units

FOLLOWS: Final = "This follows rightly from a value of your own that stands above."
MOST_REPLACED: Final = 3  # numbers of one side at once
MOST_PARTS: Final = 8
MOST_TRIED: Final = 400
MOST_EQUATIONS: Final = 3  # the last few are remembered
USUAL_POWERS: Final = (0, -12, -9, -6, -3, 3)
MOST_VALUES: Final = 40
# Q = C V, V = Q/C, sums and differences, product over sum, and the stored energy.
RELATIONS: Final[tuple[Callable[[Fraction, Fraction], Fraction], ...]] = (
    lambda one, other: one + other,
    lambda one, other: one - other,
    lambda one, other: one * other,
    lambda one, other: one / other,
    lambda one, other: one * other / (one + other),
    lambda one, other: one * other / 2,
    lambda one, other: one * other * other / 2,
    lambda one, other: one * one / other / 2,
)
NEAR: Final = Fraction(1, 100)  # what is worked on has been rounded


class _Slip(NamedTuple):
    """A wrong value of the pupil's, in SI units, and what it should have been."""

    own: Fraction
    right: Fraction


class _Ways(NamedTuple):
    """What a way is tried with: the value it came to and the right one, and the slips that may
    stand in it; ``turned``: it is one over the value.
    """

    values: tuple[Fraction, Fraction]
    slips: Sequence[_Slip]
    turned: bool


def given_the_doubt(
    by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said
) -> FoundIn[S, Topic]:
    """What was found in a statement, with values that follow from the pupil's own as carried."""
    assert said.statement is not None
    grades = tuple(_doubted(by, sheet, each, said) for each in found.grades)
    if grades == found.grades:
        return found
    sure = {each.quantity for each in grades if each.verdict == "carried"}
    after = found.sheet
    return found._replace(grades=grades, sheet=after._replace(doubtful=after.doubtful - sure))


def with_mistaken(sheet: S, found: FoundIn[S, Topic], said: Said) -> S:
    """The sheet with a statement that was found to be wrong and may be worked on, as an equation
    is.
    """
    assert said.statement is not None
    sides = said.statement.sides
    names = any(isinstance(part, Name) for side in sides for part in parts_of(side))
    if found.is_good or not found.grades or not (names or len(said.names) + len(sides) > 1):
        return sheet
    return sheet._replace(mistaken=(*sheet.mistaken, said)[-MOST_EQUATIONS:])


def _doubted(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said
) -> Judgement[Topic]:
    """A judgement as it is, or as carried. A wrong value that the pupil gave no name costs the
    accuracy of what rests on it.
    """
    assert said.statement is not None
    own = each.value
    if each.verdict != "wrong" or each.is_certain or not own or in_letters(own):
        return each
    truth = by.truth(sheet)
    rights = [truth[each.quantity][0]] if each.quantity in truth else by.given(sheet)
    values = [Fraction(right) for right in rights if right and not in_letters(right)]
    carried = each._replace(
        verdict="carried",
        fault=None,
        malrules=(),
        diagnosis=None,
        method=True,
        accurate=each.is_final,
        slip=None,
        slipped_to=None,
        guessed=False,
        told=FOLLOWS if each.given else "",
    )
    if values and _is_root(by, sheet, own, said):
        return carried
    meant = _pupils_own(by, sheet)
    if any(_is_by_relation(meant, Fraction(own), right) for right in values) and (
        len(said.statement.sides) == 1 or _is_met(meant, Fraction(own), values)
    ):
        return carried
    if not holds(said.statement):
        return each
    stated = list(_stated(by, sheet))
    named, unnamed = (list(_in_passing(by, sheet, of_name)) for of_name in (True, False))
    for slips in (stated, stated + named, stated + named + unnamed):
        ways = [_Ways((Fraction(own), right), slips, said.statement.turned) for right in values]
        tried = product(said.statement.sides, ways)
        if any(_is_right_way(by, sheet, side, way) for side, way in tried):
            if slips is stated:
                return carried._replace(carrying=_without_numbers(by, sheet))
            return carried._replace(accurate=each.is_final and len(slips) == len(stated + named))
    return each


def _without_numbers(by: ProblemKind[S, Topic], sheet: S) -> frozenset[Topic]:
    """What a right way shows to be known whatever its numbers are."""
    items = by.ground(sheet, frozenset()).items
    return frozenset(item.quantity for item in items if item.independent)


# Ways


def _is_right_way(by: ProblemKind[S, Topic], sheet: S, side: Expression, ways: _Ways) -> bool:
    """Whether a side that comes to the first of two values would come to the second with right
    values in the place of wrong ones.
    """
    value, right = ways.values
    powers = by.powers(sheet)
    measures = by.worth(sheet, (side,))
    bare = without_units(side, powers)
    lookup = {name: plain(measure) for name, measure in measures.items()}
    before = _worth(bare, lookup)
    parts = [p for p in parts_of(side) if isinstance(p, Name)] + list(numbers_in(side))
    if not before or not 1 < len(parts) <= MOST_PARTS:
        return False
    found = [(part, tuple(_matching(part, measures, ways.slips))) for part in parts]
    doubtful = [[(part, ratio) for ratio in ratios] for part, ratios in found if ratios]
    replaced = chain.from_iterable(
        product(*chosen)
        for count in range(1, MOST_REPLACED + 1)
        for chosen in combinations(doubtful, count)
    )
    for chosen in islice(replaced, MOST_TRIED):
        tried = side
        for part, ratio in chosen:
            tried = _scaled(tried, part, ratio)
        after = _worth(without_units(tried, powers), lookup)
        if not after:
            continue
        ratio = before / after if ways.turned else after / before
        if abs(value * ratio - right) <= NEAR * abs(right):
            return True
    return False


def _stated(by: ProblemKind[S, Topic], sheet: S) -> Iterator[_Slip]:
    """The pupil's wrong values with the right ones."""
    truth = by.truth(sheet)
    for about, own in sheet.stated.items():
        right = truth.get(about, (None, None))[0]
        if right is None or in_letters(right) or in_letters(own) or close(own, right):
            continue
        if own != 0:
            yield _Slip(Fraction(own), Fraction(right))


def _in_passing(by: ProblemKind[S, Topic], sheet: S, named: bool) -> Iterator[_Slip]:
    """Wrong values met in passing, which may be meant for anything of their kind."""
    dims = {DIMS[kind]: kind for kind in DIMS}
    for passed in (each for each in sheet.passing if each.named == named):
        begun, ended = passed.first.value, passed.measure.value
        if not in_letters(begun) and not in_letters(ended) and begun and ended and begun != ended:
            yield _Slip(Fraction(ended), Fraction(begun))
        kind = None if passed.measure.bare else dims.get(passed.measure.dims)
        if kind is None or in_letters(passed.measure.value):
            continue
        values = [v for v, of in by.right_values(sheet) if of == kind and not in_letters(v)]
        if any(close(passed.measure.value, value) for value in values):
            continue
        own = Fraction(passed.measure.value)
        yield from (_Slip(own, Fraction(value)) for value in values if own)


def _matching(
    part: Expression, worth: Mapping[str, Measure], slips: Sequence[_Slip]
) -> Iterator[Fraction]:
    """By what a part is to be multiplied if it is one of these values: its right value over the
    pupil's.
    """
    for own, right in dict.fromkeys(slips):
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
    if side is part:
        return Op("*", side, Num(ratio, None, 0, ""))
    if isinstance(side, Op):
        return Op(side.sign, _scaled(side.left, part, ratio), _scaled(side.right, part, ratio))
    if isinstance(side, Neg):
        return Neg(_scaled(side.inner, part, ratio))
    return (
        Power(_scaled(side.base, part, ratio), side.exponent) if isinstance(side, Power) else side
    )


def _worth(side: Expression, lookup: Mapping[str, Measure]) -> Fraction | None:
    try:
        value = evaluate(side, lookup).value
    except Refusal:
        return None
    return None if in_letters(value) else Fraction(value)


# Values without their working


def _pupils_own(by: ProblemKind[S, Topic], sheet: S) -> list[_Slip]:
    """What a pupil may have worked with: values stated and given, and those met under a name."""
    truth = by.truth(sheet)
    found = [
        _Slip(Fraction(own), Fraction(right))
        for about, own in sheet.stated.items()
        if about in truth and not in_letters(own) and not in_letters(right := truth[about][0])
    ]
    found += [_Slip(Fraction(v), Fraction(v)) for v in by.given(sheet) if not in_letters(v)]
    found += _in_passing(by, sheet, True)
    return list(dict.fromkeys(each for each in found if each.own))[:MOST_VALUES]


def _is_met(meant: Sequence[_Slip], own: Fraction, rights: Sequence[Fraction]) -> bool:
    return any(close(own, each.own) and each.right in rights for each in meant)


def _is_by_relation(meant: Sequence[_Slip], own: Fraction, right: Fraction) -> bool:
    """Whether one relation of the trade gives the pupil's value from the pupil's values, and the
    right one from the right ones.
    """
    off = [each for each in meant if not close(each.own, each.right)]
    if _is_met(off, own, (right,)):
        return True
    for one in off:
        for other in meant:
            pairs = ((one, other), (other, one))
            if any(
                _fits(relation, first, second, (own, right))
                for relation in RELATIONS for first, second in pairs
            ):
                return True
    return False


def _fits(
    relation: Callable[[Fraction, Fraction], Fraction], one: _Slip, other: _Slip,
    wanted: tuple[Fraction, Fraction],
) -> bool:
    """Whether a relation of two values gives what is wanted, of the pupil's and of the right ones.
    """
    try:
        found = relation(one.own, other.own), relation(one.right, other.right)
    except ZeroDivisionError:
        return False
    return all(
        abs(each - value) <= NEAR * abs(value) for each, value in zip(found, wanted, strict=True)
    )


# Equations


def _is_root(by: ProblemKind[S, Topic], sheet: S, value: Value, said: Said) -> bool:
    """Whether a value makes an equation of the pupil's true that came before, and not any value
    does.
    """
    assert said.statement is not None
    powers = by.powers(sheet)
    if said.statement.turned:
        return False
    for name in said.names:
        for before in sheet.mistaken:
            assert before.statement is not None
            sides = all_sides(before.names, before.statement.sides, before.statement.turned)
            if before.names[:1] == (name,) and not before.statement.turned:
                continue  # a value of it, and no equation
            written = {p.text for s in sides for p in parts_of(s) if isinstance(p, Name)}
            worth = by.worth(sheet, sides)
            if name not in written or not written - {name} <= set(worth):
                continue
            one = worth.get(name) or _of_value(by, sheet, said)
            if one is None:
                continue
            tried = {**worth, name: one._replace(value=value)}
            other = {**worth, name: one._replace(value=value * 2 + 1)}
            if equal_in_usual_units(sides, tried, powers) and not equal_in_usual_units(
                sides, other, powers
            ):
                return True
    return False


def _of_value(by: ProblemKind[S, Topic], sheet: S, said: Said) -> Measure | None:
    """A measure of the kind that a statement states."""
    assert said.statement is not None
    try:
        return evaluate(said.statement.sides[-1], by.worth(sheet, said.statement.sides))
    except Refusal:
        return None
