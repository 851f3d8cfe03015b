"""Arrangements of a stock that come to a wanted capacitance, fewest capacitors first.

All series-parallel arrangements of some of the stock are looked through, size by size, so what
is found first has the fewest parts. How far the search goes is limited by a number of steps, and
the findings say whether it was cut short.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.equal_stock import ladder_terms, values_of_equal
from tutor.circuit.joining import Connection
from tutor.circuit.looking import STEPS_WATCHED, CutShort, Looker, StepWatch, TreePart
from tutor.circuit.stock import Pair, Stock, unit_of
from tutor.circuit.trees import Tree, joined_all, leaves, overloaded, value_of_tree
from tutor.circuit.windows import Window, pair

USUAL_BUDGET = 1_000_000
USUAL_MOST = 10
FEW_TO_START = 4
LONGEST_WATCHED = 2 * USUAL_BUDGET // STEPS_WATCHED  # how often a watch is told at most
GROWTH_OF_EQUAL = 2.6
"""One equal capacitor more makes about so many times as many values (OEIS A048211, its terms)."""


class Order(NamedTuple):
    """What is wanted of which stock: a capacitance from ``low`` to ``high``, best at ``target``.

    All in farads. With ``across``, in volts, no capacitor may have more p.d. than its rating.
    """

    stock: Stock
    target: Fraction
    low: Fraction
    high: Fraction
    across: Fraction | None = None


class Arrangement(NamedTuple):
    """One arrangement, in places of the kinds of its stock; ``value`` in farads."""

    tree: Tree
    value: Fraction
    parts: int


class Findings(NamedTuple):
    """Arrangements, fewest parts first and the nearer before the further.

    ``met`` says whether they are what was wanted; if not, they are the nearest. ``searched`` is
    the number of parts up to which every arrangement has been looked at. ``cut_short`` says that
    the steps ran out, ``more`` that there are others that do as well.
    """

    arrangements: tuple[Arrangement, ...]
    met: bool
    searched: int
    cut_short: bool
    more: bool
    steps: int

    @property
    def fewest_is_proven(self) -> bool:
        """Whether nothing that is wanted has fewer parts than the first one found."""
        return self.met and self.searched >= self.arrangements[0].parts - 1

    @property
    def nearest_is_proven(self) -> bool:
        """Whether nothing comes nearer, where nothing that is wanted was found."""
        return not self.met and not self.cut_short


def arrange(
    order: Order,
    most: int = USUAL_MOST,
    budget: int = USUAL_BUDGET,
    watch: StepWatch = lambda: None,
) -> Findings:
    """Find up to ``most`` arrangements that are wanted, or else the nearest of all.

    ``budget`` is the number of steps that each of these two searches may take. Where one value
    alone is wanted, the search for the nearest comes first, as it often settles both; with a
    tolerance it is seldom needed, and with ratings it takes long. ``watch`` is told as it goes on.
    """
    unit = unit_of([kind.value for kind in order.stock.kinds])
    looker = Looker(order.stock, unit, budget, watch)
    search = _Search(order, looker)
    if order.low == order.high and order.across is None:
        nearest = search.nearest(most)
        if nearest is not None:
            return nearest
        looker.budget = looker.steps + budget
        return search.wanted(most)
    wanted = search.wanted(most)
    if wanted.arrangements:
        return wanted
    looker.budget = looker.steps + budget
    search = _Search(order, looker)
    return search.nearest(most) or search.wanted(most)


def is_wanted(order: Order, tree: Tree) -> bool:
    """Whether an arrangement is in the window and no capacitor is beyond its rating."""
    kinds = order.stock.kinds
    return order.low <= value_of_tree(tree, kinds) <= order.high and is_safe(order, tree)


def is_safe(order: Order, tree: Tree) -> bool:
    """Whether no capacitor has more p.d. than its rating at the p.d. that is wanted, if one is."""
    if order.across is None:
        return True
    return next(overloaded(tree, order.stock.kinds, order.across), None) is None


def every_value(
    stock: Stock, budget: int = USUAL_BUDGET, watch: StepWatch = lambda: None
) -> tuple[list[Fraction], int, bool]:
    """All values that arrangements of the stock can have, least first, in farads.

    Also the number of parts up to which they are complete, and whether the search was cut short.
    """
    if len(stock.kinds) == 1:
        return _every_value_of_equal(stock, budget)
    unit = unit_of([kind.value for kind in stock.kinds])
    looker = Looker(stock, unit, budget, watch)
    found: set[Pair] = set()
    searched = stock.fewest - 1
    try:
        for size in range(stock.fewest, stock.most + 1):
            for bag in stock.bags(size):
                found |= looker.values(bag)
            searched = size
    except CutShort:
        pass
    values = _in_order(found, unit)
    return values, searched, searched < stock.most


def _every_value_of_equal(stock: Stock, budget: int) -> tuple[list[Fraction], int, bool]:
    """The same for equal capacitors, as far as there are no more values than steps."""
    size = 1
    while size < stock.most and GROWTH_OF_EQUAL ** (size + 1) <= budget:
        size += 1
    if size < stock.fewest:
        return [], 0, True
    pairs = values_of_equal(size, up_to=stock.fewest < size)
    unit = stock.kinds[0].value
    return _in_order(pairs, unit), size, size < stock.most


def _in_order(pairs: Iterable[Pair], unit: Fraction) -> list[Fraction]:
    """The values in farads, least first. Floats settle nearly all of it, and much faster: rounding
    never turns two about, and where it makes them one the fractions themselves decide.
    """
    above, below = unit.numerator, unit.denominator
    values = [Fraction(n * above, d * below) for n, d in pairs]
    return sorted(values, key=lambda value: (value.numerator / value.denominator, value))


class _Wanted:
    """Keeps how every value in a window that does not move is pieced together."""

    def __init__(self, window: Window) -> None:
        self.window = window
        self.pieces: dict[Pair, list[TreePart]] = {}

    def take(self, value: Pair, piece: TreePart) -> None:
        low, high = self.window
        if low[0] * value[1] <= value[0] * low[1] and value[0] * high[1] <= high[0] * value[1]:
            self.pieces.setdefault(value, []).append(piece)


class _Nearest:
    """Keeps the values nearest to the target, and draws the window in each time one is nearer."""

    def __init__(self, target: Fraction, window: Window, looker: Looker, order: Order) -> None:
        self.target = target
        self.window = window
        self.distance: Fraction | None = None
        self.pieces: dict[Pair, list[TreePart]] = {}
        self._looker = looker
        self._order = order

    def take(self, value: Pair, piece: TreePart) -> None:
        low, high = self.window
        if low[0] * value[1] > value[0] * low[1] or value[0] * high[1] > high[0] * value[1]:
            return
        distance = abs(Fraction(*value) - self.target)
        if self.distance is not None and distance > self.distance:
            return
        across = self._order.across
        if across is not None and not self._looker.trees(piece, across):
            return
        if distance != self.distance:
            self.pieces = {}
            self.distance = distance
            self.window = Window(
                pair(max(self.target - distance, Fraction(0))), pair(self.target + distance)
            )
        self.pieces.setdefault(value, []).append(piece)


class _Search:
    """One search, which keeps what it has found when its steps run out."""

    def __init__(self, order: Order, looker: Looker) -> None:
        self.order = order
        self.looker = looker
        self.unit = looker.unit
        self.found: list[Arrangement] = []
        self.searched = order.stock.fewest - 1

    def wanted(self, most: int) -> Findings:
        """All in the window, from the size not yet searched on, until there are enough."""
        window = Window(pair(self.order.low / self.unit), pair(self.order.high / self.unit))
        cut_short = False
        try:
            for size in range(self.searched + 1, self.order.stock.most + 1):
                self._one_size(size, window, most + 1 - len(self.found))
                if len(self.found) > most:
                    break
                self.searched = size
        except CutShort:
            cut_short = True
            self._try_ladder()
        return self._findings(most, met=True, cut_short=cut_short)

    def nearest(self, most: int) -> Findings | None:
        """The nearest of all, of whatever size, and of several those with the fewest parts.

        None where the target itself is met: ``searched`` is then below the size that does so.
        """
        order = self.order
        goal = _Nearest(order.target / self.unit, self._widest_window(), self.looker, order)
        self._start_near(goal)
        if goal.distance == 0:
            return None
        try:
            for size in range(order.stock.fewest, order.stock.most + 1):
                for bag in order.stock.bags(size):
                    self.looker.look(bag, goal)
                    if goal.distance == 0:
                        self._keep(goal.pieces, most)
                        return None
                self.searched = size
            self._keep(goal.pieces, most)
        except CutShort:
            self._try_ladder()
            met = bool(self.found)
            if not met:
                self._keep_whatever_is_known(goal.pieces)
            return self._findings(most, met=met, cut_short=True)
        return self._findings(most, met=False, cut_short=False)

    def _start_near(self, goal: _Nearest) -> None:
        """Draw the window in by what is known without a search: all in a chain or side by side.

        Where each size has one bag, as with equal capacitors, sizes out of reach are then passed
        by at once.
        """
        stock = self.order.stock
        if len(stock.groups) > 1:
            return
        bags = [(size,) for size in range(stock.fewest, stock.most + 1)]
        ends = [(end, bag) for bag in bags for end in self.looker.bounds(bag)]
        ends.sort(key=lambda each: self._distance(each[0]))
        for end, bag in ends[:FEW_TO_START]:
            goal.take(end, TreePart("series", bag, end, None))

    def _one_size(self, size: int, window: Window, most: int) -> None:
        """Everything in the window that has so many parts, as far as the steps reach."""
        goal = _Wanted(window)
        try:
            for bag in self.order.stock.bags(size):
                self.looker.look(bag, goal)
            self._keep(goal.pieces, most)
        except CutShort:
            self._keep_whatever_is_known(goal.pieces)
            raise

    def _keep(self, pieces: dict[Pair, list[TreePart]], most: int) -> None:
        """Arrangements with these values, the nearest to the target first."""
        start = len(self.found)
        for value in sorted(pieces, key=self._distance):
            self._add(self._trees(pieces[value]))
            if len(self.found) - start >= most:
                break

    def _keep_whatever_is_known(self, pieces: dict[Pair, list[TreePart]]) -> None:
        """The same once the steps have run out: a last few are allowed for what is at hand."""
        self.looker.budget += self.looker.budget // 4
        for value in sorted(pieces, key=self._distance)[:USUAL_MOST]:
            try:
                trees = self._trees(pieces[value])
            except CutShort:
                return
            self._add(trees)

    def _trees(self, pieces: list[TreePart]) -> set[Tree]:
        """All arrangements of these pieces that keep every capacitor within its rating."""
        across = self.order.across
        return {tree for piece in pieces for tree in self.looker.trees(piece, across)}

    def _add(self, trees: Iterable[Tree]) -> None:
        kinds = self.order.stock.kinds
        known = {each.tree for each in self.found}
        self.found += [
            Arrangement(tree, value_of_tree(tree, kinds), len(list(leaves(tree))))
            for tree in trees
            if tree not in known
        ]

    def _distance(self, value: Pair) -> Fraction:
        return abs(self.unit * Fraction(*value) - self.order.target)

    def _widest_window(self) -> Window:
        """From the least to the greatest value that the stock has at all."""
        return Window(*self.looker.bounds(self.order.stock.whole))

    def _try_ladder(self) -> None:
        """A ladder of equal capacitors, for a value that is too far for the search."""
        order = self.order
        kinds = order.stock.kinds
        if self.found or len(kinds) != 1 or order.low > order.target or order.high < order.target:
            return
        terms = ladder_terms(order.target / kinds[0].value)
        if not order.stock.fewest <= sum(terms) <= order.stock.most:
            return
        tree = _ladder(terms)
        if is_safe(order, tree):
            self._add([tree])

    def _findings(self, most: int, met: bool, cut_short: bool) -> Findings:
        target = self.order.target
        ordered = sorted(
            self.found, key=lambda each: (each.parts, abs(each.value - target), str(each.tree))
        )
        shown = tuple(ordered[:most])
        more = len(ordered) > most
        steps = self.looker.steps
        return Findings(shown, met and bool(shown), self.searched, cut_short, more, steps)


def _ladder(terms: tuple[int, ...]) -> Tree:
    """Equal capacitors as a ladder, built from its last rung: even terms stand side by side."""
    tree: Tree | None = None
    for place in reversed(range(len(terms))):
        way: Connection = "parallel" if place % 2 == 0 else "series"
        if terms[place]:
            members: list[Tree] = [0] * terms[place]
            tree = joined_all(way, [*members, tree] if tree is not None else members)
    assert tree is not None, "a value above zero has a term above zero"
    return tree
