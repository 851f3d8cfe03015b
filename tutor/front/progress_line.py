"""How far a long piece of work has come, on standard error."""

from __future__ import annotations

import sys
from typing import Final

WIDTH: Final = 30
STEPS: Final = 4  # lines in all where nothing may be redrawn


class ProgressLine:
    """A line that is redrawn as the work goes on. Where nothing can be redrawn, or ``plain`` is
    wished for, a line for every quarter of the work, and none for work that is soon done.
    """

    def __init__(self, what: str, of: int, plain: bool = False) -> None:
        self.what = what
        self.of = of
        self.done = 0
        self.redraws = sys.stderr.isatty() and not plain

    def step(self) -> None:
        """One more piece is done."""
        self.done += 1
        if self.redraws:
            filled = WIDTH * self.done // max(self.of, 1)
            bar = "#" * filled + "." * (WIDTH - filled)
            end = "\n" if self.done >= self.of else ""
            self._write(f"\r{self.what} [{bar}] {self.done} of {self.of}{end}")
        elif self.of > STEPS and self.done * STEPS % self.of < STEPS:
            self._write(f"{self.what}: {self.done} of {self.of}\n")

    def end(self) -> None:
        """It is over, perhaps sooner than thought: what follows begins on a line of its own."""
        if self.redraws and 0 < self.done < self.of:
            self._write("\n")

    def _write(self, text: str) -> None:
        try:
            sys.stderr.write(text)
            sys.stderr.flush()
        except OSError:
            self.redraws = False  # nobody is there to read it, and the work goes on
