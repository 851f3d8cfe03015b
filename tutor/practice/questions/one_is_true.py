"""Four things said of one network, of which one is true."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations
from random import Random
from typing import Literal, NamedTuple

from tutor.practice.questions.given import FOUR, TWO_LEVELS, WorkedNetwork, draw
from tutor.practice.questions.menus import MOST_ENTRIES, Entry, MenuWords, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.reasons import metal_between
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Story


class TrueOrFalse(NamedTuple):
    """A sentence about the network, whether it is true, why, and the wrong idea if it is not."""

    text: str
    is_true: bool
    why: str
    malrules: tuple[str, ...]
    skill: str
    topic: str


def statements(chance: Random, settings: Settings) -> Posed:
    """One true statement among three that are not, each about something else."""
    given = draw(chance, (*TWO_LEVELS, *FOUR), settings)
    pool = list(_all(given))
    chance.shuffle(pool)
    true = next(s for s in pool if s.is_true)
    false: dict[str, TrueOrFalse] = {}
    for said in pool:
        if not said.is_true:
            known = false.get(said.topic)
            if known is None or (said.malrules and not known.malrules):
                false[said.topic] = said
    chosen = sorted(false.values(), key=lambda s: not s.malrules)[: MOST_ENTRIES - 1]
    entries = [Entry(true.text), *(Entry(s.text, s.why, s.malrules) for s in chosen)]
    skills = tuple(dict.fromkeys([true.skill, *(s.skill for s in chosen)]))
    ask = lettered(chance, MenuWords(
        "true of this network", "check", "Which of these is true of this network?", true.why,
        ("Look at the points: who joins the same two, and who meets alone at a point?",
         f"Who shares a {given.difference}, who shares a charge, and what adds up?"),
        skills,
    ), entries)
    return Posed(given.text, Story(
        "which statement is true", given.opening(), (ask,), (), given.problem.powers,
        network=given.problem.network,
    ))


def _all(given: WorkedNetwork) -> Iterator[TrueOrFalse]:
    for first, second in combinations(given.names, 2):
        yield _one_charge(given, first, second)
        yield _one_voltage(given, first, second)
        yield from _more_charge(given, first, second)
        yield _charges_add(given, first, second)
        yield _voltages_add(given, first, second)
    for name in given.names:
        yield _all_of_the_supply(given, name)
        yield _all_of_the_charge(given, name)


def _shared(given: WorkedNetwork, first: str, second: str) -> str:
    """What two share, or why neither; without the word for what is asked."""
    step = given.pair_step(first, second)
    if step is not None and step.kind == "parallel":
        return f"{first} and {second} both join {listed(step.points)}."
    if step is not None:
        return metal_between(step)
    return given.why_bound(first, second)


def _worked(given: WorkedNetwork, symbol: Literal["Q", "V"], *names: str) -> str:
    """The values that settle it."""
    where = "on" if symbol == "Q" else "across"
    return f"Worked out: {listed(f'{given.amount(symbol, n)} {where} {n}' for n in names)}."


def _one_charge(given: WorkedNetwork, first: str, second: str) -> TrueOrFalse:
    way = given.way_of(first, second)
    idea = {
        "parallel": "parallel-shares-the-charge", None: "joins-two-that-share-one-point",
    }.get(way)
    touching = _touch(given, first, second)
    return TrueOrFalse(
        f"{first} and {second} hold the same charge.",
        given.number("Q", first) == given.number("Q", second),
        f"{_shared(given, first, second)} {_worked(given, 'Q', first, second)}",
        (idea,) if idea and (way or touching) else (), "S09", "one charge",
    )


def _touch(given: WorkedNetwork, first: str, second: str) -> bool:
    one, other = (given.problem.network.named((name,))[0] for name in (first, second))
    return bool(one.points & other.points)


def _one_voltage(given: WorkedNetwork, first: str, second: str) -> TrueOrFalse:
    way = given.way_of(first, second)
    idea = {"series": "series-shares-the-pd", None: "looks-side-by-side"}.get(way)
    return TrueOrFalse(
        f"{first} and {second} have the same {given.difference} across them.",
        given.number("V", first) == given.number("V", second),
        f"{_shared(given, first, second)} {_worked(given, 'V', first, second)}",
        (idea,) if idea and (way or _touch(given, first, second)) else (), "S08", "one p.d.",
    )


def _more_charge(given: WorkedNetwork, first: str, second: str) -> Iterator[TrueOrFalse]:
    """That the larger of the two holds more, as it is the larger; left out where it does so for
    another reason.
    """
    less, more = sorted((first, second), key=given.value)
    way = given.way_of(first, second)
    has_more = given.number("Q", more) > given.number("Q", less)
    if has_more and way != "parallel":
        return
    yield TrueOrFalse(
        f"{more} holds more charge than {less}, as it is the larger.", has_more,
        f"{_shared(given, first, second)} {_worked(given, 'Q', first, second)}",
        ("own-capacitance-times-supply",) if way == "series" else (), "S22", "more charge",
    )


def _charges_add(given: WorkedNetwork, first: str, second: str) -> TrueOrFalse:
    whole = given.whole * given.supply
    both = given.number("Q", first) + given.number("Q", second)
    way = given.way_of(first, second)
    total = given.coulombs(whole)
    return TrueOrFalse(
        f"The charges on {first} and {second} add up to all that the supply has given.",
        both == whole,
        f"{_shared(given, first, second)} {_worked(given, 'Q', first, second)} The supply has "
        f"given {total}.",
        ("adds-charges-along-a-chain",) if way == "series" else (), "S26", "charges add",
    )


def _voltages_add(given: WorkedNetwork, first: str, second: str) -> TrueOrFalse:
    both = given.number("V", first) + given.number("V", second)
    way = given.way_of(first, second)
    terms = given.speech.terms
    return TrueOrFalse(
        f"The {terms.differences} across {first} and {second} add up to {given.volts()}.",
        both == given.supply,
        f"{_shared(given, first, second)} {_worked(given, 'V', first, second)}",
        ("splits-pd-between-branches",) if way == "parallel" else (), "S26", "p.d.s add",
    )


def _all_of_the_supply(given: WorkedNetwork, name: str) -> TrueOrFalse:
    c = given.problem.network.named((name,))[0]
    ends = given.problem.network.ends
    return TrueOrFalse(
        f"All {given.volts()} of the supply are across {name}.",
        given.number("V", name) == given.supply,
        f"{name} joins {c.start} and {c.end}, and the supply joins {ends[0]} and {ends[1]}. "
        f"{_worked(given, 'V', name)}",
        ("supply-pd-on-an-inner-block",), "S23", "the supply",
    )


def _all_of_the_charge(given: WorkedNetwork, name: str) -> TrueOrFalse:
    whole = given.whole * given.supply
    c = given.problem.network.named((name,))[0]
    return TrueOrFalse(
        f"{name} holds all the charge that the supply has given.",
        given.number("Q", name) == Fraction(whole),
        f"{_way_in(given, c.start, c.end, name)} The supply has given {given.coulombs(whole)}. "
        f"{_worked(given, 'Q', name)}",
        ("total-charge-on-a-branch",), "S23", "the charge",
    )


def _way_in(given: WorkedNetwork, start: str, end: str, name: str) -> str:
    """Who else meets at the points of a capacitor."""
    told = []
    for point in (start, end):
        others = [c.name for c in given.problem.network.meeting(point) if c.name != name]
        if others:
            told.append(f"At {point} {name} meets {listed(others)}")
    return f"{', and at '.join(told).replace('and at At', 'and at')}." if told else ""
