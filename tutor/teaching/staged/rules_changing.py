"""Families H and I, and B14, where charged capacitors are joined, filled or moved.

Facts, in the usual units: ``c0``, ``v0``, … are the capacitances that are joined and their p.d.s
before, with the sign that each had on the common metal; ``q0``, … sizes of charges there, and
``opposed`` whether their signs differ; ``total`` and ``count`` the charge on all and how many
share it; ``kept`` what a quantity was before; ``drop0``, … what each capacitor's energy fell by.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import isqrt
from typing import Final

from tutor.teaching.staged.story import Rule

Facts = Mapping[str, Fraction]
Found = Iterable[Fraction | None]
FINE = 10**15


def _many(facts: Facts, letter: str) -> list[Fraction]:
    found: list[Fraction] = []
    while (key := f"{letter}{len(found)}") in facts:
        found.append(facts[key])
    return found


def _pairs(facts: Facts) -> list[tuple[Fraction, Fraction]]:
    return list(zip(_many(facts, "c"), _many(facts, "v"), strict=True))


def _root(value: Fraction) -> Fraction:
    return Fraction(isqrt(value.numerator * FINE**2 // value.denominator), FINE)


def _whole(facts: Facts) -> Fraction:
    return sum(_many(facts, "c"), Fraction(0))


def _is_opposed(facts: Facts) -> bool:
    return any(v < 0 for v in _many(facts, "v"))


def _keeps_energy(facts: Facts) -> Found:
    if "c0" in facts:
        yield _root(sum((c * v * v for c, v in _pairs(facts)), Fraction(0)) / _whole(facts))


def _keeps_pd(facts: Facts) -> Found:
    yield from {abs(v) for v in _many(facts, "v") if v}


def _halves(facts: Facts) -> Found:
    yield facts["total"] / facts["count"]


def _averages(facts: Facts) -> Found:
    voltages = [abs(v) for v in _many(facts, "v")]
    if voltages:
        yield sum(voltages, Fraction(0)) / len(voltages)


def _adds_pds(facts: Facts) -> Found:
    voltages = [abs(v) for v in _many(facts, "v")]
    if sum(1 for v in voltages if v) > 1:
        yield sum(voltages, Fraction(0))


def _as_chain(facts: Facts) -> Found:
    charge = sum((c * v for c, v in _pairs(facts)), Fraction(0))
    if "c0" in facts:
        yield abs(charge) * sum((1 / c for c in _many(facts, "c")), Fraction(0))


def _adds_opposed(facts: Facts) -> Found:
    if "opposed" in facts:
        if facts["opposed"]:
            yield sum(_many(facts, "q"), Fraction(0))
    elif _is_opposed(facts):
        yield sum((c * abs(v) for c, v in _pairs(facts)), Fraction(0)) / _whole(facts)


def _subtracts_like(facts: Facts) -> Found:
    if "opposed" in facts:
        charges = _many(facts, "q")
        if not facts["opposed"] and len(charges) == 2:
            yield abs(charges[0] - charges[1])
    elif not _is_opposed(facts) and len(pairs := _pairs(facts)) == 2:
        (c1, v1), (c2, v2) = pairs
        yield abs(c1 * v1 - c2 * v2) / _whole(facts)


def _no_loss(_: Facts) -> Found:
    yield Fraction(0)


def _one_drop(facts: Facts) -> Found:
    yield from (drop for key, drop in facts.items() if key.startswith("drop") and drop > 0)


def _kept(facts: Facts) -> Found:
    yield facts.get("kept")


def _wrong_way(facts: Facts) -> Found:
    if "ratio" in facts:
        turned = 1 / facts["ratio"] if facts["fixed p.d."] else facts["ratio"]
        yield facts["before"] * turned


CHANGING: Final[tuple[Rule, ...]] = (
    Rule(
        "keeps-the-energy", "H1", "S32", ("common p.d.",), _keeps_energy,
        "keeping the energy the same",
        "Charge runs along the joining wires, which take energy from it, so energy leaves while "
        "charge stays",
        "What cannot leave the two joined plates?",
        "charge is what stays",
    ),
    Rule(
        "keeps-the-pd", "H2", "S32", ("common p.d.",), _keeps_pd,
        "keeping the {difference} of one of them",
        "At that {difference}, {names} together would hold another charge than there is",
        "How much charge is there altogether, before and after?",
        "charge is what stays",
    ),
    Rule(
        "halves-the-charge", "H3", "S32", ("share of charge",), _halves,
        "sharing the charge out equally",
        "What ends up equal is the {difference}: equal charges on unequal capacitances would still "
        "leave one that drives charge",
        "With that charge on each, are the {differences} equal, or would charge still move?",
        "equal p.d.s, not charges",
    ),
    Rule(
        "averages-the-pds", "H4", "S32", ("common p.d.",), _averages,
        "taking the mean of the {differences}",
        "A larger capacitance pulls harder on the mean, so each {difference} counts with its "
        "capacitance",
        "Which of {names} needs more charge to rise by 1 V?",
        "weigh by capacitance",
    ),
    Rule(
        "adds-the-pds", "H5", "S32", ("common p.d.",), _adds_pds,
        "adding the {differences}",
        "Joined side by side, {names} settle at one {difference} that cannot be above all they "
        "started from",
        "Could the common {difference} be above every one of the starting ones?",
        "one common p.d.",
    ),
    Rule(
        "joined-pair-as-a-chain", "H6", "S32", ("common p.d.",), _as_chain,
        "taking them as a chain",
        "{names} have both their points in common, so the charge is spread over {sum}",
        "How many points have {names} in common now?",
        "joined capacitances add",
    ),
    Rule(
        "adds-unlike-charges", "H7", "S33", ("common p.d.", "joint charge"), _adds_opposed,
        "adding the charges although their signs differ",
        "Where a + plate meets a − plate, charges of unlike signs come together and cancel, wholly "
        "or partly",
        "On one of the joined pieces of metal, what are the charges with their signs?",
        "signs of joined charges",
    ),
    Rule(
        "subtracts-like-charges", "H8", "S33", ("common p.d.", "joint charge"), _subtracts_like,
        "subtracting the charges although their signs are alike",
        "Where + plates meet, both bring charge of the same sign",
        "Which plates are joined together, and what are the signs of their charges?",
        "signs of joined charges",
    ),
    Rule(
        "no-energy-is-lost", "H9", "S34", ("energy lost",), _no_loss,
        "taking the energy as unchanged",
        "Charge is kept, but the stored energy before and the stored energy now are not the same",
        "What is the energy before, what is it after, and where did the rest go?",
        "before less after, of all",
    ),
    Rule(
        "compares-one-capacitor-only", "H10", "S34", ("energy lost",), _one_drop,
        "comparing the energy of one capacitor only",
        "Part of what one capacitor lost has gone to the others",
        "How much energy is now in the others?",
        "before less after, of all",
    ),
    Rule(
        "supply-on-keeps-the-charge", "I1", "S29+S30", ("held p.d.",), _kept,
        "keeping the charge as it was",
        "The supply is joined and holds the {difference}; with another capacitance it moves charge",
        "What holds the {difference} while the supply is joined?",
        "the supply holds the p.d.",
    ),
    Rule(
        "supply-off-keeps-the-pd", "I2", "S29+S30", ("kept charge", "common p.d."), _kept,
        "keeping the {difference} as it was",
        "Nothing is joined to {name} that could bring charge, so with another capacitance the "
        "{difference} cannot stay",
        "Where could extra charge come from?",
        "the charge stays",
    ),
    Rule(
        "energy-changes-the-wrong-way", "I4", "S29+S24", ("energy after",), _wrong_way,
        "changing the energy the opposite way",
        "Only one of Q and {pd_letter} is fixed here, and the two forms of the energy go opposite "
        "ways with the capacitance",
        "Which form of the energy has only the fixed quantity and C in it?",
        "the form with what is fixed",
    ),
    Rule(
        "supply-gave-only-what-is-stored", "B14", "S34", ("supply work",),
        lambda facts: (facts["work"] / 2,),
        "taking half of the charge moved times the {difference}",
        "The {difference} of the supply is the same from first to last, so every bit of charge "
        "crosses all of it",
        "How much work does the supply do for each coulomb that it moves, and for all?",
        "the supply's work",
    ),
)
