"""A marked script for paper and terminal, and as objects for machines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from grammar.any_text import sure_reading
from grammar.records import Refusal
from grammar.refusals import show
from grammar.shown import json_line
from tutor.front.machine import refusal_json
from tutor.front.plain import Page
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import read_scheme
from tutor.teaching.marking.marked import Marked, MarkedLine, summary, told_left_out

LONGEST_SCRIPT = 40_000


class MarkOptions(NamedTuple):
    """How a script is to be marked and printed; ``scheme`` are settings in words, ``pupil`` whose
    it is, where that is known.
    """

    json: bool = False
    scheme: str = ""
    with_scheme: bool = True
    page: Page = Page()
    pupil: str = ""


def mark_command(text: str, working: str, options: MarkOptions) -> tuple[int, Iterator[str]]:
    """Mark the working of one problem: the exit code, and the lines to print.

    A script with errors in it gives 0, since marking it is no failure; 2 is for a problem, a
    script or settings that cannot be used, and the one message then says why.
    """
    try:
        if len(working) > LONGEST_SCRIPT:
            found = f"This script has more than {LONGEST_SCRIPT} characters."
            raise Refusal(found, "Mark it in smaller pieces.")
        marked = mark_working(sure_reading(text).description, working, read_scheme(options.scheme))
    except Refusal as refusal:
        if options.json:
            return 2, iter([json_line(refusal_json(refusal))])
        return 2, iter(show(refusal, options.page.columns).split("\n"))
    if options.json:
        named = {"pupil": options.pupil} if options.pupil else {}
        return 0, (json_line({**named, **each}) for each in marks_json(marked))
    return 0, marks_lines(marked, options.page, options.with_scheme)


def scheme_command(text: str, options: MarkOptions) -> tuple[int, Iterator[str]]:
    """The mark scheme of a problem by itself: the exit code, and the lines to print."""
    try:
        marked = mark_working(sure_reading(text).description, "", read_scheme(options.scheme))
    except Refusal as refusal:
        if options.json:
            return 2, iter([json_line(refusal_json(refusal))])
        return 2, iter(show(refusal, options.page.columns).split("\n"))
    if options.json:
        offered = {"scheme": list(marked.scheme), "rules": list(marked.rules), "of": marked.of}
        return 0, iter([json_line(offered)])
    return 0, scheme_printed(marked, options.page)


def pupil_of(learner: str | None, file: str) -> str:
    """Whose script a file is: the learner named, or else the file's own name; '' for a pipe."""
    from pathlib import Path

    return learner or ("" if file == "-" else Path(file).stem)


def marks_json(marked: Marked) -> Iterator[dict[str, Any]]:
    """One object for each line of working, the total last.

    ``marks`` holds what was earned on that line, by kind, and ``of`` what could be; ``implied``
    are marks of earlier values that were not written down.
    """
    for line in marked.lines:
        yield {
            "line": line.line,
            "text": line.text,
            "marks": line.marks._asdict(),
            "verdict": line.verdict,
            "fault": line.fault,
            "malrules": list(line.malrules),
            "remark": line.remark,
        }
    yield {"total": marked.total, "of": marked.of}


def marks_lines(marked: Marked, page: Page, with_scheme: bool = True) -> Iterator[str]:
    """The script with marks and remarks, the total, and the scheme it was marked by."""
    for line in marked.lines:
        if line.text.strip():
            yield from _line(line, page)
    yield ""
    yield from page.wrapped(summary(marked))
    if marked.left_out:
        yield from page.wrapped(told_left_out(marked))
    if with_scheme:
        yield ""
        yield from scheme_printed(marked, page)


def _line(line: MarkedLine, page: Page) -> Iterator[str]:
    marks = f"{line.marks.total}/{line.marks.of}" if line.marks.of else ""
    written = page.wrapped(f"{line.line:>3}  {line.text.strip()}", "") or [f"{line.line:>3}"]
    *before, last = written
    yield from before
    if len(last) + len(marks) + 2 <= page.columns:
        yield f"{last.ljust(page.columns - len(marks))}{marks}".rstrip()
    else:
        yield last
        yield marks.rjust(page.columns)
    implied = line.marks.implied
    yield from page.wrapped(line.remark, "     ")
    if implied:
        be = "is" if implied == 1 else "are"
        said = f"{implied} of these marks {be} for what was not written."
        yield from page.wrapped(said, "     ")


def scheme_printed(marked: Marked, page: Page) -> Iterator[str]:
    """The marks that the problem offers, M for method, A for accuracy, B for a value passed on."""
    yield from page.wrapped(
        f"Mark scheme, out of {marked.of}: M for method, A for accuracy, B for a value that takes "
        "no working or for a reason. A value after a change has a prime."
    )
    for text in marked.scheme:
        yield from page.wrapped(text, "  ")
    yield from page.wrapped(" ".join(marked.rules))
