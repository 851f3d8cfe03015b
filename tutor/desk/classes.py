"""What a class holds, from one or more record files: its learners, week by week."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Final, NamedTuple

from tutor.learner.merging import Merged, merge
from tutor.learner.record import in_memory
from tutor.learner.review import start_of
from tutor.learner.standing import NOBODY, Seen, Standing, standing_of, with_seen

MOST_WEEKS: Final = 52


class ClassMember(NamedTuple):
    """One learner: all that the answers showed, in order of time, and where that leads."""

    name: str
    exam: date | None
    seen: tuple[Seen, ...]
    standing: Standing


class Week(NamedTuple):
    """What stood at the end of a week that began on ``monday``, summed over everyone: how many
    skills had been ``met``, how many of them were ``steady``, how many wrong ideas came back
    (``held``), and how many questions had been answered within the week.
    """

    monday: date
    answers: int
    met: int
    steady: int
    held: int


class ClassHeld(NamedTuple):
    """A class: its members by name, and what was read."""

    members: tuple[ClassMember, ...]
    files: tuple[Merged, ...]


def class_in(paths: Sequence[Path], now: float) -> ClassHeld:
    """Everyone in these records, each sitting once however many files hold it."""
    with in_memory(now) as record:
        files = tuple(merge(record, paths, now))
        members = []
        for learner in record.learners():
            seen = tuple(record.seen(learner))
            members.append(ClassMember(learner.name, learner.exam, seen, standing_of(seen)))
    return ClassHeld(tuple(members), files)


def parted_at(member: ClassMember, day: date) -> tuple[Standing, Standing]:
    """What the answers before a day show by themselves, and what those from that day on show."""
    start = start_of(day)
    before = [each for each in member.seen if each.when < start]
    return standing_of(before), standing_of(member.seen[len(before):])


def weeks_of(members: Sequence[ClassMember]) -> tuple[Week, ...]:
    """The weeks from the first answer to the last, at most the last ``MOST_WEEKS`` of them."""
    days = [_day(seen.when) for member in members for seen in (*member.seen[:1], *member.seen[-1:])]
    if not days:
        return ()
    last = _monday(max(days))
    first = max(_monday(min(days)), last - timedelta(weeks=MOST_WEEKS - 1))
    mondays = [first + timedelta(weeks=n) for n in range((last - first).days // 7 + 1)]
    each = [tuple(_weeks(member, mondays)) for member in members]
    return tuple(map(_together, zip(*each, strict=True)))


def _together(weeks: Sequence[Week]) -> Week:
    """One week of several learners."""
    return Week(
        weeks[0].monday, sum(w.answers for w in weeks), sum(w.met for w in weeks),
        sum(w.steady for w in weeks), sum(w.held for w in weeks),
    )


def _weeks(member: ClassMember, mondays: Sequence[date]) -> Iterator[Week]:
    standing, at = NOBODY, 0
    for monday in mondays:
        end = start_of(monday + timedelta(weeks=1))
        answers = 0
        while at < len(member.seen) and member.seen[at].when < end:
            answers += member.seen[at].when >= start_of(monday)
            standing = with_seen(standing, member.seen[at])
            at += 1
        steady = sum(standing.is_steady(code) for code in standing.skills)
        held = sum(idea.state == "held" for idea in standing.ideas.values())
        yield Week(monday, answers, len(standing.skills), steady, held)


def _day(when: float) -> date:
    return datetime.fromtimestamp(when, UTC).date()


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())
