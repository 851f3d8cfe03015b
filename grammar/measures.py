"""What an expression is worth: exact values with dimensions.

A dimension is three exponents, of the farad, the volt and the metre: a charge is (1, 1, 0),
since a coulomb is a farad times a volt. A number without a unit is *bare*: what it means is
settled by the quantity it is added to, or by whoever asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from math import isqrt
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from grammar.expressions import Expression, Name, Neg, Num, Op, Power, parts_of
from grammar.records import Dimension, Refusal

if TYPE_CHECKING:
    from sympy import Expr

    Value: TypeAlias = Fraction | Expr

Dims: TypeAlias = tuple[int, int, int]

ROOT_SCALE = 10**40

PURE: Dims = (0, 0, 0)
DIMS: Mapping[Dimension, Dims] = MappingProxyType(
    {
        "capacitance": (1, 0, 0),
        "voltage": (0, 1, 0),
        "charge": (1, 1, 0),
        "energy": (1, 2, 0),
        "length": (0, 0, 1),
        "area": (0, 0, 2),
        "permittivity": (1, 0, -1),
        "field": (0, 1, -1),
        "force": (1, 2, -1),
    }
)
_SPOKEN = MappingProxyType(
    {
        PURE: "a plain number",
        (1, 0, 0): "a capacitance",
        (0, 1, 0): "a p.d.",
        (1, 1, 0): "a charge",
        (1, 2, 0): "an energy",
        (-1, 0, 0): "one divided by a capacitance",
        (0, 0, 1): "a length",
        (0, 0, 2): "an area",
        (0, 1, -1): "a field",
        (1, 2, -1): "a force",
    }
)


class Measure(NamedTuple):
    """The worth of an expression: ``value`` in SI units, or as typed where ``bare``.

    ``power`` is the power of ten of the unit it was written in (-6 for µF or µC); a bare
    number added to it is understood in that unit. ``half``, in the measure of ``value``, and
    ``figures`` belong to one number typed as a decimal (``one_number``); anything else is
    exact.
    """

    value: Value
    dims: Dims = PURE
    power: int = 0
    bare: bool = False
    half: Fraction | None = None
    figures: int = 0
    one_number: bool = False


class WrongUnit(Refusal):
    """A quantity of one kind where another is needed: ``dims`` stand there."""

    def __init__(self, dims: Dims, wanted: Dims) -> None:
        super().__init__(
            f"This is {spoken(dims)}.", f"Here {spoken(wanted)} is needed: look at the unit."
        )
        self.args = (dims, wanted)
        self.dims = dims
        self.wanted = wanted


def spoken(dims: Dims) -> str:
    """The kind of quantity in words, with its article."""
    return _SPOKEN.get(dims, "no kind of quantity used here")


def known(value: Value, dimension: Dimension, power: int = 0) -> Measure:
    """The worth of a name: ``value`` in SI units, shown to the learner times 10**-power."""
    return Measure(value, DIMS[dimension], power)


def as_si(measure: Measure, kind: Dimension | Dims, power: int) -> Value:
    """The value in SI units as an answer of this kind.

    A bare number counts in units of 10**power. Errors: ``WrongUnit`` for another kind.
    """
    wanted = DIMS[kind] if isinstance(kind, str) else kind
    if measure.bare:
        return times_ten(measure.value, power)
    if measure.dims != wanted:
        raise WrongUnit(measure.dims, wanted)
    return measure.value


def half_in_si(measure: Measure, power: int) -> Fraction | None:
    """Half a unit of the last typed place in SI units; None where the value is exact."""
    if measure.half is None or not measure.bare:
        return measure.half
    return measure.half * Fraction(10) ** power


def turned_dims(dims: Dims) -> Dims:
    """The dimension of one divided by a quantity."""
    farads, volts, metres = dims
    return -farads, -volts, -metres


def evaluate(expression: Expression, lookup: Mapping[str, Measure]) -> Measure:
    """Work an expression out exactly, with the worth of each name from ``lookup``.

    Errors: ``WrongUnit`` for a sum of two kinds, ``Refusal`` for a division by zero and for
    a name without a value.
    """
    done: list[Measure] = []
    for part in parts_of(expression):
        if isinstance(part, Num):
            done.append(_typed(part))
        elif isinstance(part, Name):
            done.append(_looked_up(part.text, lookup))
        elif isinstance(part, Neg):
            inner = done.pop()
            done.append(inner._replace(value=-inner.value))
        elif isinstance(part, Power) and isinstance(part.exponent, Fraction):
            done.append(_root(done.pop()))
        elif isinstance(part, Power):
            done.append(_raised(done.pop(), int(part.exponent)))
        else:
            right, left = done.pop(), done.pop()
            done.append(_RULES[part.sign](left, right))
    (whole,) = done
    return whole if whole.figures else whole._replace(half=None, one_number=False)


def kinds_of(
    expression: Expression, kinds: Callable[[Num | Name], frozenset[Dims] | None]
) -> frozenset[Dims] | None:
    """The dimensions that an expression may have, by those that its numbers and names may have;
    None where one may be anything.
    """
    done: list[frozenset[Dims]] = []
    for part in parts_of(expression):
        if isinstance(part, Num | Name):
            if (may_be := kinds(part)) is None:
                return None
            done.append(may_be)
        elif isinstance(part, Power):
            done.append(frozenset(each for base in done.pop() for each in _power_of(base, part)))
        elif isinstance(part, Op):
            right, left = done.pop(), done.pop()
            times = {"*": 1, "/": -1}.get(part.sign)
            done.append(left & right if times is None else frozenset(
                (a + times * x, b + times * y, c + times * z)
                for a, b, c in left for x, y, z in right
            ))
    return done[0]


def _power_of(base: Dims, power: Power) -> Iterator[Dims]:
    """One of whole exponents, where that comes of it."""
    a, b, c = (each * Fraction(power.exponent) for each in base)
    if all(each.denominator == 1 for each in (a, b, c)):
        yield (int(a), int(b), int(c))


def times_ten(value: Value, power: int) -> Value:
    """``value`` times ten to the ``power``, exactly."""
    left, right = _alike(value, Fraction(10) ** power)
    return left * right


def _typed(part: Num) -> Measure:
    one = part.half is not None
    bare = Measure(part.value, PURE, 0, True, part.half, part.figures, one)
    if part.unit is None:
        return bare
    scale = Fraction(10) ** part.unit.power
    half = None if part.half is None else part.half * scale
    dims = DIMS[part.unit.dimension]
    return Measure(part.value * scale, dims, part.unit.power, False, half, part.figures, one)


def _looked_up(name: str, lookup: Mapping[str, Measure]) -> Measure:
    if name not in lookup:
        raise Refusal(f"{name} has no value yet.", "Use values that are known at this point.")
    return lookup[name]


def _sum(left: Measure, right: Measure) -> Measure:
    if left.bare and not right.bare:
        left = _counted_in(left, right)
    elif right.bare and not left.bare:
        right = _counted_in(right, left)
    if left.dims != right.dims:
        raise WrongUnit(right.dims, left.dims)
    one, other = _alike(left.value, right.value)
    return Measure(one + other, left.dims, left.power, left.bare)


def _difference(left: Measure, right: Measure) -> Measure:
    return _sum(left, right._replace(value=-right.value))


def _counted_in(bare: Measure, united: Measure) -> Measure:
    """A bare number as so many of the units the other was written in."""
    return Measure(times_ten(bare.value, united.power), united.dims, united.power)


def _product(left: Measure, right: Measure) -> Measure:
    farads, volts, metres = (a + b for a, b in zip(left.dims, right.dims, strict=True))
    dims = (farads, volts, metres)
    one, other = _alike(left.value, right.value)
    whole = Measure(one * other, dims, left.power + right.power, left.bare and right.bare)
    return _with_places(whole, left, right)


def _quotient(left: Measure, right: Measure) -> Measure:
    return _product(left, _raised(right, -1))


def _with_places(whole: Measure, left: Measure, right: Measure) -> Measure:
    """A typed number times a unit or a power of ten is still one typed number."""
    factor, number = (left, right) if _exact_factor(left) else (right, left)
    if number.half is None:
        return whole
    if not isinstance(factor.value, Fraction):  # 0.71 C V: so many of its letters, rounded
        times = Fraction(*factor.value.as_coeff_Mul()[0].as_numer_denom())
        return whole._replace(half=number.half * abs(times), figures=number.figures)
    if not _exact_factor(factor):
        return whole
    return whole._replace(
        half=number.half * abs(factor.value), figures=number.figures, one_number=True
    )


def _exact_factor(measure: Measure) -> bool:
    return measure.one_number and measure.half == 0


def _raised(base: Measure, exponent: int) -> Measure:
    if exponent < 0 and base.value == 0:
        raise Refusal("This divides by zero.", "Look at what stands below the line.")
    farads, volts, metres = base.dims
    dims = (farads * exponent, volts * exponent, metres * exponent)
    raised = Measure(base.value**exponent, dims, base.power * exponent, base.bare)
    return raised._replace(half=base.half, one_number=True) if _exact_factor(base) else raised


def _root(base: Measure) -> Measure:
    """The square root above zero; one that is no fraction is good to thirty figures."""
    if base.value.is_negative if not isinstance(base.value, Fraction) else base.value < 0:
        raise Refusal("This takes the root of a number below zero.", "Look at its signs.")
    if any(exponent % 2 for exponent in base.dims):
        raise Refusal(f"This takes the root of {spoken(base.dims)}.", "Look at what stands in it.")
    farads, volts, metres = base.dims
    dims = (farads // 2, volts // 2, metres // 2)
    return Measure(_root_of(base.value), dims, base.power // 2, base.bare)


def _root_of(value: Value) -> Value:
    if not isinstance(value, Fraction):
        from sympy import sqrt

        return sqrt(value)
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if (top * top, bottom * bottom) == (value.numerator, value.denominator):
        return Fraction(top, bottom)
    return Fraction(isqrt(value * ROOT_SCALE**2 // 1), ROOT_SCALE)


def _alike(left: Value, right: Value) -> tuple[Value, Value]:
    """Both as they are, or both as sympy expressions where either of them is one."""
    if isinstance(left, Fraction) is isinstance(right, Fraction):
        return left, right
    from sympy import Rational

    if isinstance(left, Fraction):
        return Rational(left.numerator, left.denominator), right
    return left, Rational(right.numerator, right.denominator)


_RULES: Mapping[str, Callable[[Measure, Measure], Measure]] = MappingProxyType(
    {"+": _sum, "-": _difference, "*": _product, "/": _quotient}
)
