"""A simulated learner whose slips show in other ways than by a wrong rule's number."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import combinations
from random import Random
from typing import NamedTuple

from grammar.records import Amount, Charging, Description
from tests.conversing import about
from tests.misled import (
    PREFIXES,
    UNITS,
    at_figures,
    nested,
    problem_for,
    right_line,
    value_of,
    verdict_of,
    written,
)
from tutor.circuit.network import build
from tutor.circuit.steps import Choice, Fault, choices, examine
from tutor.teaching.conversation import Conversation
from tutor.teaching.exchange import begin, hear
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import context_on
from tutor.teaching.rules.diagnosis import Typed, matches
from tutor.teaching.walk import Walk, next_question


class Slip(NamedTuple):
    """A line that shows a slip, said to a walk."""

    talk: Conversation
    line: str


def slips(code: str, rng: Random, wanted: int) -> Iterator[Slip]:
    """Slips of one code of the catalogue, each on a network of its own."""
    found = 0
    for _ in range(200 * wanted):
        slip = SLIPS[code](rng)
        if slip is not None:
            found += 1
            yield slip
        if found == wanted:
            return


def named_after(slip: Slip) -> tuple[str, ...]:
    """The malrules that the dialogue names."""
    return verdict_of(hear(slip.talk, slip.line)).malrules


def _begun(rng: Random) -> Walk:
    return begin(build(nested(rng))).walk


# Choosing and sharing


def _faulty_pair(kind: str) -> Callable[[Random], Slip | None]:
    def pair(rng: Random) -> Slip | None:
        walk = _begun(rng)
        found = []
        for both in combinations([c.name for c in walk.network.capacitors], 2):
            judged = examine(walk.network, both)
            if isinstance(judged, Fault) and judged.kind == kind:
                found.append(both)
        return Slip(about(walk), " ".join(rng.choice(found))) if found else None

    return pair


def _looks_side_by_side(rng: Random) -> Slip | None:
    walk = _begun(rng)
    chains = [c for c in choices(walk.network) if isinstance(c, Choice) and c.kind == "series"]
    if not chains:
        return None
    return Slip(about(walk), f"{' and '.join(rng.choice(chains).names)} in parallel")


def _keeps_what_is_idle(code: str, words: str) -> Callable[[Random], Slip | None]:
    def kept(rng: Random) -> Slip | None:
        malrule = next(m for m in CATALOGUE if m.code == code)
        walk = begin(problem_for(malrule, rng)).walk
        idle = [c for s in walk.plan for c in (*s.swept, *(() if s.makes else s.parts))]
        others = [c for c in walk.network.capacitors if c not in idle]
        if not idle or not others:
            return None
        return Slip(about(walk), f"{rng.choice(others).name} and {idle[0].name} {words}")

    return kept


def _shares_wrongly(kind: str, said: str) -> Callable[[Random], Slip | None]:
    def shares(rng: Random) -> Slip | None:
        walk = _begun(rng)
        while (question := next_question(walk)) is not None:
            step = question.step
            if question.about == "shares" and step is not None and step.kind == kind:
                return Slip(about(walk), said)
            if walk.over:
                return None
            walk = hear(about(walk), right_line(walk, question, rng)).walk
        return None

    return shares


# Numbers


def _some_value(walk: Walk, rng: Random) -> Quantity:
    own = [q for q in walk.truth if q not in walk.known and q.point is None and q.of is None]
    return rng.choice(own)


def _slip_of_prefix(shifts: tuple[int, ...]) -> Callable[[Random], Slip | None]:
    def prefix(rng: Random) -> Slip | None:
        walk = _begun(rng)
        quantity = _some_value(walk, rng)
        if quantity.symbol == "E" and walk.problem.powers["voltage"]:
            return None  # the square of a prefix may have been lost there
        number = value_of(walk, quantity) * Fraction(10) ** rng.choice(shifts)
        text = written(at_figures(number, rng.randint(3, 4)), quantity, walk.problem, rng)
        return Slip(about(walk), f"{quantity.name} = {text}")

    return prefix


def _squares_the_number_alone(rng: Random) -> Slip | None:
    """In kV the square of the prefix is lost, in mV too much of it is kept."""
    power = rng.choice((3, -3))
    volts = Fraction(rng.randint(11, 99), 10) * Fraction(10) ** power
    supply = Charging("voltage", Amount(volts, power))
    walk = begin(build(Description(nest=nested(rng).nest, supply=supply))).walk
    energy = Quantity("E")
    number = value_of(walk, energy) / Fraction(10) ** power
    text = written(at_figures(number, 3), energy, walk.problem, rng)
    return Slip(about(walk), f"E = {text}")


def _cuts_off(rng: Random) -> Slip | None:
    walk = _begun(rng)
    quantity = _some_value(walk, rng)
    right, figures = value_of(walk, quantity), rng.choice((2, 3))
    rounded = at_figures(right, figures)
    assert rounded.half is not None
    cut = rounded._replace(number=right // (2 * rounded.half) * 2 * rounded.half)
    scene = context_on(walk, quantity)
    too_near = right - cut.number <= max(rounded.half, right / 200)
    if too_near or scene is None or matches(scene, cut) or _moved(cut, right):
        return None
    return Slip(about(walk), f"{quantity.name} = {written(cut, quantity, walk.problem, rng)}")


def _moved(cut: Typed, right: Fraction) -> bool:
    """Whether the cut number has another power of ten than the right one."""
    return at_figures(cut.number, cut.figures).half != at_figures(right, cut.figures).half


def _wrong_unit(rng: Random) -> Slip | None:
    walk = _begun(rng)
    quantity = _some_value(walk, rng)
    dimension = rng.choice([d for d in UNITS if d != quantity.dimension])
    typed = at_figures(value_of(walk, quantity), 3)
    if typed.half is None or 2 * typed.half > 1 or typed.number < Fraction(1, 100):
        return None
    text = f"{float(typed.number):.12g} {PREFIXES[walk.problem.powers[quantity.dimension]]}"
    return Slip(about(walk), f"{quantity.name} = {text}{UNITS[dimension]}")


def _one_figure(rng: Random) -> Slip | None:
    walk = _begun(rng)
    quantity = _some_value(walk, rng)
    right = value_of(walk, quantity)
    typed = at_figures(right, 1)
    if abs(typed.number - right) <= right / 200:
        return None
    return Slip(about(walk), f"{quantity.name} = {written(typed, quantity, walk.problem, rng)}")


# What if


def _what_if(slip: Callable[[Walk, Fraction], tuple[str, str]]) -> Callable[[Random], Slip | None]:
    """A supposed change, then a wrong prediction of what follows; ``slip`` gives both lines."""

    def supposed(rng: Random) -> Slip | None:
        walk = _begun(rng)
        supply = walk.problem.supply
        if supply is None or supply.quantity != "voltage":
            return None
        said, predicted = slip(walk, Fraction(rng.randint(20, 90), 10))
        return Slip(hear(about(walk), said).talk, predicted)

    return supposed


def _grows_with_the_supply(walk: Walk, times: Fraction) -> tuple[str, str]:
    grown = value_of(walk, Quantity("C")) * times
    return _new_supply(walk, times), f"C = {_three_figures(walk, Quantity('C'), grown)}"


def _energy_follows_the_pd(walk: Walk, times: Fraction) -> tuple[str, str]:
    grown = value_of(walk, Quantity("E")) * times
    return _new_supply(walk, times), f"E = {_three_figures(walk, Quantity('E'), grown)}"


def _longer_chain(walk: Walk, times: Fraction) -> tuple[str, str]:
    return f"what if {float(times):g} {_unit(walk, Quantity('C'))} is added in series", "C up"


def _new_supply(walk: Walk, times: Fraction) -> str:
    volts = value_of(walk, Quantity("V")) * times
    return f"what if the supply were {float(volts):.9g} V"


def _three_figures(walk: Walk, quantity: Quantity, number: Fraction) -> str:
    return written(at_figures(number, 3), quantity, walk.problem, Random(str(number)))


def _unit(walk: Walk, quantity: Quantity) -> str:
    return PREFIXES[walk.problem.powers[quantity.dimension]] + UNITS[quantity.dimension]


SLIPS: dict[str, Callable[[Random], Slip | None]] = {
    "A4": _what_if(_grows_with_the_supply), "B13": _what_if(_energy_follows_the_pd),
    "Z3": _what_if(_longer_chain),
    "E1": _faulty_pair("meeting"), "E2": _looks_side_by_side, "E7": _faulty_pair("ends"),
    "E3": _keeps_what_is_idle("E3", ""), "E4": _keeps_what_is_idle("E4", "in series"),
    "E5": _keeps_what_is_idle("E5", "in parallel"),
    "F1": _shares_wrongly("series", "the p.d."), "F2": _shares_wrongly("parallel", "the charge"),
    "K1": _slip_of_prefix((-3, 3)), "K2": _slip_of_prefix((-12, -9, -6, 6, 9, 12)),
    "K3": _squares_the_number_alone, "K5": _one_figure, "K6": _cuts_off, "K7": _wrong_unit,
}
