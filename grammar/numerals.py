"""Numbers of a learner's line: decimals, fractions, and the whole numbers of powers."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import TYPE_CHECKING

from grammar.expressions import Expression, Num, Power, inner_parts
from grammar.quantity import PLAIN, RAISED, number
from grammar.records import Refusal
from grammar.words import AnswerLine, Factor, offset_of

if TYPE_CHECKING:
    from grammar.parsing import Token

MOST_POWER = 6
MOST_POWER_OF_TEN = 30
# Powers of powers multiply; beyond this a short line could ask for a number of any length.
MOST_POWERS_TOGETHER = 36

_EXPONENT = re.compile(r"[+-]? *[0-9]+")


def numeral(token: Token, line: AnswerLine) -> Num:
    """A typed number. Errors: ``Refusal`` with its place where it cannot be read."""
    if token.type != "NUMBER":
        return Num(_fraction(token, line), None, 0, str(token))
    try:
        value, half, figures = number(token)
    except Refusal as refusal:
        raise line.placed(refusal, token) from None
    return Num(value, half, figures, str(token))


def _fraction(token: Token, line: AnswerLine) -> Fraction:
    """The value of 1 1/5, 1½ or ½."""
    vulgar = unicodedata.normalize("NFKC", token[-1]).replace("⁄", "/")
    spread = f"{token[:-1]} {vulgar}" if "/" in vulgar else str(token)
    front, _, below = spread.partition("/")
    *before, top = map(int, front.split())
    bottom = int(below)
    if bottom == 0:
        raise line.refusal(offset_of(token), "This divides by zero.", "Write the value.")
    return sum(before) + Fraction(top, bottom)


def powered(base: Factor, sign: Token, line: AnswerLine) -> Factor:
    """A piece with its exponent; a power of ten is one exact number.

    Errors: ``Refusal`` for an exponent that is too large.
    """
    exponent = _exponent(sign)
    if base.token == "10" and abs(exponent) <= MOST_POWER_OF_TEN:
        ten = Num(Fraction(10) ** exponent, Fraction(0), 0, f"10^{exponent}")
        return Factor(base.token, ten, 1)
    if abs(exponent) > MOST_POWER:
        cure = f"Use whole numbers from -{MOST_POWER} to {MOST_POWER}."
        raise line.refusal(offset_of(sign), "This exponent is too large.", cure)
    if base.worth is not None and abs(exponent) * _growth(base.worth) > MOST_POWERS_TOGETHER:
        cure = "Work the inner one out first."
        raise line.refusal(offset_of(sign), "These powers of powers grow too large.", cure)
    return base._replace(exponent=exponent)


def _exponent(sign: Token) -> int:
    if sign[0] in "sScC":
        return 2 if sign[0] in "sS" else 3
    found = _EXPONENT.search(sign.translate(RAISED).translate(PLAIN))
    return int(found[0].replace(" ", "")) if found else 1


def _growth(expression: Expression) -> int:
    """The largest exponent that any part comes to, powers of powers multiplied out."""
    largest = 1
    waiting: list[tuple[Expression, int]] = [(expression, 1)]
    while waiting:
        part, growth = waiting.pop()
        if isinstance(part, Power):
            growth *= max(1, abs(int(part.exponent)))
        largest = max(largest, growth)
        waiting.extend((inner, growth) for inner in inner_parts(part))
    return largest
