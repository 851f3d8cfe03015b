"""Wrong ideas of one learner: how often each could have shown, how often it did, and lately.

A learner who never met a question that can tell a wrong idea from the right one shows nothing of
it, so what showed is always kept beside what could have.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.teaching.observation import Observation

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
