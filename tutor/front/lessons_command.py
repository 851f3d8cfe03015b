"""``platewalk lessons``: what lessons there are, and a teacher's own lessons looked through."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from grammar.records import Refusal
from grammar.refusals import show
from grammar.shown import json_line
from tutor.front.machine import Fields, refusal_json
from tutor.front.plain import Page
from tutor.practice.lesson_checks import Report, check_lesson, faults_beside
from tutor.practice.lesson_tasks import KIND_WORDS, TASK_FIELDS
from tutor.practice.lesson_trials import Trial
from tutor.practice.lessons import Lesson, by_unit
from tutor.practice.library import Found, convert, is_lesson, lesson_in, lessons_in
from tutor.teaching.rules.catalogue import MAIN_SKILL
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.skills import BY_CODE, SKILLS, UNITS
from tutor.teaching.speech import counted, listed

INDENT = "  "
HEAD_FIELDS: Mapping[str, str] = MappingProxyType({
    "title": "what the lesson is called",
    "unit": "the number of a unit, or a name of your own",
    "skills": "a list of names of skills, first the one that it is for",
})
WANTING, UNUSABLE = 1, 2


class Checked(NamedTuple):
    """One file looked through; ``report`` is None where it could not be read. ``converted``: it had
    the head of older lessons, and has a new one now.
    """

    path: str
    file: Found
    report: Report | None
    converted: bool = False

    @property
    def faults(self) -> tuple[Refusal, ...]:
        """All that must go before the lesson can be used."""
        return self.file.faults + (self.report.faults if self.report else ())

    @property
    def warnings(self) -> tuple[Refusal, ...]:
        """All that may be looked at again."""
        return self.report.warnings if self.report else ()


def list_lines(lessons: Sequence[Lesson], page: Page) -> Iterator[str]:
    """Lessons by unit: a line each, its number before its title."""
    first = True
    for unit, within in by_unit(lessons):
        yield from () if first else ("",)
        first = False
        yield from page.wrapped(unit)
        for lesson in within:
            yield from page.wrapped(f"{lesson.number:>2}  {lesson.title}", INDENT)


def check_command(path: str, page: Page, as_json: bool) -> tuple[int, list[str]]:
    """Look through a lesson, or through every lesson of a folder.

    The code is 0, or 1 where a fault was found, or 2 where there is no such file or folder, and
    no lesson in it; the lines then say so. As JSON it is one object a line, a line for each file.
    """
    try:
        conversions = {file.name: _conversion(file) for file in _lesson_files(Path(path))}
        checked = [
            _checked(where, file, conversions.get(Path(where).name, False))
            for where, file in _files(Path(path))
        ]
    except Refusal as refusal:
        if as_json:
            return UNUSABLE, [_object(refusal_json(refusal), page)]
        return UNUSABLE, [page.plain(line) for line in show(refusal, page.columns).split("\n")]
    code = WANTING if any(each.faults for each in checked) else 0
    if as_json:
        return code, [_object(_fields(each), page) for each in checked]
    return code, [*_lines(checked, page)]


def writing_lines(page: Page) -> Iterator[str]:
    """What a lesson may name: the skills by unit, each with the wrong ideas that spoil it, and the
    fields of its head and of its tasks.
    """
    for unit, title in UNITS.items():
        yield from page.wrapped(f"Unit {unit}: {title}")
        for skill in (each for each in SKILLS if each.unit == unit):
            yield from page.wrapped(f"{skill.name}: you can {skill.says}", INDENT)
            for idea, spoilt in MAIN_SKILL.items():
                if spoilt == skill.code:
                    yield from page.wrapped(f"- {idea_in_words(idea)}", INDENT * 2)
        yield ""
    yield from page.wrapped("Fields of the head, in a block ```lesson:")
    for field, says in HEAD_FIELDS.items():
        yield from page.wrapped(f"{field}: {says}", INDENT)
    yield ""
    yield from page.wrapped("Fields of a task, in a block ```task; one of these says what it is:")
    for kind, fields in TASK_FIELDS.items():
        more = f"; beside it {listed(fields)}" if fields else ""
        yield from page.wrapped(f"{kind}: {KIND_WORDS[kind]}{more}", INDENT)
    yield from page.wrapped(
        "A text has either right and wrong, or a value with its unit, such as value = \"25.2 uC\"."
    )


def _files(path: Path) -> Iterator[tuple[str, Found]]:
    if path.is_dir():
        for file in lessons_in(path):
            yield str(path / file.name), file
    else:
        yield str(path), lesson_in(path)


def _lesson_files(path: Path) -> list[Path]:
    """The files that may have an older head: those of a folder, or the one."""
    files = [f for f in path.iterdir() if is_lesson(f.name)] if path.is_dir() else [path]
    return [file for file in files if file.is_file()]


def _conversion(file: Path) -> bool | Refusal:
    """Whether the head of a file was converted; what kept it from being so, where it had to be."""
    try:
        return convert(file)
    except Refusal as refusal:
        return refusal


def _checked(path: str, file: Found, conversion: bool | Refusal) -> Checked:
    if isinstance(conversion, Refusal):
        return Checked(path, file._replace(faults=file.faults or (conversion,)), None)
    report = check_lesson(file.lesson, file.text) if file.lesson is not None else None
    if file.in_part is not None:
        file = file._replace(faults=faults_beside(file.in_part, file.text, file.faults))
    return Checked(path, file, report, conversion)


# For readers


def _lines(checked: Sequence[Checked], page: Page) -> Iterator[str]:
    for each in checked:
        title = f": {each.file.lesson.title}" if each.file.lesson else ""
        yield from page.wrapped(f"{each.path}{title}")
        if each.converted:
            told = "its head stood between lines +++, and is a block ```lesson now."
            yield from page.wrapped(f"{each.path}: {told}")
        for fault in each.faults:
            yield from _complaint(each.path, fault, "", page)
        for warning in each.warnings:
            yield from _complaint(each.path, warning, "warning: ", page)
        if each.report is not None:
            for trial in each.report.trials:
                yield from page.wrapped(_of_trial(trial), INDENT)
        yield ""
    faults = sum(len(each.faults) for each in checked)
    warnings = sum(len(each.warnings) for each in checked)
    yield from page.wrapped(
        f"{counted(len(checked), 'lesson').capitalize()}: {counted(faults, 'fault')}, "
        f"{counted(warnings, 'warning')}."
    )


def _complaint(path: str, said: Refusal, lead: str, page: Page) -> Iterator[str]:
    """``FILE:LINE: what. cure``; for a fault the line with a caret stands between the two."""
    if said.place is None or lead:
        where = f"{path}:{said.place.line}" if said.place else path
        yield from page.wrapped(f"{where}: {lead}{said.found} {said.cure}")
        return
    yield from page.wrapped(f"{path}:{said.place.line}: {said.found}")
    _, *shown = show(Refusal("", said.cure, said.place), page.columns).split("\n")
    yield from (page.plain(line) for line in shown)


def _of_trial(trial: Trial) -> str:
    """What one task practises and what it tells apart."""
    exercise = trial.exercise
    lead = f"Line {exercise.place.line}, {exercise.kind}"
    if exercise.kind == "say":
        return f"{lead}: answered freely"
    skills = listed(_names(trial.skills))
    if exercise.choice is not None and not exercise.choice.wrong:
        return f"{lead}: a value, on {skills}"
    if exercise.choice is not None:
        return f"{lead}: {counted(1 + len(exercise.choice.wrong), 'choice')}, on {skills}"
    if not trial.questions:
        return f"{lead}: all shown worked"
    apart = f", {counted(len(trial.tells), 'wrong idea')} told apart" if trial.tells else ""
    return f"{lead}: {counted(trial.questions, 'question')}{apart}, on {skills}"


# For programs


def _object(fields: Fields, page: Page) -> str:
    return json_line(fields, page.ascii)


def _fields(checked: Checked) -> Fields:
    lesson, report = checked.file.lesson, checked.report
    return {
        "file": checked.path,
        "converted": checked.converted,
        **({} if lesson is None else _of_lesson(lesson)),
        "faults": [_of_refusal(each) for each in checked.faults],
        "warnings": [_of_refusal(each) for each in checked.warnings],
        "tasks": [_of_task(trial) for trial in report.trials] if report else [],
    }


def _of_lesson(lesson: Lesson) -> Fields:
    return {
        "number": lesson.number,
        "name": lesson.name,
        "title": lesson.title,
        "unit": lesson.unit,
        "skills": _names(lesson.skills),
    }


def _of_refusal(said: Refusal) -> Fields:
    return {
        "line": said.place.line if said.place else None,
        "column": said.place.column if said.place else None,
        "found": said.found,
        "cure": said.cure,
    }


def _of_task(trial: Trial) -> Fields:
    apart = trial.separations
    return {
        "line": trial.exercise.place.line,
        "kind": trial.exercise.kind,
        "text": trial.exercise.text,
        "network": trial.network or None,
        "questions": trial.questions,
        "skills": _names(trial.skills),
        "tells": list(trial.tells),
        "hidden": {at: list(each.hidden) for at, each in apart.items() if each.hidden},
        "alike": {at: list(each.colliding) for at, each in apart.items() if each.colliding},
    }


def _names(codes: Sequence[str]) -> list[str]:
    return [BY_CODE[code].name for code in codes]
