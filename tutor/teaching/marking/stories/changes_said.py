"""How much a quantity is said to have changed by: lost 270 µJ, where the store did."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import combinations
from typing import Final

from grammar.quantity import unit
from tutor.teaching.judging import close
from tutor.teaching.marking.statements import AMOUNT
from tutor.teaching.marking.stories.paper import Paper

_AS_HEAT: Final = re.compile(r"heat|warm|spark")
_PARTS: Final = re.compile(r"(\d+(?:[.,]\d+)?)\s*([A-Za-zµμ]+)")


def says_true_change(paper: Paper, piece: str) -> bool:
    """Whether an amount in a piece is what one value is above another of its kind; not where it
    says as what that went.
    """
    if _AS_HEAT.search(piece):
        return False
    found = (_PARTS.fullmatch(each) for each in AMOUNT.findall(piece))
    return any(_is_change(paper, each[1], each[2]) for each in found if each)


def _is_change(paper: Paper, number: str, written: str) -> bool:
    kind = unit(written)
    amount = Fraction(number.replace(",", ".")) * Fraction(10) ** kind.power
    right = {at: ask.right for at, ask in enumerate(paper.asks) if ask.right is not None}
    held = [
        value
        for values in (right, paper.own)
        for at, value in values.items()
        if paper.asks[at].dimension == kind.dimension and isinstance(value, Fraction)
    ]
    is_value = any(close(amount, one) for one in held)  # 180 µC, of 180 µC and then 360 µC
    changes = (abs(one - other) for one, other in combinations(held, 2))
    return not is_value and any(close(amount, each) for each in changes)
