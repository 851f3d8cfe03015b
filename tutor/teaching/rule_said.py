"""A rule that is said where a value is asked: C times V, the charge over twelve, C1 times 50.

It is the way to the value and not the value yet: what it comes to is asked, and no try is spent.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from grammar.answers import DIMS, Measure, as_si, evaluate, known, parts_of
from grammar.expressions import Name, Num, Op, names_in
from grammar.measures import PURE
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.claims import WHOLE_NAMES, names_now
from tutor.teaching.judging import close
from tutor.teaching.quantities import Quantity
from tutor.teaching.walk import Walk

if TYPE_CHECKING:
    from grammar.answers import Claim

def speaks_in_general(claim: Claim) -> bool:
    """Whether a claim ends in the letters of quantities, of whatever capacitor: Q = C V."""
    named, parts = _names_in(claim), [*parts_of(claim.sides[-1])]
    return len(parts) > 1 and bool(named) and named <= WHOLE_NAMES.keys()


def says_the_rule(walk: Walk, wanted: Quantity, claim: Claim) -> bool:
    """Whether a claim says how the ``wanted`` quantity follows and leaves it at that: in letters
    that are meant of its own capacitor, or with numbers of which nobody says the units.
    """
    target = names_now(walk).get(claim.target or "", wanted)
    if claim.reciprocal or not _names_in(claim) or wanted not in (
        target, target._replace(of=wanted.of)
    ):
        return False
    right, worth = walk.truth[wanted], _worth(walk, wanted)
    numbers = [part for part in parts_of(claim.sides[-1]) if isinstance(part, Num)]
    if in_letters(right):
        return not numbers and _comes_to(claim, right, worth)
    powers = walk.problem.powers
    plain = {
        name: Measure(worth[name].value / Fraction(10) ** powers[quantity.dimension], bare=True)
        for name, quantity in names_now(walk).items() if name in worth
    }
    in_usual = right / Fraction(10) ** walk.problem.powers[wanted.dimension]
    are_bare = bool(numbers) and all(number.unit is None for number in numbers)
    is_of_its_kind = right != 0 or _is_of_kind(claim, wanted, worth)  # V is 0 too where Q is
    return is_of_its_kind and (
        _comes_to(claim, right, worth) or (are_bare and _comes_to(claim, in_usual, plain))
    )


def is_so(walk: Walk, wanted: Quantity, claim: Claim) -> bool:
    """Whether a claim is true of the ``wanted`` quantity, though a value in it is still to be
    found.
    """
    worth = {
        name: known(walk.truth[quantity], quantity.dimension)
        for name, quantity in names_now(walk).items()
    }
    return wanted in walk.truth and _comes_to(claim, walk.truth[wanted], worth)


def is_a_true_relation(walk: Walk, claim: Claim) -> bool:
    """Whether a claim says truly how quantities go together of which some are still to be found,
    or how many times one is another, and so is no value of what is asked: 30 = V1 + V2.
    """
    names = names_now(walk)
    named = {text for side in claim.sides for text in names_in(side)}
    if len(claim.sides) < 2 or claim.reciprocal or not named <= names.keys():
        return False
    is_value = claim.target is not None and isinstance(claim.sides[-1], Num)
    if is_value and names[claim.target or ""] not in walk.known:
        return False  # a value of its own
    said = claim.sides[1:] if claim.target else claim.sides
    are_found = all(names[text] in walk.known for side in said for text in names_in(side))
    if not any(isinstance(side, Op) and names_in(side) for side in said):
        return False
    truth = {n: known(walk.truth[q], q.dimension) for n, q in names.items()}
    try:
        sides = [evaluate(side, truth) for side in claim.sides]
        kind = next(each.dims for each in sides if not each.bare)
        usual = next((k for k, dims in DIMS.items() if dims == kind), None)
        power = walk.problem.powers[usual] if usual is not None else 0
        first, *others = (as_si(each, kind, power) for each in sides)
    except Refusal:
        return False
    if are_found and kind != PURE:
        return False  # what it comes to may be meant as a value
    return all(close(first, each) for each in others)


def _names_in(claim: Claim) -> set[str]:
    return {part.text for part in parts_of(claim.sides[-1]) if isinstance(part, Name)}


def _worth(walk: Walk, wanted: Quantity) -> dict[str, Measure]:
    """What names are worth, where C, V and Q without a number are those of one capacitor."""
    found = {}
    for name, quantity in names_now(walk).items():
        symbol = WHOLE_NAMES.get(name)
        meant = quantity if symbol is None else Quantity(symbol, wanted.of)
        if meant in walk.truth and (symbol is not None or meant in walk.known):
            found[name] = known(walk.truth[meant], meant.dimension)
    return found


def _comes_to(claim: Claim, right: Value, worth: Mapping[str, Measure]) -> bool:
    try:
        return close(evaluate(claim.sides[-1], worth).value, right)
    except Refusal:
        return False


def _is_of_kind(claim: Claim, wanted: Quantity, worth: Mapping[str, Measure]) -> bool:
    """Whether what a claim comes to is of the kind of the ``wanted`` quantity."""
    try:
        measure = evaluate(claim.sides[-1], worth)
    except Refusal:
        return False
    return measure.bare or measure.dims == DIMS[wanted.dimension]
