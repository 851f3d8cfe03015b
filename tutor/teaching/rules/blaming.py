"""Which skills stand behind a wrong answer, by the wrong rules that give it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from tutor.teaching.observation import Observation
from tutor.teaching.rules.catalogue import REMEDY_OF, SKILL_OF
from tutor.teaching.skills import before

# Slips that belong to the skill in hand, whatever it is.
ANY_SKILL: Final = frozenset({"wrong-kind-of-unit"})


def blaming(seen: Observation, names: tuple[str, ...]) -> Observation:
    """A wrong answer with the wrong rules behind it: if one remedy serves them all, the first of
    them stands for it. Blamed are skills of the question and what these rest on; where the rules
    belong to others, as a unit of another quantity may to any question, those in hand.
    """
    remedies = {REMEDY_OF.get(name, name) for name in names}
    sure = len(remedies) == 1
    kept = names[:1] if sure else names
    near = {*seen.skills, *(code for skill in seen.skills for code in before(skill))}
    theirs = () if ANY_SKILL.issuperset(kept) else blamed(kept)
    to_blame = tuple(code for code in theirs if code in near)
    return seen._replace(malrules=kept, sure=sure, blamed=to_blame)


def blamed(names: Iterable[str]) -> tuple[str, ...]:
    """The skills that these wrong rules belong to."""
    found = [part for name in names for part in SKILL_OF.get(name, "").split("+") if part]
    return tuple(dict.fromkeys(found))
