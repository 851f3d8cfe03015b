"""The file of a session: one event a line, on the disk before anything is said of it.

Only whole lines count. What a machine that stopped left of a line is put aside when the file is
opened to be written again.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Final

from grammar.records import Refusal
from tutor.desk.leading.session import Happening
from tutor.learner.files import bytes_of, said

LARGEST: Final = 200_000_000
KNOWN_AS: Final = "platewalk session"


class EventFile:
    """A session's file, open to be added to by one program at a time."""

    def __init__(self, path: Path) -> None:
        """Open or begin the file. Errors: ``Refusal`` where it cannot be used."""
        self.path = path
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            self._file = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o600)
        except (OSError, ValueError) as fault:
            found = f"{path} cannot be written: {said(fault)}."
            raise Refusal(found, "Name another file.") from None
        try:
            self._lock()
            self.events: tuple[Happening, ...] = self._without_a_torn_end()
        except BaseException:
            os.close(self._file)
            raise

    def __enter__(self) -> EventFile:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def add(self, events: Iterable[Happening]) -> None:
        """Add events; they are on the disk when this is done. Errors: ``Refusal``."""
        data = "".join(f"{json.dumps(event, ensure_ascii=True)}\n" for event in events).encode()
        before = os.fstat(self._file).st_size
        try:
            while data:
                data = data[os.write(self._file, data):]
            os.fsync(self._file)
        except OSError as fault:
            with suppress(OSError):
                os.ftruncate(self._file, before)  # no half line before what comes next
            raise Refusal(
                f"{self.path} cannot be written: {said(fault)}.", "Make room on the disk."
            ) from None

    def close(self) -> None:
        """Let the file go; once is enough."""
        if self._file >= 0:
            os.close(self._file)
        self._file = -1

    def _lock(self) -> None:
        try:
            import fcntl
        except ImportError:  # a system without such locks
            return
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise Refusal(
                f"The session in {self.path} is being led in another window.",
                "Go on with it there, or end it there first.",
            ) from None

    def _without_a_torn_end(self) -> tuple[Happening, ...]:
        data = bytes_of(self.path, LARGEST)
        whole = data[: data.rfind(b"\n") + 1]
        events = events_in(whole, self.path)
        if len(whole) < len(data):
            os.ftruncate(self._file, len(whole))
        return events


def events_in(data: bytes, path: Path) -> tuple[Happening, ...]:
    """The events of whole lines. Errors: ``Refusal`` for what is no file of a session."""
    lines = data[: data.rfind(b"\n") + 1].splitlines()
    try:
        found = tuple(json.loads(line) for line in lines)
    except ValueError:
        found = (None,)
    if not all(isinstance(each, dict) and isinstance(each.get("event"), str) for each in found) or (
        found and found[0].get("kept by") != KNOWN_AS
    ):
        raise Refusal(f"{path} holds no session.", "Name the file of one with --session FILE.")
    return found


def read_events(path: Path) -> tuple[Happening, ...]:
    """The events of a file that may still be written. Errors: ``Refusal``."""
    try:
        return events_in(bytes_of(path, LARGEST), path)
    except FileNotFoundError:
        raise Refusal(f"There is no session in {path}.", "Name another file.") from None


def write_anew(path: Path, events: Sequence[Happening]) -> None:
    """Put other events in the place of all, at once or not at all. Errors: ``Refusal``."""
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    with EventFile(beside) as file:
        file.add(events)
    try:
        beside.replace(path)
    except OSError as fault:
        raise Refusal(f"{path} cannot be written: {said(fault)}.", "Name another file.") from None
