"""What a stated line claims: which quantity, and whether each side of it is right.

A line such as ``C23 = C2 + C3 = 5 uF`` is judged side by side from the left; the first side that
is not right is the one spoken of.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import combinations, takewhile
from types import MappingProxyType
from typing import NamedTuple

from grammar.answers import (
    Claim,
    Measure,
    adds_reciprocals,
    evaluate,
    half_in_si,
    is_plain_value,
    known,
    read_claims,
)
from grammar.expressions import Expression, Name, Num, Op, names_in, parts_of
from grammar.measures import DIMS, as_si, turned_dims
from grammar.quantity import PREFIX, SYMBOL
from grammar.records import PERMITTIVITY_LETTER, Refusal
from grammar.refusals import ANY_VALUE
from tutor.circuit.relations import by_law, of_step, taken_up
from tutor.circuit.steps import Choice, examine, joint_name
from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.hearing import common_start
from tutor.teaching.judging import Judged, judge
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.reading.said_values import read_said
from tutor.teaching.rules.diagnosis import Typed
from tutor.teaching.speech import speech_for
from tutor.teaching.walk import Question, Walk
from tutor.teaching.ways_of_walk import used_by

WHOLE_NAMES: Mapping[str, Symbol] = MappingProxyType({
    "C": "C", "Ceq": "C", "Ctotal": "C", "Ctot": "C", "CT": "C", "Q": "Q", "Qtotal": "Q",
    "Qtot": "Q", "V": "V", "U": "V", "Vtotal": "V", "E": "E", "W": "E", "Etotal": "E",
    "C_total": "C", "Q_total": "Q", "V_total": "V", "U_total": "V",
})
SYMBOL_LETTERS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"V": ("V", "U"), "Q": ("Q",), "E": ("E", "W")}
)
# What people call the one capacitor that they have just worked out.
_OF_THE_SUPPLY = re.compile(
    r"(?i)\bof\s+the\s+(?:supply|battery|total|whole)(?:['’]?s)?\s+(?:voltage|p\.?d\.?)(?!\w)"
)
_OWN_C = r"\b(?:{letters})_?(?:s|p|new|ser|par|series|parallel|total|tot|eq|eff|res)\b"
MOST_SEARCHED = 10
LONGEST_GROUP = 4


class Stated(NamedTuple):
    """One judged claim. ``said`` is its decisive side as typed; ``ruled`` whether some side was
    worked out from names or several numbers, so that a rule was shown. ``typed`` is the decisive
    number in the usual unit; ``shift`` the power of ten that would have made it right; ``power``
    that of the unit it was typed with, None without one. ``side`` is the side that was decisive,
    with what its names are worth in ``worth``.
    """

    quantity: Quantity
    judged: Judged
    said: str
    ruled: bool
    turned: bool = False
    typed: Typed | None = None
    shift: int = 0
    power: int | None = None
    side: Expression | None = None
    worth: Mapping[str, Measure] = MappingProxyType({})


def names_now(walk: Walk) -> dict[str, Quantity]:
    """Every way to write a quantity that means something now."""
    found: dict[str, Quantity] = {}
    for quantity in walk.truth:
        found[quantity.name] = quantity
        if quantity.point is not None:
            found[f"U_{quantity.point}"] = quantity
        if quantity.of and quantity.symbol != "C":
            for letter in SYMBOL_LETTERS[quantity.symbol]:
                found[letter + quantity.name[1:]] = quantity
                found[f"{letter}{quantity.of}"] = quantity
    for name, symbol in WHOLE_NAMES.items():
        if Quantity(symbol) in walk.truth:
            found.setdefault(name, Quantity(symbol))
    if walk.terms.energy_letter == "W" and Quantity("W") in walk.truth:
        found |= {"W": Quantity("E"), "W_supply": Quantity("W")}
    return found


def read(walk: Walk, line: str) -> tuple[Claim, ...]:
    """The claims of a line in this walk's names. Raises Refusal."""
    now = names_now(walk)
    names = {*now, *names_to_come(walk), *_lookup(walk)}
    speech = speech_for(walk.problem, walk.terms)
    told = tuple(speech.name(quantity) for quantity in walk.known if quantity.point is None)
    if any(in_letters(value) for value in walk.truth.values()):
        line = _OF_THE_SUPPLY.sub("of V", line)
    line = _own_c(walk).sub(lambda found: found[0] if found[0] in names else "C",
                      walk.terms.understood(line))

    def in_notation(text: str) -> tuple[Claim, ...]:
        return read_claims(text, names, _letters_meant(walk, text), told)

    plain = is_plain_value(line)
    claims = in_notation(line) if plain else read_said(line, names, in_notation)
    return tuple(
        each for claim in claims for each in _said_of_each(walk, now, _of_energy(now, claim))
    )


