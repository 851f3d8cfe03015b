"""The right ways to the values of a story, read once, and what they make of a learner's values."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from grammar.answers import Measure, evaluate, read_claims
from grammar.expressions import Expression
from grammar.records import Refusal
from tutor.circuit.surds import near, square_root
from tutor.circuit.values import Value, in_letters, magnitude, tidy
from tutor.teaching.staged.story import Story, Valued, Way, is_called

STAGES = ("_before", "_now")


class Link(NamedTuple):
    """A name in a way: the place of the question that it was worked out in, None for a given
    value; ``name`` is without what says at which stage.
    """

    name: str
    at: int | None
    value: Valued


class Path(NamedTuple):
    """One way to a value, read: its expression, and where each name in it comes from."""

    way: Way
    expression: Expression
    links: Mapping[str, Link]


def paths_of(story: Story) -> tuple[tuple[Path, ...], ...]:
    """The ways of every question, in order."""
    return tuple(ways_to(story, at) for at in range(len(story.asks)))


def ways_to(story: Story, at: int) -> tuple[Path, ...]:
    """The ways of one question."""
    return tuple(_path(story, at, way) for way in story.asks[at].ways)


def _path(story: Story, at: int, way: Way) -> Path:
    (claim,) = read_claims(way.relation, way.uses)
    links = {name: _link(story, at, name, value) for name, value in way.uses.items()}
    return Path(way, claim.sides[0], links)


def _link(story: Story, at: int, key: str, value: Valued) -> Link:
    """The question of this name and value: the last before this one, else the first after it.

    A p.d. or an energy may have been asked under another name: that of C1 as that of all.
    """
    name = next((key.removesuffix(s) for s in STAGES if key.endswith(s)), key)
    fitting = [
        place
        for place, ask in enumerate(story.asks)
        if place != at and ask.dimension == value[1] and ask.right == value[0]
    ]
    exact = [place for place in fitting if story.asks[place].name == name]
    for of_name in (True, False):
        called = exact or [place for place in fitting if is_called(story.asks[place], name)]
        places = called if of_name else fitting
        if not of_name and value[1] not in ("voltage", "energy"):
            places = []
        if before := [place for place in places if place < at]:
            return Link(name, before[-1], value)
        if of_name and places:
            return Link(name, places[0], value)
    return Link(name, None, value)


def follow(path: Path, values: Mapping[str, Value]) -> Value | None:
    """What a way makes of values in SI units; None where it leads to nothing."""
    found = unrounded(path, values)
    if found is None or in_letters(found):
        return found
    if path.way.then == "size":
        return magnitude(found)
    if path.way.then == "rounded up":
        return Fraction(ceil(found))
    if path.way.then == "square root":
        return near(square_root(found)) if found > 0 else None
    return found


def unrounded(path: Path, values: Mapping[str, Value]) -> Value | None:
    """The relation alone, before anything is done with its result."""
    lookup = {name: Measure(value) for name, value in values.items()}
    try:
        return tidy(evaluate(path.expression, lookup).value)
    except Refusal:
        return None


def carried_on(
    story: Story,
    paths: Sequence[tuple[Path, ...]],
    stated: Mapping[int, Value],
    worth: Callable[[Link, Mapping[int, Value]], Value] | None = None,
) -> dict[int, Value]:
    """The values of all questions with those ``stated`` as they are: what follows by the first way
    to each, by what ``worth`` makes of a link and of the values so far, else the right one.
    """
    of_link = worth or _as_found
    found = dict(stated)
    places = [at for at, ask in enumerate(story.asks) if ask.right is not None]
    for at in places:
        value = stated.get(at)
        for path in paths[at][:1] if value is None else ():
            value = follow(path, {key: of_link(link, found) for key, link in path.links.items()})
        right = story.asks[at].right
        assert right is not None, "only questions for a value have one"
        found[at] = right if value is None else value
    return {at: found[at] for at in places}


def _as_found(link: Link, found: Mapping[int, Value]) -> Value:
    return link.value[0] if link.at is None else found.get(link.at, link.value[0])


def leading_to(
    story: Story, paths: tuple[tuple[Path, ...], ...], at: int, written: AbstractSet[int]
) -> frozenset[int]:
    """The questions that an answer shows to be known, itself too: along its way, and the choices
    just before a value. What is written itself has been judged itself, and is not looked through.
    """
    found: set[int] = set()
    waiting = [at]
    while waiting:
        place = waiting.pop()
        if place in found or (place in written and place != at):
            continue
        found.add(place)
        if story.asks[place].right is not None:
            waiting += [link.at for link in _first(paths[place]) if link.at is not None]
            waiting += _choices_before(story, place)
    return frozenset(found)


def _first(ways: tuple[Path, ...]) -> Iterator[Link]:
    yield from ways[0].links.values() if ways else ()


def _choices_before(story: Story, at: int) -> Iterator[int]:
    """The choices that a value puts to use: those just before it, and one of what is held or
    shared from further back, as long as no p.d. has been worked out in between; no capacitance
    rests on what is held.
    """
    passed, found = False, False
    of_shape = story.asks[at].dimension == "capacitance"
    for place in range(at - 1, -1, -1):
        ask = story.asks[place]
        if ask.right is None:
            if (not passed or ask.about == "shares") and not (of_shape and ask.key == "held"):
                yield place
            found = True
        elif found or ask.dimension == "voltage":
            return
        else:
            passed = True
