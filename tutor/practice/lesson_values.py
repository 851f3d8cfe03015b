"""Values that serve a learner badly: they hide a wrong idea, or make two look alike."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations
from typing import Final

from grammar.measures import PURE
from grammar.records import Dimension, Refusal
from grammar.writing import write_number
from tutor.circuit.network import Problem
from tutor.circuit.reduction import reduce
from tutor.circuit.values import Value, in_letters
from tutor.practice.lesson_trials import Trial
from tutor.practice.lessons import OwnChoice
from tutor.practice.own_choices import one_value_in, value_of
from tutor.teaching.rules.catalogue import SKILL_OF
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.rules.separation import Separation
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.speech import Speech, listed

MOST_PAIRS: Final = 3
FIGURES: Final = 4


def about_values(trial: Trial) -> Iterator[Refusal]:
    """A warning for each thing in the values of a task that a teacher may want to change."""
    place = trial.exercise.place
    for found, cure in _found(trial):
        yield Refusal(found, cure, place)


def _found(trial: Trial) -> Iterator[tuple[str, str]]:
    if trial.exercise.ask and not trial.questions:
        yield (
            "No step of this network needs what ask names, so nothing is asked.",
            "Name a skill that one of its steps needs, or leave ask out.",
        )
    choice = trial.exercise.choice
    if choice is not None and not choice.wrong and value_of(choice.right).dims == PURE:
        yield (
            f"The value {choice.right.strip()} has no unit.",
            'Write it with its unit, as in value = "25.2 uC", unless it is a plain number.',
        )
    if choice is not None:
        yield from _one_worth(choice)
    if trial.problem is not None:
        yield from _plain(trial.problem)
    for name, each in trial.separations.items():
        for rule in each.hidden:
            yield (
                f"At {name} {_gives(rule, each)}, within 5 % of {_figures(each.right)}, which is "
                "right.",
                "Change a value, so that a right answer shows more.",
            )
        if each.colliding:
            pairs = [f"{_gives(a, each)}, {_gives(b, each)}" for a, b in each.colliding]
            more = f"; and {len(pairs) - MOST_PAIRS} more" if len(pairs) > MOST_PAIRS else ""
            yield (
                f"At {name} wrong ideas that need different help give nearly one number: "
                f"{'; '.join(pairs[:MOST_PAIRS])}{more}.",
                "Change a value, so that they can be told apart.",
            )


def _one_worth(choice: OwnChoice) -> Iterator[tuple[str, str]]:
    """Two choices that are one value in two ways of writing."""
    said = (choice.right, *(each.say for each in choice.wrong))
    worth = [(text, found) for text in said if (found := one_value_in(text)) is not None]
    for (one, a), (other, b) in combinations(worth, 2):
        if (a.value, a.dims) == (b.value, b.dims):
            yield (
                f"The choices '{one}' and '{other}' are one value.",
                "Change one of them, unless the way of writing is what is asked.",
            )


def _gives(rule: str, apart: Separation) -> str:
    """What a wrong idea comes to, by what someone does who has it."""
    words = idea_in_words(rule) if rule in SKILL_OF else rule.replace("-", " ")
    numbers = apart.numbers.get(rule, ())
    return f"one who {words} gets {listed(dict.fromkeys(map(_figures, numbers)), 'or')}"


def _figures(number: Fraction) -> str:
    return write_number(number, FIGURES)[0]


def _plain(problem: Problem) -> Iterator[tuple[str, str]]:
    """Equal values, and values of one unit."""
    speech = Speech(problem.powers, DEFAULTS)
    given = problem.network.capacitors
    twice = [(a, b) for a, b in combinations(given, 2) if a.value == b.value]
    if twice:
        one, other = twice[0]
        yield (
            f"{one.name} and {other.name} are both {speech.amount(one.value, 'capacitance')}.",
            "Give them unequal values, unless their being equal is what the lesson is about.",
        )
    made = [step.makes for step in reduce(problem.network).steps if step.makes is not None]
    for c in (*given, *made):
        if _is_one(c.value, "capacitance", problem):
            yield (
                f"{c.name} is 1 {speech.unit('capacitance')}, so multiplying or dividing by it "
                "shows nothing.",
                "Change a value.",
            )
    supply = problem.supply
    if supply is not None and _is_one(supply.value, supply.quantity, problem):
        yield f"The supply gives 1 {speech.unit(supply.quantity)}.", "Give it another value."


def _is_one(value: Value, dimension: Dimension, problem: Problem) -> bool:
    return not in_letters(value) and value == Fraction(10) ** problem.powers[dimension]
