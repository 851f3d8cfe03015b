"""A window of a session: lines wrapped and drawn, and cleared before what a class is to read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple, TextIO

from tutor.desk.report import ReportPart
from tutor.front.plain import Page
from tutor.front.reports import report_lines
from tutor.front.saying import READABLE, Voice, said_lines
from tutor.teaching.messages import Message

CLEAR = "\x1b[2J\x1b[H"
BOLD, USUAL = "\x1b[1m", "\x1b[0m"


class SessionWindow(NamedTuple):
    """Where a session is shown. ``moves`` if the terminal can clear and embolden."""

    out: TextIO
    page: Page
    moves: bool = False

    def before_class(self, parts: Iterable[Message | ReportPart]) -> None:
        """What a class reads, alone in its window."""
        if self.moves:
            self.out.write(CLEAR)
        self._print(self._lines(parts, apart=True))

    def put(self, parts: Iterable[Message | ReportPart]) -> None:
        """More lines."""
        self._print(self._lines(parts, apart=False))

    def _print(self, found: Iterable[str]) -> None:
        lines = list(found)
        begins = next((at for at, line in enumerate(lines) if line), len(lines))
        for line in ("", *lines[begins:]):
            print(line, file=self.out)
        self.out.flush()

    def _lines(self, parts: Iterable[Message | ReportPart], apart: bool) -> Iterator[str]:
        text = self.page._replace(width=min(self.page.width, READABLE))
        before = ""
        for part in parts:
            if not isinstance(part, Message):
                yield from report_lines([part], self.page)
                before = "table"
            else:
                if before and (apart or before != part.kind):
                    yield ""
                before = part.kind
                for line in said_lines([part], Voice(self.page, text)):
                    loud = self.moves and line.role == "ask" and line.text
                    yield f"{BOLD}{line.text}{USUAL}" if loud else line.text
