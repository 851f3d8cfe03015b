"""Equal capacitors: every value that n of them can have, and how many arrangements there are.

Chain and parallel set change places when every value is turned upside down (1/C adds in a chain
as C does side by side), so the values of n equal capacitors, in units of one, are closed under
x → 1/x. Half the work is enough.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import repeat
from math import gcd
from typing import NamedTuple

from tutor.circuit.stock import Pair


def values_of_equal(count: int, up_to: bool = False) -> list[Pair]:
    """Every equivalent of exactly ``count`` equal capacitors, in units of one of them.

    A value is (numerator, denominator) in lowest terms; each comes once, in no order. With
    ``up_to``, of at most ``count``.
    """
    coded = Coded.for_values_of(count)
    sets = _parallel_sets(count, coded)
    return coded.with_turned(set().union(*sets) if up_to else sets[-1])


def count_arrangements(count: int) -> int:
    """How many series-parallel arrangements exactly ``count`` equal capacitors have.

    A parallel set is any collection of two and more of what is no parallel set itself, so the
    numbers follow from one another by the Euler transform; half the arrangements of two and more
    are chains (MacMahon, The combinations of resistances, 1892; read about, not read).
    """
    totals, members, weights = [1], [0], [0]
    for size in range(1, count + 1):
        weight = sum(d * members[d] for d in range(1, size) if size % d == 0)
        before = sum(weights[k] * totals[size - k] for k in range(1, size))
        side_by_side = (before + weight) // size
        members.append(side_by_side if size > 1 else 1)
        totals.append(side_by_side + members[size] if size > 1 else 1)
        weights.append(weight + size * members[size])
    return totals[count]


def ladder_terms(value: Fraction) -> tuple[int, ...]:
    """How to make ``value``, in units of one equal capacitor, as a ladder.

    The terms of its continued fraction: so many side by side, in a chain so many, and so on,
    starting side by side (0 for none there). The number of capacitors is their sum, which is a
    bound from above and often not the least.
    """
    terms = []
    above, below = value.numerator, value.denominator
    while below:
        whole, rest = divmod(above, below)
        terms.append(whole)
        above, below = below, rest
    return tuple(terms)


class Coded(NamedTuple):
    """A value in one whole number: the numerator times ``base``, and the denominator added.

    Whole numbers of one machine word are compared much faster than pairs. The base is odd, since
    Python files whole numbers in a set by their last bits, and those should differ.
    """

    base: int

    @classmethod
    def for_values_of(cls, count: int) -> Coded:
        """Room for every value of so many equal capacitors.

        No numerator or denominator is above the Fibonacci number F(count + 1) (OEIS A048211).
        """
        last, largest = 1, 1
        for _ in range(count):
            last, largest = largest, last + largest
        return cls(2 * largest + 1)

    def pairs(self, codes: Iterable[int]) -> list[Pair]:
        """The codes as pairs, in the same order."""
        return list(map(divmod, codes, repeat(self.base)))

    def turned(self, codes: Iterable[int]) -> list[int]:
        """1/x for each."""
        base = self.base
        return [code % base * base + code // base for code in codes]

    def with_turned(self, codes: set[int]) -> list[Pair]:
        """Each x and each 1/x as a pair, once."""
        return self.pairs(codes.union(self.turned(codes)))

    def sums(self, first: Iterable[int], second: set[int]) -> set[int]:
        """Every sum of one of the first and one of the second."""
        base = self.base
        found: set[int] = set()
        beside: list[Pair] = []
        for n, d in self.pairs(first):
            if d == 1:  # adding a whole number leaves a fraction in lowest terms
                found.update([other + other % base * n * base for other in second])
                continue
            beside = beside or self.pairs(second)
            found.update([
                above * base + below
                if (common := gcd(above := n * e + m * d, below := d * e)) == 1
                else above // common * base + below // common
                for m, e in beside
            ])
        return found


def _parallel_sets(count: int, coded: Coded) -> list[set[int]]:
    """The values of parallel sets of exactly 0 (none), 1 (itself), 2 … ``count`` capacitors.

    A parallel set has a smallest member of some ``least`` capacitors: a chain, or a single one.
    What stands beside it has no member smaller than that, and is either one chain more or a
    parallel set itself.
    """
    one = {coded.base + 1}
    # at[size][least]: parallel sets of so many capacitors, none of whose members is smaller.
    at: list[list[set[int]]] = [[set()], [set(), one]]
    chains: list[set[int]] = [set(), one]
    for size in range(2, count + 1):
        if size > 2:
            chains.append(set(coded.turned(at[size - 1][1])))
        by_least: list[set[int]] = [set() for _ in range(size + 1)]
        for least in range(size // 2, 0, -1):
            rest = size - least
            beside = chains[rest].union(*at[rest][least : least + 1])
            by_least[least] = coded.sums(chains[least], beside)
            by_least[least] |= by_least[least + 1]
        at.append(by_least)
    return [sets[min(1, size)] for size, sets in enumerate(at)]
