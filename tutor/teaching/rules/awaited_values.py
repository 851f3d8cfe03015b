"""The values that a question asked back expects, where it supposes what a learner has done.

'What charge would each hold at the p.d. you give?' is answered by values that are not those of the
network: they show that the wrong idea cannot be, and are no answers to the question in hand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

from tutor.teaching.quantities import Symbol
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import total

NONE_OF_IT = Fraction(0)


class Awaited(NamedTuple):
    """One value that is asked for, as a plain number; ``of`` is the capacitor, None for any."""

    symbol: Symbol
    number: Fraction
    of: str | None = None


AwaitedOf: TypeAlias = Callable[[RuleContext, Fraction], tuple[Awaited, ...]]


def _of_each(symbol: Symbol, of_part: Callable[[Fraction, Fraction], Fraction]) -> AwaitedOf:
    """A value for each of the parts, of its capacitance and the wrong number."""
    return lambda s, wrong: tuple(
        Awaited(symbol, of_part(c, wrong), name) for c, name in zip(s.parts, s.names, strict=True)
    )


def _own(*symbols: Symbol) -> AwaitedOf:
    """What the capacitor asked about has itself."""
    def found(s: RuleContext, _: Fraction) -> tuple[Awaited, ...]:
        numbers = {"V": s.v, "Q": s.q, "C": s.c}
        own = [(symbol, numbers.get(symbol)) for symbol in symbols]
        return tuple(Awaited(symbol, number) for symbol, number in own if number is not None)
    return found


def _nought(symbol: Symbol) -> AwaitedOf:
    return lambda *_: (Awaited(symbol, NONE_OF_IT),)


def _rising(s: RuleContext, _: Fraction) -> tuple[Awaited, ...]:
    end = s.v
    return () if end is None else tuple(
        Awaited("V", number) for number in (NONE_OF_IT, end, end / 2)
    )


def _at_one_volt(s: RuleContext, _: Fraction) -> tuple[Awaited, ...]:
    each = tuple(Awaited("Q", c, name) for c, name in zip(s.parts, s.names, strict=True))
    return (*each, Awaited("Q", total(s.parts)))


def _charges_before(s: RuleContext) -> tuple[Fraction, ...]:
    return tuple(c * v for c, v in zip(s.listed("c"), s.listed("v"), strict=True))


def _all_charge(s: RuleContext, _: Fraction) -> tuple[Awaited, ...]:
    charges = _charges_before(s)
    return (Awaited("Q", abs(total(charges))),) if charges else ()


def _signed(s: RuleContext, _: Fraction) -> tuple[Awaited, ...]:
    sizes = s.listed("q")
    if "opposed" in s.facts and len(sizes) == 2:
        return (Awaited("Q", sizes[0]), Awaited("Q", -sizes[1]))
    return tuple(Awaited("Q", charge) for charge in _charges_before(s) if charge)


def _fact(symbol: Symbol, name: str) -> AwaitedOf:
    return lambda s, _: (Awaited(symbol, s.facts[name]),) if name in s.facts else ()


# What is said to them stands with the question, in wrong_ideas.toml.
VALUES_BACK: Mapping[str, AwaitedOf] = MappingProxyType({
    "splits-the-pd-equally": _of_each("Q", lambda c, v: c * v),
    "splits-charge-equally-between-branches": _of_each("V", lambda c, q: q / c),
    "leaves-out-the-half": _rising,
    "energy-at-the-supply-pd": _own("V"),
    "energy-with-the-total-charge": _own("Q"),
    "energy-of-the-whole-for-a-part": _own("Q", "V"),
    "average-of-parallel": _at_one_volt,
    "full-supply-pd-on-each": _nought("V"),
    "own-capacitance-times-supply": _own("V"),
    "all-the-charge-on-each-branch": _nought("Q"),
    "blocks-charge-on-each-branch": _nought("Q"),
    "two-share-rule-on-three": _own("Q"),
    "whole-equivalent-for-a-part": _own("Q", "V", "C"),
    "keeps-the-pd": _all_charge,
    "adds-unlike-charges": _signed,
    "adds-the-ratings-of-a-chain": _fact("V", "first at the sum"),
    "adds-or-takes-the-largest-rating": _fact("V", "largest"),
})
