"""How far a script about a story has been read: the learner's own values, names and equations."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import combinations
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.answers import DIMS, Measure, known
from grammar.measures import PURE
from tutor.circuit.network import Supply
from tutor.circuit.values import Value, chain_sum, in_letters, same
from tutor.teaching.judging import RELATIVE_TOLERANCE
from tutor.teaching.marking.carrying import of_shift
from tutor.teaching.marking.fitting import Fit, Gauge, power_of_sums
from tutor.teaching.marking.grading import Judgement, Subject
from tutor.teaching.marking.problem_kind import OwnValue, Passing
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.stories.balances import Balances, right_balances
from tutor.teaching.marking.stories.following import (
    Link,
    Path,
    carried_on,
    follow,
    paths_of,
    unrounded,
)
from tutor.teaching.marking.taken_for import values_by_star, values_taken_for
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.diagnosis import Diagnosis, Typed, diagnose_on
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.measuring import letters_in
from tutor.teaching.staged.story import Ask, Story, Valued, is_called, twin

MOST_VALUES: Final = 120


class Paper(NamedTuple):
    """How far a script has been read; questions are told by their places in the story.

    ``stated`` holds the values stated so far, ``wrong`` the questions whose last value was not
    right; ``own`` are the learner's values of all questions: stated ones, solved from equations
    of the learner's (``balances``), else by the right ways. ``aliases`` are names that the learner
    gave to answers, ``noted`` values of the learner's that no question asks for, ``misread`` given
    values as copied; ``said`` are the choices made in words. ``reversed`` says of a charge or p.d.
    between two points to be found whether balances count it against its true direction;
    ``negative`` are charges and p.d.s stated with a minus, their values kept as sizes. ``going_on``
    is what a line that begins with an equals sign goes on with, as in a script about a network.
    ``has_goal``: the text asks for some value, and the others only lead to it. ``is_cut``: what
    bridges a network was said to play no part. ``levels`` are points whose letter, though it is
    that of a quantity as well, stands for their potential in this script. ``by_star`` are the
    capacitances that a star for a triangle leads to, or a triangle for a star.
    """

    story: Story
    terms: Settings
    paths: tuple[tuple[Path, ...], ...]
    balances: Balances
    stated: Mapping[int, Value] = MappingProxyType({})
    wrong: frozenset[int] = frozenset()
    doubtful: frozenset[int] = frozenset()
    aliases: Mapping[str, int] = MappingProxyType({})
    noted: Mapping[str, Measure] = MappingProxyType({})
    misread: Mapping[str, Value] = MappingProxyType({})
    own: Mapping[int, Value] = MappingProxyType({})
    said: frozenset[int] = frozenset()
    reversed: Mapping[int, bool] = MappingProxyType({})
    negative: frozenset[int] = frozenset()
    going_on: Said | None = None
    passing: tuple[Passing, ...] = ()
    slipped: tuple[tuple[int, Judgement[int]], ...] = ()
    mistaken: tuple[Said, ...] = ()
    equations: tuple[Said, ...] = ()
    led: tuple[OwnValue, ...] = ()
    seen: tuple[Fraction, ...] = ()
    has_paid: bool = False
    hint: tuple[str, ...] = ()
    misled: Mapping[int, Value] = MappingProxyType({})
    has_goal: bool = False
    is_cut: bool = False
    levels: tuple[str, ...] = ()
    by_star: tuple[Value, ...] = ()

    @property
    def asks(self) -> tuple[Ask, ...]:
        """The questions of the story."""
        return self.story.asks

    @property
    def speech(self) -> Speech:
        """How values are written here."""
        return Speech(self.story.powers, self.terms)

    def right(self, at: int) -> Value:
        """The right value of a question for one."""
        right = self.asks[at].right
        assert right is not None, "only questions for a value are asked for one"
        return right

    def power(self, at: int) -> int:
        """The power of ten that a number without a unit counts in."""
        dimension = self.asks[at].dimension
        return 0 if dimension is None else self.story.powers[dimension]

    def has_sign(self, at: int) -> bool:
        """Whether a charge or a p.d. may be given a sign: one of these is asked as a size."""
        dimension = None if at in self.balances.right else self.asks[at].dimension
        if dimension == "energy":  # less than nought only by the learner's own values
            return any(self._is_below(path) for path in self.paths[at])
        sized = (path.way.then == "size" for paths in self.paths for path in paths)
        return dimension in ("charge", "voltage") and any(sized)

    def _is_below(self, path: Path) -> bool:
        found = unrounded(path, self.values(path.links))
        return path.way.then == "size" and isinstance(found, Fraction) and found < 0

    @property
    def frontier(self) -> int:
        """The place after the last question that has a value."""
        return max(self.stated, default=-1) + 1

    def off(self) -> frozenset[int]:
        """The questions whose value is not right with this learner."""
        return frozenset(at for at, v in self.own.items() if not same(v, self.right(at)))

    @property
    def links(self) -> tuple[Link, ...]:
        """Every name in every way."""
        ways = (path for paths in self.paths for path in paths)
        return tuple(link for path in ways for link in path.links.values())

    @property
    def given(self) -> tuple[Link, ...]:
        """Those of them that no question asks for."""
        return tuple(link for link in self.links if link.at is None)

    def values(self, links: Mapping[str, Link]) -> dict[str, Value]:
        """The learner's values for the names in a way."""
        return {key: self.linked(link, self.own) for key, link in links.items()}

    def linked(self, link: Link, own: Mapping[int, Value]) -> Value:
        """What a name in a way is worth where questions have these values."""
        if link.at is None:
            return self.misread.get(link.name, link.value[0])
        value = own.get(link.at, link.value[0])
        is_less = link.at in self.negative and link.value[1] == "energy"
        return -value if is_less else value

    def ways(self, at: int) -> list[Value]:
        """What the learner's own values lead to by each right way."""
        found = [self.stated[at]] if at in self.stated else []
        found += [v] if (v := self.balances.solved().get(at)) is not None else []
        found += [v] if (v := self.misled.get(at)) is not None else []
        for path in self.paths[at]:
            values = self.values(path.links)
            for value in (follow(path, values), self._nearest(path, values)):
                if value is not None and value not in found:
                    found.append(value)
        return found

    def _nearest(self, path: Path, values: Mapping[str, Value]) -> Value | None:
        """A count that the learner's rounded values miss by their rounding alone."""
        if path.way.then != "rounded up" or not self.off():
            return None
        ratio = unrounded(path, values)
        if not isinstance(ratio, Fraction):
            return None
        nearest = Fraction(round(ratio))
        return nearest if abs(ratio - nearest) <= RELATIVE_TOLERANCE * ratio else None


