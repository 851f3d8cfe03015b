"""How far a typed line travels: the files of the tree that take part in answering it."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from types import FrameType

from tests.house import ROOT
from tutor.front.keeping import Opening, Unkept
from tutor.front.pipe import Streams, talk
from tutor.front.plain import Page
from tutor.front.saying import Voice

PROGRAM = [str(ROOT / top) for top in ("grammar", "tutor")]
BAR = 50
"""Files, from the line typed to the lines printed. The aim is 30; it was 63 when this was first
counted. Whoever brings it down lowers the bar with it; nobody raises it."""


class Traced(io.StringIO):
    """Lines to be typed; notes every file of the program that runs after the last is read."""

    def __init__(self, lines: list[str]) -> None:
        super().__init__("".join(f"{line}\n" for line in lines))
        self.waiting = len(lines)
        self.files: set[str] = set()

    def readline(self, size: int | None = -1, /) -> str:
        self.waiting -= 1
        if self.waiting == 0:
            sys.setprofile(self.note)
        elif self.waiting < 0:
            sys.setprofile(None)
        return super().readline(-1 if size is None else size)

    def note(self, frame: FrameType, event: str, arg: object) -> None:
        del arg
        file = frame.f_code.co_filename
        if event == "call" and file.startswith(tuple(PROGRAM)):
            self.files.add(str(Path(file).relative_to(ROOT)))


def way_of(network: str, lines: list[str]) -> tuple[set[str], str]:
    """The files that the last line passes through, and all that was printed."""
    typed, out, host, page = Traced(lines), io.StringIO(), Unkept(), Page(70, False, False)
    before = sys.getprofile()
    try:
        talk(host.open(Opening(text=network)), Streams(typed, out, host=host), Voice(page, page))
    finally:
        sys.setprofile(before)
    return typed.files, out.getvalue()


def test_value_that_is_asked_for_passes_through_few_files() -> None:
    lines = ["C2 C3", "p.d., P and B", "C23 = 14 uF"]
    files, printed = way_of("6 uF -- (9 uF || 5 uF), across 15 V", lines)
    assert "C23 = 14 µF: right." in printed
    assert {"tutor/front/pipe.py", "grammar/answers.py"} <= files, "the trace sees the whole way"
    assert len(files) <= BAR, "\n".join(sorted(files))
