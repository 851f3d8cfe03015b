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
    """What may be thought to be shared out, and among which capacitances: the energy of all among
    all, and that of the chain or set that a capacitor stands in among its members.
    """
    run, made = s.run()
    found = [(s.number("E"), s.given), (s.number("E", made) if made else None, run),
             (s.number("E"), run), (s.number("E", s.made) if s.made else None, s.parts)]
    return [(energy, sizes) for energy, sizes in found if energy is not None and sizes]


def _equal_share_of_energy(s: RuleContext) -> Numbers:
    return dict.fromkeys(energy / len(sizes) for energy, sizes in _shared_energies(s))


def _energy_by_capacitance(s: RuleContext) -> Numbers:
    return dict.fromkeys(times(e, s.c, 1 / total(sizes)) for e, sizes in _shared_energies(s))


def _energy_of_the_sum(s: RuleContext) -> Numbers:
    return (times(HALF, total(s.given), s.supply, s.supply),) if len(s.given) > 1 else ()


NOT_ALL_ACROSS: Final = (
    "All of the charge would have had to move across the full p.d., which was there only at the end"
)

ONE_CAPACITOR: Final = (
    Malrule(
        "divides-for-the-charge", "A1", "S02", CHARGE, _divided_charge,
        "dividing one of capacitance and p.d. by the other",
        "Then either a higher p.d. or a larger capacitance would leave less charge on {part}",
        "If the p.d. across {part} doubled, what should its charge do, and what would yours do?",
        "charge is a product",
    ),
    Malrule(
        "multiplies-for-the-pd", "A2", "S02", ("voltage",), lambda s: (times(s.q, s.c),),
        "multiplying the charge of {part} by its capacitance",
        "Then a larger capacitance would need more p.d. to hold the same charge",
        "Which needs the bigger p.d. to hold one and the same charge, a small capacitor or a large "
        "one?",
        "p.d. is charge over capacitance",
    ),
    Malrule(
        "upside-down-pd", "A3", "S02", ("voltage",), lambda s: (over(s.c, s.q),),
        "dividing the capacitance of {part} by its charge",
        "Then more charge on {part} would mean less p.d. across it",
        "Should the p.d. across {part} rise or fall as more charge comes onto it?",
        "p.d. is charge over capacitance",
    ),
    Malrule(
        "counts-both-plates", "A5", "S01", CHARGE,
        lambda s: (times(Fraction(2), s.c, s.v),),
        "counting the charge of both plates",
        "The outer plates hold equal charges of opposite sign, and by the charge of {part} the "
        "size of one is meant",
        "Counting + and − apart, how much has come onto the + side of {part} alone?",
        "one plate",
    ),
    Malrule(
        "net-charge-is-nought", "A6", "S01", CHARGE,
        lambda s: (Fraction(0),) if s.c is not None else (),
        "adding up the charges of the two plates, of which one is + and one −",
        "{part} as a whole gains nothing, but charge has moved from one plate to the other",
        "How much charge had to be moved, from one side of {part} to the other, to reach its p.d.?",
        "charge moved",
    ),
    Malrule(
        "leaves-out-the-half", "B1", "S24", ENERGY,
        _all_held(lambda h: times(h.c, h.v, h.v)),
        "C V², with the half left out",
        NOT_ALL_ACROSS,
        "What was the p.d. across {part} when charging began, when it ended, and on average?",
        "the half",
    ),
    Malrule(
        "charge-times-pd-without-half", "B2", "S24", ENERGY,
        _all_held(lambda h: times(h.q, h.v)),
        "Q V, with the half left out",
        NOT_ALL_ACROSS,
        "Did every bit of charge cross the full p.d. of {part}?",
        "the half",
    ),
    Malrule(
        "no-half-in-the-charge-form", "B3", "S24", ENERGY,
        _all_held(lambda h: over(times(h.q, h.q), h.c)),
        "Q²/C, with the half left out",
        NOT_ALL_ACROSS,
        "What becomes of the 2 when C = Q/V is put into ½ C V²?",
        "the half",
    ),
    Malrule(
        "forgets-to-square", "B4", "S24", ENERGY,
        _all_held(lambda h: times(HALF, h.c, h.v)),
        "½ C V, with the p.d. not squared",
        "Half of C times V is half the charge of {part}, not an energy",
        "What is the unit of capacitance times p.d.?",
        "the square of the p.d.",
    ),
    Malrule(
        "squares-the-whole-product", "B5", "S24", ENERGY,
        _all_held(lambda h: times(HALF, h.c, h.c, h.v, h.v)),
        "½ (C V)², with the capacitance squared as well",
        "Half the square of a charge is not an energy",
        "To which letter of the formula does the little 2 belong, and to which does it not?",
        "only the p.d. is squared",
    ),
    Malrule(
        "multiplies-by-c-in-the-charge-form", "B6", "S24", ENERGY,
        _all_held(lambda h: times(HALF, h.q, h.q, h.c)),
        "½ Q² C, with the capacitance multiplied",
        "Then the same charge on a larger capacitor would store more, though its p.d. is less",
        "Does the same charge on a bigger capacitor need more p.d. or less, and so more energy or "
        "less?",
        "the charge form divides",
    ),
    Malrule(
        "energy-at-the-supply-pd", "B7", "S24", ("energy",), _chain_part_at_supply,
        "½ C V² with all of the {supply}",
        "{part} does not join the two ends by itself, so it has only a share of the {supply}",
        "What would a meter read that is clipped to the two ends of {part}?",
        "own p.d.",
    ),
    Malrule(
        "energy-with-the-total-charge", "B8", "S24", ("energy",),
        lambda s: (times(HALF, s.total, s.v),) if s.q != s.total else (),
        "½ Q V with all of the {total}",
        "{part} does not hold all of the {total}",
        "How much of the {total} is on {part}?",
        "own charge",
    ),
    Malrule(
        "energy-of-the-whole-for-a-part", "B9", "S24", ("energy",),
        lambda s: (times(s.total, s.supply), times(HALF, s.total, s.supply)),
        "taking the charge and the p.d. of the whole network",
        "With the half, that is the energy of all the capacitors together; without it, twice that",
        "Which charge and which p.d. belong to {part} itself?",
        "own charge",
    ),
    Malrule(
        "shares-the-energy-equally", "B10", "S25", ("energy",), _equal_share_of_energy,
        "giving every capacitor the same share of the energy",
        "Energy goes with charge times p.d., and that product is not the same on all of them",
        "Is the charge of {part} the same as on the others, or its p.d., or neither?",
        "energy shares",
    ),
    Malrule(
        "energy-in-proportion-to-capacitance", "B11", "S25", ("energy",), _energy_by_capacitance,
        "sharing the energy in proportion to capacitance",
        "That holds only where one and the same p.d. is across all of them",
        "Which of the capacitors have the same p.d. across them as {part}?",
        "energy shares",
    ),
    Malrule(
        "energy-with-the-sum-of-capacitances", "B12", "S25", ("total energy",),
        _energy_of_the_sum,
        "½ C V² with all the capacitances added",
        "Their sum is not what lies between the ends: they are not all side by side",
        "Which single capacitor could stand between the ends here?",
        "equivalent capacitance",
    ),
    Malrule(
        "supply-gave-only-what-is-stored", "B14", "S34", ("work", "supply work"),
        lambda s: (s.right / 2,),
        "taking the energy that is stored",
        "The p.d. of the supply was the same from first to last, so every bit of charge crossed "
        "all of it",
        "How much work does the supply do for each bit of charge that it moves, and for all?",
        "the supply's work",
    ),
)
