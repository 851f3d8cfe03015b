"""What follows from what is known, one relation at a time, the shortest way to each fact.

Relations are those of one capacitor (Q = C V and the forms of its energy) and those of one step of
a reduction: what its parts share, and what adds up. No value is refused on the way: one that cannot
be, such as a p.d. below zero, shows where the data are at fault.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from heapq import heappop, heappush
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.records import Dimension
from tutor.circuit.steps import Step
from tutor.circuit.surds import settled, square_root
from tutor.circuit.values import Value

RuleName: TypeAlias = Literal["given", "law", "share", "sum", "rest"]
COST: Mapping[RuleName, int] = {"given": 0, "share": 1, "law": 2, "sum": 2, "rest": 2}
OF_ENERGY = 1  # what an energy has to do with is thought of last


class Fact(NamedTuple):
    """A quantity of one capacitor, given or made."""

    dimension: Dimension
    of: str


class Move(NamedTuple):
    """How a fact comes about: ``uses`` are the facts it follows from, in the order of the relation.

    ``law``: of one capacitor. Of a ``step``: ``share``, the same for all; ``sum``, the whole from
    its parts; ``rest``, a part from the whole (first in ``uses``) and the other parts. ``turned``:
    it is the reciprocals that add. ``value`` is None where the relation leaves no number.
    """

    finds: Fact
    value: Value | None
    rule: RuleName
    uses: tuple[Fact, ...] = ()
    step: Step | None = None
    turned: bool = False


class Trail(NamedTuple):
    """The moves by what they find, in the order found; ``blocked`` are moves without a value."""

    moves: Mapping[Fact, Move]
    blocked: tuple[Move, ...]

    def to(self, *facts: Fact) -> tuple[Move, ...]:
        """The moves that lead to these facts, each after those it uses; nothing given."""
        wanted = list(facts)
        needed: set[Fact] = set()
        while wanted:
            fact = wanted.pop()
            if fact not in needed and fact in self.moves:
                needed.add(fact)
                wanted += self.moves[fact].uses
        return tuple(m for f, m in self.moves.items() if f in needed and m.rule != "given")

    def givens_of(self, *facts: Fact) -> frozenset[Fact]:
        """The given facts that these facts rest on."""
        used = {fact for move in self.to(*facts) for fact in move.uses} | set(facts)
        return frozenset(f for f in used if f in self.moves and self.moves[f].rule == "given")


class Law(NamedTuple):
    """One quantity of a capacitor from two others."""

    finds: Dimension
    uses: tuple[Dimension, Dimension]
    work: Callable[[Value, Value], Value]


LAWS: Final = (
    Law("charge", ("capacitance", "voltage"), lambda c, v: c * v),
    Law("capacitance", ("charge", "voltage"), lambda q, v: q / v),
    Law("voltage", ("charge", "capacitance"), lambda q, c: q / c),
    Law("energy", ("charge", "voltage"), lambda q, v: q * v / 2),
    Law("charge", ("energy", "voltage"), lambda e, v: 2 * e / v),
    Law("voltage", ("energy", "charge"), lambda e, q: 2 * e / q),
    Law("energy", ("capacitance", "voltage"), lambda c, v: c * v * v / 2),
    Law("capacitance", ("energy", "voltage"), lambda e, v: 2 * e / (v * v)),
    Law("voltage", ("energy", "capacitance"), lambda e, c: square_root(2 * e / c)),
    Law("energy", ("charge", "capacitance"), lambda q, c: q * q / (2 * c)),
    Law("capacitance", ("charge", "energy"), lambda q, e: q * q / (2 * e)),
    Law("charge", ("energy", "capacitance"), lambda e, c: square_root(2 * e * c)),
)


def follow(
    names: Iterable[str], steps: Sequence[Step], known: Mapping[Fact, Value]
) -> Trail:
    """All that follows for the capacitors ``names``, given and made, from what is known."""
    relations = _relations(names, steps)
    moves: dict[Fact, Move] = {}
    cost: dict[Fact, int] = {}
    blocked: list[Move] = []
    heap = [(0, place, Move(f, v, "given")) for place, (f, v) in enumerate(known.items())]
    order = len(heap)
    while heap:
        spent, _, move = heappop(heap)
        if move.finds in moves:
            continue
        if move.value is None:
            blocked.append(move)
            continue
        moves[move.finds], cost[move.finds] = move, spent
        for relation in relations[move.finds]:
            for onward in relation(moves):
                order += 1
                own = COST[onward.rule] + OF_ENERGY * _of_energy(onward)
                price = own + sum(cost[fact] for fact in onward.uses)
                heappush(heap, (price, order, onward))
    return Trail(moves, tuple(blocked))


Moves: TypeAlias = Mapping[Fact, Move]
Relation: TypeAlias = Callable[[Moves], Iterator[Move]]


def _of_energy(move: Move) -> bool:
    return any(fact.dimension == "energy" for fact in (move.finds, *move.uses))


def _relations(
    names: Iterable[str], steps: Sequence[Step]
) -> Mapping[Fact, list[Relation]]:
    """The relations that each fact has a part in."""
    at: dict[Fact, list[Relation]] = defaultdict(list)
    for name in names:
        for law in LAWS:
            for dimension in law.uses:
                at[Fact(dimension, name)].append(_law(law, name))
    for step in steps:
        if step.makes is None or step.kind not in ("series", "parallel"):
            continue
        chain = step.kind == "series"
        adding: tuple[Dimension, ...] = ("capacitance", "voltage" if chain else "charge", "energy")
        members = [step.makes.name, *(c.name for c in step.parts)]
        for dimension in adding:
            facts = [Fact(dimension, name) for name in members]
            for fact in facts:
                at[fact].append(_addition(step, facts, chain and dimension == "capacitance"))
        shared = [Fact("charge" if chain else "voltage", name) for name in members]
        for fact in shared:
            at[fact].append(_share(step, shared, fact))
    return at


def _law(law: Law, name: str) -> Relation:
    finds = Fact(law.finds, name)
    uses = (Fact(law.uses[0], name), Fact(law.uses[1], name))

    def moves_on(moves: Moves) -> Iterator[Move]:
        if finds not in moves and all(fact in moves for fact in uses):
            yield Move(finds, _worked(law.work, moves, uses), "law", uses)

    return moves_on


def _share(step: Step, facts: Sequence[Fact], known: Fact) -> Relation:
    def moves_on(moves: Moves) -> Iterator[Move]:
        for fact in facts:
            if fact not in moves:
                yield Move(fact, moves[known].value, "share", (known,), step)

    return moves_on


def _addition(step: Step, facts: Sequence[Fact], turned: bool) -> Relation:
    """The whole is the sum of its parts, or one over it the sum of one over each."""

    def moves_on(moves: Moves) -> Iterator[Move]:
        left = [fact for fact in facts if fact not in moves]
        if len(left) != 1:
            return
        uses = tuple(fact for fact in facts if fact is not left[0])
        is_sum = left[0] is facts[0]
        work = _add if is_sum else _take_away
        value = _worked(_over(work) if turned else work, moves, uses)
        yield Move(left[0], value, "sum" if is_sum else "rest", uses, step, turned)

    return moves_on


def _add(*values: Value) -> Value:
    return sum(values[1:], values[0])


def _take_away(whole: Value, *others: Value) -> Value:
    return whole - _add(*others)


def _over(work: Callable[..., Value]) -> Callable[..., Value]:
    """The same with one over each value, and one over the result."""
    return lambda *values: 1 / work(*(1 / value for value in values))


def _worked(
    work: Callable[..., Value], moves: Moves, uses: Sequence[Fact]
) -> Value | None:
    """The result in its tidy form; None for a division by zero and for no real root."""
    values = [moves[fact].value for fact in uses]
    try:
        result = work(*values)
    except (ZeroDivisionError, ValueError):
        return None
    if isinstance(result, Fraction):
        return result
    return settled(result) if result.is_finite else None
