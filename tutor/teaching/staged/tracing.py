"""Where a wrong value of a problem in stages may come from: the malrules of its own question, or of
one on the way to it that was not answered yet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from grammar.answers import Measure, half_in_si
from grammar.expressions import Expression
from tutor.circuit.values import Value, in_letters, same
from tutor.teaching.judging import Judged
from tutor.teaching.marking.stories.following import Path, carried_on, follow, paths_of
from tutor.teaching.marking.written_ways import as_written
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.context import RuleContext, plain_power
from tutor.teaching.rules.diagnosis import (
    Diagnosis,
    Typed,
    cuts_off,
    diagnose_on,
    grouped,
    suspected,
)
from tutor.teaching.rules.skipped import wrong_numbers
from tutor.teaching.staged.measuring import lookup_of
from tutor.teaching.staged.story import Telling


class Traced(NamedTuple):
    """The malrules that give a number, and the place of the question where they were at work.

    ``is_asked`` where they are too uncertain to be told, so that the learner is asked whether it
    was so; ``is_cut`` where the right value was cut off instead of being rounded.
    """

    found: Diagnosis
    at: int
    is_asked: bool = False
    is_cut: bool = False


def trace(
    telling: Telling, at: int, judged: Judged, measure: Measure, side: Expression | None = None
) -> Traced:
    """The malrules whose number, rounded as typed, is what was typed for the question at ``at``;
    where it was worked out by a ``side``, those alone that are this sum.
    """
    contexts = contexts_at(telling, at)
    if not contexts or not isinstance(judged.value, Fraction):
        return Traced(Diagnosis((), None), at)
    usual = contexts[0].usual
    half = half_in_si(measure, usual) if measure.one_number else None
    scale = Fraction(10) ** usual
    typed = Typed(judged.value / scale, half / scale if half is not None else None, measure.figures)
    found = diagnose_on(contexts, typed)
    if found.groups:
        written = as_written(found, side, lookup_of(telling), False) if side is not None else None
        return Traced(written or found, at)
    if (maybe := suspected(contexts[0], typed)) is not None:
        return Traced(maybe, at, is_asked=True)
    if cuts_off(contexts[0], typed):
        return Traced(found, at, is_cut=True)
    before = None if typed.is_one_figure else _before(telling, at, typed, scale)
    return before or Traced(found, at)


def contexts_at(telling: Telling, at: int) -> list[RuleContext]:
    """What malrules run on at a question: the true values, and the learner's own rounded ones."""
    ask, powers = telling.story.asks[at], telling.story.powers
    own = {}
    for each in telling.story.asks:
        mine = telling.own.get(each.name)
        if isinstance(mine, Fraction) and isinstance(each.right, Fraction) and each.dimension:
            unit = Fraction(10) ** plain_power(powers, each.dimension)
            own[each.right / unit] = mine / unit
    contexts = [context_of_ask(ask, powers)]
    if own:
        contexts.append(context_of_ask(ask, powers, own))
    return [each for each in contexts if each is not None]


def _before(telling: Telling, at: int, typed: Typed, scale: Fraction) -> Traced | None:
    """One wrong rule at the latest question before this one that is open, all else done rightly."""
    paths = paths_of(telling.story)
    for earlier in range(at - 1, telling.at - 1, -1):
        ask = telling.story.asks[earlier]
        context = context_of_ask(ask, telling.story.powers)
        if context is None or telling.is_known(earlier):
            continue
        malrules = [
            malrule for malrule, wrong in wrong_numbers(context)
            if any(typed.is_met(end / scale) for end in _ends(telling, paths, at, {earlier: wrong}))
        ]
        if malrules:
            return Traced(Diagnosis(grouped(list(dict.fromkeys(malrules))), context), earlier)
    return None


def _ends(
    telling: Telling, paths: Sequence[tuple[Path, ...]], at: int, wrong: Mapping[int, Value]
) -> Iterator[Fraction]:
    """What every right way to a value makes of wrong ones before it, where it rests on them."""
    found = carried_on(telling.story, paths, wrong)
    for path in paths[at]:
        values = {
            name: link.value[0] if link.at is None or link.at >= at else found[link.at]
            for name, link in path.links.items()
        }
        if any(not same(values[name], link.value[0]) for name, link in path.links.items()):
            end = follow(path, values)
            if end is not None and not in_letters(end):
                yield Fraction(end)
