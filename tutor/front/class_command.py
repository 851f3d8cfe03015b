"""``platewalk class``: what a class holds, as text, as a table and as a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from time import time
from typing import TYPE_CHECKING

from grammar.records import Refusal
from tutor.desk.classes import ClassHeld, ClassMember, class_in
from tutor.desk.classes_told import class_report, grid_csv, learner_report
from tutor.desk.report import ReportPart
from tutor.desk.report_page import page_of
from tutor.front.plain import Page
from tutor.front.record_place import record_path
from tutor.front.reports import report_lines
from tutor.front.saving import folder_for, save_over
from tutor.learner.rows import folded

if TYPE_CHECKING:
    from tutor.front.options import Options

WANTING = 1


def class_lines(options: Options, page: Page) -> tuple[int, Iterable[str]]:
    """The exit code, 1 where a record could not be read, and what is to be printed, each line with
    its end. Errors: ``Refusal`` where no record can be read, or there is no such learner.
    """
    paths = [Path(name) for name in options.files] or [record_path(options)]
    now = time()
    held = class_in(paths, now)
    unread = [each.why for each in held.files if each.why is not None]
    if len(unread) == len(held.files):
        raise unread[0]
    code = WANTING if unread else 0
    one = None if options.learner is None else _learner(held, options.learner)
    members = held.members if one is None else (one,)
    if options.csv:
        return code, grid_csv(members, now)
    for_page = options.to is not None
    parts = class_report(held, now, options.since, for_page) if one is None else (
        learner_report(one, now)
    )
    if options.to is None:
        return code, _printed([*parts, *_not_read(held)], page)
    folder, name = folder_for(options.to), "class" if one is None else "learner"
    title = "What the class holds" if one is None else f"Where {one.name} stands"
    save_over(folder / f"{name}.html", page_of(title, parts))
    save_over(folder / f"{name}.csv", "".join(grid_csv(members, now)))
    told = f"{name}.html and {name}.csv are in {folder}."
    return code, _printed([told, *_not_read(held)], page)


def _learner(held: ClassHeld, name: str) -> ClassMember:
    found = next((each for each in held.members if folded(each.name) == folded(name)), None)
    if found is None:
        there = ", ".join(each.name for each in held.members) or "nobody yet"
        raise Refusal(f"There is no {name} in these records.", f"In them: {there}.")
    return found


def _not_read(held: ClassHeld) -> Iterator[str]:
    for each in held.files:
        if each.why is not None:
            yield f"{each.path} was not read. {each.why}"


def _printed(parts: Iterable[ReportPart], page: Page) -> Iterator[str]:
    return (f"{line}\n" for line in report_lines(parts, page))
