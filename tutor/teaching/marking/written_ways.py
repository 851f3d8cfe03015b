"""Which wrong rule a line plainly follows: the sum that is written is the rule on any numbers.

The numbers of a question are changed, in the sum as in what the rule is given. Where both still
come to the same, the sum is the rule, and nothing is left to suppose.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Name, Num, Op, rewritten
from grammar.records import Refusal
from tutor.circuit.values import in_letters
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.diagnosis import Diagnosis, grouped
from tutor.teaching.rules.malrule import SLIP, Malrule


def as_written(
    found: Diagnosis | None, side: Expression, lookup: Mapping[str, Measure], turned: bool
) -> Diagnosis | None:
    """A diagnosis with only those of its wrong rules that a side is worked out by, where it is by
    some of them; ``turned`` where the side is said of one over the value.
    """
    if found is None or not isinstance(side, Op):
        return found
    for context in found.contexts:
        changed = _changed(context)
        value = _on_changed(side, lookup, (context, changed))
        if value is None or (turned and not value):
            continue
        value, other = 1 / value if turned else value, _on_other_numbers(context, changed)
        rules = [rule for group in found.groups for rule in group if _gives(rule, other, value)]
        if rules:
            rules = rules if turned else rules[:1]  # of two that are one sum the likely one
            return found._replace(groups=grouped(rules), context=context, is_written=True)
    return found


def _on_other_numbers(context: RuleContext, changed: Mapping[Fraction, Fraction]) -> RuleContext:
    return context._replace(
        parts=tuple(changed[each] for each in context.parts),
        held=tuple(
            one._replace(**{k: changed[v] for k, v in one._asdict().items() if v is not None})
            for one in context.held
        ),
    )


def _changed(context: RuleContext) -> dict[Fraction, Fraction]:
    """Each number of a question with another for it, so that no two of these are related."""
    held = (value for one in context.held for value in one if value is not None)
    numbers = dict.fromkeys((*context.parts, *held))
    return {number: number * Fraction(97 + 6 * at, 89) for at, number in enumerate(numbers)}


def _on_changed(
    side: Expression,
    lookup: Mapping[str, Measure],
    told: tuple[RuleContext, Mapping[Fraction, Fraction]],
) -> Fraction | None:
    """What a side comes to with the numbers changed, as a plain number of the question; None where
    fewer than two of them stand in it, or it cannot be worked out.
    """
    context, changed = told
    unit, used = Fraction(10) ** context.power, 0

    def other(part: Expression) -> Expression | None:
        nonlocal used
        value = _plain(part, lookup, context)
        if value is None or value not in changed:
            return None
        used += 1
        number = changed[value] / context.scale
        return Num(number, None, 0, "")

    try:
        measure = evaluate(rewritten(side, other), lookup)
    except Refusal:
        return None
    if used < 2 or in_letters(measure.value):
        return None
    return measure.value * context.scale if measure.bare else Fraction(measure.value) / unit


def _plain(
    part: Expression, lookup: Mapping[str, Measure], context: RuleContext
) -> Fraction | None:
    """A number or a name of a side as a plain number of the question."""
    if isinstance(part, Num):
        if part.unit is None:
            return part.value * context.scale
        return part.value * Fraction(10) ** (part.unit.power - context.power)
    measure = lookup.get(part.text) if isinstance(part, Name) else None
    if measure is None or in_letters(measure.value):
        return None
    return Fraction(measure.value) / Fraction(10) ** measure.power * context.scale


def _gives(rule: Malrule, context: RuleContext, value: Fraction) -> bool:
    return rule.rank < SLIP and value in rule.numbers(context)
