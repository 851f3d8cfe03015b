"""The equivalent of a set side by side (family D, and E10), and what of E, K and Z touches an
equivalent of either kind, a part's or the whole one.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, TypeAlias

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.reduction import reduce
from tutor.teaching.rules.chains import STACKED
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import MOST_LISTED, Malrule, Numbers, times, total, turned

BESIDE: Final = ("parallel", "side by side")


def _equal(s: RuleContext) -> bool:
    return len(set(s.parts)) == 1


def _adds_members_of_branches(s: RuleContext) -> Numbers:
    branches = s.inside("series")
    for number, inner in branches:
        yield total(s.parts) - number + total(inner)
    if len(branches) > 1:
        yield total(s.parts) + total(total(inner) - number for number, inner in branches)


def _hung_on_wrong_points(s: RuleContext) -> Numbers:
    """A chain's equivalent is left on a dead end, or in a chain with the rest of the set."""
    for number, _ in s.inside("series"):
        rest = total(s.parts) - number
        yield rest
        yield turned((number, rest))


SIDE_BY_SIDE: Final = (
    Malrule(
        "reciprocal-rule-on-parallel", "D1", "S10", BESIDE, lambda s: (turned(s.parts),),
        "parallel adds", 0,
    ),
    Malrule(
        "adds-reciprocals-of-parallel", "D2", "S10", BESIDE,
        lambda s: (total(1 / n for n in s.parts),), "parallel adds",
    ),
    Malrule(
        "average-of-parallel", "D3", "S10", BESIDE, lambda s: (total(s.parts) / len(s.parts),),
        "parallel adds",
    ),
    Malrule("largest-only", "D4", "S10", BESIDE, lambda s: (max(s.parts),), "all branches count"),
    Malrule(
        "divides-equal-ones-in-parallel", "D5", "S10", ("parallel",),
        lambda s: (s.parts[0] / len(s.parts),) if _equal(s) else (), "parallel adds",
    ),
    Malrule(
        "adds-members-of-a-series-branch", "D6", "S14", ("parallel",), _adds_members_of_branches,
        "reduce the branch first",
    ),
    Malrule(
        "leaves-a-branch-out", "D7", "S10", BESIDE, lambda s: [total(s.parts) - n for n in s.parts],
        "all branches count",
    ),
    Malrule(
        "hangs-the-equivalent-on-wrong-points", "E10", "S15", ("parallel",), _hung_on_wrong_points,
        "outer ends", 2,
    ),
)

def _counts_twice(s: RuleContext) -> Numbers:
    for _, inner in (*s.inside("parallel"), *s.inside("series")):
        for again in inner:
            yield (
                total(s.parts) + again if s.place == "parallel" else turned((*s.parts, again))
            )


def _copied(s: RuleContext) -> Numbers:
    """The right rule with the value of a neighbour, given or merged, in place of one part's."""
    if s.place == "whole" or len(s.parts) > MOST_LISTED:
        return
    by_chain = s.place in STACKED
    # One of two in a chain taken for both is half of it: that is halving, a rule of its own.
    partners = set() if by_chain and len(s.parts) == 2 else set(s.parts)
    near = {*s.given, *s.merged} - {*s.parts}
    taken = [1 / n for n in s.parts] if by_chain else list(s.parts)
    whole = total(taken)
    for at, number in enumerate(s.parts):
        for other in sorted(near | partners)[: 2 * MOST_LISTED]:
            if other != number:
                changed = whole - taken[at] + (1 / other if by_chain else other)
                yield 1 / changed if by_chain else changed


def resistor_rules(s: RuleContext) -> Numbers:
    """The whole with the two rules exchanged at every step, where steps of both kinds are there.

    On steps of one kind alone this is no more than that kind's own wrong rule.
    """
    if s.quantity is None or s.quantity.of is not None or s.route is None:
        return
    steps = s.route.makers
    if len({step.kind for step in steps}) < 2:
        return
    values = {c.name: s.number("C", c.name) for c in s.route.problem.network.capacitors}
    last: Fraction | None = None
    for step in steps:
        numbers = [n for c in step.parts if (n := values[c.name]) is not None]
        last = total(numbers) if step.kind == "series" else turned(numbers)
        if step.makes is not None:
            values[step.makes.name] = last
    yield last


def _blocks(s: RuleContext) -> Numbers:
    """The value of one block, given for the whole."""
    if s.quantity is not None and s.quantity.of is None:
        yield from s.merged


EITHER: Final = (
    Malrule(
        "blocks-so-nothing-counts", "E14", "S01", ("series", "parallel", "whole"),
        lambda _: (Fraction(0),), "charge moved",
    ),
    Malrule(
        "counts-a-capacitor-twice", "E9", "S15", ("series", "parallel"), _counts_twice,
        "old ones gone", 2,
    ),
    Malrule(
        "copies-a-neighbours-value", "K8", "S05", (*STACKED, *BESIDE), _copied, "copied value", 3,
    ),
    Malrule(
        "resistor-rules-throughout", "Z1", "S11", ("series", "parallel"), resistor_rules,
        "capacitor rules", 0,
    ),
    Malrule("stops-at-a-part", "Z2", "S14", ("series", "parallel"), _blocks, "the whole network"),
)


# Family E where a network is misread: wires, bypassed capacitors and dead ends.


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
        lambda s: _without_wires(s, only_bypassing=True), "bypassed", 1,
    ),
    Malrule(
        "counts-a-dead-end-in-the-chain", "E4", "S17", ("series", "parallel", "whole"),
        _dead_end_in_chain, "dead end", 1,
    ),
    Malrule(
        "counts-a-dead-end-as-parallel", "E5", "S17", ("series", "parallel", "whole"),
        _dead_end_beside, "dead end", 1,
    ),
    Malrule("gives-a-dead-end-charge", "E6", "S17", ("charge",), _charge_on_idle, "dead end", 1),
    Malrule(
        "misses-that-a-wire-makes-one-point", "E8", "S05", ("series", "parallel", "whole"),
        lambda s: _without_wires(s, only_bypassing=False), "wires make one point", 1,
    ),
)
