"""When a skill that was mastered is to be looked at again.

Spaced practice lasts longer than practice in one go. The best first gap is about 20 to 40 % of
the time to the test at one week and 5 to 10 % at a year (Cepeda and others, Psychological Science
19, 2008, on facts; the journal from memory). The table of sessions is our own rule in that range.
"""

from __future__ import annotations

from datetime import date
from math import ceil, log, log2
from typing import Final, NamedTuple

from tutor.learner.knowledge import prior
from tutor.learner.standing import DAY, HALF_A_DAY, Practised, Standing
from tutor.teaching.skills import SKILLS

SHORT: Final = (7, 0.30)  # days to the exam, and the first gap as a share of them
LONG: Final = (350, 0.07)
FALLING: Final = log(LONG[1] / SHORT[1]) / log(LONG[0] / SHORT[0])
WIDER_FOR_EACH_DOUBLING: Final = 0.1
EVERY_DAY: Final = 3
WITHOUT_A_DATE: Final = (0, 1, 3, 7, 16, 35)
MONTH: Final = 30
HALVES_IN: Final = 7 * DAY
MOST_DOUBLINGS: Final = 6


class SkillToReview(NamedTuple):
    """A skill to look at again, and why."""

    skill: str
    why: str


def first_gap(days: int) -> float:
    """Days from mastery to the first look, for an exam in so many days (above 0).

    30 % of a week, 7 % of 350 days, and between and beyond on the line through these two on
    logarithmic scales.
    """
    return float(days * SHORT[1] * (days / SHORT[0]) ** FALLING)


def sessions(days_to_exam: int | None) -> tuple[int, ...]:
    """The days of the sessions for one skill, day 0 being that of its mastery.

    The first gap is ``first_gap`` in whole days; each gap after it is wider by one factor, 1 at a
    week and a tenth more for each doubling of the time. The day before the exam is always
    one, and a session that would come nearer to it than the first gap is left out. With three days
    or fewer it is every day. Without a date there are six, and then one every ``MONTH`` days, which
    are not listed.
    """
    if days_to_exam is None:
        return WITHOUT_A_DATE
    if days_to_exam <= EVERY_DAY:
        return tuple(range(max(days_to_exam, 1)))
    last, first = days_to_exam - 1, round(first_gap(days_to_exam))
    wider = 1 + WIDER_FOR_EACH_DOUBLING * log2(days_to_exam / SHORT[0])
    found, day, gap = [0], 0.0, float(first)
    while last - round(day + gap) >= first:
        day += gap
        gap *= wider
        found.append(round(day))
    return (*found, last)


def latest_session(elapsed: float, days_to_exam: int | None) -> int:
    """The day of the last session that has come, ``elapsed`` days after mastery.

    A session counts as come from half a day before, since the hour of the day means nothing.
    """
    now = elapsed + HALF_A_DAY / DAY
    if days_to_exam is None and now >= WITHOUT_A_DATE[-1] + MONTH:
        return WITHOUT_A_DATE[-1] + MONTH * int((now - WITHOUT_A_DATE[-1]) // MONTH)
    return max((day for day in sessions(days_to_exam) if day <= now), default=0)


def start_of(day: date) -> float:
    """The start of a day in seconds since the start of 1970, UTC."""
    return (day - date(1970, 1, 1)).days * DAY


def known_now(standing: Standing, skill: str, now: float) -> float:
    """How likely a skill is still known, for choosing what to ask and for nothing else.

    It falls back towards the prior, by half in a week, and each day on which it was kept doubles
    that time. This is a convenience and no finding.
    """
    practised = standing.of(skill)
    start = prior(skill)
    if practised.seen_when is None:
        return practised.known
    half = HALVES_IN * 2 ** min(practised.kept, MOST_DOUBLINGS)
    elapsed = max(now - practised.seen_when, 0.0)
    return float(start + (practised.known - start) * 2 ** (-elapsed / half))


def to_look_at(
    standing: Standing, now: float, exam: date | None = None
) -> tuple[SkillToReview, ...]:
    """The mastered skills whose session has come, the most basic first.

    ``now`` is in seconds since the start of 1970; an exam that is past no longer counts. A session
    that was missed counts against nobody: however many have passed, one look makes up for them.
    """
    looks = []
    for skill in SKILLS:
        why = _why(standing.of(skill.code), now, exam)
        if why is not None:
            looks.append(SkillToReview(skill.code, why))
    return tuple(looks)


def _why(practised: Practised, now: float, exam: date | None) -> str | None:
    mastered, clean = practised.mastered_when, practised.clean_when
    if mastered is None or clean is None:
        return None
    days = ceil((start_of(exam) - mastered) / DAY) if exam and start_of(exam) > now else None
    day = latest_session((now - mastered) / DAY, days)
    if day == 0 or clean >= mastered + day * DAY - HALF_A_DAY:
        return None
    if not practised.lately[-1].clean:
        was_open = practised.lately[-1].unsure
        return f"it {'was left open' if was_open else 'did not come right'} the last time"
    return f"it last came right {_ago((now - clean) / DAY)}"


def _ago(days: float) -> str:
    whole = round(days)
    if whole < 1:
        return "less than a day ago"
    return "a day ago" if whole == 1 else f"{whole} days ago"
