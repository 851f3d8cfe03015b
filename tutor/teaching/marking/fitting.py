"""How one side of an equals sign fits a value: rightly, by the learner's own values, or not."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.answers import Dims, Measure, evaluate
from grammar.expressions import Expression, Name, Neg, Num, Op, Power, names_in, parts_of
from grammar.lengths import SIZE_SYMBOL
from grammar.measures import PURE, turned_dims
from grammar.records import Dimension, Refusal
from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.judging import SMALL, Judged, judge
from tutor.teaching.once import once

FitKind: TypeAlias = Literal["true", "own", "one figure", "power of ten", "unit", "off"]
FACTORS: Final = frozenset((Fraction(1, 2), Fraction(1), Fraction(2)))  # that stand in formulas
# How far a value may be off that was worked out from one of three figures, or of two.
NEAR: Final = Fraction(1, 100)
ROUGHLY: Final = Fraction(1, 20)
_GOOD: Final = ("true", "own", "one figure")


def is_near(one: Value, other: Value, within: Fraction = NEAR) -> bool:
    """Whether two values are equal, as far as rounding goes; in letters exactly."""
    if in_letters(one) or in_letters(other):
        return bool(tidy(one - other) == 0)
    return abs(Fraction(one) - Fraction(other)) <= within * abs(Fraction(other))


class _Weighed(NamedTuple):
    """``kind`` and ``right`` value in SI units. A number without a unit counts in 10**``power``, or
    in 10**``sums``, in which sums of given numbers come out. ``ways`` gives what the right rules
    make of the learner's own values; ``letters`` stand for values in this problem.
    """

    kind: Dimension | Dims
    power: int
    right: Value
    ways: Callable[[], Iterable[Value]]
    letters: frozenset[str] = frozenset()
    sums: int | None = None


class Gauge(_Weighed):
    """What a value is held against. It never changes, so that how an amount fits it is worked out
    once.
    """


class Fit(NamedTuple):
    """``value`` is what the side comes to in SI units, None where it cannot be told.

    ``is_final``: the side is one value, not a sum or a name. ``number`` is the value in the usual
    unit with ``half`` a unit of its last typed place; ``shift`` the power of ten that is missing.
    """

    kind: FitKind
    value: Value | None
    is_final: bool
    is_fraction: bool = False
    number: Fraction | None = None
    half: Fraction | None = None
    figures: int = 0
    bare: bool = False
    shift: int = 0
    rounded: bool = False


def fit(gauge: Gauge, side: Expression, lookup: Mapping[str, Measure], turned: bool = False) -> Fit:
    """Compare a side with a value; with ``turned`` it is one over the value.

    Raises Refusal where the side cannot be worked out.
    """
    measure = evaluate(side, lookup)
    if turned:
        measure = turned_over(measure)
    kind, judged = _kind(gauge, measure)
    if kind not in _GOOD and measure.bare and gauge.sums not in (None, gauge.power):
        by_sums = _kind(gauge._replace(power=gauge.sums), measure)
        kind, judged = by_sums if by_sums[0] in _GOOD else (kind, judged)
    value = judged.value
    if judged.note == "unit":
        bare = _in_usual_unit(measure)
        kind_of_number, as_number = _kind(gauge, bare)
        value = as_number.value
        if kind_of_number in _GOOD:
            kind = "unit"
        measure = bare
    if kind == "off" and measure.bare and gauge.power <= -6 and _is_in_si(measure):
        measure = measure._replace(bare=False)
        value = measure.value
    number, half = _number(value, measure, gauge.power)
    return Fit(
        kind,
        value,
        is_final(side, gauge.letters) and not turned,
        _is_fraction(side),
        number,
        half,
        measure.figures if measure.one_number else 0,
        judged.bare and gauge.kind not in SIZE_SYMBOL,  # lengths and areas are read in metres
        judged.shift,
        judged.note == "own rounding",
    )


def _is_in_si(measure: Measure) -> bool:
    """Whether a number without a unit is too small to be meant in the usual one: 8.85e-12."""
    return not in_letters(measure.value) and 0 < abs(measure.value) < SMALL


@once
def _kind(gauge: Gauge, measure: Measure) -> tuple[FitKind, Judged]:
    kind, power, right = gauge.kind, gauge.power, gauge.right
    first = judge(measure, kind, power, right)
    if first.verdict == "right":
        return "true", first
    if first.note == "unit":
        return "off", first
    ways = list(gauge.ways())
    if first.note == "one figure":  # unless it is exactly what the learner's own values come to
        mine = (judge(measure, kind, power, way) for way in ways)
        own = next((each for each in mine if each.verdict == "right"), None)
        return ("own", own) if own else ("one figure", first)
    in_si = measure.bare and power != 0 and first.note == "power of ten"
    if in_si and judge(measure, kind, 0, right).verdict == "right":
        return "true", judge(measure, kind, 0, right)
    tries = [(way, power) for way in ways] + [(way, 0) for way in ways if measure.bare and power]
    shifted = first if first.note == "power of ten" else None
    for way, at in tries:
        judged = judge(measure, kind, at, way)
        if judged.verdict == "right" or judged.note == "one figure":
            return "own", judged
        if judged.note == "power of ten" and at == power and shifted is None:
            shifted = judged
    return ("power of ten", shifted) if shifted is not None else ("off", first)


def turned_over(measure: Measure) -> Measure:
    """The measure of C where a side says what 1/C is; figures and places go along. Raises Refusal
    for nought.
    """
    if measure.value == 0:
        raise Refusal("One over zero has no value.", "Look at the sum of reciprocals.")
    half = measure.half
    if half is not None and measure.one_number:
        half = half / (measure.value * measure.value)
    return measure._replace(
        value=tidy(1 / measure.value),
        dims=turned_dims(measure.dims),
        power=-measure.power,
        half=half,
    )


def _in_usual_unit(measure: Measure) -> Measure:
    """The number alone, as if its unit had not been written."""
    scale = Fraction(10) ** measure.power
    half = None if measure.half is None else measure.half / scale
    return measure._replace(value=measure.value / scale, dims=PURE, power=0, bare=True, half=half)


def _number(
    value: Value | None, measure: Measure, power: int
) -> tuple[Fraction | None, Fraction | None]:
    if value is None or in_letters(value):
        return None, None
    scale = Fraction(10) ** power
    half = measure.half if measure.one_number else None
    if half is not None and not measure.bare:
        half = half / scale
    return Fraction(value) / scale, half


def is_final(side: Expression, letters: frozenset[str] = frozenset()) -> bool:
    """Whether a side is a value as it is left standing: 5 uF, 2.2e-6 F, 20/9 uF, 2C/3."""
    if isinstance(side, Num) and side.unit is None:
        return True
    if letters and (written := names_in(side)):
        return letters.issuperset(written)
    numbers, names = 0, 0
    for part in parts_of(side):
        if isinstance(part, Name):
            names += 1
        elif isinstance(part, Num):
            numbers += not _is_factor(part)
        elif _is_worked_on(part):
            return False
    return names == 0 and (numbers == 1 or _is_fraction(side))


def _is_worked_on(part: Expression) -> bool:
    """A sum, or a power of more than a number."""
    if isinstance(part, Op):
        return part.sign in "+-"
    return isinstance(part, Power) and not isinstance(part.base, Num)


def _is_fraction(side: Expression) -> bool:
    """Whether it is a fraction of two whole numbers, or a mixed number."""
    core = side.inner if isinstance(side, Neg) else side
    if isinstance(core, Op) and core.sign == "*" and isinstance(core.right, Num):
        core = core.left if _is_factor(core.right) else core
    if isinstance(core, Num):
        return core.half is None
    if not isinstance(core, Op) or core.sign != "/":
        return False
    return all(
        isinstance(part, Num)
        and (part.half is None or part.value.denominator == 1)
        and (at == 1 or part.unit is None)
        and not _is_factor(part)
        for at, part in enumerate((core.left, core.right))
    )


def _is_factor(part: Num) -> bool:
    """A unit or a power of ten that stands alone."""
    return part.half == 0 and part.figures == 0


def numbers_in(side: Expression) -> Iterator[Num]:
    """The typed numbers of a side."""
    return (part for part in parts_of(side) if isinstance(part, Num) and not _is_factor(part))


def power_of_sums(powers: Mapping[Dimension, int], kind: Dimension | None) -> int | None:
    """The power of ten in which charges and energies come out of the usual numbers of farads and
    volts; None for what is no such.
    """
    volts = {"charge": 1, "energy": 2}.get(kind or "")
    return None if volts is None else powers["capacitance"] + volts * powers["voltage"]


def usual_unit(powers: Mapping[Dimension, int], kind: Dimension | None) -> Fraction:
    """The unit, in SI units, in which plain numbers of a kind are meant; 1 for what has none."""
    return Fraction(10) ** (powers[kind] if kind else 0)


def kind_of(side: Expression) -> Dimension | None:
    """The kind of a value by the unit that is written with it."""
    return side.unit.dimension if isinstance(side, Num) and side.unit else None
