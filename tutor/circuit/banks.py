"""Banks: the fewest equal rated capacitors for a wanted capacitance at a wanted p.d.

Groups of capacitors side by side stand one after another, so that each group takes a part of the
p.d.; with equal groups this is the same as equal chains side by side.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import NamedTuple

from grammar.records import Bank


class Built(NamedTuple):
    """So many groups (``length``) one after another, ``size`` capacitors side by side in each.

    In ``larger`` of the groups there is one more.
    """

    length: int
    size: int
    larger: int = 0

    @property
    def parts(self) -> int:
        """How many capacitors in all."""
        return self.length * self.size + self.larger

    @property
    def times(self) -> Fraction:
        """The capacitance of the whole, over that of one capacitor."""
        small = Fraction(self.length - self.larger, self.size)
        return 1 / (small + Fraction(self.larger, self.size + 1))

    @property
    def greatest_share(self) -> Fraction:
        """The part of the whole p.d. on one capacitor of a smallest group."""
        return self.times / self.size


def equal_chains(bank: Bank) -> Built:
    """The fewest in equal chains: enough in each for the p.d., enough of them for the rest."""
    length = ceil(bank.voltage.value / bank.rating.value)
    return Built(length, ceil(_wanted(bank) * length))


def smallest_bank(bank: Bank) -> Built:
    """The fewest in groups whose sizes differ by one at most.

    Unequal groups share the p.d. unequally, so they do only where the ratings leave room.
    """
    usual, tight = equal_chains(bank), _enough_for_capacitance(bank)
    bears = tight.greatest_share * bank.voltage.value <= bank.rating.value
    return tight if bears else usual


def fewest_of_any(bank: Bank) -> int:
    """A number below which no network at all of these capacitors will do.

    No capacitor spans more than its rating, so that as many potentials as there are groups can
    be chosen of which no capacitor spans two. The capacitors that span one of them carry the
    whole charge together, each its rated charge at most. And joining each such set into one
    group can only raise the capacitance of the whole (Nash-Williams 1959, who has it for
    resistances; from memory).
    """
    length = equal_chains(bank).length
    each = ceil(_wanted(bank) * bank.voltage.value / bank.rating.value)
    return max(_enough_for_capacitance(bank).parts, length * each)


def _wanted(bank: Bank) -> Fraction:
    return bank.wanted.value / bank.each.value


def _enough_for_capacitance(bank: Bank) -> Built:
    """The fewest in groups as equal as can be that have the capacitance, whatever the ratings."""
    usual = equal_chains(bank)
    size = usual.size - 1
    if size == 0:
        return usual
    over = (Fraction(usual.length, size) - 1 / _wanted(bank)) * size * usual.size
    larger = ceil(over)
    return usual if larger == usual.length else Built(usual.length, size, larger)
