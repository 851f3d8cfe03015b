"""How likely it is that a skill is known, from right and wrong answers: Bayesian knowledge tracing.

The model is that of Corbett and Anderson, User Modeling and User-Adapted Interaction 4 (1995):
a skill is known or not; a known one is slipped on now and then, an unknown one answered by a lucky
guess, and at every chance an unknown one may be learnt. For a question that needs several skills
an answer is right without luck only if all of them are known ("noisy and").
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import prod
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, Generic, NamedTuple, TypeVar

from tutor.teaching.observation import AnswerKind, Observation

if TYPE_CHECKING:
    from fractions import Fraction

Likelihood = TypeVar("Likelihood", "Fraction", float)

LEARNS: Final = 0.15
SLIP: Final = 0.10
PRIOR: Final = 0.20
PRIORS: Mapping[str, float] = MappingProxyType({
    **dict.fromkeys(("S01", "S02", "S03", "S04", "S05"), 0.30),
    **dict.fromkeys(("S36", "S37", "S38", "S39"), 0.10),
})
# How often someone without the skill is right all the same. Nobody hits on a number blindly, but
# some wrong ways lead to the right one.
GUESSES: Mapping[AnswerKind, float] = MappingProxyType({
    "number": 0.10, "names": 0.15, "two-way": 0.50, "two-way with reason": 0.15,
})
FEWEST_OPTIONS: Final = 2
GUESS_IF_WEAK: Final = 0.50


class Parameters(NamedTuple, Generic[Likelihood]):
    """Chances between 0 and 1: ``learns`` at an occasion what was not known, ``slip`` although it
    is known, ``guess`` although it is not. Guess and slip must come to less than 1 together, or
    a right answer would speak against the skill.
    """

    learns: Likelihood
    slip: Likelihood
    guess: Likelihood


def prior(skill: str) -> float:
    """How likely it is that a skill is known before anything has been seen of it."""
    return PRIORS.get(skill, PRIOR)


def guess_of(seen: Observation) -> float:
    """How likely this answer was without the skills it needs."""
    is_menu = seen.answer == "menu"
    own = 1 / max(seen.options, FEWEST_OPTIONS) if is_menu else GUESSES[seen.answer]
    return max(own, GUESS_IF_WEAK) if seen.weak else own


def parameters_of(seen: Observation) -> Parameters[float]:
    """The parameters for one answer. They are the author's choice within the usual range, and not
    fitted to data: that would take hundreds of learners.
    """
    return Parameters(LEARNS, SLIP, guess_of(seen))


def is_clean(seen: Observation) -> bool:
    """Right without help; not knowing and asking to be shown are as good as wrong here."""
    return seen.outcome == "right" and not seen.helped


def expected(known: Likelihood, p: Parameters[Likelihood]) -> Likelihood:
    """How likely a right answer is, where the skill is known with this likelihood."""
    return known * (1 - p.slip) + (1 - known) * p.guess


def posteriors(
    known: Sequence[Likelihood], p: Parameters[Likelihood], correct: bool
) -> tuple[Likelihood, ...]:
    """How likely each of the skills that one answer needed was known when it was given.

    An answer that cannot be, by the parameters, changes nothing.
    """
    right = _right(known, p)
    chance = right if correct else 1 - right
    if not chance:
        return tuple(known)
    if_known = [_right(_without(known, at), p) for at in range(len(known))]
    return tuple(
        one * (right if correct else 1 - right) / chance
        for one, right in zip(known, if_known, strict=True)
    )


def updated_together(
    known: Sequence[Likelihood], p: Parameters[Likelihood], correct: bool
) -> tuple[Likelihood, ...]:
    """Posteriors and what was learnt since, for each of several skills that one answer needed."""
    return tuple(then + (1 - then) * p.learns for then in posteriors(known, p, correct))


def _right(known: Sequence[Likelihood], p: Parameters[Likelihood]) -> Likelihood:
    """How likely a right answer is where several skills are needed, each known so likely."""
    if not known:
        return 1 - p.slip  # all there is to know is known
    return expected(prod(known[1:], start=known[0]), p)


def _without(known: Sequence[Likelihood], at: int) -> Sequence[Likelihood]:
    return [one for place, one in enumerate(known) if place != at]
