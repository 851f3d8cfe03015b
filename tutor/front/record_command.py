"""The record on paper: where its learners stand, all of it for other programs, and its changes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from time import time
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from grammar.records import Refusal
from tutor.desk.report import Columns, ReportPart
from tutor.front.chat.account import account_of, short_account_of
from tutor.front.chat.stages import Person
from tutor.front.plain import Page
from tutor.front.record_place import open_for, record_path
from tutor.front.reports import report_lines
from tutor.learner.exporting import as_csv, as_json_lines
from tutor.learner.exporting_xapi import as_xapi
from tutor.learner.merging import Merged, merge
from tutor.learner.record import Record
from tutor.learner.rows import Learner
from tutor.learner.standing_words import Word, skills_in_words
from tutor.teaching.speech import counted, listed

if TYPE_CHECKING:
    from tutor.front.options import Options

FORMS: Mapping[str, Callable[[Record, Learner | None], Iterator[str]]] = MappingProxyType({
    "jsonl": as_json_lines, "csv": as_csv, "xapi": as_xapi,
})
_WORDS: Final[tuple[Word, ...]] = (
    "steady", "getting there", "shaky", "to look at again", "still open"
)


def record_lines(options: Options, page: Page) -> Iterator[str]:
    """What the record command prints, each with its end of line.

    Errors: ``Refusal`` for a record or a learner that there is not.
    """
    path = record_path(options)
    if options.what != "merge" and not path.exists():
        raise Refusal(f"There is no record in {path} yet.", "It begins with the first chat.")
    with open_for(options, options.what != "delete") as record:
        learner = _named(record, options.learner)
        if options.what == "export":
            yield from FORMS[options.form](record, learner)
        elif options.what == "delete":
            for line in _deleted(record, learner, options.sure):
                yield from (f"{row}\n" for row in page.wrapped(line))
        elif learner is None and not options.full:
            yield from (f"{row}\n" for row in report_lines(_listed(record), page))
        else:
            for line in _shown(record, learner, options.full):
                yield from (f"{row}\n" for row in (page.wrapped(line) if line else [""]))


def _named(record: Record, name: str | None) -> Learner | None:
    if name is None:
        return None
    found = record.find(name)
    if found is None:
        there = ", ".join(each.name for each in record.learners()) or "nobody yet"
        raise Refusal(f"There is no {name} in the record.", f"In it: {there}.")
    return found


def _listed(record: Record) -> Iterator[ReportPart]:
    """Everyone in a line: what was done, and how many skills stand how."""
    yield f"The record: {record.path}"
    rows = []
    for each in record.learners():
        person = _person(record, each)
        skills = Counter(s.word for s in skills_in_words(person.standing, person.now, person.exam))
        held = sum(idea.state == "held" for idea in person.standing.ideas.values())
        numbers = (len(record.sittings(each)), *(skills[word] for word in _WORDS), held)
        rows.append((each.name, *(str(number or "") for number in numbers)))
    if rows:
        words = ("Steady", "Getting there", "Shaky", "Again", "Open")
        heads = ("Learner", "Sittings", *words, "Wrong ideas")
        shown = "How many skills stand how, and wrong ideas that come back"
        yield Columns(shown, heads, tuple(rows))
    yield "'--learner NAME' shows more of one, '--full' all of it; see also 'platewalk class'."


def _person(record: Record, learner: Learner) -> Person:
    return Person(learner.name, record.standing(learner), time(), learner.exam)


def _shown(record: Record, learner: Learner | None, is_full: bool) -> Iterator[str]:
    yield f"The record: {record.path}"
    for each in record.learners() if learner is None else (learner,):
        sittings = len(record.sittings(each))
        yield ""
        yield f"{each.name}: {sittings} {'sitting' if sittings == 1 else 'sittings'}"
        person = _person(record, each)
        yield from account_of(person) if is_full else short_account_of(person)


def merged(options: Options, page: Page) -> tuple[int, list[str]]:
    """Take other records into this one: the exit code, 1 where one could not be read, and what is
    to be printed. Errors: ``Refusal`` where this one cannot be written.
    """
    with open_for(options) as record:
        found = list(merge(record, [Path(name) for name in options.files], time()))
        lines = [line for each in found for line in page.wrapped(_told(each))]
        from_several = Counter(name for each in found for name in each.learners)
        both = [name for name, number in from_several.items() if number > 1]
        if both:
            lines += page.wrapped(f"In more than one file, and now together: {listed(both)}.")
        everyone = counted(len(record.learners()), "learner")
        lines += page.wrapped(f"{everyone.capitalize()} in {record.path}.")
    return int(any(each.why for each in found)), lines


def _told(each: Merged) -> str:
    if each.why is not None:
        return f"{each.path}: not taken in. {each.why}"
    who = listed(each.learners) if each.learners else "nobody"
    return f"{each.path}: {who}, {counted(each.turns, 'new line')}"


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
