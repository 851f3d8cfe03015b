"""What a side of an equals sign says, before anything is worked out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Literal, NamedTuple, TypeAlias

from grammar.quantity import Unit


class Num(NamedTuple):
    """A typed value in ``unit`` (None: bare). ``text`` is the number as it was typed.

    ``half`` is half a unit in its last typed place, None for a fraction such as 1 1/5; a unit
    or a power of ten standing alone is an exact factor, with ``half`` and ``figures`` zero.
    """

    value: Fraction
    half: Fraction | None
    figures: int
    text: str
    unit: Unit | None = None


class Name(NamedTuple):
    """A name that means something now, spelled as the program spells it."""

    text: str


class Neg(NamedTuple):
    """The opposite of ``inner``."""

    inner: Expression


class Power(NamedTuple):
    """``base`` to a small whole ``exponent``, or to a half: its square root."""

    base: Expression
    exponent: int | Fraction


class Op(NamedTuple):
    """Two expressions joined by one of the four rules of arithmetic."""

    sign: Literal["+", "-", "*", "/"]
    left: Expression
    right: Expression


Expression: TypeAlias = Num | Name | Neg | Power | Op


def parts_of(expression: Expression) -> Iterator[Expression]:
    """Every part of an expression, each after the parts it is made of, from left to right."""
    waiting: list[tuple[Expression, bool]] = [(expression, False)]
    while waiting:
        part, opened = waiting.pop()
        inner = () if opened else inner_parts(part)
        if not inner:
            yield part
            continue
        waiting.append((part, True))
        waiting.extend((each, False) for each in reversed(inner))


def inner_parts(part: Expression) -> tuple[Expression, ...]:
    """The parts that one part is made of directly; none for a number and a name."""
    if isinstance(part, Op):
        return (part.left, part.right)
    if isinstance(part, Neg):
        return (part.inner,)
    return (part.base,) if isinstance(part, Power) else ()


def names_in(*sides: Expression) -> list[str]:
    """The names that stand in expressions, in their order."""
    return [part.text for side in sides for part in parts_of(side) if isinstance(part, Name)]


def rewritten(
    expression: Expression, change: Callable[[Expression], Expression | None]
) -> Expression:
    """With what ``change`` gives in the place of a part; a part for which it gives None stays, and
    is looked into.
    """
    new = change(expression)
    if new is not None:
        return new
    inner = [rewritten(part, change) for part in inner_parts(expression)]
    if isinstance(expression, Op):
        return Op(expression.sign, inner[0], inner[1])
    if isinstance(expression, Neg):
        return Neg(inner[0])
    return Power(inner[0], expression.exponent) if isinstance(expression, Power) else expression