def begin_paper(story: Story, terms: Settings) -> Paper:
    """A paper on which nothing stands yet."""
    paths = paths_of(story)
    paper = Paper(story, terms, paths, right_balances(story, paths))
    if story.kind == "network" and story.network is not None:
        asked = {ask.right for ask in story.asks}
        way = (value for value in values_by_star(story.network) if value not in asked)
        paper = paper._replace(by_star=tuple(dict.fromkeys(way)))
    return settled(paper)


def settled(paper: Paper) -> Paper:
    """The paper with the learner's own values worked out from what is stated."""
    stated = {**paper.balances.solved(), **paper.stated}
    return paper._replace(own=carried_on(paper.story, paper.paths, stated, paper.linked))


def subject_at(paper: Paper, at: int) -> Subject[int]:
    """A question for a value as the subject of a statement."""
    ask = paper.asks[at]
    gauge = Gauge(
        ask.dimension or PURE,
        paper.power(at),
        paper.right(at),
        lambda: paper.ways(at),
        frozenset(letters_in(paper.story)),
        power_of_sums(paper.story.powers, ask.dimension),
    )

    def recognise(side: Fit) -> tuple[tuple[str, ...], Diagnosis | None]:
        diagnosis = _diagnosed(paper, at, side)
        return (diagnosis.names if diagnosis else ()), diagnosis

    return Subject(at, gauge, gauge, lambda: _others(paper, at), recognise, of_shift)