def _own_c(walk: Walk) -> re.Pattern[str]:
    """Own names of what capacitors make: Cp, Cseries, and Kp where they are called Kx, Ky, Kz."""
    letters = {"C", common_start([c.name for c in walk.problem.network.capacitors])}
    return re.compile(_OWN_C.format(letters="|".join(sorted(map(re.escape, letters - {""})))))


def _of_energy(names: Mapping[str, Quantity], claim: Claim) -> Claim:
    """U = 480 uJ is an energy, whatever U is otherwise."""
    meant = names.get(claim.target or "")
    last = claim.sides[-1]
    in_joules = isinstance(last, Num) and last.unit is not None and (
        last.unit.dimension == "energy"
    )
    if meant is None or meant.symbol != "V" or not in_joules or (claim.target or "")[:1] != "U":
        return claim
    name = Quantity("E", meant.of).name
    return Claim(name, (Name(name), *claim.sides[1:])) if name in names else claim


def _said_of_each(
    walk: Walk, names: Mapping[str, Quantity], claim: Claim
) -> Iterator[Claim]:
    """Q1 = Q2 = 42 uC says as much of Q2 as of Q1, as long as Q2 is not known: the one next to
    the value comes first.
    """
    written = claim.sides[:-1] if claim.target else ()
    alike = list(takewhile(lambda side: isinstance(side, Name) and side.text in names, written))
    told = [side.text for side in alike if isinstance(side, Name)]
    while told and names[told[-1]] in walk.known:
        told.pop()
    if len(told) < 2 or len({names[name].symbol for name in told}) > 1:
        yield claim
        return
    rest = claim.sides[len(told):]
    yield from (Claim(name, (Name(name), *rest)) for name in reversed(told))


def _letters_meant(walk: Walk, line: str) -> bool:
    """Whether C and V after a number are letters here: not the V of 8 V where the supply is
    given in volts.
    """
    letters = {str(s)[:1] for v in walk.truth.values() if in_letters(v) for s in v.free_symbols}
    units = set(re.findall(r"\d\s*([CV])(?![A-Za-z0-9])", line))
    return bool(letters) and units <= letters


def group_of(walk: Walk, claim: Claim) -> tuple[str, ...] | None:
    """The capacitors that a claim about a capacitor not yet made would combine; None for one that
    only a later step makes.
    """
    name = claim.target or claim.reciprocal
    meant = names_now(walk).get(name or "")
    if name is None or (meant is not None and meant.symbol != "C"):
        return None
    present = {c.name for c in walk.network.capacitors}
    mentioned = present.intersection(names_in(*claim.sides))
    groups = names_to_come(walk).get(name, [])
    if len(mentioned) > 1 and (not groups or mentioned in [set(g) for g in groups]):
        return tuple(c.name for c in walk.network.capacitors if c.name in mentioned)
    valid = [group for group in groups if isinstance(examine(walk.network, group), Choice)]
    if not valid and (not groups or meant is not None):
        return None
    return valid[0] if valid else groups[0]


