"""Looking through all arrangements of a bag of capacitors for values in a window.

Every value of small bags is worked out and kept in order. An arrangement of a large bag is taken
apart from the outside: at its outermost joint either one member is larger than half, and then the
rest is taken off it, which leaves a narrower question about that member; or all members are
small, and then they fall into two groups (three, at worst) whose values are looked up. So an
arrangement of ten capacitors is met without ever listing all those of nine.

Capacitances are pairs of whole numbers, so nothing is rounded. Floats serve to find a place in an
ordered list and no more: Python rounds the quotient of two whole numbers correctly, hence never
puts a smaller quotient above a larger one; what is found is compared again, exactly.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator
from fractions import Fraction
from math import gcd, prod
from typing import NamedTuple, Protocol, TypeAlias

from tutor.circuit.joining import Connection
from tutor.circuit.stock import Bag, Pair, Stock, splits
from tutor.circuit.trees import Tree, greatest_voltage, join, joined_all, voltage_stood
from tutor.circuit.windows import Window, is_less, joined, pair, taken_off, window_after

MOST_BAGS_OF_TWO_THIRDS = 60
MOST_SEARCHED = 100
"""Capacitors in one arrangement; far fewer use up any number of steps that one can wait for."""
STEPS_WATCHED = 20_000
StepWatch: TypeAlias = Callable[[], None]
WAYS: tuple[Connection, Connection] = ("parallel", "series")


class CutShort(Exception):
    """All steps that were allowed have been taken."""


class TreePart(NamedTuple):
    """A part of an arrangement by what it is made of, its value and how it joins the rest."""

    way: Connection
    bag: Bag
    value: Pair
    rest: TreePart | None


class Goal(Protocol):
    """What is done with each value that is met."""

    @property
    def window(self) -> Window:
        """What is still of interest."""

    def take(self, value: Pair, piece: TreePart) -> None:
        """A value in the window, and how it is pieced together."""


class Looker:
    """A search through arrangements of one stock that remembers the values of small bags.

    ``unit`` is the capacitance in farads of which all values are multiples or fractions. One step
    is one joining of two values, or one look into a list; ``watch`` is told after every so many.
    """

    def __init__(
        self, stock: Stock, unit: Fraction, budget: int, watch: StepWatch = lambda: None
    ) -> None:
        self.stock = stock
        self.unit = unit
        self.budget = budget
        self.steps = 0
        self.watch = watch
        self._watched = STEPS_WATCHED
        self.units = [pair(kind.value / unit) for kind in stock.kinds]
        self._firsts = _first_places(stock)
        self._ends = [
            (min(values), max(values))
            for values in ([kind.value / unit for kind in group.kinds] for group in stock.groups)
        ]
        self._values: dict[Bag, set[Pair]] = {}
        self._lists: dict[Bag, tuple[list[float], list[Pair]]] = {}
        self._splits: dict[Bag, list[tuple[Bag, Bag]]] = {}
        self._bounds: dict[Bag, tuple[Pair, Pair]] = {}
        self._trees: dict[tuple[Bag, Pair], dict[Tree, Fraction | None]] = {}
        self._small = 0

    def look(self, bag: Bag, goal: Goal) -> None:
        """Hand every value of the bag that is in the window to ``goal``. Errors: ``CutShort``."""
        self._spend(len(bag))
        low, high = goal.window
        least, greatest = self.bounds(bag)
        if is_less(greatest, low) or is_less(high, least):
            return
        # At the very end of what is possible there is one arrangement alone.
        for end, tight in ((greatest, low), (least, high)):
            if end == tight:
                goal.take(end, TreePart("series", bag, end, None))
                return
        if sum(bag) > MOST_SEARCHED:
            raise CutShort
        self._small = _size_of_small(bag)
        if sum(bag) <= self._small:
            self._take_listed(bag, goal)
        else:
            self._take_apart(bag, goal.window, None, (WAYS, goal))

    def bounds(self, bag: Bag) -> tuple[Pair, Pair]:
        """The least and the greatest value of a bag: all in one chain, all side by side."""
        found = self._bounds.get(bag)
        if found is None:
            taken = [(count, *self._ends[at]) for at, count in enumerate(bag) if count]
            least = sum((count / smallest for count, smallest, _ in taken), Fraction(0))
            greatest = sum((count * largest for count, _, largest in taken), Fraction(0))
            found = self._bounds[bag] = (pair(1 / least), pair(greatest))
        return found

    def values(self, bag: Bag) -> set[Pair]:
        """Every value that the whole bag can have. Errors: ``CutShort``."""
        found = self._values.get(bag)
        if found is None:
            if sum(bag) == 1:
                found = {self.units[place] for place in self._places(bag.index(1))}
            else:
                found = self._joined_values(bag)
            self._values[bag] = found
        return found

    def trees(self, piece: TreePart, across: Fraction | None = None) -> frozenset[Tree]:
        """Every arrangement that is pieced together so and stands ``across`` volts, if given.

        Values alone say how the p.d. is shared out among the pieces, so that no arrangement is
        built that could not stand its share. Errors: ``CutShort``.
        """
        found: frozenset[Tree] = frozenset()
        for place, (each, share) in enumerate(_shares(piece, across)):
            standing = self.trees_of(each.bag, each.value)
            fit = [t for t, most in standing.items() if not share or not most or most >= share]
            if not fit:
                return frozenset()
            self._spend(len(fit) * max(1, len(found)))
            if place:
                way = each.way
                found = frozenset(join(way, one, other) for one in found for other in fit)
            else:
                found = frozenset(fit)
        return found

    def trees_of(self, bag: Bag, value: Pair) -> dict[Tree, Fraction | None]:
        """Every arrangement of a whole bag with exactly this value. Errors: ``CutShort``.

        With each goes the greatest p.d. that it stands, in volts, None where no rating limits it.
        """
        found = self._trees.get((bag, value))
        if found is None:
            found = self._trees[bag, value] = dict(self._arrange(bag, value))
        return found

    def _arrange(self, bag: Bag, value: Pair) -> Iterator[tuple[Tree, Fraction | None]]:
        kinds = self.stock.kinds
        if sum(bag) == 1:
            for place in self._places(bag.index(1)):
                if self.units[place] == value:
                    yield place, kinds[place].rating
            return
        for way, end, best in zip(WAYS, reversed(self.bounds(bag)), (max, min), strict=True):
            if value == end:
                tree = self._all_in_one(bag, way, best is max)
                yield tree, greatest_voltage(tree, kinds)
                return
        for one, other in self._parted(bag):
            known = self.values(other)
            for first in self.values(one):
                self._spend(1)
                for way in WAYS:
                    second = taken_off(value, first, way)
                    if second is None or second not in known:
                        continue
                    yield from self._joined_trees(way, (one, first), (other, second))

    def _joined_trees(
        self, way: Connection, one: tuple[Bag, Pair], other: tuple[Bag, Pair]
    ) -> Iterator[tuple[Tree, Fraction | None]]:
        values = Fraction(*one[1]), Fraction(*other[1])
        for left, stands in self.trees_of(*one).items():
            for right, too in self.trees_of(*other).items():
                self._spend(1)
                limit = None
                if stands is not None or too is not None:
                    limit = voltage_stood(way, values, (stands, too))
                yield join(way, left, right), limit

    def _all_in_one(self, bag: Bag, way: Connection, largest: bool) -> Tree:
        """All in one chain or all side by side, of the largest or smallest kinds there are."""
        members: list[Tree] = []
        kinds = self.stock.kinds
        for group, count in enumerate(bag):
            places = self._places(group)
            rank = {p: kinds[p].value if largest else -kinds[p].value for p in places}
            members += [max(places, key=rank.__getitem__)] * count
        return joined_all(way, members)

    def _joined_values(self, bag: Bag) -> set[Pair]:
        found: set[Pair] = set()
        for one, other in self._parted(bag):
            left, right = self.values(one), self.values(other)
            self._spend(len(left) * len(right))
            for n, d in left:
                for m, e in right:
                    both, below, above = n * e + m * d, d * e, n * m
                    common = gcd(both, below)
                    found.add((both // common, below // common))
                    common = gcd(above, both)
                    found.add((above // common, both // common))
        return found

    def _take_apart(
        self, bag: Bag, window: Window, rest: TreePart | None,
        seek: tuple[tuple[Connection, ...], Goal],
    ) -> None:
        """Every arrangement of a large bag whose outermost joint is one of the ways sought."""
        ways, goal = seek
        size, small = sum(bag), self._small
        for one, other in self._parted(bag):
            for way in ways:
                if sum(other) <= small:
                    self._look_up((one, other), window, rest, (way, goal))
                    continue
                inner: Connection = "series" if way == "parallel" else "parallel"
                bounds = self.bounds(other)
                for value in self.values(one):
                    self._spend(1)
                    left = window_after(window, value, way, bounds)
                    if left is None:
                        continue
                    piece = TreePart(way, one, value, rest)
                    self._take_apart(other, left, piece, ((inner,), goal))
                    if 2 * size >= 3 * (small + 1):
                        self._look_up_three(other, left, piece, goal)

    def _look_up_three(self, bag: Bag, window: Window, piece: TreePart, goal: Goal) -> None:
        """The bag as two groups beside a third one: no two of the three make a small bag."""
        beside, small = sum(piece.bag), self._small
        for one, other in self._parted(bag):
            least, most = sum(one), sum(other)
            if most <= min(small, beside) and beside + least > small:
                self._look_up((one, other), window, piece, (piece.way, goal))

    def _look_up(
        self,
        pair: tuple[Bag, Bag],
        window: Window,
        rest: TreePart | None,
        seek: tuple[Connection, Goal],
    ) -> None:
        """Two small bags joined in one way: for each value of one, the fitting ones of the other.

        The window may have become narrower meanwhile; the goal looks at each value again.
        """
        way, goal = seek
        one, other = pair
        bounds, beyond = self.bounds(one), self.bounds(other)
        low, high = window
        self._spend(1)
        if is_less(joined(bounds[1], beyond[1], way), low):
            return
        if is_less(high, joined(bounds[0], beyond[0], way)):
            return
        if len(self.values(one)) > len(self.values(other)):
            one, other, beyond = other, one, bounds
        keys, listed = self._listed(other)
        self._spend(len(self.values(one)))
        for value in self.values(one):
            left = window_after(window, value, way, beyond)
            if left is None:
                continue
            (above, below), (most, most_below) = left
            start = bisect_left(keys, above / below)
            stop = bisect_right(keys, most / most_below, start)
            if start == stop:
                continue
            self._spend(stop - start)
            piece = TreePart(way, one, value, rest)
            for found in listed[start:stop]:
                whole = TreePart(way, other, found, piece)
                goal.take(_folded(whole), whole)

    def _take_listed(self, bag: Bag, goal: Goal) -> None:
        keys, listed = self._listed(bag)
        (low, low_below), (high, high_below) = goal.window
        start = bisect_left(keys, low / low_below)
        stop = bisect_right(keys, high / high_below)
        self._spend(stop - start + 1)
        for found in listed[start:stop]:
            goal.take(found, TreePart("series", bag, found, None))

    def _listed(self, bag: Bag) -> tuple[list[float], list[Pair]]:
        found = self._lists.get(bag)
        if found is None:
            ordered = sorted(self.values(bag), key=lambda pair: pair[0] / pair[1])
            found = self._lists[bag] = ([n / d for n, d in ordered], ordered)
        return found

    def _parted(self, bag: Bag) -> list[tuple[Bag, Bag]]:
        found = self._splits.get(bag)
        if found is None:
            self._spend(prod(count + 1 for count in bag))
            found = self._splits[bag] = list(splits(bag))
        return found

    def _places(self, group: int) -> range:
        return range(self._firsts[group], self._firsts[group + 1])

    def _spend(self, steps: int) -> None:
        self.steps += steps
        if self.steps > self.budget:
            raise CutShort
        while self.steps >= self._watched:
            self._watched += STEPS_WATCHED
            self.watch()


def _first_places(stock: Stock) -> list[int]:
    firsts = [0]
    for group in stock.groups:
        firsts.append(firsts[-1] + len(group.kinds))
    return firsts


def _size_of_small(bag: Bag) -> int:
    """Up to which size the values of bags are listed in full: two thirds of the bag, which never
    needs three groups, where there are few such bags; else half.
    """
    size = sum(bag)
    two_thirds = max(1, 2 * size // 3)
    number = prod(count + 1 for count in bag)
    if number <= 2 * MOST_BAGS_OF_TWO_THIRDS or _bags(bag, two_thirds) <= MOST_BAGS_OF_TWO_THIRDS:
        return two_thirds
    return (size + 1) // 2


def _bags(bag: Bag, size: int) -> int:
    """How many different bags of one size can be taken from a bag."""
    ways = [1] + [0] * size
    for count in bag:
        ways = [sum(ways[max(0, n - count) : n + 1]) for n in range(size + 1)]
    return ways[size]


def _shares(piece: TreePart, across: Fraction | None) -> list[tuple[TreePart, Fraction | None]]:
    """Each piece from the inside out, with its share of the p.d. on the whole.

    A piece in a chain has the charge of the chain, so its p.d. goes as 1/C.
    """
    pieces = [piece]
    while (outer := pieces[-1].rest) is not None:
        pieces.append(outer)
    if across is None:
        return [(each, None) for each in pieces]
    sums = [Fraction(*piece.value)]
    for each in pieces[1:]:
        sums.append(Fraction(*joined(pair(sums[-1]), each.value, each.way)))
    shares: list[Fraction | None] = []
    for inside, each in zip(reversed(sums[:-1]), reversed(pieces[1:]), strict=True):
        whole = sums[len(sums) - 1 - len(shares)]
        if each.way == "parallel":
            shares.append(across)
        else:
            shares.append(whole * across / Fraction(*each.value))
            across = whole * across / inside
    shares.append(across)
    return list(zip(pieces, reversed(shares), strict=True))


def _folded(piece: TreePart) -> Pair:
    """The value of the whole arrangement."""
    n, d = piece.value
    outer = piece.rest
    while outer is not None:
        m, e = outer.value
        if outer.way == "parallel":
            n, d = n * e + m * d, d * e
        else:
            n, d = n * m, n * e + m * d
        outer = outer.rest
    common = gcd(n, d)
    return n // common, d // common
