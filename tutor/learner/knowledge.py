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
from typing import Literal, TypeAlias

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


# Wrong ideas of one learner: how often each could have shown, how often it did, and lately.
#
# A learner who never met a question that can tell a wrong idea from the right one shows nothing of
# it, so what showed is always kept beside what could have.


Showing: TypeAlias = Literal["matched", "in doubt", "clean", "other"]
IdeaState: TypeAlias = Literal["possible", "held", "resolved"]
IdeaPlace: TypeAlias = tuple[str, str]

KEPT: Final = 3
NETWORKS_TO_HOLD: Final = 2
OTHERS_AT_MOST: Final = 1  # of the latest outcomes
CLEAN_TO_RESOLVE: Final = 2


class Idea(NamedTuple):
    """What has been seen of one wrong idea.

    ``chances`` are questions where it would have shown, ``matches`` those where it did and nothing
    else gives the answer, ``doubts`` the problem and question of those where others give it too
    and the learner has not said which it was. ``lately`` are the last three outcomes. ``networks``
    are those of the matches since it was last resolved, or since a single one was a slip,
    ``cleanly`` how many questions have come out clean since it last showed. ``places`` are the
    problem and the question of every match, so that none counts twice.
    """

    chances: int = 0
    matches: int = 0
    doubts: frozenset[IdeaPlace] = frozenset()
    lately: tuple[Showing, ...] = ()
    networks: frozenset[str] = frozenset()
    cleanly: int = 0
    places: frozenset[IdeaPlace] = frozenset()

    @property
    def doubtful(self) -> int:
        """How many questions it may have shown at."""
        return len(self.doubts)

    @property
    def state(self) -> IdeaState | None:
        """``held`` by matches on two networks with no clean answer among or after them, unless most
        of the latest outcomes are something else, as those of someone are who guesses; ``resolved``
        by two clean answers since, else ``possible``; None if it never showed.
        """
        if not self.matches and not self.doubtful:
            return None
        if self.cleanly >= CLEAN_TO_RESOLVE:
            return "resolved"
        guesses = self.lately.count("other") > OTHERS_AT_MOST
        if len(self.networks) >= NETWORKS_TO_HOLD and not self.cleanly and not guesses:
            return "held"
        return "possible"


def with_answer(
    ideas: Mapping[str, Idea], seen: Observation, problem: str, first: bool
) -> Mapping[str, Idea]:
    """The wrong ideas after one more answer; ``first`` if it is the first to its question.

    A question is one chance, however often it is tried; an idea that shows at a later try of it
    counts as a match all the same.
    """
    touched = {*seen.malrules, *(seen.chances if first else ())}
    if not touched:
        return ideas
    place = (problem, seen.key)
    changed = dict(ideas)
    if seen.sure:
        changed |= {
            name: _cleared(idea, place) for name, idea in ideas.items() if place in idea.doubts
        }
    for name in touched:
        idea = changed.get(name, _NOTHING)
        if place in idea.places:
            continue
        is_chance = first or name not in seen.chances
        if not is_chance and idea.lately[-1:] == ("other",):
            idea = idea._replace(lately=idea.lately[:-1])  # an earlier try at this very question
        changed[name] = _after(idea, _showing(name, seen), is_chance, (seen.network, place))
    return MappingProxyType(changed)


_NOTHING: Final = Idea()


def _cleared(idea: Idea, place: IdeaPlace) -> Idea:
    """The idea once the learner has said which one it was at a question: in doubt there no more."""
    lately = idea.lately[:-1] if idea.lately[-1:] == ("in doubt",) else idea.lately
    return idea._replace(
        doubts=idea.doubts - {place}, places=idea.places - {place}, lately=(*lately, "other")
    )


def _after(idea: Idea, showing: Showing, is_chance: bool, where: tuple[str, IdeaPlace]) -> Idea:
    lately = (*idea.lately[1 - KEPT:], showing)
    chances = idea.chances + is_chance
    if showing not in ("matched", "in doubt"):
        cleanly = idea.cleanly + (showing == "clean")
        # One match and then a clean answer was a slip; what once came back comes back at once.
        slipped = showing == "clean" and len(idea.networks) < NETWORKS_TO_HOLD
        networks = frozenset[str]() if slipped else idea.networks
        return Idea(chances, idea.matches, idea.doubts, lately, networks, cleanly, idea.places)
    network, place = where
    matched = showing == "matched"
    earlier = frozenset[str]() if idea.state == "resolved" else idea.networks
    return Idea(
        chances=chances,
        matches=idea.matches + matched,
        doubts=idea.doubts if matched else idea.doubts | {place},
        lately=lately,
        networks=earlier | {network} if matched else earlier,
        places=idea.places | {place},
    )


def _showing(name: str, seen: Observation) -> Showing:
    if name in seen.malrules:
        return "matched" if seen.sure else "in doubt"
    return "clean" if seen.outcome == "right" and not seen.helped else "other"