def group_of_a_sum(walk: Walk, claim: Claim) -> tuple[str, ...] | None:
    """The capacitors whose values a claim adds, each being that of one alone, where these can be
    combined: 5 nF + 1 nF.
    """
    numbers = [part for part in parts_of(claim.sides[0]) if not isinstance(part, Op)]
    signs = {part.sign for part in parts_of(claim.sides[0]) if isinstance(part, Op)}
    if signs != {"+"} or not all(isinstance(each, Num) for each in numbers):
        return None
    power, names = walk.problem.powers["capacitance"], []
    for each in numbers:
        measure = evaluate(each, {})
        if not measure.bare and measure.dims != DIMS["capacitance"]:
            return None
        worth = as_si(measure, "capacitance", power)
        alike = [c.name for c in walk.network.capacitors if c.value == worth]
        names += alike if len(alike) == 1 else [""]
    group = tuple(c.name for c in walk.network.capacitors if c.name in names)
    can = len(group) == len(names) > 1 and isinstance(examine(walk.network, group), Choice)
    return group if can else None


def names_to_come(walk: Walk) -> dict[str, list[tuple[str, ...]]]:
    """Names that combining some of what is left would make."""
    names = [c.name for c in walk.network.capacitors]
    if len(names) > MOST_SEARCHED:
        return {}
    used = {c.name for c in walk.problem.network.capacitors} | walk.made
    found: dict[str, list[tuple[str, ...]]] = {}
    sizes = {*range(2, min(LONGEST_GROUP, len(names)) + 1), len(names)}
    for size in sorted(sizes - {0, 1}):
        for group in combinations(names, size):
            found.setdefault(joint_name(list(group), used), []).append(group)
    return found


def _lookup(walk: Walk) -> dict[str, Measure]:
    """What names are worth in a learner's sum: only what is established already."""
    lookup: dict[str, Measure] = {}
    for name, quantity in names_now(walk).items():
        if quantity in walk.known:
            power = walk.problem.powers[quantity.dimension]
            lookup[name] = known(walk.known[quantity], quantity.dimension, power)
    for value in walk.truth.values():
        if in_letters(value):
            for symbol in value.free_symbols:
                if str(symbol) == PERMITTIVITY_LETTER:
                    lookup[str(symbol)] = Measure(symbol)  # a number
                elif str(symbol)[:1] not in "VUQ":
                    lookup[str(symbol)] = known(symbol, "capacitance")
    return lookup


def _letters_of(walk: Walk, quantity: Quantity) -> dict[str, Measure]:
    """What C, V and Q are worth where they are said of the capacitor that is asked about."""
    lookup = _lookup(walk)
    return {
        letter: lookup[name]
        for letter, symbol in WHOLE_NAMES.items()
        if (name := Quantity(symbol, quantity.of).name) in lookup
    }


def state(
    walk: Walk, question: Question, claim: Claim, meant: Quantity | None = None
) -> Stated | None:
    """Judge one claim, of the quantity that is ``meant`` or the one that it names; None when it
    cannot be told which it is about.

    Raises Refusal where a side cannot be worked out.
    """
    quantity = meant or target_of(walk, question, claim)
    if quantity is None or quantity not in walk.truth:
        return None
    sides = claim.sides
    if claim.target or claim.reciprocal:
        sides = sides[1:]
    lookup = _lookup(walk) | (_letters_of(walk, meant) if meant is not None else {})
    ruled = any(not isinstance(side, Num) for side in sides)
    decisive: Judged | None = None
    measure: Measure | None = None
    said, shown = "", sides[-1]
    turned = claim.reciprocal is not None or (
        quantity.symbol == "C" and adds_reciprocals(claim.sides[0])
    )
    for side in sides:
        measure = evaluate(side, lookup)
        judged = _judge_side(walk, quantity, measure, turned)
        if turned and judged.verdict != "right" and decisive is not None:
            over = _judge_side(walk, quantity, measure, False)
            if over.verdict == "right":  # turned over on the way, as in 1/C = 5/12 = 2.4 uF
                judged, turned = over, False
        if judged.note == "power of ten" and measure.bare and side is not sides[-1]:
            continue  # a sum without units: what it comes to says in which
        said, shown = _typed(side), side
        if decisive is None or judged.verdict != "right" or judged.note:
            decisive = judged
        if judged.verdict == "wrong":
            break
        if judged.verdict == "right":
            decisive = judged
    if decisive is None:
        raise Refusal("Nothing is said after the equals sign.", ANY_VALUE)
    if decisive.note == "unit" and measure is not None and quantity.symbol == "C" and not turned:
        over = _judge_side(walk, quantity, measure, True)
        if over.verdict == "right" and measure.dims[0] == -1:
            decisive, turned = over, True
    typed = _typed_number(walk, quantity, decisive, measure) if not turned else None
    power = None if measure is None or measure.bare else measure.power
    return Stated(
        quantity, decisive, said, ruled, turned, typed, decisive.shift, power, shown, lookup
    )


