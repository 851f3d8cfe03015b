"""Which skills stand behind a wrong answer, by the wrong rules that give it."""

from __future__ import annotations

from collections.abc import Iterable

from tutor.teaching.observation import Observation
from tutor.teaching.rules.catalogue import REMEDY_OF, SKILL_OF


def blaming(seen: Observation, names: tuple[str, ...]) -> Observation:
    """A wrong answer with the wrong rules behind it: if one remedy serves them all, the first of
    them stands for it.
    """
    remedies = {REMEDY_OF.get(name, name) for name in names}
    sure = len(remedies) == 1
    kept = names[:1] if sure else names
    return seen._replace(malrules=kept, sure=sure, blamed=blamed(kept))


def blamed(names: Iterable[str]) -> tuple[str, ...]:
    """The skills that these wrong rules belong to."""
    found = [part for name in names for part in SKILL_OF.get(name, "").split("+") if part]
    return tuple(dict.fromkeys(found))
