"""A lesson looked through: is every task solved, what does each practise and tell apart, and what
may a teacher want to look at again.

Faults are what cannot be used; warnings are what can be used but serves a learner badly.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from grammar.records import Place, Refusal
from tutor.practice.lesson_places import LessonText
from tutor.practice.lesson_prose import about_prose
from tutor.practice.lesson_reading import in_order
from tutor.practice.lesson_tasks import place_in
from tutor.practice.lesson_trials import Trial, tried
from tutor.practice.lesson_values import about_values
from tutor.practice.lessons import Exercise, Lesson, Prose
from tutor.teaching.skills import BY_CODE
from tutor.teaching.speech import counted, listed

FEWEST_TASKS, MOST_TASKS = 2, 5


class Report(NamedTuple):
    """What was found out about a lesson, each with its place, and what each of its tasks shows.

    ``trials`` leaves out the tasks that are at fault.
    """

    lesson: Lesson
    faults: tuple[Refusal, ...]
    warnings: tuple[Refusal, ...]
    trials: tuple[Trial, ...]

    @property
    def practised(self) -> frozenset[str]:
        """Codes of all skills that its tasks practise."""
        return frozenset(code for trial in self.trials for code in trial.skills)


def check_lesson(lesson: Lesson, text: str) -> Report:
    """Look through a lesson that has been read from this text."""
    faults: list[Refusal] = []
    warnings = [*_about_shape(lesson, LessonText(text).at_line(1))]
    trials: list[Trial] = []
    for part in lesson.parts:
        if isinstance(part, Prose):
            warnings += about_prose(part, text)
            continue
        trial = _trial(part, text, faults)
        if trial is not None:
            trials.append(trial)
            warnings += about_values(trial)
    report = Report(lesson, tuple(faults), (), tuple(trials))
    if not faults:
        warnings += _about_skills(report, _line_of(text, "skills"))
    ordered = sorted(warnings, key=lambda each: each.place.line if each.place else 0)
    return report._replace(warnings=tuple(ordered))


def faults_beside(lesson: Lesson, text: str, known: tuple[Refusal, ...]) -> tuple[Refusal, ...]:
    """What is wrong with the tasks of a lesson that was read in part from this text, beside the
    faults that kept it from being read whole, so that one look finds them all.
    """
    found = [*known]
    for task in lesson.exercises:
        if _can_be_tried(task, known):
            _trial(task, text, found)
    return in_order(found)


def _trial(task: Exercise, text: str, faults: list[Refusal]) -> Trial | None:
    """A task tried out; None, and a fault more, where it cannot be."""
    try:
        return tried(task)
    except Refusal as refusal:
        faults.append(place_in(text, task, refusal))
        return None


def _can_be_tried(task: Exercise, known: tuple[Refusal, ...]) -> bool:
    """A question of one's own is tried with its answers; what else a task names, by itself."""
    within = range(task.place.line, task.last + 1)
    is_whole = not any(fault.place and fault.place.line in within for fault in known)
    return is_whole or (task.kind != "text" and bool(task.text.strip()))


def _line_of(text: str, key: str) -> Place:
    source = LessonText(text)
    numbered = enumerate(source.lines, start=1)
    return source.at_line(next((n for n, line in numbered if line.lstrip().startswith(key)), 1))


def _about_shape(lesson: Lesson, top: Place) -> Iterator[Refusal]:
    """Whether the parts a lesson should have are there, in their order."""
    exercises = lesson.exercises
    worked = [each for each in exercises if each.kind in ("network", "order") and each.ask]
    if not lesson.parts or not isinstance(lesson.parts[0], Prose):
        yield Refusal(
            "The lesson does not say first what it is for.", "Begin with a sentence or two.", top
        )
    if not worked:
        yield Refusal(
            "No network is shown worked.",
            "Give one network a list ask that names some of its steps; the others are shown.",
            top,
        )
    if not exercises or exercises[-1].kind != "say":
        yield Refusal(
            "The lesson does not end with looking back.",
            'End with a task that has say = "In your own words: ...".',
            top,
        )
    number = len([each for each in exercises if each.kind != "say" and each not in worked[:1]])
    if not FEWEST_TASKS <= number <= MOST_TASKS:
        yield Refusal(
            f"Beside the worked network there {_are(number)} {counted(number, 'task')}.",
            f"Let there be {FEWEST_TASKS} to {MOST_TASKS}.",
            top,
        )


def _are(number: int) -> str:
    return "is" if number == 1 else "are"


def _about_skills(report: Report, place: Place) -> Iterator[Refusal]:
    lesson = report.lesson
    idle = [f"'{BY_CODE[code].name}'" for code in lesson.skills if code not in report.practised]
    if idle:
        yield Refusal(
            f"No task practises {listed(idle)}.",
            "Add a task that does, or take the name out of the list of skills.",
            place,
        )
    first = BY_CODE[lesson.skills[0]]
    if isinstance(lesson.unit, int) and first.unit != lesson.unit:
        yield Refusal(
            f"The lesson is for '{first.name}', which belongs to unit {first.unit}.",
            f"Put it into unit {first.unit}, or name first what it is for.",
            place,
        )
