"""The program in a terminal that a test holds the other end of."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import subprocess
import sys
import termios
from collections.abc import Sequence
from pathlib import Path
from tempfile import mkdtemp

ROOT = Path(__file__).parents[2]
NOWHERE = str(ROOT / "tests" / "no-such-folder")
COMMAND = (sys.executable, "-m", "tutor.front.commands")
LONGEST_WAIT = 20


class Held:
    """A program in a terminal; it is killed in the end. ``seen`` is all that it has printed."""

    def __init__(
        self, command: Sequence[str], columns: int = 80, own_session: bool = False, **env: str
    ) -> None:
        self.seen = b""
        self._since = 0
        self._ours, theirs = pty.openpty()
        termios.tcsetwinsize(theirs, (24, columns))
        self.program = subprocess.Popen(
            command, stdin=theirs, stdout=theirs, stderr=theirs, cwd=ROOT,
            start_new_session=own_session,
            preexec_fn=_own_terminal if own_session else None,  # noqa: PLW1509 - no threads here
            env={
                **os.environ, "TERM": "xterm", "XDG_CONFIG_HOME": NOWHERE,
                "XDG_DATA_HOME": mkdtemp(), **env,
            },
        )  # fmt: skip
        os.close(theirs)

    def __enter__(self) -> Held:
        return self

    def __exit__(self, *fault: object) -> None:
        self.program.kill()
        self.program.wait(30)
        self.hang_up()

    def wait_for(self, cue: str) -> bool:
        """Read until the cue has come up since what was typed last; whether it has."""
        while cue.encode() not in self.seen[self._since :]:
            if not self._read():
                return False
        return True

    def type(self, text: str) -> None:
        self._since = len(self.seen)
        os.write(self._ours, text.encode())

    def to_the_end(self) -> str:
        """All that was printed until the program was over."""
        while self._read():
            pass
        return self.seen.decode("utf-8", "replace")

    def hang_up(self) -> None:
        """Take the terminal away."""
        if self._ours >= 0:
            os.close(self._ours)
            self._ours = -1

    def _read(self) -> bool:
        if not select.select([self._ours], [], [], LONGEST_WAIT)[0]:
            return False
        try:
            piece = os.read(self._ours, 65536)
        except OSError:  # what Linux says when the other side has closed
            return False
        self.seen += piece
        if b"\x1b[6n" in piece:  # a program asks where the cursor is
            os.write(self._ours, b"\x1b[1;1R")
        return bool(piece)


def _own_terminal() -> None:
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


def in_pseudo_terminal(talk: Sequence[tuple[str, str]], *arguments: str, **env: str) -> str:
    """Type each piece once its cue has come up after the piece before; what was on the screen."""
    with Held([*COMMAND, *arguments], **env) as held:
        for cue, text in talk:
            if held.wait_for(cue):
                held.type(text)
        return held.to_the_end()
