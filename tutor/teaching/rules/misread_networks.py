"""Family E where a network is misread: wires, bypassed capacitors and dead ends."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, TypeAlias

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.reduction import reduce
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import Malrule, Numbers, times, turned

PointPair: TypeAlias = tuple[str, str]


def _dead_ends(s: RuleContext) -> tuple[Fraction, ...]:
    """Capacitances of what holds no charge though no wire bypasses it."""
    if s.route is None or not _answer_place(s):
        return ()
    parts = [c for p in s.route.plan for c in (*p.swept, *(() if p.makes else p.parts))]
    return s.numbers("C", tuple(c.name for c in parts if c.start != c.end))


def _answer_place(s: RuleContext) -> bool:
    return s.place == "whole" or s.is_whole


def _without_wires(s: RuleContext, only_bypassing: bool) -> Numbers:
    """The network as drawn with wires overlooked; none where that leaves nothing to work out.

    Where one wire is overlooked and another seen, each is tried; ``only_bypassing`` are the wires
    that lead from one end of a capacitor to its other end.
    """
    problem = s.route.problem if s.route else None
    if problem is None or problem.drawn is None or not _answer_place(s):
        return
    drawn, wires = problem.drawn, problem.wires
    bypassing = [w for w in wires if any(_parts(wires, w, c) for c in drawn.capacitors)]
    overlooked = bypassing if only_bypassing else [w for w in wires if w not in bypassing]
    sets = [overlooked, *([w] for w in overlooked)] if len(overlooked) > 1 else [overlooked]
    for some in filter(None, sets):
        seen = _wired(drawn, [w for w in wires if w not in some])
        equivalent = reduce(seen).equivalent
        if equivalent is not None and isinstance(equivalent.value, Fraction):
            yield equivalent.value / Fraction(10) ** s.usual


def _parts(wires: Sequence[PointPair], wire: PointPair, c: Capacitor) -> bool:
    """Whether the two ends of a capacitor are one point with this wire, and two without it."""
    rest = [w for w in wires if w != wire]
    return c.end in _reached(wires, c.start) and c.end not in _reached(rest, c.start)


def _reached(wires: Sequence[PointPair], point: str) -> set[str]:
    """All that a point is joined to by wire."""
    reached = {point}
    while more := {p for w in wires if reached & set(w) for p in w} - reached:
        reached |= more
    return reached


def _wired(drawn: Network, wires: Sequence[PointPair]) -> Network:
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


def _dead_end_in_chain(s: RuleContext) -> Numbers:
    return (turned((s.right, c)) for c in _dead_ends(s) if s.right)


def _dead_end_beside(s: RuleContext) -> Numbers:
    return (s.right + c for c in _dead_ends(s))


def _charge_on_idle(s: RuleContext) -> Numbers:
    part = s.route.capacitor(s.of) if s.route else None
    if s.right == 0 and part is not None and part.start != part.end:
        yield times(s.c, s.supply)


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