def is_right(walk: Walk, question: Question, claim: Claim) -> bool:
    """Whether a claim is right for what it names, or else for what the question asks."""
    try:
        stated = state(walk, question, claim)
    except Refusal:
        return False
    return stated is not None and stated.judged.verdict == "right"


def _typed_number(
    walk: Walk, quantity: Quantity, judged: Judged, measure: Measure | None
) -> Typed | None:
    """The number as typed, in the usual unit; None where letters or another unit stand in it."""
    if judged.value is None or measure is None or in_letters(judged.value):
        return None
    power = walk.problem.powers[quantity.dimension]
    half = half_in_si(measure, power) if measure.one_number else None
    scale = Fraction(10) ** power
    figures = measure.figures if measure.one_number else 0
    return Typed(judged.value / scale, half / scale if half is not None else None, figures)


def _judge_side(walk: Walk, quantity: Quantity, measure: Measure, turned: bool) -> Judged:
    power = walk.problem.powers[quantity.dimension]
    right = walk.truth[quantity]
    if turned:
        if measure.value == 0:
            return Judged("wrong")
        value = tidy(1 / measure.value)
        measure = measure._replace(value=value, dims=turned_dims(measure.dims), half=None,
                                   one_number=False)
    return judge(measure, quantity.dimension, power, right, _from_own(walk, quantity))


def _from_own(walk: Walk, quantity: Quantity) -> Value | None:
    """What the learner's own rounded values lead to, where they differ from the exact ones."""
    if not walk.own:
        return None

    def mine(each: Quantity) -> Value:
        same = (Quantity(each.symbol, of) for of in _with_one_value(walk, each.symbol, each.of))
        return next((walk.own[other] for other in same if other in walk.own), walk.truth[each])

    step = walk.made_by(quantity.of)
    if quantity.point is not None or quantity.symbol == "W":
        return None
    if quantity.symbol == "C":
        relation = next(of_step(step), None) if step is not None else None
    else:
        of = quantity.of or (walk.whole.name if walk.whole else "")
        relation = by_law(quantity.dimension, of)
    if relation is None:
        return None
    return relation.value([mine(used) for used in used_by(walk, relation)])


def _with_one_value(walk: Walk, symbol: Symbol, of: str | None) -> Iterator[str | None]:
    """This capacitor and those whose charge (p.d.) has passed on to it unchanged, up to the whole,
    which goes by two names.
    """
    yield of
    if of is None and walk.whole is not None:
        yield walk.whole.name
    for step, _, made in taken_up(walk.plan, of or ""):
        if step.joining is None or symbol != step.joining.shares:
            break
        of = made.name
        yield of
    if walk.whole is not None and of == walk.whole.name:
        yield None


def letters_alone(claim: Claim) -> bool:
    """Whether a claim speaks of C, V or Q without saying of which capacitor."""
    return not WHOLE_NAMES.keys().isdisjoint(names_in(*claim.sides))


def target_of(walk: Walk, question: Question, claim: Claim) -> Quantity | None:
    """Which quantity a claim is about: the one named, or the one asked."""
    name = claim.target or claim.reciprocal
    names = names_now(walk)
    if name is not None:
        return names.get(name) or names.get(name.replace("_", ""))
    if len(claim.sides) > 1 and not isinstance(claim.sides[0], Num):
        return question.quantity
    return question.quantity


def _typed(side: Expression) -> str:
    """A single number as it was typed, with its unit."""
    if not isinstance(side, Num):
        return "that"
    if side.unit is None:
        return side.text
    return f"{side.text} {PREFIX[side.unit.power]}{SYMBOL[side.unit.dimension]}"
