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


class ValuesBack(NamedTuple):
    """What is awaited, of the context and the wrong number, and what is said to values that are
    so, and to others.
    """

    awaited: AwaitedOf
    yes: str
    no: str


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


OWN_ENDS = "Its own two ends count, and no other points."
VALUES_BACK: Mapping[str, ValuesBack] = MappingProxyType({
    "splits-the-pd-equally": ValuesBack(
        _of_each("Q", lambda c, v: c * v),
        "Those differ, and a chain has one charge: so it was not that p.d.",
        "At the p.d. that was given, each would hold its capacitance times it.",
    ),
    "splits-charge-equally-between-branches": ValuesBack(
        _of_each("V", lambda c, q: q / c),
        "Those differ, and between the same two points there is one p.d.",
        "With the charge that was given, each would have it over its capacitance.",
    ),
    "leaves-out-the-half": ValuesBack(
        _rising, "On average it was half of what it came to: that is the ½.",
        "Empty at first, it has no p.d.; at the end it has all of its own; on average half of it.",
    ),
    "energy-at-the-supply-pd": ValuesBack(
        _own("V"), "That is its own p.d., and its energy goes with it.", OWN_ENDS,
    ),
    "energy-with-the-total-charge": ValuesBack(
        _own("Q"), "That is its own charge, and its energy goes with it.",
        "Only what is on its own plates counts.",
    ),
    "energy-of-the-whole-for-a-part": ValuesBack(
        _own("Q", "V"), "Those belong together.", OWN_ENDS,
    ),
    "average-of-parallel": ValuesBack(
        _at_one_volt, "At one volt that is the capacitance of all together.",
        "At one volt each takes as much charge as its capacitance says, and the charges add.",
    ),
    "full-supply-pd-on-each": ValuesBack(
        _nought("V"), "Nothing would be left, though they hold charge as well.",
        "All less all is nothing: yet they hold charge, and so have a p.d.",
    ),
    "own-capacitance-times-supply": ValuesBack(
        _own("V"), "Its charge goes with that p.d.", OWN_ENDS,
    ),
    "all-the-charge-on-each-branch": ValuesBack(
        _nought("Q"), "Nothing would be left for them, though they have the same p.d.",
        "All less all is nothing: yet they have the same p.d., and so hold charge.",
    ),
    "blocks-charge-on-each-branch": ValuesBack(
        _nought("Q"), "Nothing would be left for them, though they have the same p.d.",
        "All less all is nothing: yet they have the same p.d., and so hold charge.",
    ),
    "two-share-rule-on-three": ValuesBack(
        _own("Q"), "One charge on all: each p.d. is that over its own capacitance.",
        "It is the charge of the whole chain.",
    ),
    "whole-equivalent-for-a-part": ValuesBack(
        _own("Q", "V", "C"), "Those three belong together.", OWN_ENDS,
    ),
    "keeps-the-pd": ValuesBack(
        _all_charge, "It is the same before and after, since it has no way out.",
        "Before, each holds its capacitance times its p.d.; what is joined keeps all of it.",
    ),
    "adds-unlike-charges": ValuesBack(
        _signed, "Unlike charges meet there and cancel as far as they can.",
        "One of the two plates there has a plus charge, the other a minus charge.",
    ),
    "adds-the-ratings-of-a-chain": ValuesBack(
        _fact("V", "first at the sum"), "And that is above what it is rated for.",
        "With all the ratings between the ends, it has its share by one common charge.",
    ),
    "adds-or-takes-the-largest-rating": ValuesBack(
        _fact("V", "largest"), "And that is above what it is rated for.",
        "Side by side all have the p.d. that is between the ends.",
    ),
})
