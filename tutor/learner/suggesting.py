"""What a learner may do next, the best of it first; the learner chooses.

Practice that goes nowhere is stopped, and what a skill rests on is taken up instead: more of the
same is seldom what helps (Beck and Gong, Artificial Intelligence in Education, 2013, on learners
whose wheels spin; the place from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from math import ceil
from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.learner.review import known_now, start_of, to_look_at
from tutor.learner.sitting import ready, shaky
from tutor.learner.standing import DAY, FAILURES_TO_STOP, GETTING_THERE, Standing
from tutor.learner.standing_words import evidence_of, showing_of, spoilt_by_held, word_of
from tutor.teaching.manner import COLD, Manner
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.skills import BY_CODE, SKILLS, before

SuggestionKind: TypeAlias = Literal["lesson", "practice", "review", "paper"]

PAPERS_FROM: Final = 14  # days before the exam
OF_A_KIND: Final = 3
_CODES: Final = tuple(BY_CODE)
_ASK: Final = "a teacher can see what is in the way, and the lesson is there to read again"


class Suggestion(NamedTuple):
    """Something to do next: ``skill`` is its code, None for a paper; ``why`` one sentence."""

    kind: SuggestionKind
    skill: str | None
    why: str


def suggest(standing: Standing, now: float, exam: date | None = None) -> Suggestion:
    """What makes most sense next, ``now`` being in seconds since the start of 1970.

    A wrong idea that comes back is aimed at first, unless practice of its skill is to stop. Then
    come what a skill that got stuck rests on, what is to be looked at again, what is shaky, a
    paper where the exam is near, and a new skill.
    """
    return choices(standing, now, exam)[0]


def choices(
    standing: Standing, now: float, exam: date | None = None
) -> tuple[Suggestion, ...]:
    """Everything that makes sense next, the best first and a paper always among it."""
    found: dict[tuple[SuggestionKind, str | None], Suggestion] = {}
    for suggestion in _in_order(standing, now, exam):
        found.setdefault((suggestion.kind, suggestion.skill), suggestion)
    return tuple(found.values())


def manner_of(standing: Standing) -> Manner:
    """How a walk is to be led for this learner: what is new is shown worked before it is asked,
    except for what is asked without an example always; what is well known has a third try, and
    what is steady is asked once in a problem.
    """
    codes = frozenset(BY_CODE)
    return Manner(
        shown=frozenset(code for code in codes if not standing.has_met(code)) - COLD,
        steady=frozenset(code for code in codes if standing.of(code).known > GETTING_THERE),
        mastered=frozenset(code for code in codes if standing.is_steady(code)),
    )


def _in_order(standing: Standing, now: float, exam: date | None) -> Iterator[Suggestion]:
    yield from _against_ideas(standing)
    yield from _behind_what_is_stuck(standing, now)
    for look in to_look_at(standing, now, exam)[:OF_A_KIND]:
        yield Suggestion("review", look.skill, f"{_named(look.skill)} was steady; {look.why}.")
    going = {code for code in shaky(standing, now, exam) if not standing.is_stuck(code)}
    weakest_first = sorted(
        (skill.code for skill in SKILLS if skill.code in going),
        key=lambda code: _shown_weak(standing, code),
    )
    for code in weakest_first[:OF_A_KIND]:
        practised = standing.of(code)
        why = f"{_named(code)} is {word_of(practised)}: {evidence_of(practised)}."
        yield Suggestion("practice", code, why)
    away = ceil((start_of(exam) - now) / DAY) if exam else -1
    if 0 <= away <= PAPERS_FROM and standing.skills:
        yield Suggestion("paper", None, f"The exam is {_away(away)}.")
    for code in ready(standing)[:OF_A_KIND]:
        yield Suggestion("lesson", code, f"{_named(code)} is new, and {_ground(standing, code)}.")
    yield Suggestion("paper", None, "A paper shows how all of it goes together.")


def _shown_weak(standing: Standing, code: str) -> int:
    """0 where the last answer went wrong, 1 where an earlier one did, 2 where nothing yet did."""
    lately = [one.clean for one in standing.of(code).lately]
    return 0 if lately and not lately[-1] else 2 - (False in lately)


def _against_ideas(standing: Standing) -> Iterator[Suggestion]:
    held = [
        (name, skill, standing.ideas[name]) for name, skill in spoilt_by_held(standing).items()
    ]
    held.sort(key=lambda each: (_CODES.index(each[1]), -each[2].matches))
    for name, skill, idea in held:
        if not standing.is_stuck(skill):
            why = f"A wrong idea comes back: it {idea_in_words(name)} ({showing_of(idea)})."
            yield Suggestion("practice", skill, why)


def _behind_what_is_stuck(standing: Standing, now: float) -> Iterator[Suggestion]:
    """For each skill that is stuck the weakest of what it rests on, or a teacher."""
    for code in _CODES:
        if not standing.is_stuck(code):
            continue
        unsteady = [c for c in _CODES if c in before(code) and not standing.is_steady(c)]
        if not unsteady:
            yield Suggestion("lesson", code, f"{_stuck(standing, code)}; {_ASK}.")
            continue
        free = [c for c in unsteady if not standing.is_stuck(c)]
        if free:  # else what is stuck itself has been taken up before
            weakest = min(free, key=lambda c: known_now(standing, c, now))
            yield _back(standing, code, weakest)


def _back(standing: Standing, stuck: str, weakest: str) -> Suggestion:
    start = f"{_stuck(standing, stuck)}, and it rests on {_named(weakest)}"
    if not standing.has_met(weakest):
        return Suggestion("lesson", weakest, f"{start}, which has not come up yet.")
    evidence = evidence_of(standing.of(weakest))
    return Suggestion("practice", weakest, f"{start} ({evidence}).")


def _stuck(standing: Standing, code: str) -> str:
    practised = standing.of(code)
    if practised.failing >= FAILURES_TO_STOP:
        open_too = any(one.unsure for one in practised.lately[-practised.failing:])
        how = "was not seen without help" if open_too else "did not come right"
        return f"{_named(code)} {how} {practised.failing} times running"
    return f"{_named(code)} is not steady after {practised.chances} questions"


def _ground(standing: Standing, code: str) -> str:
    needs = BY_CODE[code].needs
    if not needs:
        return "nothing else is needed before it"
    steady = all(map(standing.is_steady, needs))
    return f"what it rests on {'is steady' if steady else 'has been met'}"


def _named(code: str) -> str:
    return f"'{BY_CODE[code].name}'"


def _away(days: int) -> str:
    return ("today", "tomorrow")[days] if days < 2 else f"in {days} days"
