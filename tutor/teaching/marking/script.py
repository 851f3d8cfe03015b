"""How far a script has been read: the route, the learner's own values and names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from types import MappingProxyType
from typing import Any, Final, NamedTuple

from grammar.answers import Measure, known
from grammar.expressions import Expression, names_in
from tutor.circuit.values import Value, chain_sum, in_letters, parallel_sum, tidy
from tutor.teaching.marking.carrying import Own, letters_of, own_of
from tutor.teaching.marking.grading import Grade, Statement
from tutor.teaching.marking.labels import label_of
from tutor.teaching.marking.problem_kind import OwnValue, Passing
from tutor.teaching.marking.routes import Group, names_met
from tutor.teaching.marking.statements import Reader, Said
from tutor.teaching.once import once
from tutor.teaching.quantities import Quantity
from tutor.teaching.walk import Walk
from tutor.teaching.ways_of_walk import canonical

_BEHIND_OWN: Final = ("walk", "stated", "broken")  # what a learner's values rest on


class _Read(NamedTuple):
    """``begun`` is the walk at its start, ``walk`` the way that the learner took. ``broken`` are
    groups that are none, by name; ``shown`` are the wrong ideas that stand in it. The rest is as
    with any script.
    """

    begun: Walk
    walk: Walk
    stated: Mapping[Quantity, Value] = MappingProxyType({})
    wrong: frozenset[Quantity] = frozenset()
    aliases: Mapping[str, Quantity] = MappingProxyType({})
    hint: tuple[str, ...] = ()
    doubtful: frozenset[Quantity] = frozenset()
    broken: tuple[tuple[str, Group], ...] = ()
    shown: frozenset[str] = frozenset()
    going_on: Said | None = None
    passing: tuple[Passing, ...] = ()
    slipped: tuple[tuple[int, Grade], ...] = ()
    mistaken: tuple[Said, ...] = ()
    equations: tuple[Said, ...] = ()
    led: tuple[OwnValue, ...] = ()
    seen: tuple[Fraction, ...] = ()
    has_paid: bool = False


class Script(_Read):
    """How far a script has been read. It never changes, so that what the learner's values come to
    is worked out once, when it is first looked at, until another is stated.
    """

    @cached_property
    def own(self) -> Own:
        """The learner's own values so far."""
        return own_of(self.walk, self.stated)._replace(led_to=tuple(_led_to(self)))

    def _replace(self, **changes: Any) -> Script:
        after = super()._replace(**changes)
        is_as_before = all(getattr(self, each) is getattr(after, each) for each in _BEHIND_OWN)
        if is_as_before and "own" in vars(self):
            vars(after)["own"] = self.own
        return after


def reader_of(script: Script) -> Reader:
    """What means something to this learner by now."""
    walk = script.walk
    network, power = walk.problem.network, walk.problem.powers["capacitance"]
    own = script.own
    values = {
        c.name: value if in_letters(value) else Fraction(value) / Fraction(10) ** power
        for c in walk.network.capacitors
        if (value := own.get("C", c.name)) is not None
    }
    return Reader(
        frozenset((*names_met(walk), *script.aliases)),
        letters_of(walk),
        lambda text: label_of(text, network, power, values),
    )


def lookup(script: Script, own: Own, statement: Statement) -> dict[str, Measure]:
    """What the names in a statement are worth to this learner."""
    return measured(script, meant_by(script, statement.sides), own.values) | _letters(script.walk)


@once
def _letters(walk: Walk) -> dict[str, Measure]:
    """What the letters for capacitances are worth: themselves."""
    return {
        str(symbol): known(symbol, "capacitance")
        for value in walk.truth.values()
        if in_letters(value)
        for symbol in value.free_symbols
        if str(symbol)[:1] not in "VUQ"
    }


def meant_by(script: Script, sides: Sequence[Expression]) -> dict[str, Quantity]:
    """The quantities that names in these sides stand for, in their order."""
    names = dict.fromkeys(names_in(*sides))
    every = {**names_met(script.walk), **script.aliases} if names else {}
    return {
        name: canonical(script.walk, quantity)
        for name in names
        if (quantity := every.get(name) or every.get(name.replace("_", ""))) is not None
    }


def measured(
    script: Script, named: Mapping[str, Quantity], values: Mapping[Quantity, Value]
) -> dict[str, Measure]:
    """What names are worth by the values of their quantities; without those that have none."""
    powers = script.walk.problem.powers
    return {
        name: known(values[quantity], quantity.dimension, powers[quantity.dimension])
        for name, quantity in named.items()
        if quantity in values
    }


def _led_to(script: Script) -> Iterator[Value]:
    """The whole capacitance that a group which is none, or all of them, lead to, with what is left
    beside.
    """
    own = {name: script.stated.get(Quantity("C", name)) for name, _ in script.broken}
    put = [(group.names, value) for name, group in script.broken if (value := own[name])]
    for made in (*([each] for each in put), *([put] if len(put) > 1 else [])):
        taken = {name for names, _ in made for name in names}
        left = [c.value for c in script.walk.network.capacitors if c.name not in taken]
        values = [*(value for _, value in made), *left]
        if len(values) > 1:
            yield tidy(parallel_sum(values))
            yield tidy(chain_sum(values))
