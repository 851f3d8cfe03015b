"""Records of learners made up for tests: what was answered, day by day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import count

from tutor.learner.standing import DAY, NOBODY, Seen, Standing, standing_of
from tutor.teaching.observation import Observation, Outcome
from tutor.teaching.skills import BY_CODE, before

OUTCOMES: dict[str, tuple[Outcome, bool]] = {
    "r": ("right", False), "w": ("wrong", False), "h": ("right", True),
    "u": ("unsure", False), "s": ("shown", False),
}


def answer(skills: str | Sequence[str], letter: str = "r", **more: object) -> Observation:
    """An answer that needed these skills: r right, w wrong, h helped, u unsure, s shown."""
    outcome, helped = OUTCOMES[letter]
    codes = tuple(skills.split()) if isinstance(skills, str) else tuple(skills)
    plain = Observation("V1", "net", codes, "number", outcome, helped=helped)
    return plain._replace(**more)


def seen(answers: Iterable[Observation], day: float = 0.0, start: int = 0) -> list[Seen]:
    """Each answer in a problem and on a network of its own, all on one day."""
    return [
        Seen(one if one.network != "net" else one._replace(network=f"net {at}"), f"{at}", day * DAY)
        for one, at in zip(answers, count(start), strict=False)
    ]


def answered(skill: str, letters: str, day: float = 0.0) -> Standing:
    """A learner who met one skill alone."""
    return standing_of(seen((answer(skill, letter) for letter in letters), day))


def steady_in(skills: Iterable[str], day: float = 0.0) -> list[Seen]:
    """Answers that make each of these skills steady."""
    return [
        Seen(one.observation, f"{skill} {one.problem}", one.when)
        for skill in skills for one in seen([answer(skill)] * 4, day)
    ]


def steady_before(skill: str, day: float = 0.0) -> Standing:
    """A learner who is steady in all that a skill rests on."""
    return standing_of(steady_in([code for code in BY_CODE if code in before(skill)], day))


__all__ = ["NOBODY", "answer", "answered", "seen", "steady_before", "steady_in"]
