"""Families A and B: charge, p.d. and energy of one capacitor, or the energy of several."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final

from tutor.teaching.rules.context import Held, RuleContext
from tutor.teaching.rules.malrule import HALF, Malrule, Numbers, over, times, total

ENERGY: Final = ("energy", "total energy")
CHARGE: Final = ("charge", "total charge")


def _divided_charge(s: RuleContext) -> Numbers:
    return over(s.c, s.v), over(s.v, s.c)


def _all_held(term: Callable[[Held], Fraction | None]) -> Callable[[RuleContext], Numbers]:
    """One and the same wrong form for each capacitor whose energy is asked for, added up."""

    def numbers(s: RuleContext) -> Numbers:
        terms = [found for held in s.held if (found := term(held)) is not None]
        return (total(terms),) if terms and len(terms) == len(s.held) else ()

    return numbers


def _chain_part_at_supply(s: RuleContext) -> Numbers:
    if not s.v or s.v == s.supply:
        return ()
    return (times(HALF, s.c, s.supply, s.supply),)


def _shared_energies(s: RuleContext) -> list[tuple[Fraction, tuple[Fraction, ...]]]:
    """What may be thought to be divided, and among which capacitances: the energy of all among
    all or among the chain or set that a capacitor stands in, and that of this among its members.
    None of it by a capacitor that takes no part.
    """
    if s.step is None:
        return []
    run, made = s.run()
    found = [(s.number("E"), s.given), (s.number("E", made), run),
             (s.number("E"), run), (s.number("E", s.made), s.parts)]
    return [(energy, sizes) for energy, sizes in found if energy is not None and sizes]


def _equal_share_of_energy(s: RuleContext) -> Numbers:
    return dict.fromkeys(energy / len(sizes) for energy, sizes in _shared_energies(s))


def _energy_by_capacitance(s: RuleContext) -> Numbers:
    return dict.fromkeys(times(e, s.c, 1 / total(sizes)) for e, sizes in _shared_energies(s))


def _energy_of_the_sum(s: RuleContext) -> Numbers:
    return (times(HALF, total(s.given), s.supply, s.supply),) if len(s.given) > 1 else ()


ONE_CAPACITOR: Final = (
    Malrule("divides-for-the-charge", "A1", "S02", CHARGE, _divided_charge, "charge is a product"),
    Malrule(
        "multiplies-for-the-pd", "A2", "S02", ("voltage",), lambda s: (times(s.q, s.c),),
        "p.d. is charge over capacitance",
    ),
    Malrule(
        "upside-down-pd", "A3", "S02", ("voltage",), lambda s: (over(s.c, s.q),),
        "p.d. is charge over capacitance",
    ),
    Malrule(
        "counts-both-plates", "A5", "S01", CHARGE, lambda s: (times(Fraction(2), s.c, s.v),),
        "one plate",
    ),
    Malrule(
        "net-charge-is-nought", "A6", "S01", CHARGE,
        lambda s: (Fraction(0),) if s.c is not None else (), "charge moved",
    ),
    Malrule(
        "leaves-out-the-half", "B1", "S24", ENERGY, _all_held(lambda h: times(h.c, h.v, h.v)),
        "the half",
    ),
    Malrule(
        "charge-times-pd-without-half", "B2", "S24", ENERGY, _all_held(lambda h: times(h.q, h.v)),
        "the half",
    ),
    Malrule(
        "no-half-in-the-charge-form", "B3", "S24", ENERGY,
        _all_held(lambda h: over(times(h.q, h.q), h.c)), "the half",
    ),
    Malrule(
        "forgets-to-square", "B4", "S24", ENERGY, _all_held(lambda h: times(HALF, h.c, h.v)),
        "the square of the p.d.",
    ),
    Malrule(
        "squares-the-whole-product", "B5", "S24", ENERGY,
        _all_held(lambda h: times(HALF, h.c, h.c, h.v, h.v)), "only the p.d. is squared",
    ),
    Malrule(
        "multiplies-by-c-in-the-charge-form", "B6", "S24", ENERGY,
        _all_held(lambda h: times(HALF, h.q, h.q, h.c)), "the charge form divides",
    ),
    Malrule("energy-at-the-supply-pd", "B7", "S24", ("energy",), _chain_part_at_supply, "own p.d."),
    Malrule(
        "energy-with-the-total-charge", "B8", "S24", ("energy",),
        lambda s: (times(HALF, s.total, s.v),) if s.q != s.total else (), "own charge",
    ),
    Malrule(
        "energy-of-the-whole-for-a-part", "B9", "S24", ("energy",),
        lambda s: (times(s.total, s.supply), times(HALF, s.total, s.supply)), "own charge",
    ),
    Malrule(
        "shares-the-energy-equally", "B10", "S25", ("energy",), _equal_share_of_energy,
        "energy shares",
    ),
    Malrule(
        "energy-in-proportion-to-capacitance", "B11", "S25", ("energy",), _energy_by_capacitance,
        "energy shares",
    ),
    Malrule(
        "energy-with-the-sum-of-capacitances", "B12", "S25", ("total energy",), _energy_of_the_sum,
        "equivalent capacitance",
    ),
    Malrule(
        "supply-gave-only-what-is-stored", "B14", "S34", ("work", "supply work"),
        lambda s: (s.right / 2,), "the supply's work",
    ),
)
