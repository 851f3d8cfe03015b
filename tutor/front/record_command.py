"""The record on paper: where its learners stand, all of it for other programs, and deleting."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from time import time
from types import MappingProxyType
from typing import TYPE_CHECKING

from grammar.records import Refusal
from tutor.front.chat.account import account_of
from tutor.front.chat.stages import Person
from tutor.front.plain import Page
from tutor.front.record_place import open_for, record_path
from tutor.learner.exporting import as_csv, as_json_lines
from tutor.learner.exporting_xapi import as_xapi
from tutor.learner.record import Record
from tutor.learner.rows import Learner
from tutor.learner.standing import standing_of

if TYPE_CHECKING:
    from tutor.front.options import Options

FORMS: Mapping[str, Callable[[Record, Learner | None], Iterator[str]]] = MappingProxyType({
    "jsonl": as_json_lines, "csv": as_csv, "xapi": as_xapi,
})


def record_lines(options: Options, page: Page) -> Iterator[str]:
    """What the record command prints, each with its end of line.

    Errors: ``Refusal`` for a record or a learner that there is not.
    """
    path = record_path(options)
    if not path.exists():
        raise Refusal(f"There is no record in {path} yet.", "It begins with the first chat.")
    with open_for(options, options.what != "delete") as record:
        learner = _named(record, options.learner)
        if options.what == "export":
            yield from FORMS[options.form](record, learner)
        elif options.what == "delete":
            for line in _deleted(record, learner, options.sure):
                yield from (f"{row}\n" for row in page.wrapped(line))
        else:
            for line in _shown(record, learner):
                yield from (f"{row}\n" for row in (page.wrapped(line) if line else [""]))


def _named(record: Record, name: str | None) -> Learner | None:
    if name is None:
        return None
    found = record.find(name)
    if found is None:
        there = ", ".join(each.name for each in record.learners()) or "nobody yet"
        raise Refusal(f"There is no {name} in the record.", f"In it: {there}.")
    return found


def _shown(record: Record, learner: Learner | None) -> Iterator[str]:
    yield f"The record: {record.path}"
    for each in record.learners() if learner is None else (learner,):
        sittings = len(record.sittings(each))
        yield ""
        yield f"{each.name}: {sittings} {'sitting' if sittings == 1 else 'sittings'}"
        person = Person(each.name, standing_of(record.seen(each)), time(), each.exam)
        yield from account_of(person)


def _deleted(record: Record, learner: Learner | None, is_sure: bool) -> Iterator[str]:
    if learner is None:
        raise Refusal(
            "Whose rows are to be deleted is not said.", "Name the learner with --learner NAME."
        )
    number = len(record.sittings(learner))
    if not is_sure:
        raise Refusal(
            f"This would delete {learner.name} with all of {number} "
            f"{'sitting' if number == 1 else 'sittings'}, and nothing brings them back.",
            "Add --sure to do it; 'record export' makes a copy first.",
        )
    left = record.delete(learner)
    yield f"{learner.name} is deleted, with every line that was kept."
    for path in left:
        yield f"A damaged file that was set aside may still hold some: {path}. Delete it by hand."
