"""Which record a chat is kept in, and whose it is."""

from __future__ import annotations

import sys
from pathlib import Path
from time import time
from typing import TYPE_CHECKING, TypeAlias

from grammar.refusals import Refusal
from tutor.front.user_place import user_folder

if TYPE_CHECKING:
    from tutor.front.keeping import Keeper, Unkept
    from tutor.front.options import Options
    from tutor.learner.record import Record
    from tutor.learner.rows import Learner

    Host: TypeAlias = Keeper | Unkept

FILE_NAME = "record.sqlite"
GOES_ON = "This chat goes on without keeping anything."


def record_path(options: Options | None = None) -> Path:
    """The file named, or the one in the folder that the system keeps for such."""
    if options is not None and options.record is not None:
        return Path(options.record)
    return user_folder("data") / FILE_NAME


def sessions_folder() -> Path:
    """Where guided sessions are kept unless a file is named."""
    return user_folder("data") / "sessions"


def is_kept(options: Options | None) -> bool:
    """Whether a chat with these options is kept: where someone types, or a record is named."""
    if options is not None and options.unrecorded:
        return False
    named = options is not None and (options.record is not None or options.learner is not None)
    return named or (sys.stdin.isatty() and not (options is not None and options.jsonl))


def open_for(options: Options | None, to_read: bool = False) -> Record:
    """The record, opened; its notice is printed. Errors: ``Refusal`` where it cannot be used."""
    from tutor.learner.record import open_record, open_to_read

    path = record_path(options)
    if options is None or options.record is None:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            why = (fault.strerror or str(fault)).lower()
            raise Refusal(
                f"The folder {path.parent} cannot be made: {why}.",
                "Name a file with --record FILE, or keep nothing with --unrecorded.",
            ) from None
    record = (open_to_read if to_read else open_record)(path, time())
    if record.notice:
        from grammar.shown import visible

        print(visible(record.notice), file=sys.stderr)
    return record


def host_for(options: Options | None) -> Host:
    """Who holds the chat: with a record where it is kept.

    Where nothing was named and the usual record cannot be used, the chat goes on without one and
    says so. Errors: ``Refusal`` for a record that was named.
    """
    from tutor.front.keeping import Keeper, Unkept

    if not is_kept(options):
        return Unkept()
    from tutor.learner.record_file import closed_if_failing

    try:
        with closed_if_failing(open_for(options)) as record:
            return Keeper(record, _who(record, options), time)
    except Refusal as refusal:
        if options is not None and (options.record or options.learner):
            raise
        from tutor.front.surroundings import complain

        complain(refusal)
        print(GOES_ON, file=sys.stderr)
        return Unkept()


def _who(record: Record, options: Options | None) -> Learner:
    from tutor.learner.rows import SOMEONE

    if options is not None and options.learner is not None:
        return record.learner(options.learner, time())
    last = record.last_learner()
    return last if last is not None else record.learner(SOMEONE, time())
