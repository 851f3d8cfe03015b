"""Families H and I, where charged capacitors are joined, filled or moved.

Facts, in plain numbers: ``c0``, ``v0``, … are the capacitances that are joined and their p.d.s
before, with the sign that each had on the common metal; ``q0``, … sizes of charges there, and
``opposed`` whether their signs differ; ``total`` and ``count`` the charge on all and how many
share it; ``kept`` what a quantity was before; ``drop0``, … what each capacitor's energy fell by.
"""

from __future__ import annotations

from fractions import Fraction
from math import isqrt
from typing import Final

from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.malrule import Malrule, Numbers, over, total

FINE: Final = 10**15


def _joined(s: RuleContext) -> list[tuple[Fraction, Fraction]]:
    """Capacitance and p.d. of each that is joined."""
    return list(zip(s.listed("c"), s.listed("v"), strict=True))


def _common(s: RuleContext, charges: list[Fraction]) -> Numbers:
    """The common p.d. if these charges were on all that is joined."""
    return (abs(total(charges)) / total(s.listed("c")),)


def _keeps_energy(s: RuleContext) -> Numbers:
    if pairs := _joined(s):
        square = total(c * v * v for c, v in pairs) / total(c for c, _ in pairs)
        yield Fraction(isqrt(square.numerator * FINE**2 // square.denominator), FINE)


def _keeps_pd(s: RuleContext) -> Numbers:
    return {abs(v) for v in s.listed("v") if v}


def _averages(s: RuleContext) -> Numbers:
    sizes = [abs(v) for v in s.listed("v")]
    return (total(sizes) / len(sizes),) if sizes else ()


def _adds_pds(s: RuleContext) -> Numbers:
    sizes = [abs(v) for v in s.listed("v") if v]
    return (total(sizes),) if len(sizes) > 1 else ()


def _as_chain(s: RuleContext) -> Numbers:
    if pairs := _joined(s):
        yield abs(total(c * v for c, v in pairs)) * total(1 / c for c, _ in pairs)


def _adds_opposed(s: RuleContext) -> Numbers:
    if s.facts.get("opposed"):
        yield total(s.listed("q"))
    elif any(v < 0 for v in s.listed("v")):
        yield from _common(s, [c * abs(v) for c, v in _joined(s)])


def _subtracts_like(s: RuleContext) -> Numbers:
    """None where one of the two was empty: to take nought away is as good as to add it."""
    pairs, charges = _joined(s), s.listed("q")
    if "opposed" in s.facts:
        if not s.facts["opposed"] and len(charges) == 2 and all(charges):
            yield abs(charges[0] - charges[1])
    elif len(pairs) == 2 and all(v > 0 for _, v in pairs):
        (c1, v1), (c2, v2) = pairs
        yield from _common(s, [c1 * v1, -c2 * v2])


def _one_drop(s: RuleContext) -> Numbers:
    return (drop for drop in s.listed("drop") if drop > 0)


def _kept(s: RuleContext) -> Numbers:
    """What there was before, if there was anything to keep."""
    return (s.facts.get("kept") or None,)


def _wrong_way(s: RuleContext) -> Numbers:
    if "ratio" in s.facts:
        ratio, before = s.facts["ratio"], s.facts["before"]
        yield before / ratio if s.facts["fixed p.d."] else before * ratio


CHARGED: Final = (
    Malrule(
        "keeps-the-energy", "H1", "S32", ("common p.d.",), _keeps_energy, "charge is what stays",
    ),
    Malrule("keeps-the-pd", "H2", "S32", ("common p.d.",), _keeps_pd, "charge is what stays"),
    Malrule(
        "halves-the-charge", "H3", "S32", ("share of charge",),
        lambda s: (over(s.facts.get("total"), s.facts.get("count")),), "equal p.d.s, not charges",
    ),
    Malrule("averages-the-pds", "H4", "S32", ("common p.d.",), _averages, "weigh by capacitance"),
    Malrule("adds-the-pds", "H5", "S32", ("common p.d.",), _adds_pds, "one common p.d."),
    Malrule(
        "joined-pair-as-a-chain", "H6", "S32", ("common p.d.",), _as_chain,
        "joined capacitances add",
    ),
    Malrule(
        "adds-unlike-charges", "H7", "S33", ("common p.d.", "joint charge"), _adds_opposed,
        "signs of joined charges",
    ),
    Malrule(
        "subtracts-like-charges", "H8", "S33", ("common p.d.", "joint charge"), _subtracts_like,
        "signs of joined charges",
    ),
    Malrule(
        "no-energy-is-lost", "H9", "S34", ("energy lost",), lambda _: (Fraction(0),),
        "before less after, of all",
    ),
    Malrule(
        "compares-one-capacitor-only", "H10", "S34", ("energy lost",), _one_drop,
        "before less after, of all",
    ),
    Malrule(
        "supply-on-keeps-the-charge", "I1", "S29+S30", ("held p.d.",), _kept,
        "the supply holds the p.d.",
    ),
    Malrule(
        "supply-off-keeps-the-pd", "I2", "S29+S30", ("kept charge", "common p.d."), _kept,
        "the charge stays",
    ),
    Malrule(
        "energy-changes-the-wrong-way", "I4", "S29+S24", ("energy after",), _wrong_way,
        "the form with what is fixed",
    ),
)


# Families J and E11, E12: floating points, bridges, and a star for a triangle.
#
# E13 is an answer in words, so it stands beside its question in staged/floating_story.py.


def _half(s: RuleContext) -> Numbers:
    if "voltage" in s.facts:
        yield s.facts["voltage"] / 2


def _with_total(s: RuleContext) -> Numbers:
    if "own" in s.facts:
        yield (s.facts["pull"] + s.facts["total"]) / s.facts["own"]


FLOATING: Final = (
    Malrule("midpoint-at-half-the-supply", "J1", "S37", ("potential",), _half, "balance, not half"),
    Malrule(
        "weights-the-wrong-way", "J2", "S37", ("potential",), lambda s: (s.facts.get("upside"),),
        "weights are capacitances",
    ),
    Malrule(
        "slips-on-a-sign-in-the-balance", "J3", "S37", ("potential",), lambda s: s.listed("slip"),
        "one sign for all",
    ),
    Malrule(
        "puts-the-total-charge-on-a-floating-point", "J4", "S37", ("potential",), _with_total,
        "the sum is zero",
    ),
    Malrule(
        "counts-one-way-out-of-the-terminal", "J6", "S38", ("whole by balance",),
        lambda s: s.listed("way"), "all ways out",
    ),
    Malrule(
        "drops-the-bridging-capacitor", "E11", "S35", ("whole by balance",),
        lambda s: (s.facts.get("dropped"),), "joined points differ",
    ),
    Malrule(
        "treats-the-bridging-capacitor-as-a-wire", "E12", "S35", ("whole by balance",),
        lambda s: (s.facts.get("wired"),), "joined points differ",
    ),
    Malrule(
        "star-and-triangle-as-for-resistors", "J5", "S39", ("star arm", "delta side"),
        lambda s: (s.facts.get("resistors"),), "capacitances like conductances",
    ),
)
