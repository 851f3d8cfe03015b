"""Family E where a network is misread: wires, bypassed capacitors and dead ends."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final, TypeAlias

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.reduction import reduce
from tutor.circuit.steps import Step
from tutor.teaching.malrules.record import Malrule
from tutor.teaching.scene import Scene

Found = Iterable[Fraction | None]
Link: TypeAlias = tuple[str, str]


def _idle(s: Scene, bypassed: bool) -> list[Fraction]:
    """Capacitances of what holds no charge: the bypassed ones, or the dead ends."""
    parts = [c for step in s.scenery.plan for c in (*step.swept, *_removed(step))]
    chosen = [c for c in parts if (c.start == c.end) == bypassed]
    return [n for c in chosen if (n := s.number("C", c.name)) is not None]


def _removed(step: Step) -> tuple[Capacitor, ...]:
    return step.parts if step.makes is None else ()


def _answer_place(s: Scene) -> bool:
    return s.place == "whole" or s.is_whole


def _without_wires(s: Scene, only_bypassing: bool) -> Found:
    """The network as drawn with wires overlooked; none where that leaves nothing to work out.

    Where one wire is overlooked and another seen, each is tried; ``only_bypassing`` are the wires
    that lead from one end of a capacitor to its other end.
    """
    drawn = s.scenery.problem.drawn
    if drawn is None or not _answer_place(s):
        return
    wires = s.scenery.problem.wires
    bypassing = [w for w in wires if any(_parts(wires, w, c) for c in drawn.capacitors)]
    overlooked = bypassing if only_bypassing else [w for w in wires if w not in bypassing]
    sets = [overlooked, *([w] for w in overlooked)] if len(overlooked) > 1 else [overlooked]
    for some in filter(None, sets):
        seen = _wired(drawn, [w for w in wires if w not in some])
        equivalent = reduce(seen).equivalent
        if equivalent is not None and isinstance(equivalent.value, Fraction):
            yield equivalent.value / Fraction(10) ** s.scenery.problem.powers["capacitance"]


def _parts(wires: Sequence[Link], wire: Link, c: Capacitor) -> bool:
    """Whether the two ends of a capacitor are one point with this wire, and two without it."""
    rest = [w for w in wires if w != wire]
    return c.end in _reached(wires, c.start) and c.end not in _reached(rest, c.start)


def _reached(wires: Sequence[Link], point: str) -> set[str]:
    """All that a point is joined to by wire."""
    reached = {point}
    while more := {p for w in wires if reached & set(w) for p in w} - reached:
        reached |= more
    return reached


def _wired(drawn: Network, wires: Sequence[Link]) -> Network:
    """The drawn network with these wires making points one."""
    names = {point: point for c in drawn.capacitors for point in (c.start, c.end)}
    for first, second in wires:
        old, new = names.get(second, second), names.get(first, first)
        if old in drawn.ends:
            old, new = new, old
        names = {point: new if name == old else name for point, name in names.items()}
    moved = tuple(
        c._replace(start=names[c.start], end=names[c.end]) for c in drawn.capacitors
    )
    return Network(moved, drawn.ends)


def _dead_end_in_chain(s: Scene) -> Found:
    if _answer_place(s) and s.right:
        for c in _idle(s, bypassed=False):
            yield 1 / (1 / s.right + 1 / c)


def _dead_end_beside(s: Scene) -> Found:
    if _answer_place(s):
        for c in _idle(s, bypassed=False):
            yield s.right + c


def _charge_on_idle(s: Scene) -> Found:
    part = s.scenery.capacitor(s.quantity.of)
    is_dead_end = s.right == 0 and part is not None and part.start != part.end
    if is_dead_end and s.c is not None and s.supply is not None:
        yield s.c * s.supply


READING: Final = (
    Malrule(
        "keeps-a-bypassed-capacitor", "E3", "S16", ("series", "parallel", "whole"),
        lambda s: _without_wires(s, only_bypassing=True),
        "keeping a capacitor that a wire bypasses",
        "Its two ends are on one point, so it has no p.d. and holds no charge",
        "How large can the p.d. be between the two ends of a wire?",
        "bypassed", 1,
    ),
    Malrule(
        "counts-a-dead-end-in-the-chain", "E4", "S17", ("series", "parallel", "whole"),
        _dead_end_in_chain,
        "counting a dead end as a member of a chain",
        "A chain runs on to the other end of the network, and a dead end does not",
        "By which way could charge have come to the far side of the dead end?",
        "dead end", 1,
    ),
    Malrule(
        "counts-a-dead-end-as-parallel", "E5", "S17", ("series", "parallel", "whole"),
        _dead_end_beside,
        "counting a dead end as a branch",
        "It touches the rest at one point only, and a branch needs two",
        "Which two points does it join, and what else is at each of them?",
        "dead end", 1,
    ),
    Malrule(
        "gives-a-dead-end-charge", "E6", "S17", ("charge",), _charge_on_idle,
        "multiplying {c} by all of the {supply}",
        "No way from one end to the other leads through {part} without coming back to a point "
        "where it was before",
        "Is there a closed path through {part} and both ends of the network?",
        "dead end", 1,
    ),
    Malrule(
        "misses-that-a-wire-makes-one-point", "E8", "S05", ("series", "parallel", "whole"),
        lambda s: _without_wires(s, only_bypassing=False),
        "taking points that a wire joins as different points",
        "The two ends of a wire are one point, at one potential",
        "Which points can be reached from one another along wire alone?",
        "wires make one point", 1,
    ),
)
