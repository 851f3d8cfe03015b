"""A what-if in hand: the change, and every value before it and after it, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Literal, NamedTuple, TypeAlias

from tutor.circuit.changes import (
    Alteration,
    Broken,
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
from tutor.circuit.structure import live_names
from tutor.circuit.values import Value, in_letters, same, tidy
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech, speech_for

Direction: TypeAlias = Literal["up", "down", "same"]

MOST_LISTED = 6
SYMBOLS: tuple[Symbol, ...] = ("C", "Q", "V", "E")


class Supposing(NamedTuple):
    """A change whose outcome the learner is to predict.

    ``before`` and ``after`` hold C, Q, V and E of the whole and of each capacitor (C alone where
    nothing is joined to the ends). Where series and parallel stick, which ``is_floating`` says, the
    potentials of floating points come too. ``energies`` says whether energies are asked, ``said``
    how the learner put the change, ``ended`` whether the walk was over when it was put. ``hidden``
    are values that the walk has still to ask for: of them only the direction is told, unless the
    learner has said what they expect of them. ``predicted`` are those of which it was said rightly
    which way they go. ``terms`` are the learner's words, ``hinted`` says that they did not know
    once, ``over`` that it has been talked through.
    """

    change: Alteration
    problem: Problem
    changed: Problem
    before: Mapping[Quantity, Value]
    after: Mapping[Quantity, Value]
    said: str
    energies: bool = False
    ended: bool = False
    hidden: frozenset[Quantity] = frozenset()
    predicted: frozenset[Quantity] = frozenset()
    is_floating: bool = False
    terms: Settings = DEFAULTS
    hinted: bool = False
    over: bool = False

    @property
    def speech(self) -> Speech:
        """How its values are spoken."""
        return speech_for(self.problem, self.terms)

    @property
    def is_carried_off(self) -> bool:
        """Whether capacitors are taken out with the charge that they hold."""
        return isinstance(self.change, Removed) and self.change.charged

    def has_no_charge(self, name: str) -> bool:
        """Whether a capacitor held none before the change."""
        return same(self.before[Quantity("Q", name)], Fraction(0))

    @property
    def solution(self) -> Solution:
        """The changed network worked out."""
        return solve(self.changed.network, self.changed.supply)


def compare(problem: Problem, change: Alteration, said: str) -> Supposing | Broken:
    """Work both out. ``said`` is how the learner put the change, without "what if"."""
    changed = after_change(problem, change)
    if isinstance(changed, Broken):
        return changed
    one, other = (solve(each.network, each.supply) for each in (problem, changed))
    # Series and parallel lead on after any change of a network in which they led on before: a gap
    # or a wire makes no bridge, and one more in a chain or side by side can be combined at once.
    is_floating = any(step.kind in BEYOND for step in one.steps)
    before, after = _values(one, is_floating), _values(other, is_floating)
    found = Supposing(change, problem, changed, before, after, said, is_floating=is_floating)
    return found._replace(after=_left(found)) if found.is_carried_off else found


def _values(solution: Solution, is_floating: bool) -> Mapping[Quantity, Value]:
    assert solution.whole is not None
    found = {Quantity("C"): solution.whole.value}
    found |= {Quantity("C", c.name): c.value for c in solution.network.capacitors}
    names: list[tuple[str | None, str]] = [(None, solution.whole.name)]
    names += [(c.name, c.name) for c in solution.network.capacitors]
    for of, name in names if solution.holdings else ():
        held = solution.holdings[name].size
        found[Quantity("V", of)] = held.voltage
        found[Quantity("Q", of)] = held.charge
        found[Quantity("E", of)] = held.energy
    if is_floating:
        inner = solution.potentials.keys() - set(solution.network.ends)
        points = [p for p in solution.network.points() if p in inner]
        found |= {Quantity("V", point=p): solution.potentials[p] for p in points}
    return found


def _left(whatif: Supposing) -> Mapping[Quantity, Value]:
    """What is left where capacitors take their charge along: capacitances are those of the changed
    network, all else is as it was. The whole has no one charge where its ends lose unlike ones.
    """
    before, names = whatif.before, about(whatif.change)
    found = {
        quantity: value if quantity.symbol == "C" else before[quantity]
        for quantity, value in whatif.after.items()
    }
    lost = [
        sum((before[Quantity("Q", c.name)] for c in whatif.problem.network.named(names)
             if end in c.points and c.start != c.end), Fraction(0))
        for end in whatif.problem.network.ends
    ]
    gone = sum((before[Quantity("E", name)] for name in names), Fraction(0))
    found[Quantity("Q")] = tidy(before[Quantity("Q")] - lost[0])
    found[Quantity("E")] = tidy(before[Quantity("E")] - gone)
    if not same(*lost):
        del found[Quantity("Q")]
    return found


def direction(whatif: Supposing, quantity: Quantity) -> Direction | None:
    """Which way a quantity goes; None where letters leave it open."""
    before, after = whatif.before[quantity], whatif.after[quantity]
    if whatif.is_floating and quantity.of is not None and quantity.symbol in ("V", "Q"):
        # letters may leave open at which of its points the + plate is, and so the size
        signs = {way(Fraction(0), value) for value in (before, after)}
        if None in signs and not same(before, after):
            return None
    return way(before, after)


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


def comparable(whatif: Supposing) -> tuple[Quantity, ...]:
    """Everything that stands on both sides."""
    return tuple(quantity for quantity in whatif.before if quantity in whatif.after)


def offered(whatif: Supposing) -> tuple[Quantity, ...]:
    """What is still asked: of ``watched`` all that was not yet said rightly."""
    return tuple(each for each in watched(whatif) if each not in whatif.predicted)


def watched(whatif: Supposing) -> tuple[Quantity, ...]:
    """What a what-if is about: the whole, and one capacitor that is not itself changed; with
    floating points, the potential of one of them and no p.d. but that.
    """
    supply = whatif.problem.supply
    if supply is None:
        return (Quantity("C"),)
    free = supply.leaves
    found = [Quantity("C"), Quantity(free)]
    one, point = _watched(whatif), _watched_point(whatif)
    if point is not None:
        found.append(point)
    elif one is not None:
        found.append(Quantity("V", one))
    if one is not None:
        found.append(Quantity("Q", one))
    if whatif.energies:
        found.append(Quantity("E"))
        found += [Quantity("E", one)] if one is not None else []
    return tuple(quantity for quantity in found if quantity in whatif.after)


def _watched(whatif: Supposing) -> str | None:
    """The first capacitor that takes charge, stays, and is not what the change is about; where
    points float, one that joins two of them comes before, charge or no charge.
    """
    present = {c.name for c in whatif.changed.network.capacitors}
    parts = [c for c in whatif.problem.network.capacitors if c.name in present]
    charged = [c.name for c in parts if whatif.before[Quantity("Q", c.name)] != 0]
    ends = set(whatif.problem.network.ends)
    joining = [c.name for c in parts if not c.points & ends and len(c.points) > 1]
    live = live_names(whatif.problem.network) if whatif.is_floating else frozenset()
    names = [*(name for name in joining if name in live), *charged]
    touched = about(whatif.change)
    others = [name for name in names if name not in touched]
    if len(whatif.problem.network.capacitors) == 1:
        return None
    return next(iter(others or names), None)


def _watched_point(whatif: Supposing) -> Quantity | None:
    """The first floating point that the change touches, or the first of all."""
    points = [q for q in comparable(whatif) if q.point is not None]
    touched = whatif.problem.network.named(about(whatif.change))
    near = [q for q in points if any(q.point in c.points for c in touched)]
    return next(iter(near or points), None)


def about(change: Alteration) -> tuple[str, ...]:
    """The capacitors that a change itself touches."""
    if isinstance(change, Scaled | Removed | Wired):
        return change.names
    if isinstance(change, Swapped):
        return change.first, change.second
    return (change.name,) if isinstance(change, NewValue) else ()


def listed_values(whatif: Supposing, named: tuple[Quantity, ...]) -> tuple[Quantity, ...]:
    """What is shown side by side: the whole, what was named, and in a small network each one."""
    wanted = {*watched(whatif), *named}
    symbols: tuple[Symbol, ...] = ("V", "Q", "E") if whatif.energies else ("V", "Q")
    if len(whatif.problem.network.capacitors) <= MOST_LISTED:
        parts = {q for q in whatif.before if q.of or q.point}
        wanted |= {q for q in parts if q.symbol in symbols}
    return tuple(q for q in comparable(whatif) if q in wanted)
