"""The same network written otherwise: is it the same, and if not, who is joined otherwise."""

from __future__ import annotations

from random import Random

from grammar.reading import read_network
from tutor.circuit.network import Capacitor, Network, Problem, build
from tutor.circuit.solving import solve
from tutor.practice.questions.given import FOUR, TWO_LEVELS, WorkedNetwork
from tutor.practice.questions.lists import (
    POINTS,
    as_text,
    read_any,
    same_joins,
    scrambled,
    without,
)
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.reasons import points_in_words
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Ask, Option, Story

YES = ("yes", "y", "identical")
NO = ("no", "n", "not", "different")


def same_network(chance: Random, settings: Settings) -> Posed:
    """Two texts; in the second, one capacitor may be joined otherwise."""
    given = read_any(chance, (*TWO_LEVELS, *FOUR), settings)
    alike = chance.random() < 0.5
    network = given.problem.network
    moved = None if alike else _moved(chance, network)
    second = scrambled(chance, moved[1] if moved else network)
    text = _with_a_wire(chance, second) if chance.random() < 0.5 else as_text(second)
    odd = moved[0] if moved else None
    other = build(read_network(text))
    asks = [_is_same(given, other, odd)]
    if odd is not None:
        asks.append(_which(chance, given, other.network, odd))
    opening = tuple(
        f"{which}: {told.replace(' uF', ' µF')}"
        for which, told in (("First", given.text), ("Second", text))
    )
    return Posed(given.text, Story(
        "the same network", opening, tuple(asks), _closing(given, other.network),
        given.problem.powers,
    ))


def _closing(given: WorkedNetwork, other: Network) -> tuple[str, ...]:
    """Both as lists, point by point, once the questions are answered."""
    one, two = (
        points_in_words(network, given.speech)[-1] for network in (given.problem.network, other)
    )
    return (f"First. {one}", f"Second. {two}")


# The second text


def _moved(chance: Random, network: Network) -> tuple[str, Network]:
    """One capacitor with an end elsewhere, such that no other one can be thought to have moved."""
    changes = [
        (c.name, point, side) for c in network.capacitors for point in network.points()
        for side in ("start", "end") if point not in c.points
    ]
    chance.shuffle(changes)
    for name, point, side in changes:
        capacitors = tuple(
            c._replace(**{side: point}) if c.name == name else c for c in network.capacitors
        )
        other = Network(capacitors, network.ends)
        if _tells(network, other, name):
            return name, other
    raise AssertionError("one of a network's capacitors can always be joined otherwise")


def _tells(network: Network, other: Network, name: str) -> bool:
    """Whether all points are still met, the whole is another one, and the place is one alone."""
    if set(other.points()) != set(network.points()) or same_joins(network, other) is not None:
        return False
    if any(len(other.meeting(point)) < 2 for point in other.points() if point not in other.ends):
        return False
    wholes = [solve(each, None).whole for each in (network, other)]
    if wholes[0] is None or wholes[1] is None or wholes[0].value == wholes[1].value:
        return False
    odd = [c.name for c in network.capacitors
           if same_joins(without(network, c.name), without(other, c.name)) is not None]
    return odd == [name]


def _with_a_wire(chance: Random, network: Network) -> str:
    """One point split in two, with a wire between the halves."""
    inner = [point for point in network.points() if point not in network.ends]
    point = chance.choice(inner)
    fresh = next(name for name in POINTS if name not in network.points())
    at = [c for c in network.capacitors if point in c.points]
    kept: Capacitor = chance.choice(at)
    capacitors = tuple(
        c._replace(**{side: fresh for side in ("start", "end") if getattr(c, side) == point})
        if c is kept else c for c in network.capacitors
    )
    return as_text(Network(capacitors, network.ends), wires=[(point, fresh)])


# The questions


def _is_same(given: WorkedNetwork, other: Problem, odd: str | None) -> Ask:
    wired = bool(other.wires)
    wire = (
        f"the wire makes {listed(other.joined[0])} one point, and " if wired else ""
    )
    if odd is None:
        there = same_joins(given.problem.network, other.network)
        assert there is not None, "a text that is written otherwise says the same"
        named = [f"{p} is called {q}" for p, q in there.items() if p != q]
        because = _capital(f"{wire}every capacitor meets the same others at its two points") + (
            f"; {listed(named)} in the second." if named else "."
        )
    else:
        because = _capital(f"{wire}one capacitor does not meet the same others in the second.")
    idea = ("misses-that-a-wire-makes-one-point",) if wired and odd is None else ()
    reply = because if odd is None else (
        "Compare them capacitor by capacitor: one of them does not meet the same others."
    )
    return Ask(
        "the same network", "check",
        "Are the two the same network, yes or no?", because, because,
        options=(
            Option(YES, True) if odd is None else Option(YES, False, reply),
            Option(NO, False, reply, idea) if odd is None else Option(NO, True),
        ),
        hints=(
            "Look at each capacitor: which others does it meet at its one point, and at the other?",
            "What the points are called, the order of the list and the direction do not matter. "
            "Which points does a wire make one, if there is a wire?",
        ),
        skills=("S05",),
    )


def _which(chance: Random, given: WorkedNetwork, other: Network, odd: str) -> Ask:
    network = given.problem.network
    entries = [
        Entry(name, words=(name,)) if name == odd
        else Entry(
            name, f"Leave {name} out of both: what is left of the two still differs.",
            words=(name,),
        )
        for name in given.names
    ]
    right = next(entry for entry in entries if entry.is_right)
    return lettered(chance, MenuWords(
        "joined otherwise", "choice", "Which capacitor is joined otherwise in the second?",
        _capital(_difference(network, other, odd)),
        ("Take the capacitors one by one, in both.",
         "Leave one out of both: for which one do the rest agree?"), ("S05",),
    ), few(chance, right, entries))


def _capital(text: str) -> str:
    return text if text[:1] == "C" else text[:1].upper() + text[1:]


def _difference(network: Network, other: Network, odd: str) -> str:
    first, second = (_way_of(each, odd) for each in (network, other))
    return f"{odd} goes {first} in the first, but {second} in the second."


def _way_of(network: Network, name: str) -> str:
    """From where to where a capacitor goes, told by whom it meets there."""
    c = next(c for c in network.capacitors if c.name == name)
    first, second = sorted((c.start, c.end), key=network.points().index)
    return f"from {_place(network, first, name)} to {_place(network, second, name)}"


def _place(network: Network, point: str, name: str) -> str:
    others = listed(sorted({o.name for o in network.meeting(point) if o.name != name}))
    if point in network.ends:
        return f"{point}, with {others}," if others else point
    return f"where it meets {others}"
