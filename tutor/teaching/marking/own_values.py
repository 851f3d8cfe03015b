"""The values that a pupil may have worked with, each with the right one of the same thing."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import permutations
from operator import add, mul, sub
from types import MappingProxyType
from typing import Final, TypeAlias

from grammar.answers import DIMS
from grammar.expressions import Expression, Num
from grammar.records import Dimension
from tutor.circuit.relations import FORMS
from tutor.circuit.surds import near
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.fitting import NEAR, ROUGHLY, numbers_in, usual_unit
from tutor.teaching.marking.grading import Judgement, Topic
from tutor.teaching.marking.problem_kind import OwnValue, Passing, ProblemKind, S, SaidHow

MOST_VALUES: Final = 40
MOST_SEEN: Final = 8  # the last few are remembered
_NUMBER: Final = re.compile(r"(?<![A-Za-z_\d.])\d+(?:\.\d+)?(?![\d.]*\d)")
_Work: TypeAlias = Callable[[Value, Value], Value]
_KINDS: Final = MappingProxyType({dims: kind for kind, dims in DIMS.items()})


def held_by(by: ProblemKind[S, Topic], sheet: S) -> list[OwnValue]:
    """All of them, those first that are surely meant."""
    truth = by.truth(sheet)
    found = [
        OwnValue(Fraction(own), Fraction(right), "stated", truth[about][1])
        for about, own in sheet.stated.items()
        if about in truth and not in_letters(own) and not in_letters(right := truth[about][0])
    ]
    given = by.given(sheet)
    found += [
        OwnValue(Fraction(value), Fraction(value), "stated", kind)
        for value, kind in by.right_values(sheet)
        if value in given and not in_letters(value)
    ]
    found += sheet.led
    for passed in sorted(sheet.passing, key=lambda each: not each.named):
        found += _met(by, sheet, passed)
    return list(dict.fromkeys(each for each in found if each.own))[:MOST_VALUES]


def _met(by: ProblemKind[S, Topic], sheet: S, passed: Passing) -> Iterator[OwnValue]:
    """A value met in passing, which may be meant for anything of its kind."""
    begun, ended = passed.first.value, passed.measure.value
    if in_letters(begun) or in_letters(ended):
        return
    own = Fraction(ended)
    if passed.measure.bare and not passed.first.bare:  # 13, said of what is 12 µF
        kind = _KINDS.get(passed.first.dims)
        own *= usual_unit(by.powers(sheet), kind)
        yield OwnValue(own, Fraction(begun), "worked out", kind)
        return
    kind = None if passed.measure.bare else _KINDS.get(passed.measure.dims)
    if begun and not close(own, begun):
        yield OwnValue(own, Fraction(begun), "worked out" if passed.named else "begun", kind)
    rights: list[Value] = [v for v, of in by.right_values(sheet) if kind is not None and of == kind]
    if any(close(own, value) for value in rights):
        yield OwnValue(own, own, "named", kind)
        return
    source: SaidHow = (
        "unnamed" if not passed.named else "combined" if kind == "capacitance" else "named"
    )
    yield from (
        OwnValue(own, Fraction(value), source, kind) for value in rights if not in_letters(value)
    )


def with_seen(sheet: S, pieces: Sequence[str], grades: Sequence[Judgement[Topic]]) -> S:
    """The sheet with the numbers to which a line comes that was wrong or could not be read:
    whoever works on with one of them has made the mistake there.
    """
    if grades and all(each.verdict != "wrong" for each in grades):
        return sheet
    ends = (piece.rpartition("=")[2] for piece in pieces)
    numbers = tuple(Fraction(number) for end in ends for number in _NUMBER.findall(end))
    return sheet._replace(seen=(*sheet.seen, *numbers)[-MOST_SEEN:])


def seen_on(by: ProblemKind[S, Topic], sheet: S) -> list[OwnValue]:
    """Numbers of lines that were wrong or not read, each as a wrong one of all that it may be
    meant for; one that is right for something is no wrong value of the pupil's, and what was taken
    for the value of one thing is meant for that alone.
    """
    powers = by.powers(sheet)
    stated = [Fraction(value) for value in sheet.stated.values() if not in_letters(value)]
    plain = [
        (Fraction(value), kind, usual_unit(powers, kind))
        for value, kind in by.right_values(sheet)
        if value and not in_letters(value)
    ]
    return [
        OwnValue(number * unit, value, "seen", kind)
        for number in dict.fromkeys(sheet.seen)
        if number and not any(close(number * unit, value) for value, _, unit in plain)
        for value, kind, unit in plain
        if not any(close(number * unit, own) for own in stated)
    ]


def rounded_in(by: ProblemKind[S, Topic], sheet: S, side: Expression) -> list[OwnValue]:
    """The values in a way, of numbers or under names, that are right but for their rounding, each
    with the right one.
    """
    powers, found = by.powers(sheet), []
    named = [m for m in by.worth(sheet, (side,)).values() if not in_letters(m.value)]
    for value, kind in by.right_values(sheet):
        if not value or in_letters(value) or kind is None:
            continue
        right, usual = Fraction(value), usual_unit(powers, kind)
        amounts = [(Fraction(each.value), Fraction(0)) for each in named]
        for number in numbers_in(side):
            unit = Fraction(10) ** number.unit.power if number.unit else usual
            amounts.append((number.value * unit, _half(number) * unit))
        for own, half in amounts:
            room = min(max(half, NEAR * abs(right)), ROUGHLY * abs(right))
            if 0 < abs(own - right) <= room:
                found.append(OwnValue(own, right, "seen", kind))
    return list(dict.fromkeys(found))


def _half(number: Num) -> Fraction:
    """Half of the last place that may have been meant: 430 may be rounded to tens."""
    half = Fraction(number.half or 0)
    while half and number.value % (half * 20) == 0:
        half *= 10
    return half


def rests_of(held: Sequence[OwnValue]) -> list[OwnValue]:
    """What a stated value leaves of another of its kind: 20 V of 30 V after a wrong 10 V, taken
    off in the head.
    """
    stated = [one for one in held if one.source == "stated" and one.kind is not None]
    pairs = [(one, other) for one, other in permutations(stated, 2) if one.kind == other.kind]
    rests = [
        OwnValue(one.own - other.own, one.right - other.right, "stated", one.kind)
        for one, other in pairs
    ]
    return [each for each in rests if each.own > 0 and each.right > 0 and each.is_off]


def related(one: OwnValue, other: OwnValue) -> list[OwnValue]:
    """What the relations of the trade make of two values: the pupil's, beside the right ones."""
    if one.kind is None or other.kind is None:
        return []
    kinds = (one.kind, other.kind)
    ways: list[tuple[_Work, Dimension]] = []
    if one.kind == other.kind:
        ways += [(add, one.kind), (sub, one.kind)]
    if kinds == ("capacitance", "capacitance"):
        ways.append((_in_series, one.kind))
    if kinds == ("charge", "voltage"):
        ways.append((mul, "energy"))  # of a supply
    if min(one.own, other.own, one.right, other.right) > 0:
        ways += [
            (form.work, finds) for (finds, *uses), form in FORMS.items() if kinds == tuple(uses)
        ]
    return [
        OwnValue(
            near(work(one.own, other.own)), near(work(one.right, other.right)), "combined", finds
        )
        for work, finds in ways
    ]


def _in_series(first: Value, second: Value) -> Value:
    return first * second / (first + second) if first + second else first
