"""Whether a stated value is right, and if it is nearly so, how it misses."""

from __future__ import annotations

from fractions import Fraction
from math import log2
from typing import Literal, NamedTuple, TypeAlias

from grammar.measures import Dims, Measure, WrongUnit, as_si, half_in_si
from grammar.records import Dimension
from grammar.writing import suited_power
from tutor.circuit.values import Value, in_letters, same, tidy

Note: TypeAlias = Literal["", "one figure", "power of ten", "unit", "own rounding"]
RELATIVE_TOLERANCE = Fraction(1, 200)
SMALL = Fraction(1, 1000)
WELL_TOLD = 3  # figures of a number that fits by no chance
# What is shown with a prefix; a length is asked for in metres.
WITH_PREFIXES = ("capacitance", "charge", "voltage", "energy")
POWERS_OF_TEN = (-12, -9, -6, -3, 3, 6, 9, 12)


class Judged(NamedTuple):
    """``note`` says how a value misses or was saved; ``value`` is what was typed, in SI units, and
    ``shift`` the power of ten that would make it right.
    """

    verdict: Literal["right", "wrong", "incomplete"]
    note: Note = ""
    value: Value | None = None
    bare: bool = False
    shift: int = 0


def judge(
    measure: Measure, kind: Dimension | Dims, power: int, right: Value,
    from_own: Value | None = None,
) -> Judged:
    """Compare a measure with the exact value of a quantity of this kind.

    ``power`` is the usual prefix, which a number without a unit is taken to have; ``from_own``
    is what follows from the learner's own earlier, rounded values. A typed decimal is right if
    the exact value rounds to it with two or more figures, or if it is within 0.5 %.
    """
    try:
        value = as_si(measure, kind, power)
    except WrongUnit:
        if in_letters(right) and in_letters(measure.value) and same(measure.value, right):
            return Judged("right", "", right, True)  # 8C for 8 V × C: the volts are left unsaid
        return Judged("wrong", "unit")
    if in_letters(right) or in_letters(value):
        is_right = close(value, right) or _rounds_to(measure, right)
        return Judged("right" if is_right else "wrong", "", value, False)
    bare = measure.bare
    measure = without_closing_noughts(measure)
    half = half_in_si(measure, power) if measure.one_number else None
    if _close(value, right, half, measure.figures):
        return Judged("right", "", value, bare)
    told_well = measure.figures >= WELL_TOLD
    in_si = bare and power <= (-3 if measure.figures > WELL_TOLD else -6) and (
        abs(measure.value) < (100 * SMALL if told_well else SMALL)
    )
    if in_si and _close(measure.value, right, measure.half, measure.figures):
        return Judged("right", "", measure.value, bare)  # a bare number in SI units, like 6e-5
    suited = suited_power(right, power)
    if bare and suited != power and kind in WITH_PREFIXES:  # in the prefix that it is shown with
        scale = Fraction(10) ** suited
        in_suited, half_suited = measure.value * scale, measure.half and measure.half * scale
        if _close(in_suited, right, half_suited, measure.figures):
            return Judged("right", "", in_suited, bare)
    if from_own is not None and _close(value, from_own, half, measure.figures):
        return Judged("right", "own rounding", value, bare)
    rounds = half is not None and abs(value - right) <= half
    if rounds and value != 0 and measure.figures == 1:
        return Judged("incomplete", "one figure", value, bare)
    if (shift := _nearest_shift(value, right)) in POWERS_OF_TEN:
        scale = Fraction(10) ** shift
        if _close(value * scale, right, half and half * scale, measure.figures):
            return Judged("wrong", "power of ten", value, bare, shift)
    return Judged("wrong", "", value, bare)


def point_moved(value: Value, right: Value, room: Fraction) -> int | None:
    """By how many places the point of the right value is moved in this one, which may miss that by
    ``room`` in parts of it; None for another value, for nought and for letters.
    """
    if in_letters(value) or in_letters(right) or not value or not right:
        return None
    shift = _nearest_shift(Fraction(value), Fraction(right))
    miss = abs(value * Fraction(10) ** shift - right)
    return shift if miss <= room * abs(right) else None


def _nearest_shift(value: Fraction, right: Fraction) -> int:
    """The power of ten by which a value misses the right one, about; 0 where one is nought. By the
    lengths of whole numbers, which is enough for one of the same figures.
    """
    if not value or not right:
        return 0
    top, bottom = right.numerator * value.denominator, right.denominator * value.numerator
    return round((top.bit_length() - bottom.bit_length()) / log2(10))


def _rounds_to(measure: Measure, right: Value) -> bool:
    """Whether a number typed before letters is that of the right multiple, rounded: 0.71 C."""
    value, half = measure.value, measure.half
    if half is None or measure.figures < 2 or right == 0 or not (
        in_letters(value) and in_letters(right)
    ):
        return False
    number = Fraction(*value.as_coeff_Mul()[0].as_numer_denom())
    times = tidy(right / value)
    return not in_letters(times) and abs(number * times - number) <= half


def without_closing_noughts(measure: Measure) -> Measure:
    """The noughts that end a whole number hold places and are no figures, but for the one behind
    a single figure that is large enough: 690 uC is as good as 0.69 mC, and 400 uC as 0.40 mC.
    """
    half, value = measure.half, measure.value
    if not measure.one_number or half is None or half == 0 or not isinstance(value, Fraction):
        return measure
    if half * 2 != Fraction(10) ** measure.power:  # a point or a power of ten says its places
        return measure
    digits = str(abs(value / (2 * half)))
    figures = len(digits.rstrip("0"))
    figures += figures == 1 and digits > "2"
    if not 2 <= figures < measure.figures:
        return measure
    return measure._replace(half=half * Fraction(10) ** (len(digits) - figures), figures=figures)


def close(value: Value, right: Value) -> bool:
    """Whether two values are the same as far as rounding goes, that of a multiple of letters too:
    0.714 C for 5C/7.
    """
    if in_letters(value) or in_letters(right):
        if same(value, right) or right == 0 or not (in_letters(value) and in_letters(right)):
            return same(value, right)
        times = tidy(value / right)
        return not in_letters(times) and _close(times, Fraction(1), None, 0)
    return _close(value, right, None, 0)


def has_other_sign(judged: Judged, right: Value | None, dimension: Dimension | None) -> bool:
    """Whether a charge or p.d. below nought has the size of the right one, which is above it: as
    counted from the other plates.
    """
    said = judged.value
    is_signed = dimension in ("charge", "voltage")
    return is_signed and isinstance(said, Fraction) and isinstance(right, Fraction) and (
        said < 0 < right and close(-said, right)
    )


def _close(value: Value, right: Value, half: Fraction | None, figures: int) -> bool:
    if value == right:
        return True
    miss = abs(value - right)
    if half is not None and figures > 1 and miss <= half:
        return True
    return bool(miss <= RELATIVE_TOLERANCE * abs(right))
