"""Where a learner stands, in words with their evidence: never a score, and nobody else to compare.

An open account of what is known helps most together with a say in what comes next (Long and
Aleven, User Modeling and User-Adapted Interaction 27, 2017; the journal from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from tutor.learner.knowledge import Idea, IdeaState
from tutor.learner.review import to_look_at
from tutor.learner.standing import GETTING_THERE, Practised, Standing
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.skills import SKILLS

Word: TypeAlias = Literal[
    "not met yet", "still open", "shaky", "getting there", "steady", "to look at again"
]


class SkillWords(NamedTuple):
    """How a skill stands. ``skill`` is its code, for records alone; ``name`` is for the screen;
    ``evidence`` is empty where the skill has not been met.
    """

    skill: str
    name: str
    word: Word
    evidence: str


class IdeaWords(NamedTuple):
    """How a wrong idea stands. ``idea`` is its name in the record, never for the screen; ``words``
    say what it is, ``word`` how it stands.
    """

    idea: str
    words: str
    state: IdeaState
    word: str
    evidence: str


STATE_WORDS: Mapping[IdeaState, str] = MappingProxyType({
    "possible": "may be there", "held": "comes back", "resolved": "put right",
})


def skills_in_words(
    standing: Standing, now: float, exam: date | None = None
) -> tuple[SkillWords, ...]:
    """All skills in teaching order, ``now`` being in seconds since the start of 1970."""
    again = {look.skill: look.why for look in to_look_at(standing, now, exam)}
    doubted = set(spoilt_by_held(standing).values())
    found = []
    for skill in SKILLS:
        practised = standing.of(skill.code)
        evidence = evidence_of(practised)
        if skill.code in again:
            found.append(SkillWords(
                skill.code, skill.name, "to look at again", f"{evidence}; {again[skill.code]}"
            ))
        else:
            word = word_of(practised) if standing.has_met(skill.code) else "not met yet"
            if word == "steady" and skill.code in doubted:  # it will be suggested against the idea
                word = "getting there"
            found.append(SkillWords(skill.code, skill.name, word, evidence))
    return tuple(found)


def word_of(practised: Practised) -> Word:
    """The word for a skill that has been met and is not to be looked at again."""
    if practised.is_steady:
        return "steady"
    if practised.lately and all(one.unsure for one in practised.lately):
        return "still open"
    went_wrong = any(not (one.clean or one.unsure) for one in practised.lately)
    sure_enough = practised.known > GETTING_THERE or (practised.lately and not went_wrong)
    return "getting there" if sure_enough else "shaky"


def evidence_of(practised: Practised) -> str:
    """What the word for a skill rests on, as in '4 of the last 5 without help, on 2 networks'."""
    clean = [one for one in practised.lately if one.clean]
    asked = sum(not one.unsure for one in practised.lately)
    if practised.lately and not asked:
        return "not seen yet without help"
    if not asked:
        return "only together with others so far" if practised.chances else ""
    if not clean:
        none = f"none of the last {asked} without help"
        return "not yet right without help" if asked == 1 else none
    if asked == 1:
        return "once without help"
    number = "all" if len(clean) == asked else str(len(clean))
    networks = len({one.network for one in clean})
    where = "one network" if networks == 1 else f"{networks} networks"
    return f"{number} of the last {asked} without help, on {where}"


def spoilt_by(names: Iterable[str]) -> Mapping[str, str]:
    """The skill that each of these wrong ideas spoils; a name that is no wrong idea is left out."""
    named = list(names)
    if not named:
        return {}
    from tutor.teaching.rules.catalogue import MAIN_SKILL  # late: a first screen mostly needs none

    return {name: MAIN_SKILL[name] for name in named if name in MAIN_SKILL}


def spoilt_by_held(standing: Standing) -> Mapping[str, str]:
    """The wrong ideas that are held, each with the skill that it spoils."""
    return spoilt_by(name for name, idea in standing.ideas.items() if idea.state == "held")


def ideas_in_words(standing: Standing) -> tuple[IdeaWords, ...]:
    """The wrong ideas that have shown, those that come back first and those put right last."""
    shown = {name: idea for name, idea in standing.ideas.items() if idea.state is not None}
    known = spoilt_by(shown)
    found = [
        IdeaWords(name, idea_in_words(name), state, STATE_WORDS[state], showing_of(idea))
        for name, idea in shown.items()
        if (state := idea.state) is not None and name in known
    ]
    return tuple(sorted(found, key=lambda words: (_ORDER[words.state], words.words)))


_ORDER: Mapping[IdeaState, int] = MappingProxyType({"held": 0, "possible": 1, "resolved": 2})


def showing_of(idea: Idea) -> str:
    """How often it showed of the times it could, as in '3 of 5 times it could show'."""
    number = str(idea.matches) if idea.matches else f"perhaps {idea.doubtful}"
    if idea.chances == 1:
        return f"{'' if idea.matches else 'perhaps '}the one time it could show"
    shown = f"{number} of {idea.chances} times it could show"
    if idea.chances <= len(idea.lately) or not idea.matches:
        return shown
    return f"{shown}, {idea.lately.count('matched') or 'none'} of the last {len(idea.lately)}"
