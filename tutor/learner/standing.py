"""Where one learner stands: what all answers so far show of every skill and of every wrong idea.

A standing is folded from answers in the order of time and holds no more than what is asked of it,
so the chat can take one more answer at every turn.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import reduce
from types import MappingProxyType
from typing import Final, NamedTuple

from tutor.learner.knowledge import (
    Idea,
    is_clean,
    parameters_of,
    prior,
    updated_together,
    with_answer,
)
from tutor.teaching.observation import Observation

MASTERED: Final = 0.95
GETTING_THERE: Final = 0.60
# However often an answer was right, some wrong ones in a row must be able to show: without a
# limit the likelihood would round to 1, from which no answer leads away.
SUREST: Final = 0.999
RIGHT_TO_MASTER: Final = 3
NETWORKS_TO_MASTER: Final = 2
FAILURES_TO_STOP: Final = 3
CHANCES_TO_STOP: Final = 10
LATELY: Final = 5
PROBLEMS_REMEMBERED: Final = 4
DAY: Final = 86400.0
HALF_A_DAY: Final = DAY / 2


class Seen(NamedTuple):
    """One answer on the record: ``problem`` names its problem and no other within the record,
    ``when`` is in seconds since the start of 1970, UTC.
    """

    observation: Observation
    problem: str
    when: float


class Try(NamedTuple):
    """One first try: ``clean`` if right without help, ``unsure`` if the learner said that they did
    not know, which is no wrong answer.
    """

    clean: bool
    network: str
    unsure: bool = False


class Practised(NamedTuple):
    """What is known of one skill.

    ``known`` is how likely it is that the learner has it, when last seen. ``chances`` are questions
    that needed it, ``tried`` those whose answer speaks of it, ``lately`` the last five of these.
    ``right`` counts first tries right without help and ``networks`` are two of their networks;
    ``failing`` are failures in a row. ``mastered_when``, ``seen_when`` and ``clean_when`` (the last
    clean one) are in seconds since the start of 1970; None if never. ``kept`` counts clean answers
    on days after that of mastery.
    """

    known: float
    chances: int = 0
    tried: int = 0
    right: int = 0
    networks: frozenset[str] = frozenset()
    lately: tuple[Try, ...] = ()
    failing: int = 0
    mastered_when: float | None = None
    seen_when: float | None = None
    clean_when: float | None = None
    kept: int = 0

    @property
    def meets_the_mark(self) -> bool:
        """Whether all that mastery asks for is there now."""
        return (
            self.known >= MASTERED
            and self.right >= RIGHT_TO_MASTER
            and len(self.networks) >= NETWORKS_TO_MASTER
            and self.lately[-1].clean
        )

    @property
    def is_steady(self) -> bool:
        """Whether it was mastered and nothing speaks against it since."""
        return self.mastered_when is not None and self.meets_the_mark

    @property
    def is_stuck(self) -> bool:
        """Whether more of the same would not help: three failures in a row, or ten chances without
        mastery. Someone who only lacks a second network is not stuck.
        """
        if self.failing >= FAILURES_TO_STOP:
            return True
        never = self.mastered_when is None and self.known < MASTERED
        return never and self.chances >= CHANCES_TO_STOP


class Standing(NamedTuple):
    """All of it: ``skills`` by code and ``ideas`` by name, only those met so far; ``asked`` are the
    questions met in the latest problems.
    """

    skills: Mapping[str, Practised]
    ideas: Mapping[str, Idea]
    asked: tuple[tuple[str, frozenset[str]], ...] = ()

    def of(self, skill: str) -> Practised:
        """What is known of a skill, met or not."""
        return self.skills.get(skill) or Practised(prior(skill))

    def has_met(self, skill: str) -> bool:
        """Whether there has been a question that needed the skill."""
        return skill in self.skills

    def is_steady(self, skill: str) -> bool:
        """Whether the skill was mastered and nothing speaks against it since."""
        return self.of(skill).is_steady

    def is_stuck(self, skill: str) -> bool:
        """Whether practising the skill should stop for now."""
        return self.of(skill).is_stuck


NOBODY: Final = Standing(MappingProxyType({}), MappingProxyType({}))


def standing_of(record: Iterable[Seen]) -> Standing:
    """Where a learner stands after these answers, in the order of time."""
    return reduce(with_seen, record, NOBODY)


def with_seen(standing: Standing, seen: Seen) -> Standing:
    """Where the learner stands after one more answer.

    Only the first answer to a question of a problem tells of skills. A wrong answer that a wrong
    rule gives counts against the skills of that rule alone; the others are left as they are.
    """
    answer = seen.observation
    asked, first = _asked(standing.asked, seen.problem, answer.key)
    ideas = with_answer(standing.ideas, answer, seen.problem, first)
    skills = _with_skills(standing, seen) if first else standing.skills
    return Standing(skills, ideas, asked)


def tries(standing: Standing, skill: str) -> int:
    """How many wrong tries at a step come before the answer is told."""
    return 3 if standing.of(skill).known > GETTING_THERE else 2


def _asked(
    asked: tuple[tuple[str, frozenset[str]], ...], problem: str, key: str
) -> tuple[tuple[tuple[str, frozenset[str]], ...], bool]:
    """The questions met with this one in front, and whether it is met for the first time.

    Several problems are remembered, since a learner may have two of them open.
    """
    keys = next((keys for name, keys in asked if name == problem), frozenset[str]())
    others = tuple(entry for entry in asked if entry[0] != problem)[: PROBLEMS_REMEMBERED - 1]
    return ((problem, keys | {key}), *others), key not in keys


def _with_skills(standing: Standing, seen: Seen) -> Mapping[str, Practised]:
    answer = seen.observation
    correct = is_clean(answer)
    blamed = answer.blamed if answer.outcome == "wrong" else ()
    spoken_of = tuple(dict.fromkeys(blamed or answer.skills))
    before = [standing.of(skill) for skill in spoken_of]
    known = updated_together([p.known for p in before], parameters_of(answer), correct)
    least = min((p.known for p in before), default=0.0)
    changed = dict(standing.skills)
    for skill, practised, now in zip(spoken_of, before, known, strict=True):
        # What went wrong is laid at the door of the least known; of the others it says little,
        # and the likelihoods have that little already.
        counts = correct or practised.known == least
        changed[skill] = _practised(practised._replace(known=min(now, SUREST)), seen, counts)
    return MappingProxyType(changed)


def _practised(p: Practised, seen: Seen, counts: bool) -> Practised:
    p = p._replace(chances=p.chances + 1)
    if not counts:
        return p._replace(seen_when=seen.when)
    network = seen.observation.network
    clean = is_clean(seen.observation)
    p = p._replace(tried=p.tried + 1)
    unsure = seen.observation.outcome == "unsure"
    lately = (*p.lately, Try(clean, network, unsure))[-LATELY:]
    if not clean:
        return _forgotten(p._replace(lately=lately, failing=p.failing + 1, seen_when=seen.when))
    later = p.seen_when is not None and seen.when - p.seen_when >= HALF_A_DAY
    p = p._replace(
        right=p.right + 1,
        networks=p.networks | {network} if len(p.networks) < NETWORKS_TO_MASTER else p.networks,
        lately=lately,
        failing=0,
        kept=p.kept + (later and p.mastered_when is not None),
        seen_when=seen.when,
        clean_when=seen.when,
    )
    is_new = p.mastered_when is None and p.meets_the_mark
    return p._replace(mastered_when=seen.when) if is_new else p


def _forgotten(p: Practised) -> Practised:
    """A mastered skill that has fallen back must be mastered anew, and its reviews begin anew."""
    if p.mastered_when is None or p.known > GETTING_THERE:
        return p
    return p._replace(mastered_when=None, right=0, networks=frozenset(), kept=0, chances=0)
