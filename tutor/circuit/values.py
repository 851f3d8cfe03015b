"""Exact values: fractions for numbers, sympy expressions where letters stand for values.

Every sum in the program runs on plain ``+ - * /``, which both kinds share. sympy is loaded only
when the first letter is met.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any, TypeAlias, TypeGuard

from grammar.records import PERMITTIVITY_LETTER, Amount, Body, Letter, Plates, Worth
from tutor.circuit.plates import capacitance_of

if TYPE_CHECKING:
    from sympy import Expr

    Value: TypeAlias = Fraction | Expr
else:
    Value = object


def value_of(worth: Worth) -> Value:
    """The exact value in SI units; a letter stands for a positive real quantity.

    Errors: ``ValueError`` for a value that is missing, which is found before a network is built.
    """
    if isinstance(worth, Amount):
        return worth.value
    if isinstance(worth, Plates):
        return capacitance_of(worth)
    if isinstance(worth, Body):
        from tutor.circuit.bodies import capacitance_of_body  # few texts have one

        return tidy(capacitance_of_body(worth))
    if not isinstance(worth, Letter):
        raise ValueError("a missing value has to be found first")
    import sympy

    factor = sympy.Rational(worth.factor.numerator, worth.factor.denominator)
    for symbol in worth.letters:
        factor *= sympy.Symbol(symbol, positive=True)
    return factor


def tidy(value: Value) -> Value:
    """One fraction in lowest terms; an expression whose letters cancel becomes a Fraction again."""
    if isinstance(value, Fraction):
        return value
    if isinstance(value, int):
        return Fraction(value)
    import sympy

    try:
        return of_field(fraction_field([value]).from_expr(value))
    except ValueError:  # a root of letters
        top, bottom = sympy.cancel(value).as_numer_denom()
        simple = sympy.factor_terms(top) / sympy.factor(bottom)
        return Fraction(int(simple.p), int(simple.q)) if simple.is_Rational else simple


def of_field(element: Any) -> Value:
    """An element of a field of fractions as a tidy value."""
    if element.numer.is_ground and element.denom.is_ground:
        return Fraction(int(element.numer.LC), int(element.denom.LC))
    return _written(element.numer, False) / _written(element.denom, True)


def _written(polynomial: Any, in_factors: bool) -> Expr:
    """What all terms have in common before the rest."""
    from sympy.core.mul import _keep_coeff

    content, primitive = polynomial.primitive()
    if all(number < 0 for number in primitive.coeffs()):
        content, primitive = -content, -primitive
    common = primitive.ring({tuple(map(min, zip(*primitive.monoms(), strict=True))): 1})
    written, rest = common.as_expr(), primitive.exquo(common)
    for factor in _factors(rest) if in_factors else (rest,):
        written = written * factor.as_expr()
    return _keep_coeff(polynomial.ring.domain.to_sympy(content), written)


def _factors(polynomial: Any) -> Iterator[Any]:
    """What cannot be parted, each as often as it comes.

    A·x + B, with x in neither, is parted by what A and B have in common, and by nothing else: so
    are most sums here, and trying all ways takes long.
    """
    for letter in polynomial.ring.gens:
        if polynomial.degree(letter) == 1:
            slope = polynomial.diff(letter)
            common = slope.gcd(polynomial - slope * letter)
            if common.is_ground:
                yield polynomial
            else:
                yield from _factors(common)
                yield from _factors(polynomial.exquo(common))
            return
    for factor, power in polynomial.factor_list()[1]:
        yield from [factor] * power


def fraction_field(values: Iterable[Value]) -> Any:
    """The field of fractions in the letters of these values, over the whole numbers.

    Its elements hold their terms by exponents alone, so sums and common factors of many letters
    come far faster than in expressions.
    """
    import sympy
    from sympy.polys.fields import FracField

    letters = {s for value in values if in_letters(value) for s in value.free_symbols}
    return FracField(sorted(letters, key=str) or [sympy.Dummy()], sympy.ZZ)


def in_field(field: Any, value: Value) -> Any:
    """A value as an element of a field that has its letters."""
    if in_letters(value):
        return field.from_expr(value)
    return field(value.numerator) / field(value.denominator)


def product(first: Value, second: Value) -> Value:
    """The product of two tidy values; sums in it stay together, as in (a + b)²."""
    if not (in_letters(first) and in_letters(second)):
        return tidy(first * second)
    field = fraction_field([first, second])
    try:
        one, other = field.from_expr(first), field.from_expr(second)
    except ValueError:
        return tidy(first * second)
    apart = (one.numer.gcd(other.denom), other.numer.gcd(one.denom))
    return first * second if all(common.is_ground for common in apart) else tidy(first * second)


def in_letters(value: Value) -> TypeGuard[Any]:
    """Whether letters are left in the value, which is then a sympy expression."""
    return not isinstance(value, (Fraction, int))


def same(first: Value, second: Value) -> bool:
    """Exact equality, by algebra where there are letters."""
    if not in_letters(first) and not in_letters(second):
        return first == second
    return not in_letters(difference := tidy(first - second)) and difference == 0


def magnitude(value: Value) -> Value:
    """The value without its sign; of letters, which are positive, without a leading minus."""
    if in_letters(value):
        return -value if value.could_extract_minus_sign() else value
    return abs(value)


class Undecided(ValueError):
    """Letters leave open whether a value is above or below nought: ``args`` hold the value."""


def sign_of(value: Value) -> int | None:
    """1, 0 or −1; None where letters leave it open.

    Letters are positive, that of a relative permittivity is above 1. A square of a difference
    counts as above nought: letters that are not the same stand for values that are not the same.
    """
    if not in_letters(value):
        return (value > 0) - (value < 0)
    if value.is_positive or value.is_negative:  # as it stands, which is most often so
        return 1 if value.is_positive else -1
    import sympy

    one_over = {s: s + 1 for s in value.free_symbols if str(s) == PERMITTIVITY_LETTER}
    value = value.subs(one_over)  # a relative permittivity is above 1
    sign = 1
    for part in sympy.fraction(sympy.factor(value)):
        number, factors = sympy.factor_list(part)
        if number == 0:
            return 0
        sign *= 1 if number > 0 else -1
        for factor, power in factors:
            if power % 2 == 0:
                continue
            expanded = sympy.expand(factor)
            if not (expanded.is_positive or expanded.is_negative):
                return None
            sign *= 1 if expanded.is_positive else -1
    return sign


def decided(value: Value) -> int:
    """The sign. Errors: ``Undecided`` where letters leave it open."""
    sign = sign_of(value)
    if sign is None:
        raise Undecided(value)
    return sign


def size_of(value: Value) -> Value:
    """The value without its sign. Errors: ``Undecided`` where letters leave the sign open."""
    if in_letters(value):
        return tidy(-value) if decided(value) < 0 else value
    return abs(value)


def add_up(values: list[Value]) -> Value:
    """The sum of at least one value, tidied."""
    total: Value = Fraction(0)
    for value in values:
        total = total + value
    return tidy(total)


def parallel_sum(values: list[Value]) -> Value:
    """Equivalent capacitance side by side: C = C1 + C2 + … (charges add at one p.d.)."""
    return add_up(values)


def chain_sum(values: list[Value]) -> Value:
    """Equivalent capacitance of a chain: 1/C = 1/C1 + 1/C2 + … (p.d.s add at one charge)."""
    return tidy(1 / add_up([tidy(1 / value) for value in values]))


def to_figures(value: Fraction, figures: int) -> Fraction:
    """Rounded half away from zero to so many significant figures."""
    if value == 0:
        return value
    scale = Fraction(1)
    while abs(value) * scale >= Fraction(10) ** figures:
        scale /= 10
    while abs(value) * scale < Fraction(10) ** (figures - 1):
        scale *= 10
    whole = int(abs(value) * scale + Fraction(1, 2))
    return (1 if value > 0 else -1) * whole / scale
