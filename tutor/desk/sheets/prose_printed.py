"""What a lesson tells between its tasks, as blocks to print."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import groupby
from typing import Final

from tutor.desk.report import Heading
from tutor.desk.sheets.printed import Entries, SheetBlock
from tutor.practice.lessons import Exercise, Lesson, Prose

_ENTRY: Final = re.compile(r" *(?:-|(\d+)\.) +(.*)")


def prose_of(lesson: Lesson) -> tuple[tuple[SheetBlock, ...], ...]:
    """What is read before each task, and what after the last."""
    found: list[tuple[SheetBlock, ...]] = [()]
    for part in lesson.parts:
        if isinstance(part, Exercise):
            found.append(())
        else:
            found[-1] += tuple(_blocks(part))
    return tuple(found)


def _blocks(prose: Prose) -> Iterator[SheetBlock]:
    lines = zip(prose.lines, prose.levels, strict=True)
    for is_told, group in groupby(lines, key=lambda line: bool(line[0])):
        if is_told:
            yield from _block(list(group))


def _block(lines: list[tuple[str, int]]) -> Iterator[SheetBlock]:
    """Lines with no empty one between: a heading, a paragraph or a list."""
    (first, level), *_ = lines
    entry = _ENTRY.fullmatch(first)
    if level:
        yield Heading(first, level)
    elif entry is not None:
        yield Entries(tuple(_entries(lines)), numbered=entry[1] is not None)
    else:
        yield first


def _entries(lines: list[tuple[str, int]]) -> Iterator[str]:
    for line, _ in lines:
        entry = _ENTRY.fullmatch(line)
        yield entry[2] if entry else line.strip()
