"""What follows from what is known, one relation at a time, the shortest way to each fact.

No value is refused on the way: one that cannot
be, such as a p.d. below zero, shows where the data are at fault.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from heapq import heappop, heappush
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.relations import Fact, Relation, of_capacitor, of_step
from tutor.circuit.steps import Step
from tutor.circuit.values import Value

RuleName: TypeAlias = Literal["given", "law", "share", "sum", "rest"]
COST: Mapping[RuleName, int] = {"given": 0, "share": 1, "law": 2, "sum": 2, "rest": 2}
OF_ENERGY = 1  # what an energy has to do with is thought of last


class Move(NamedTuple):
    """How a fact comes about: by a ``relation``, None where it is given.

    ``value`` is None where the relation leaves no number.
    """

    finds: Fact
    value: Value | None
    relation: Relation | None = None

    @property
    def rule(self) -> RuleName:
        """``law``: of one capacitor. Of a step: ``share``, the same for all; ``sum``, the whole
        from its parts; ``rest``, a part from the whole (first in ``uses``) and the other parts.
        """
        if self.relation is None:
            return "given"
        of_kind: Mapping[str, RuleName] = {"multiplied": "law", "shared": "share"}
        return of_kind.get(self.relation.kind) or ("rest" if self.relation.is_rest else "sum")

    @property
    def uses(self) -> tuple[Fact, ...]:
        """The facts it follows from, in the order of the relation."""
        return self.relation.uses if self.relation is not None else ()

    @property
    def step(self) -> Step | None:
        """The step whose parts it is about."""
        return self.relation.step if self.relation is not None else None

    @property
    def turned(self) -> bool:
        """Whether it is the reciprocals that add."""
        return self.relation is not None and self.relation.kind == "reciprocals"


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


def follow(
    names: Iterable[str], steps: Sequence[Step], known: Mapping[Fact, Value]
) -> Trail:
    """All that follows for the capacitors ``names``, given and made, from what is known."""
    relations = _relations(names, steps)
    moves: dict[Fact, Move] = {}
    cost: dict[Fact, int] = {}
    blocked: list[Move] = []
    heap = [(0, place, Move(f, v)) for place, (f, v) in enumerate(known.items())]
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
            if (onward := _onward(relation, moves)) is not None:
                order += 1
                own = COST[onward.rule] + OF_ENERGY * _of_energy(onward)
                price = own + sum(cost[fact] for fact in onward.uses)
                heappush(heap, (price, order, onward))
    return Trail(moves, tuple(blocked))


Moves: TypeAlias = Mapping[Fact, Move]


def _of_energy(move: Move) -> bool:
    return any(fact.dimension == "energy" for fact in (move.finds, *move.uses))


def _relations(
    names: Iterable[str], steps: Sequence[Step]
) -> Mapping[Fact, list[Relation]]:
    """The relations that each fact is used in."""
    at: dict[Fact, list[Relation]] = defaultdict(list)
    every = [relation for name in names for relation in of_capacitor(name)]
    every += [relation for step in steps for relation in of_step(step)]
    for relation in every:
        for fact in relation.uses:
            at[fact].append(relation)
    return at


def _onward(relation: Relation, moves: Moves) -> Move | None:
    """What a relation finds that is not found yet, if all is there that it uses."""
    if relation.finds in moves or any(fact not in moves for fact in relation.uses):
        return None
    values = [value for fact in relation.uses if (value := moves[fact].value) is not None]
    return Move(relation.finds, relation.value(values), relation)
