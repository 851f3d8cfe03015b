"""Sums of numbers that were rounded before they were put together: 0.33 + 0.14, for 1/3 + 1/7."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction
from itertools import product
from typing import Final, NamedTuple

from grammar.answers import Measure
from grammar.expressions import Expression, Num, rewritten
from grammar.records import Refusal
from tutor.circuit.values import in_letters
from tutor.teaching.marking.fitting import Fit, Gauge, fit, numbers_in

MOST_ROUNDED: Final = 5


class RoundedTerms(NamedTuple):
    """What sides with rounded numbers are held against: ``known`` are numbers that stand as they
    are, ``lookup`` what names are worth; ``turned`` where one over the value is stated.
    """

    gauge: Gauge
    known: AbstractSet[Fraction]
    lookup: Mapping[str, Measure]
    turned: bool

    def told(self, sides: Sequence[Expression], fits: tuple[Fit, ...]) -> tuple[Fit, ...]:
        """The sides with those as the learner's own that miss the right value by no more than the
        rounding of their numbers.
        """
        return tuple(
            each._replace(kind="own")
            if each.kind == "off" and not each.is_final and self._hold_right_value(side)
            else each
            for each, side in zip(fits, sides, strict=True)
        )

    def _hold_right_value(self, side: Expression) -> bool:
        """Whether the right value lies between what a side comes to with its rounded numbers at
        the ends of what they stand for.
        """
        rounded = [n for n in numbers_in(side) if n.value not in self.known and _is_rounded(n)]
        if in_letters(self.gauge.right) or not 0 < len(rounded) <= MOST_ROUNDED:
            return False
        ends: list[Fraction] = []
        for signs in product((-1, 1), repeat=len(rounded)):
            moved = {id(n): s * n.half for n, s in zip(rounded, signs, strict=True) if n.half}
            value = self._value(side, moved)
            if value is None:
                return False
            ends.append(value)
        return min(ends) <= self.gauge.right <= max(ends)

    def _value(self, side: Expression, moved: Mapping[int, Fraction]) -> Fraction | None:
        """What a side comes to with some of its numbers moved."""

        def at_end(part: Expression) -> Expression | None:
            if not isinstance(part, Num) or id(part) not in moved:
                return None
            return part._replace(value=part.value + moved[id(part)])

        try:
            value = fit(self.gauge, rewritten(side, at_end), self.lookup, self.turned).value
        except Refusal:
            return None
        return None if value is None or in_letters(value) else Fraction(value)


def _is_rounded(number: Num) -> bool:
    """Whether a number is a decimal of two figures or more, which may stand for a longer one."""
    return number.half is not None and 2 * number.half < 1 and number.figures > 1