def _diagnosed(paper: Paper, at: int, side: Fit) -> Diagnosis | None:
    """The wrong rules that give a number, on the true values or on the learner's."""
    if side.number is None:
        return None
    powers = paper.story.powers
    both = (context_of_ask(paper.asks[at], powers, own) for own in (None, _own_numbers(paper, at)))
    contexts = [context for context in both if context is not None]
    return diagnose_on(contexts, Typed(side.number, side.half, side.figures))


def _own_numbers(paper: Paper, at: int) -> Mapping[Fraction, Fraction]:
    """The learner's numbers in the place of the true ones, where they are off."""
    return {
        Fraction(paper.right(place)) / scale: Fraction(value) / scale
        for place, value in paper.own.items()
        if place in paper.off() and place < at and not in_letters(value)
        for scale in [Fraction(10) ** paper.power(place)]
    }


def _others(paper: Paper, at: int) -> Iterator[Fraction]:
    """Numbers that could have been meant in the place of another, in the usual units."""
    for place, value in paper.own.items():
        if place != at and not in_letters(value):
            yield Fraction(value) / Fraction(10) ** paper.power(place)
    for link in _given(paper):
        value, dimension = link.value
        if isinstance(value, Fraction) and dimension is not None:
            yield value / Fraction(10) ** paper.story.powers[dimension]


def _given(paper: Paper) -> Iterator[Link]:
    """The given values that ways speak of."""
    for ways in paper.paths:
        for path in ways:
            yield from (
                link
                for key, link in path.links.items()
                if link.at is None and key not in path.way.worked
            )


def given_named(paper: Paper, name: str) -> list[Link]:
    """The given values of a name."""
    return [link for link in _given(paper) if name in (link.name, twin(link.name))]


def capacitances_given(paper: Paper) -> dict[str, Value]:
    """The capacitors whose values the text gives, in SI units."""
    return {
        link.name: link.value[0]
        for link in paper.given
        if link.value[1] == "capacitance" and link.name[:1] == "C" and link.name[1:].isdigit()
    }


def right_values(paper: Paper) -> list[Valued]:
    """Every right value that there is at some stage: those asked for and given, and what they come
    to by Q = C V, with or without a mark for it.
    """
    asked = [(paper.right(at), paper.asks[at].dimension) for at in paper.own]
    links = (link.value for link in paper.links)
    found = dict.fromkeys((*asked, *links, *paper.story.results.values()))
    kinds = {
        kind: [Fraction(v) for v, of in found if of == kind and not in_letters(v) and v]
        for kind in ("capacitance", "charge", "voltage")
    }
    capacitances, charges, voltages = kinds.values()
    given: list[Value] = [v for v in capacitances_given(paper).values() if not in_letters(v)]
    pairs = [one + other for one, other in combinations(dict.fromkeys(capacitances), 2)]
    in_chain = any("1/(1/" in way.relation for ask in paper.asks for way in ask.ways)
    chained = [chain_sum(given)] if in_chain and len(given) > 1 else []
    worked: list[Valued] = [(each, "capacitance") for each in (*pairs, *chained)]
    worked += [(c * v, "charge") for c in capacitances for v in voltages]
    worked += [(q / c, "voltage") for q in charges for c in capacitances]
    return list(dict.fromkeys((*found, *worked)))[:MOST_VALUES]


def at_later_times(paper: Paper, at: int) -> list[Value]:
    """What is on the capacitor of a question later than when it is asked about; what was there
    before may be a slip.
    """
    ask = paper.asks[at]
    number = number_in(ask.name or "")
    of = f" {ask.dimension} of C{number}"
    found = [value for key, (value, _) in paper.story.results.items() if key.endswith(of)]
    if not number or ask.right not in found:
        return []
    return [value for value in found[found.index(ask.right) :] if value != ask.right]


