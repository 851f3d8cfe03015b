"""Put three capacitors in order by what they hold, the most first; some may be equal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import permutations
from random import Random
from types import MappingProxyType
from typing import Literal, TypeAlias

from tutor.circuit.steps import Step
from tutor.practice.questions.given import (
    THREE_BESIDE,
    THREE_IN_A_CHAIN,
    TWO_LEVELS,
    WorkedNetwork,
    draw,
)
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.messages import About
from tutor.teaching.reasons import because
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Story

Ranked: TypeAlias = Literal["Q", "V", "E"]
ValuesByName: TypeAlias = Mapping[str, Fraction]
SHAPES: Mapping[Ranked, tuple[str, ...]] = MappingProxyType({
    "Q": (THREE_IN_A_CHAIN, THREE_BESIDE, *TWO_LEVELS),
    "V": (THREE_IN_A_CHAIN, THREE_BESIDE, *TWO_LEVELS),
    "E": (THREE_IN_A_CHAIN, THREE_BESIDE),  # with two levels both factors of ½ Q V would differ
})
ABOUT: Mapping[Ranked, About] = MappingProxyType({"Q": "charge", "V": "voltage", "E": "energy"})
SKILLS: Mapping[tuple[Ranked, str], tuple[str, ...]] = MappingProxyType({
    ("Q", "series"): ("S19",), ("Q", "parallel"): ("S22",),
    ("Q", "pair in a chain"): ("S19", "S22", "S23"),
    ("Q", "chain beside one"): ("S19", "S22", "S23"),
    ("V", "series"): ("S21",), ("V", "parallel"): ("S20",),
    ("V", "pair in a chain"): ("S20", "S21", "S23"),
    ("V", "chain beside one"): ("S20", "S21", "S23"),
    ("E", "series"): ("S25",), ("E", "parallel"): ("S25",),
})
# Wrong ideas of equal, growing and falling with the capacitance, by what holds in the network.
EQUAL: Mapping[tuple[Ranked, str], tuple[str, ...]] = MappingProxyType({
    ("Q", "parallel"): ("parallel-shares-the-charge",),
    ("Q", "pair in a chain"): ("blocks-charge-on-each-branch",),
    ("Q", "chain beside one"): ("parallel-shares-the-charge",),
    ("V", "series"): ("series-shares-the-pd",),
    ("V", "pair in a chain"): ("full-supply-pd-on-each",),
    ("V", "chain beside one"): ("full-supply-pd-on-each",),
    ("E", "series"): ("shares-the-energy-equally",),
    ("E", "parallel"): ("shares-the-energy-equally",),
})
GROWING: Mapping[tuple[Ranked, str], tuple[str, ...]] = MappingProxyType({
    ("Q", "series"): ("own-capacitance-times-supply",),
    ("Q", "pair in a chain"): ("own-capacitance-times-supply",),
    ("Q", "chain beside one"): ("own-capacitance-times-supply",),
    ("V", "series"): ("pd-in-proportion-to-capacitance",),
    ("V", "pair in a chain"): ("pd-in-proportion-to-capacitance",),
    ("V", "chain beside one"): ("pd-in-proportion-to-capacitance",),
    ("E", "series"): ("energy-in-proportion-to-capacitance",),
})
FALLING: Mapping[tuple[Ranked, str], tuple[str, ...]] = MappingProxyType({
    ("Q", "parallel"): ("splits-charge-the-series-way",),
    ("V", "parallel"): ("splits-pd-between-branches",),
})
# What follows for two that share one of the two.
FOR_ONE_PD: Mapping[Ranked, str] = MappingProxyType({
    "V": "",
    "Q": "At one {pd} the larger of the two takes more charge: Q = C V.",
    "E": "At one {pd} the larger of the two stores more: E = ½ C V².",
})
FOR_ONE_CHARGE: Mapping[Ranked, str] = MappingProxyType({
    "Q": "",
    "V": "For one charge the smaller of the two needs the larger {pd}: V = Q/C.",
    "E": "With one charge the smaller of the two stores more: E = Q²/(2 C).",
})


def rank_charges(chance: Random, settings: Settings) -> Posed:
    """The charges in order."""
    return _rank(chance, settings, "Q")


def rank_voltages(chance: Random, settings: Settings) -> Posed:
    """The p.d.s in order."""
    return _rank(chance, settings, "V")


def rank_energies(chance: Random, settings: Settings) -> Posed:
    """The stored energies in order."""
    return _rank(chance, settings, "E")


def _rank(chance: Random, settings: Settings, held: Ranked) -> Posed:
    given = draw(chance, SHAPES[held], settings)
    kind = _kind(given)
    truth = {name: given.number(held, name) for name in given.names}
    right = Entry(order_of(truth), words=_words(order_of(truth)))
    ask = lettered(chance, _wording(given, held, kind), few(chance, right, [
        Entry(order, _reply(given, held, numbers, truth), malrules, _words(order))
        for numbers, malrules in _wrong(chance, given, held, kind)
        if (order := order_of(numbers)) != right.text
    ]))
    story = Story(
        f"rank {_plural(held, settings)}", given.opening(), (ask,), (), given.problem.powers,
        network=given.problem.network,
    )
    return Posed(given.text, story)


def order_of(numbers: ValuesByName) -> str:
    """``C3 > C1 = C2``: the most first, equal ones by name."""
    levels = sorted(set(numbers.values()), reverse=True)
    return " > ".join(
        " = ".join(name for name, number in numbers.items() if number == level)
        for level in levels
    )


def _words(order: str) -> tuple[str, ...]:
    return (order, "all equal", "all the same", "equal") if ">" not in order else (order,)


def _kind(given: WorkedNetwork) -> str:
    """How the three are joined: all in one way, or a pair as a part of something else."""
    steps = given.solution.steps
    if len(steps) == 1:
        return steps[0].kind
    return "pair in a chain" if steps[-1].kind == "series" else "chain beside one"


def _plural(held: Ranked, settings: Settings) -> str:
    return {"Q": "the charges", "V": f"the {settings.differences}", "E": "the energies"}[held]


def _wording(given: WorkedNetwork, held: Ranked, kind: str) -> MenuWords:
    terms = given.speech.terms
    what = {
        "Q": "the charges they hold", "V": f"the {terms.differences} across them",
        "E": "the energies they store",
    }[held]
    return MenuWords(
        "rank", ABOUT[held],
        f"Put {listed(given.names)} in order by {what}: which of these is right? "
        "(a letter, or the order, the largest first)",
        _because(given, held), _hints(given, held, kind), SKILLS[held, kind],
    )


def _because(given: WorkedNetwork, held: Ranked) -> str:
    """Why neighbours in the order stand as they do, and the values."""
    amounts = ", ".join(f"{name} {given.amount(held, name)}" for name in given.names)
    in_numbers = f"In numbers: {amounts}."
    inner = given.solution.steps[0]
    if len(given.solution.steps) == 1:
        shared = because(inner, given.speech)
        return " ".join(filter(None, (shared, _rule(given, held, inner.kind), in_numbers)))
    alone = next(name for name in given.names if name not in {c.name for c in inner.parts})
    reasons = [
        _of_pair(given, held, inner.parts[0].name, inner.parts[1].name),
        _of_pair(given, held, alone, inner.parts[0].name),
    ]
    return " ".join((*reasons, in_numbers))


def _hints(given: WorkedNetwork, held: Ranked, kind: str) -> tuple[str, ...]:
    difference = given.difference
    where = {
        "series": "Look at the points between them: what else is there?",
        "parallel": "Look at the two points that each of them joins.",
    }.get(kind, "Look first at the two that can be combined straight away: what do they share?")
    idea = {
        "Q": f"Where they share one {difference}, which takes more charge? Where they share the "
             "charge, can one have more?",
        "V": f"Where they share one charge, which needs the larger {difference} to hold it?",
        "E": f"Is it the {difference} or the charge that two of them share? Take the form of the "
             "energy that has that and C in it.",
    }[held]
    law = {"Q": "Q = C V", "V": "V = Q/C", "E": "E = ½ C V² or E = Q²/(2 C)"}[held]
    return where, idea, given.speech.letters(law)


# Wrong orders


def _wrong(
    chance: Random, given: WorkedNetwork, held: Ranked, kind: str
) -> Iterator[tuple[ValuesByName, tuple[str, ...]]]:
    values = {name: given.value(name) for name in given.names}
    yield values, GROWING.get((held, kind), ())
    yield dict.fromkeys(given.names, Fraction(1)), EQUAL.get((held, kind), ())
    yield {name: 1 / value for name, value in values.items()}, FALLING.get((held, kind), ())
    others = list(permutations(given.names))
    chance.shuffle(others)
    for order in others:
        ranks = {name: Fraction(-order.index(name)) for name in given.names}
        yield ranks, ()


def _reply(given: WorkedNetwork, held: Ranked, claimed: ValuesByName, truth: ValuesByName) -> str:
    """What two of them share, or how one feeds the other, where the order first goes wrong."""
    for at, first in enumerate(given.names):
        for second in given.names[at + 1 :]:
            if _way(claimed, first, second) != _way(truth, first, second):
                return _of_pair(given, held, first, second)
    return ""


def _way(numbers: ValuesByName, first: str, second: str) -> int:
    return (numbers[first] > numbers[second]) - (numbers[first] < numbers[second])


def _of_pair(given: WorkedNetwork, held: Ranked, first: str, second: str) -> str:
    """How two compare and why, without saying which of them has more."""
    way = given.way_of(first, second)
    if way is None:
        return _of_levels(given, held, first, second)
    return f"{given.why_bound(first, second)} {_rule(given, held, way)}".rstrip()


def _rule(given: WorkedNetwork, held: Ranked, way: str) -> str:
    """What follows for two that share what they do."""
    rule = (FOR_ONE_PD if way == "parallel" else FOR_ONE_CHARGE)[held]
    return given.speech.letters(rule).format(pd=given.difference)


def _of_levels(given: WorkedNetwork, held: Ranked, first: str, second: str) -> str:
    """One stands alone in the outer step, the other is a part of the inner one."""
    inner, outer = given.solution.steps
    names = [c.name for c in inner.parts]
    alone, one = (second, first) if first in names else (first, second)
    other = next(name for name in names if name != one)
    if outer.kind == "series":
        return _before_a_pair(given, held, (alone, one, other), outer)
    return _beside_a_chain(given, held, (alone, one, other), inner)


def _made(given: WorkedNetwork, step: Step) -> str:
    made = step.makes
    assert made is not None
    return f"{made.name}, {given.farads(given.value(made.name))}"


def _before_a_pair(
    given: WorkedNetwork, held: Ranked, names: tuple[str, str, str], outer: Step
) -> str:
    alone, one, other = names
    divides = (
        f"At {outer.points[0]} the charge of {alone} meets two ways, so {one} and {other} hold it "
        "together, a part of it each."
    )
    if held == "Q":
        return divides
    inner = given.solution.steps[0]
    return (
        f"{one} and {other} count as {_made(given, inner)}, and {alone} and {inner.made} hold one "
        f"charge, so the smaller of those two has the larger {given.speech.terms.at_the_end}"
    )


def _beside_a_chain(
    given: WorkedNetwork, held: Ranked, names: tuple[str, str, str], inner: Step
) -> str:
    alone, one, other = names
    start, end = given.problem.network.ends
    if held == "V":
        return (
            f"{alone} joins {start} and {end} and has all {given.volts()}; {one} and {other} lie "
            "one after the other between the same points and have a part of it each."
        )
    return (
        f"{one} and {other} count as {_made(given, inner)}, at the {given.difference} of {alone}; "
        f"the larger of {alone} and {inner.made} takes more charge, and {one} holds all that "
        f"{inner.made} does."
    )
