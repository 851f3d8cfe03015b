"""Equal capacitors: every value that n of them can have, and how many arrangements there are.

Chain and parallel set change places when every value is turned upside down (1/C adds in a chain
as C does side by side), so the values of n equal capacitors, in units of one, are closed under
x → 1/x. Half the work is enough.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from math import gcd
from typing import TypeAlias

from tutor.circuit.stock import Pair

# Values in lowest terms: the numerators for each denominator. Sums of whole groups of them need no
# common factor to be looked for.
ByDenominator: TypeAlias = dict[int, set[int]]


def values_of_equal(count: int, up_to: bool = False) -> list[Pair]:
    """Every equivalent of exactly ``count`` equal capacitors, in units of one of them.

    A value is (numerator, denominator) in lowest terms; each comes once, in no order. With
    ``up_to``, of at most ``count``.
    """
    sets = _parallel_sets(count)
    parallel = _united(*sets) if up_to else sets[-1]
    values = _united(parallel, _turned(parallel))
    return [(above, below) for below, several in values.items() for above in several]


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


def _parallel_sets(count: int) -> list[ByDenominator]:
    """The values of parallel sets of exactly 0 (none), 1 (itself), 2 … ``count`` capacitors.

    A parallel set has a smallest member of some ``least`` capacitors: a chain, or a single one.
    What stands beside it has no member smaller than that, and is either one chain more or a
    parallel set itself. Sets whose smallest member is larger than any that they are ever put
    beside are kept together.
    """
    one: ByDenominator = {1: {1}}
    # at[size][least]: parallel sets of so many capacitors, none of whose members is smaller.
    at: list[list[ByDenominator]] = [[{}], [{}, one]]
    chains: list[ByDenominator] = [{}, one]
    for size in range(2, count + 1):
        if size > 2:
            chains.append(_turned(at[size - 1][1]))
        most = max(1, min(size // 2, count - size))
        by_least: list[ByDenominator] = [{} for _ in range(size + 1)]
        for least in range(size // 2, 0, -1):
            rest = size - least
            beside = _united(chains[rest], *at[rest][least : least + 1])
            kept = min(least, most)
            if kept == least < most:
                _add(by_least[least], by_least[least + 1])
            _add_sums(by_least[kept], chains[least], beside)
        at.append(by_least)
    return [sets[min(1, size)] for size, sets in enumerate(at)]


def _add(to: ByDenominator, more: ByDenominator) -> None:
    for below, above in more.items():
        if below in to:
            to[below] |= above
        else:
            to[below] = set(above)


def _united(*several: ByDenominator) -> ByDenominator:
    """The values of all; where there is one alone, that one itself."""
    if len(several) == 1:
        return several[0]
    union: ByDenominator = {}
    for each in several:
        _add(union, each)
    return union


def _turned(values: ByDenominator) -> ByDenominator:
    """1/x for each."""
    turned: ByDenominator = defaultdict(set)
    for below, several in values.items():
        for above in several:
            turned[above].add(below)
    return turned


def _add_sums(found: ByDenominator, first: ByDenominator, second: ByDenominator) -> None:
    """Add every sum of one of the first and one of the second, in lowest terms.

    Of n/d + m/e, with d and e in lowest terms to their numerators, only what d and e have in
    common can come out; where they have nothing, all m of one e are dealt with at once.
    """
    for d, ns in first.items():
        for e, ms in second.items():
            common = gcd(d, e)
            by_n, by_m, below = e // common, d // common, d // common * e
            for n in ns:
                moved = n * by_n
                if common == 1:
                    found.setdefault(below, set()).update([moved + m * by_m for m in ms])
                    continue
                for m in ms:
                    above = moved + m * by_m
                    out = gcd(above, common)
                    found.setdefault(below // out, set()).add(above // out)
