"""Family G, and what of E and K touches it: charge and p.d. of each capacitor."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from tutor.circuit.values import to_figures
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.rules.context import RuleContext, plain_power
from tutor.teaching.rules.malrule import MOST_LISTED, Malrule, Numbers, over, times, total


def _is(s: RuleContext, kind: str) -> bool:
    return s.step is not None and s.step.kind == kind


def _shared_out(
    s: RuleContext, kind: str, symbol: Symbol
) -> list[tuple[Fraction, tuple[Fraction, ...]]]:
    """What may be thought to be divided in a step of this kind, and among which capacitances:
    those of the step, and those of the whole chain or set it is a part of.
    """
    if not _is(s, kind):
        return []
    run, made = s.run()
    found = [(s.number(symbol, s.made), s.parts), (s.number(symbol, made), run)]
    return [(value, sizes) for value, sizes in found if value is not None]


def _equal_pd(s: RuleContext) -> Numbers:
    return dict.fromkeys(v / len(sizes) for v, sizes in _shared_out(s, "series", "V"))


def _pd_by_capacitance(s: RuleContext) -> Numbers:
    own = s.parts[s.at] if s.parts else None
    return dict.fromkeys(times(v, own, 1 / total(c)) for v, c in _shared_out(s, "series", "V"))


def _whole_pd(s: RuleContext) -> Numbers:
    if _is(s, "series"):
        yield s.supply
        yield s.number("V", s.made)


def _own_c_times_supply(s: RuleContext) -> Numbers:
    if s.c is not None and s.supply is not None and s.v and s.v != s.supply:
        yield s.c * s.supply


def _charges_added(s: RuleContext) -> Numbers:
    """The charge of a chain counted once for each member, however the chain was taken."""
    step = s.route.made_by(s.of) if s.route else None
    if s.route is None or step is None or step.kind != "series":
        return
    names, made = s.route.run(step)
    charge = s.number("Q", made)
    if charge is not None:
        for members in dict.fromkeys((len(step.parts), len(names))):
            yield charge * members


def _charge_split_along(s: RuleContext) -> Numbers:
    return dict.fromkeys(q / len(sizes) for q, sizes in _shared_out(s, "series", "Q"))


def _all_charge_of_set(s: RuleContext) -> Numbers:
    if _is(s, "parallel"):
        yield s.number("Q", s.made)


def _equal_charge(s: RuleContext) -> Numbers:
    return dict.fromkeys(q / len(sizes) for q, sizes in _shared_out(s, "parallel", "Q"))


def _charge_the_series_way(s: RuleContext) -> Numbers:
    for charge, sizes in _shared_out(s, "parallel", "Q"):
        yield charge * (1 / s.parts[s.at]) / total(1 / n for n in sizes)


def _pd_split_between_branches(s: RuleContext) -> Numbers:
    across = s.number("V", s.made)
    if _is(s, "parallel") and across is not None:
        yield across / len(s.parts)
        yield across * s.parts[s.at] / total(s.parts)
        yield across * (1 / s.parts[s.at]) / total(1 / n for n in s.parts)


def _supply_on_inner(s: RuleContext) -> Numbers:
    made_by = s.route.made_by(s.of) if s.route else None
    if _is(s, "parallel") or (made_by is not None and made_by.kind == "parallel"):
        yield s.supply


def _total_on_part(s: RuleContext) -> Numbers:
    if s.step is not None:
        yield s.total


def _whole_c_for_part(s: RuleContext) -> Numbers:
    if s.whole is None or s.step is None:
        return
    if s.place == "charge":
        yield times(s.whole, s.v)
    if s.place == "voltage":
        yield over(s.q, s.whole)


def _two_share_on_three(s: RuleContext) -> Numbers:
    across = s.number("V", s.made)
    if _is(s, "series") and len(s.parts) > 2 and across is not None:
        own = s.parts[s.at]
        for at, other in enumerate(s.parts):
            if at != s.at:
                yield across * other / (own + other)


def _potentials(s: RuleContext) -> Numbers:
    """For the p.d. of a part, that between one of its own points and an end."""
    part = s.route.capacitor(s.of) if s.route else None
    if s.step is None or s.supply is None or part is None or s.route is None:
        return
    problem = s.route.problem
    for point in (part.start, part.end):
        value = s.values.get(Quantity("V", point=point))
        if point not in problem.network.ends and value is not None:
            level = Fraction(value) / Fraction(10) ** plain_power(problem.powers, "voltage")
            yield level
            yield s.supply - level


FEW_FIGURES = 2


def _early_rounding(s: RuleContext) -> Numbers:
    """Worked on from a value rounded to one, two or three figures; no one rounds 12 to 10."""
    used = {"total charge": s.c, "charge": s.v, "voltage": s.q}.get(s.place)
    if not used or to_figures(used, FEW_FIGURES) == used:
        return
    for figures in (1, 2, 3):
        rounded = to_figures(used, figures)
        if rounded != used:
            yield over(rounded, s.c) if s.place == "voltage" else times(
                rounded, s.v if s.place == "total charge" else s.c
            )


def _neighbours_capacitance(s: RuleContext) -> Numbers:
    """The right rule with the capacitance of another one, given or merged."""
    others = sorted({*s.given, *s.parts, *s.merged} - {s.c})
    for other in others[: 2 * MOST_LISTED]:
        if s.place == "voltage":
            yield over(s.q, other)
        elif s.place == "charge":
            yield times(other, s.v)
        elif s.place == "energy":
            yield times(other, s.v, s.v, Fraction(1, 2))



WORKING_BACK: Final = (
    Malrule(
        "splits-the-pd-equally", "G1", "S21", ("voltage",), _equal_pd, "chain shares charge", 0,
    ),
    Malrule(
        "pd-in-proportion-to-capacitance", "G2", "S21", ("voltage",), _pd_by_capacitance,
        "smaller takes more p.d.", 0,
    ),
    Malrule(
        "full-supply-pd-on-each", "G3", "S21", ("voltage",), _whole_pd, "p.d.s add along a chain",
        0,
    ),
    Malrule(
        "own-capacitance-times-supply", "G4", "S19", ("charge",), _own_c_times_supply, "own p.d.",
        0,
    ),
    Malrule(
        "adds-charges-along-a-chain", "G5", "S19", ("total charge",), _charges_added,
        "one charge along a chain",
    ),
    Malrule(
        "splits-the-charge-along-a-chain", "G6", "S19", ("charge",), _charge_split_along,
        "one charge along a chain",
    ),
    Malrule(
        "all-the-charge-on-each-branch", "G7", "S20", ("charge",), _all_charge_of_set,
        "branches divide the charge", 0,
    ),
    Malrule(
        "splits-charge-equally-between-branches", "G8", "S22", ("charge",), _equal_charge,
        "branches share p.d.", 0,
    ),
    Malrule(
        "splits-charge-the-series-way", "G9", "S22", ("charge",), _charge_the_series_way,
        "charge follows capacitance", 0,
    ),
    Malrule(
        "splits-pd-between-branches", "G10", "S20", ("voltage",), _pd_split_between_branches,
        "branches share p.d.",
    ),
    Malrule(
        "supply-pd-on-an-inner-block", "G11", "S23", ("voltage",), _supply_on_inner,
        "p.d.s add along a chain",
    ),
    Malrule(
        "blocks-charge-on-each-branch", "G12", "S23", ("charge",),
        lambda s: _all_charge_of_set(s) if not s.is_whole else (), "branches divide the charge",
    ),
    Malrule(
        "total-charge-on-a-branch", "G13", "S23", ("charge",), _total_on_part,
        "branches divide the charge",
    ),
    Malrule(
        "whole-equivalent-for-a-part", "G14", "S23", ("charge", "voltage"), _whole_c_for_part,
        "own capacitance",
    ),
    Malrule(
        "two-share-rule-on-three", "G15", "S21", ("voltage",), _two_share_on_three,
        "all members of the chain",
    ),
    Malrule("potential-for-pd", "G16", "S21", ("voltage",), _potentials, "between which points", 2),
    Malrule(
        "charged-capacitor-is-a-wire", "E15", "S01", ("voltage",),
        lambda s: (Fraction(0),) if s.q else (), "charge needs p.d.",
    ),
    Malrule(
        "rounds-early", "K4", "S04", ("total charge", "charge", "voltage"), _early_rounding,
        "keep figures", 3,
    ),
    Malrule(
        "copies-a-neighbours-value", "K8", "S05", ("charge", "voltage", "energy"),
        _neighbours_capacitance, "copied value", 3, "copies-a-neighbours-capacitance",
    ),
)
