"""How a wrong number may have come about: the malrules whose result rounds to it.

A malrule matches when its value, rounded to the figures typed, is what was typed; a percentage
would match too much by chance. A number of one figure matches nothing, since too many rules reach
it (the learner may be asked, see ``suspected``); nought does, since few rules give it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.values import Value
from tutor.teaching.once import once
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext, SolvedRoute, context_of
from tutor.teaching.rules.malrule import UNLIKELY, Malrule


class Typed(NamedTuple):
    """A learner's number in the usual unit; ``half`` is half a unit of its last typed place, None
    for an exact form such as a fraction or a sum, which must be met exactly.
    """

    number: Fraction
    half: Fraction | None
    figures: int

    @property
    def is_one_figure(self) -> bool:
        """Whether it is too short to tell rules by."""
        return self.half is not None and self.figures < 2 and self.number != 0

    def scaled(self, scale: Fraction) -> Typed:
        """The same in another unit."""
        half = None if self.half is None else self.half * scale
        return self._replace(number=self.number * scale, half=half)

    def is_met(self, number: Fraction) -> bool:
        """Whether a number, rounded as this one is, equals it; a typed nought is meant exactly."""
        if self.half is None or self.number == 0:
            return number == self.number
        return abs(number - self.number) <= self.half


class Diagnosis(NamedTuple):
    """Malrules that give the number, in groups that share a remedy, likely ones first.

    ``at`` is the quantity where the wrong rule was at work, in a walk: the one asked or, when steps
    were skipped, an earlier one; ``context`` belongs to it, ``contexts`` are all in which some of
    them give the number. ``is_written``: the learner wrote down the sum of each of them.
    """

    groups: tuple[tuple[Malrule, ...], ...]
    context: RuleContext | None
    at: Quantity | None = None
    is_written: bool = False
    contexts: tuple[RuleContext, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """All their names, for the record."""
        return tuple(malrule.name for group in self.groups for malrule in group)


def diagnose_on(contexts: Sequence[RuleContext], typed: Typed) -> Diagnosis:
    """The malrules behind a wrong value, on the true context, which comes first, and on others
    with the learner's own values.
    """
    if typed.is_one_figure:
        return Diagnosis((), contexts[0] if contexts else None)
    told, found = contexts[0] if contexts else None, list[Malrule]()
    met: list[RuleContext] = []
    for context in contexts:
        here = matches(context, typed)
        told = context if here and not found else told  # what is told speaks of their numbers
        found += [malrule for malrule in here if malrule not in found]
        met += [context] if here else []
    at = told.quantity if told else None
    return Diagnosis(grouped(found), told, at, contexts=tuple(met))


def diagnose(
    route: SolvedRoute, quantity: Quantity, typed: Typed,
    own: Mapping[Quantity, Value] | None = None,
) -> Diagnosis:
    """The malrules behind a wrong value of a quantity of a network."""
    return diagnose_in(contexts_of(route, quantity, own), quantity, typed)


def contexts_of(
    route: SolvedRoute, quantity: Quantity, own: Mapping[Quantity, Value] | None
) -> Sequence[RuleContext]:
    """The contexts of a quantity of a network: on the true values, then on a learner's own."""
    contexts = [context_of(route, quantity), context_of(route, quantity, own) if own else None]
    return [each for each in contexts if each is not None]


def diagnose_in(contexts: Sequence[RuleContext], quantity: Quantity, typed: Typed) -> Diagnosis:
    """The malrules behind a wrong value of a quantity of a network, in these contexts of it."""
    found = diagnose_on(contexts, typed)
    at = found.at or quantity
    if at == Quantity("C") and found.context is not None and found.context.made is not None:
        at = Quantity("C", found.context.made)
    return found._replace(at=at)


def suspected(context: RuleContext | None, typed: Typed) -> Diagnosis | None:
    """The likely malrules that give a number of one figure exactly, if one remedy serves them all.

    Too many rules come near such a number to name one; the learner may be asked whether it was it.
    """
    if context is None or not typed.is_one_figure:
        return None
    found = [m for m in matches(context, typed._replace(half=None)) if m.rank < UNLIKELY]
    groups = grouped(found)
    return Diagnosis(groups, context, context.quantity) if len(groups) == 1 else None


def matches(context: RuleContext, typed: Typed) -> list[Malrule]:
    """The malrules that give the number here, without the one-figure rule."""
    plain = typed.scaled(context.scale)
    return [rule for rule, numbers in _wrong_here(context) if any(map(plain.is_met, numbers))]


@once
def _wrong_here(context: RuleContext) -> Sequence[tuple[Malrule, Sequence[Fraction]]]:
    """The malrules that can be met here, each with what it gives."""
    return [(rule, [*rule.wrong(context)]) for rule in CATALOGUE if rule.fits(context)]


def grouped(found: Sequence[Malrule]) -> tuple[tuple[Malrule, ...], ...]:
    """By remedy, likely ones first."""
    groups: dict[str, list[Malrule]] = {}
    for malrule in sorted(found, key=lambda m: m.rank):
        groups.setdefault(malrule.remedy, []).append(malrule)
    return tuple(tuple(group) for group in groups.values())


def cuts_off(context: RuleContext, typed: Typed) -> bool:
    """Whether the right value was cut off at the last typed place instead of being rounded."""
    plain = typed.scaled(context.scale)
    if not plain.half or typed.figures < 2:
        return False
    place = 2 * plain.half
    return plain.number == place * (context.right // place)