def values_otherwise(paper: Paper) -> list[Mapping[int, Value]]:
    """What the questions would have for answers in the networks that a pupil may take one in a
    single state for.
    """
    network = paper.story.network
    if network is None or paper.story.kind != "network":
        return []
    held = [link.value[0] for link in given_named(paper, "V")]
    charge = [link.value[0] for link in given_named(paper, "Q")]
    supply = Supply("voltage", held[0]) if held else Supply("charge", charge[0]) if charge else None
    names = {ask.name: at for at, ask in enumerate(paper.asks) if ask.name}
    return [
        {names[each.name]: value for each, value in values.items() if each.name in names}
        for values in values_taken_for(network, supply)
    ]


def names_on(paper: Paper) -> frozenset[str]:
    """Every name that means something here, in either letter for a p.d. and an energy."""
    names = {ask.name for ask in paper.asks if ask.name}
    names |= {link.name for link in paper.links}
    worked = {name for ask in paper.asks for way in ask.ways for name in way.worked}
    names |= {f"{name}'" for name in worked}  # V1' for V1 after a change
    whole = {"C", "Q", "V", "E"}  # any learner may write of the whole
    points = paper.story.network.points() if paper.by_star and paper.story.network else ()
    arms = {f"C{line}{point}" for point in points for line in ("_", "") if point not in whole}
    arms |= {f"C_{point}" for point in points}  # of a star
    return frozenset({*names, *whole, *arms, *map(twin, names), *paper.aliases, *paper.noted})


def worth(paper: Paper, name: str, at: int) -> Measure | None:
    """What a name is worth in a statement about the question at a place.

    That which leads there by its ways comes first, then the last value of the name before it.
    """
    if (letter := letters_in(paper.story).get(name)) is not None:
        return letter
    if name in paper.aliases:
        return measured(paper, paper.aliases[name])
    if name in paper.noted:
        return paper.noted[name]
    for path in paper.paths[at] if at < len(paper.asks) else ():
        of_name = [each for each in path.links.values() if name in (each.name, twin(each.name))]
        if of_name:
            return of_link(paper, of_name[0])
        later = [e for e in path.links.values() if name in (f"{e.name}'", f"{twin(e.name)}'")]
        if len({link.at for link in later}) > 1:  # E' beside E, both in this way
            return of_link(paper, max(later, key=lambda link: -1 if link.at is None else link.at))
    called = [p for p in paper.own if is_called(paper.asks[p], name)]
    before = [place for place in called if place < at or place in paper.stated]
    if before or (called and not given_named(paper, name)):
        return measured(paper, (before or called)[-1 if before else 0])
    given = given_named(paper, name) or worked_named(paper, name)
    if given:
        return of_link(paper, given[0])
    if name == "C" and set(capacitances_given(paper)) == {"C1"}:
        return worth(paper, "C1", at)  # of the only one
    return worth(paper, name.rstrip("'"), at) if name.endswith("'") else None  # V1' after a change


def worked_named(paper: Paper, name: str) -> list[Link]:
    """What follows from the given values under a name that no question has."""
    return [link for link in paper.given if name in (link.name, twin(link.name))]


def measured(paper: Paper, at: int) -> Measure:
    """The learner's value of a question."""
    dims = DIMS[d] if (d := paper.asks[at].dimension) else PURE
    value = -paper.own[at] if at in paper.negative else paper.own[at]
    return Measure(value, dims, paper.power(at))


def of_link(paper: Paper, link: Link) -> Measure:
    """What a name in a way is worth to the learner."""
    value = paper.values({"": link})[""]
    value = -value if link.at in paper.negative else value
    _, dimension = link.value
    if dimension is None:
        return Measure(value)
    return known(value, dimension, paper.story.powers[dimension])


def values_before(paper: Paper, at: int) -> list[Value]:
    """The values that a quantity has before the time at which it is asked."""
    name = paper.asks[at].name
    earlier = [paper.own[p] for p in paper.own if p < at and paper.asks[p].name == name]
    return earlier + [link.value[0] for link in given_named(paper, name)]


def number_in(name: str) -> str:
    """The number of the capacitor that a name is of."""
    return "".join(letter for letter in name if letter.isdigit())
