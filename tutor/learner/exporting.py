"""The record written out for people and other programs: everything as JSON, and a table.

Each gives pieces of text in order, for the caller to write one after the other in UTF-8.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from io import StringIO
from typing import TYPE_CHECKING, Final

from grammar.shown import json_line, visible
from tutor.learner.networks_written import in_notation
from tutor.learner.record_file import told_kindly
from tutor.teaching.rules.catalogue import SKILL_OF
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.skills import BY_CODE

if TYPE_CHECKING:
    from tutor.learner.record import Record
    from tutor.learner.rows import KeptMessage, KeptTurn, Learner, Sitting
    from tutor.teaching.observation import Observation

# What a spreadsheet would take for a formula, where a cell begins: at its start, and after what
# some of them part cells at (OWASP, 'CSV Injection', from memory). Full-width signs count too.
FORMULA: Final = re.compile(r"(\A|[;,\t\r\n])([^\S\t\r\n]*(?=[=+\-@\t\r\uFF1D\uFF0B\uFF0D\uFF20]))")
HEADINGS = (
    "learner", "sitting", "turn", "time", "line", "problem", "message", "kind", "about", "verdict",
    "step", "text", "wrong rules", "question", "network", "answer", "outcome", "helped",
    "shows little", "skills", "skills blamed", "marks", "marks of",
)


def as_json_lines(record: Record, learner: Learner | None = None) -> Iterator[str]:
    """All that the record holds of a learner, or of everyone: one JSON object a line.

    Objects say by ``row`` what they are: ``learner``, ``sitting`` or ``turn``, in order of time.
    """
    for each in chosen(record, learner):
        exam = None if each.exam is None else each.exam.isoformat()
        yield _line(
            row="learner", name=each.name, made=utc(each.made), exam=exam,
            last_used=utc(each.last_used),
        )
        for sitting in record.sittings(each):
            with told_kindly(record.path):
                opening = json.loads(sitting.opening)
            yield _line(
                row="sitting", learner=each.name, id=sitting.id, began=utc(sitting.began),
                version=sitting.version, opening=opening,
                since=sitting.since, continues=sitting.continues,
            )
            for turn in record.kept(sitting.id):
                yield _line(row="turn", sitting=sitting.id, **_plain(turn))


def as_csv(record: Record, learner: Learner | None = None) -> Iterator[str]:
    """One row for each message of each turn, under headings, as RFC 4180 has it (CR LF).

    A cell that a spreadsheet could take for a formula gets an apostrophe, so the table is for
    looking at and not exact. Write it with ``newline=""``.
    """
    yield csv_row(HEADINGS)
    for each, sitting, turn in _turns(record, learner):
        start = (each.name, sitting.id, turn.number, utc(turn.at), turn.line, turn.problem)
        for said in turn.said or (None,):
            yield csv_row((*start, *_cells(said)))


def chosen(record: Record, learner: Learner | None) -> Sequence[Learner]:
    """The one learner, or all of them."""
    return record.learners() if learner is None else (learner,)


def utc(when: float) -> str:
    """A time in seconds since 1970 as ISO 8601 in UTC, to the millisecond."""
    text = datetime.fromtimestamp(when, UTC).isoformat(timespec="milliseconds")
    return text.replace("+00:00", "Z")


def harmless(cell: str) -> str:
    """The text with an apostrophe wherever a spreadsheet could take it for a formula, and a space
    for every sign that cannot be shown.
    """
    return FORMULA.sub(r"\1'\2", visible(cell, "\t\r\n"))


def _line(**values: object) -> str:
    return json_line(values) + "\n"


def _plain(turn: KeptTurn) -> dict[str, object]:
    """A turn as JSON has it; what was seen stands in the message that it came with."""
    said = [
        each._asdict() | {"seen": None if each.seen is None else _readable(each.seen)}
        for each in turn.said
    ]
    return turn._asdict() | {"at": utc(turn.at), "said": said}


def _readable(seen: Observation) -> dict[str, object]:
    return seen._asdict() | {"network": in_notation(seen.network)}


def _turns(
    record: Record, learner: Learner | None
) -> Iterator[tuple[Learner, Sitting, KeptTurn]]:
    for each in chosen(record, learner):
        for sitting in record.sittings(each):
            for turn in record.kept(sitting.id):
                yield each, sitting, turn


def _cells(said: KeptMessage | None) -> tuple[object, ...]:
    """The cells of one message; all empty for a turn in which nothing was said."""
    if said is None:
        return ("",) * (len(HEADINGS) - HEADINGS.index("message"))
    message = (
        said.number, said.kind, said.about, said.verdict, said.step, said.text,
        "; ".join(_in_words(name) for name in said.malrules),
    )
    marks = said.marks or ("", "")
    if said.seen is None:
        between = HEADINGS.index("marks") - HEADINGS.index("question")
        return (*message, *("",) * between, *marks)
    seen = said.seen
    return (
        *message, seen.key, in_notation(seen.network), seen.answer, seen.outcome,
        _yes(seen.helped), _yes(seen.weak), _named(seen.skills), _named(seen.blamed), *marks,
    )


def _in_words(name: str) -> str:
    """What a wrong rule is, for someone who looks at the table."""
    return idea_in_words(name) if name in SKILL_OF else name


def _named(codes: Sequence[str]) -> str:
    return "; ".join(BY_CODE[code].name if code in BY_CODE else code for code in codes)


def _yes(flag: bool) -> str:
    return "yes" if flag else "no"


def csv_row(cells: Sequence[object]) -> str:
    """One row of a table, ended by CR LF: every cell is quoted, so that no separator or quotation
    mark in it opens another, and none can be taken for a formula.
    """
    written = StringIO()
    writer = csv.writer(written, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow([harmless(cell) if isinstance(cell, str) else cell for cell in cells])
    return written.getvalue()
