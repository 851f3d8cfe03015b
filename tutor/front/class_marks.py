"""``platewalk mark`` for many scripts: a folder of a class, or several files."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from time import time
from typing import TYPE_CHECKING

from grammar.records import Refusal
from grammar.refusals import show
from grammar.shown import json_line
from tutor.desk.marks_kept import keep_marks
from tutor.desk.marks_marking import Assignment, ClassMarks, MarkedScript, mark_scripts
from tutor.desk.marks_scripts import HandedIn, Unmarked, script_in, scripts_in
from tutor.desk.marks_told import class_page, marks_csv, marks_table, slips_of
from tutor.desk.report_page import page_of
from tutor.front.machine import refusal_json
from tutor.front.marks import marks_json, marks_lines, scheme_printed
from tutor.front.plain import Page
from tutor.front.progress_line import ProgressLine
from tutor.front.record_place import open_for
from tutor.front.reports import report_lines
from tutor.front.saving import folder_for, save_over
from tutor.practice.papers import paper_in
from tutor.teaching.marking.examining import read_scheme
from tutor.teaching.marking.marked import in_marks
from tutor.teaching.speech import counted, listed

if TYPE_CHECKING:
    from tutor.front.options import Options

WANTING = 1


def mark_many(options: Options, text: str, page: Page) -> tuple[int, Iterator[str]]:
    """Mark them all: the exit code, 1 where a file could not be marked, and the lines to print.

    Errors: ``Refusal`` for a problem, a paper, a scheme, a folder or a record that cannot be used.
    """
    assignment = _assignment(options, text)
    target = None if options.to is None else _target(options.to, options.class_folder)
    scripts = _scripts(options)
    progress = ProgressLine("Marking", len(scripts), options.plain)
    found = mark_scripts(scripts, assignment, progress.step)
    if options.record is not None:
        with open_for(options) as record:
            print(keep_marks(record, found, time()), file=sys.stderr)
    if target is not None:
        _write_all(found, target, page)
    code = WANTING if found.unmarked else 0
    if options.json:
        return code, (json_line(each, page.ascii) for each in _objects(found))
    return code, _printed(found, target, page)


def _assignment(options: Options, text: str) -> Assignment:
    scheme = read_scheme(options.scheme)
    if options.paper is None:
        return Assignment(text, scheme=scheme)
    order = paper_in(options.paper)
    return Assignment(paper=order, is_one="seed" in options.paper.lower(), scheme=scheme)


def _scripts(options: Options) -> tuple[HandedIn | Unmarked, ...]:
    if options.class_folder is not None:
        return tuple(scripts_in(Path(options.class_folder)))
    return tuple(script_in(Path(name)) for name in options.working)


def _target(to: str, class_folder: str | None) -> Path:
    """The folder to write to, made if there is none. Errors: ``Refusal``."""
    target = folder_for(to)
    if class_folder is not None and target.resolve() == Path(class_folder).resolve():
        found = "The marks would stand among the scripts, and be read as scripts the next time."
        raise Refusal(found, "Name another folder with --to.")
    return target


# For readers


def _printed(found: ClassMarks, target: Path | None, page: Page) -> Iterator[str]:
    if target is None:
        for each in found.marked:
            yield from script_lines(each, page)
            yield ""
        if found.assignment.paper is None and found.marked:
            yield from scheme_printed(found.marked[0].questions[0].marked, page)
    yield from report_lines([marks_table(found), *slips_of(found)], page)
    yield ""
    yield from _how_many(found, target, page)


def _how_many(found: ClassMarks, target: Path | None, page: Page) -> Iterator[str]:
    told = f"{counted(len(found.marked), 'script').capitalize()} marked."
    where = f" The marked scripts, marks.csv and marks.html are in {target}." if target else ""
    yield from page.wrapped(told + where)
    for pupil, files in _of_one_name(found):
        said = f"{counted(len(files), 'file').capitalize()} are by {pupil}: {listed(files)}."
        yield from page.wrapped(f"{said} Say whose they are where these are two learners.")
    for file, why in found.unmarked:
        yield from page.wrapped(f"Not marked: {file}.")
        yield from (f"  {page.plain(line)}" for line in show(why, page.columns - 2).split("\n"))


def _of_one_name(found: ClassMarks) -> Iterator[tuple[str, list[str]]]:
    """The names that several files have, with these."""
    files: dict[str, list[str]] = {}
    for each in found.marked:
        files.setdefault(each.script.pupil, []).append(each.script.file)
    return ((pupil, theirs) for pupil, theirs in files.items() if len(theirs) > 1)


def script_lines(each: MarkedScript, page: Page) -> Iterator[str]:
    """A marked script as text, under the name of its learner."""
    seed = f", seed {each.script.said_seed}" if each.script.said_seed else ""
    head = f"{each.script.pupil}: {each.total} of {in_marks(each.of)} ({each.script.file}{seed})"
    yield from page.wrapped(head)
    for number, question in enumerate(each.questions, start=1):
        if len(each.questions) > 1:
            yield ""
            yield from page.wrapped(f"Question {number}: {question.question.text}")
        yield from marks_lines(question.marked, page, with_scheme=False)
    for note in each.notes:
        yield from page.wrapped(note)


def _write_all(found: ClassMarks, target: Path, page: Page) -> None:
    """Each script as text, and the marks as a table and as one page. Errors: ``Refusal``."""
    names: set[str] = set()
    for each in found.marked:
        stem, number = Path(each.script.file).stem, 1
        name = f"{stem} marked.txt"
        while name in names:
            number += 1
            name = f"{stem} marked {number}.txt"
        names.add(name)
        save_over(target / name, "".join(f"{line}\n" for line in script_lines(each, page)))
    save_over(target / "marks.csv", "".join(marks_csv(found)))
    save_over(target / "marks.html", page_of("Marks of the class", class_page(found)))


# For programs


def _objects(found: ClassMarks) -> Iterator[dict[str, object]]:
    """The lines of each script with its pupil, file and question; what could not be marked last."""
    for each in found.marked:
        script = each.script
        of = {"pupil": script.pupil, "file": script.file, "seed": script.seed,
              "variant": script.variant or None}
        for number, question in enumerate(each.questions, start=1):
            for line in marks_json(question.marked):
                yield {**of, "question": number, **line}
    for file, why in found.unmarked:
        yield {"file": file, **refusal_json(why)}
