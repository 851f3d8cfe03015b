"""A what-if in hand: the change, and every value before it and after it, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple, TypeAlias

from tutor.circuit.changes import (
    Broken,
    Change,
    NewValue,
    Removed,
    Scaled,
    Swapped,
    Wired,
    after_change,
)
from tutor.circuit.network import Problem
from tutor.circuit.solving import Solution, solve
from tutor.circuit.steps import BEYOND
from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.quantities import Quantity, Symbol

Direction: TypeAlias = Literal["up", "down", "same"]

MOST_LISTED = 6
SYMBOLS: tuple[Symbol, ...] = ("C", "Q", "V", "E")


class WhatIf(NamedTuple):
    """A change whose outcome the learner is to predict.

    ``before`` and ``after`` hold C, Q, V and E of the whole and of each capacitor (C alone where
    nothing is joined to the ends). ``energies`` says whether energies are asked, ``said`` how the
    learner put the change, ``ended`` whether the walk was over when it was put. ``hidden`` are
    values that the walk has still to ask for: of them only the direction is told, unless the
    learner has said what they expect of them.
    """

    change: Change
    problem: Problem
    changed: Problem
    before: Mapping[Quantity, Value]
    after: Mapping[Quantity, Value]
    said: str
    energies: bool = False
    ended: bool = False
    hidden: frozenset[Quantity] = frozenset()

    @property
    def solution(self) -> Solution:
        """The changed network worked out."""
        return solve(self.changed.network, self.changed.supply)


class Unworkable(NamedTuple):
    """Series and parallel do not lead to one capacitor ``before`` or ``after`` the change."""

    when: Literal["before", "after"]


def compare(problem: Problem, change: Change, said: str) -> WhatIf | Broken | Unworkable:
    """Work both out. ``said`` is how the learner put the change, without "what if"."""
    changed = after_change(problem, change)
    if isinstance(changed, Broken):
        return changed
    before, after = _values(problem), _values(changed)
    if before is None or after is None:
        return Unworkable("before" if before is None else "after")
    return WhatIf(change, problem, changed, before, after, said)


def _values(problem: Problem) -> Mapping[Quantity, Value] | None:
    solution = solve(problem.network, problem.supply)
    if solution.whole is None or any(step.kind in BEYOND for step in solution.steps):
        return None
    found = {Quantity("C"): solution.whole.value}
    found |= {Quantity("C", c.name): c.value for c in problem.network.capacitors}
    names: list[tuple[str | None, str]] = [(None, solution.whole.name)]
    names += [(c.name, c.name) for c in problem.network.capacitors]
    for of, name in names if solution.holdings else ():
        held = solution.holdings[name].size
        found[Quantity("V", of)] = held.voltage
        found[Quantity("Q", of)] = held.charge
        found[Quantity("E", of)] = held.energy
    return found


def direction(whatif: WhatIf, quantity: Quantity) -> Direction | None:
    """Which way a quantity goes; None where letters leave it open."""
    return way(whatif.before[quantity], whatif.after[quantity])


def way(before: Value, after: Value) -> Direction | None:
    """Which way it is from one value to the other; letters stand for positive quantities."""
    difference = tidy(after - before)
    if not in_letters(difference):
        return "same" if difference == 0 else "up" if difference > 0 else "down"
    import sympy

    top, bottom = sympy.fraction(sympy.together(difference))
    signs = [_sign(sympy.expand(top)), _sign(sympy.expand(bottom))]
    if None in signs:
        return None
    return "up" if signs[0] == signs[1] else "down"


def _sign(expression: Any) -> bool | None:
    """Whether a sum of products of positive letters is above nought; None where it may be both."""
    if expression.is_positive:
        return True
    return False if expression.is_negative else None


def comparable(whatif: WhatIf) -> tuple[Quantity, ...]:
    """Everything that stands on both sides."""
    return tuple(quantity for quantity in whatif.before if quantity in whatif.after)


def offered(whatif: WhatIf) -> tuple[Quantity, ...]:
    """What is asked first: the whole, and one capacitor that is not itself changed."""
    supply = whatif.problem.supply
    if supply is None:
        return (Quantity("C"),)
    free: Symbol = "Q" if supply.quantity == "voltage" else "V"
    found = [Quantity("C"), Quantity(free)]
    one = _watched(whatif)
    if one is not None:
        found += [Quantity("V", one), Quantity("Q", one)]
    if whatif.energies:
        found.append(Quantity("E"))
        found += [Quantity("E", one)] if one is not None else []
    return tuple(found)


def _watched(whatif: WhatIf) -> str | None:
    """The first capacitor that takes charge, stays, and is not what the change is about."""
    present = {c.name for c in whatif.changed.network.capacitors}
    names = [
        c.name for c in whatif.problem.network.capacitors
        if c.name in present and whatif.before[Quantity("Q", c.name)] != 0
    ]
    touched = about(whatif.change)
    others = [name for name in names if name not in touched]
    if len(whatif.problem.network.capacitors) == 1:
        return None
    return next(iter(others or names), None)


def about(change: Change) -> tuple[str, ...]:
    """The capacitors that a change itself touches."""
    if isinstance(change, Scaled | Removed | Wired):
        return change.names
    if isinstance(change, Swapped):
        return change.first, change.second
    return (change.name,) if isinstance(change, NewValue) else ()


def listed_values(whatif: WhatIf, named: tuple[Quantity, ...]) -> tuple[Quantity, ...]:
    """What is shown side by side: the whole, what was named, and in a small network each one."""
    wanted = {*offered(whatif), *named}
    symbols: tuple[Symbol, ...] = ("V", "Q", "E") if whatif.energies else ("V", "Q")
    if len(whatif.before) <= 4 * (MOST_LISTED + 1):
        wanted |= {q for q in whatif.before if q.of is not None and q.symbol in symbols}
    return tuple(q for q in comparable(whatif) if q in wanted)
