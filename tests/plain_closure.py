"""Every value a stock can make, by joining all that is smaller: the plain way, with no short cuts.

Both are yardsticks, of what is right in the tests and of what is quick in the benchmarks.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import gcd


def of_equal(count: int) -> list[set[Fraction]]:
    """The values of exactly 0 (none), 1, 2 … ``count`` capacitors of 1."""
    sets: list[set[Fraction]] = [set(), {Fraction(1)}]
    for size in range(2, count + 1):
        made = set()
        for first in range(1, size // 2 + 1):
            for one in sets[first]:
                for other in sets[size - first]:
                    made.add(one + other)
                    made.add(one * other / (one + other))
        sets.append(made)
    return sets[: count + 1]


def of_different(values: Sequence[int]) -> list[set[tuple[int, int]]]:
    """The values of each part of a stock, in pairs of whole numbers in lowest terms.

    A part is the number whose binary places say which capacitors are in it.
    """
    made: list[set[tuple[int, int]]] = [set()]
    for part in range(1, 1 << len(values)):
        lowest = part & -part
        found = {(values[lowest.bit_length() - 1], 1)} if part == lowest else set()
        some = (part - 1) & part
        while some:
            if some & lowest:  # each way to part it in two once
                for n, d in made[some]:
                    for m, e in made[part ^ some]:
                        both, below, above = n * e + m * d, d * e, n * m
                        common = gcd(both, below)
                        found.add((both // common, below // common))
                        common = gcd(above, both)
                        found.add((above // common, both // common))
            some = (some - 1) & part
        made.append(found)
    return made
