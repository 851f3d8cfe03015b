"""The record's file: opened, made, brought up to date, or set aside where it is damaged.

The whole file is looked over (SQLite's ``quick_check``) only after trouble was met in it, in this
opening or in an earlier session: that reads every page, and the first prompt does not wait for it.
A file that is too short or has no proper beginning is found out without.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, closing, contextmanager, suppress
from datetime import UTC, datetime
from itertools import takewhile
from pathlib import Path
from time import sleep
from typing import Final, Literal, NamedTuple, NoReturn, Protocol, TypeAlias, TypeVar

from grammar.refusals import Refusal
from tutor.learner.files import said
from tutor.learner.migrations import APPLICATION, TABLES, Migration, form_of, migrate, newer

PATIENCE: Final = 10.0  # seconds that one window waits for another to finish writing
TRIES, PAUSE = 20, 0.05  # for the one change that SQLite does not wait for
ANOTHER = "or name another file for the record."

# The first 100 bytes of any SQLite file: https://www.sqlite.org/fileformat2.html (1.3)
MAGIC, HEAD = b"SQLite format 3\0", 100
FORM_AT: Final = slice(60, 64)
APPLICATION_AT: Final = slice(68, 72)
PIECE, MOST_PIECES = 1 << 20, 64  # bytes looked through at a time, and how often at most

# Result codes by their numbers: https://www.sqlite.org/rescode.html
BUSY, CORRUPT, NOTADB = 5, 11, 26
TOLD: Mapping[int, tuple[str, str]] = {
    BUSY: ("Another window is writing to the record in {path}.", "Wait a little, then try again."),
    6: ("Another window is writing to the record in {path}.", "Wait a little, then try again."),
    3: ("The record in {path} cannot be written.", "Allow writing there, " + ANOTHER),
    8: ("The record in {path} cannot be written.", "Allow writing there, " + ANOTHER),
    14: ("The record in {path} cannot be opened.", "Allow reading and writing there, " + ANOTHER),
    10: ("The disk did not take or give the record in {path}.", "See that the disk is there."),
    13: ("There is no room left on the disk for the record in {path}.", "Make some room there."),
}

class _CanBeClosed(Protocol):
    def close(self) -> None:
        """Let it go."""


Closed = TypeVar("Closed", bound=_CanBeClosed)
FileStanding: TypeAlias = Literal["new", "ours", "damaged"]


class Opened(NamedTuple):
    """An open file, and what the user is to be told of it, if anything."""

    connection: sqlite3.Connection
    notice: str


class _DamagedError(Exception):
    """The file is no database, or not a sound one."""


def open_file(path: Path, now: float, migrations: tuple[Migration, ...]) -> Opened:
    """Open the file, or make it, in its newest form.

    What is no sound database is set aside under a new name, and a fresh file is begun. Errors:
    ``Refusal`` for a file of another program or of a newer version of this one, which stay as
    they are, and for a place that cannot be read or written.
    """
    _make_folder(path.parent)
    notice = ""
    if _look_at(path, len(migrations)) == "damaged":
        notice = _set_aside(path, now)
    with told_kindly(path):
        try:
            return Opened(_connected(path, now, migrations), notice)
        except _DamagedError:
            notice = _set_aside(path, now)
            return Opened(_connected(path, now, migrations), notice)


def copy_of(path: Path, now: float, migrations: tuple[Migration, ...]) -> sqlite3.Connection:
    """A copy in memory of a file that is for reading only, in its newest form.

    Errors: ``Refusal`` for what is no record, and for one that cannot be read.
    """
    if not path.exists():
        raise Refusal(f"There is no file {path}.", "Name another file.")
    if _look_at(path, len(migrations)) != "ours":
        raise Refusal(f"{path} is no record, or a damaged one.", "Name the record with --record.")
    in_memory = sqlite3.connect(":memory:", isolation_level=None)
    with closed_if_failing(in_memory) as copy, told_kindly(path):
        _copy_into(copy, path)
        migrate(copy, now, migrations)
    return copy


def _copy_into(copy: sqlite3.Connection, path: Path) -> None:
    for way in ("mode=ro", "immutable=1"):  # the second where nothing may be put beside it
        try:
            with closing(sqlite3.connect(f"{path.as_uri()}?{way}", uri=True)) as source:
                source.backup(copy)
            return
        except sqlite3.OperationalError:
            if way == "immutable=1" or _beside(path, "-wal").exists():
                raise


@contextmanager
def closed_if_failing(opened: Closed) -> Iterator[Closed]:
    """What was opened, which stays open unless what is done with it fails."""
    with ExitStack() as stack:
        stack.callback(opened.close)
        yield opened
        stack.pop_all()


@contextmanager
def told_kindly(path: Path) -> Iterator[None]:
    """Tell of any fault of the file as a ``Refusal``; of damage also the next opening."""
    try:
        yield
    except (sqlite3.ProgrammingError, sqlite3.InterfaceError):
        raise  # a fault of the program, not of the file
    except (sqlite3.Error, ValueError, RecursionError) as fault:
        _tell(path, fault)


def set_aside(path: Path) -> tuple[Path, ...]:
    """The damaged files that were once set aside, oldest first; rows can still stand in them."""
    return tuple(sorted(path.parent.glob(f"{path.name}.damaged-*")))


def to_be_wiped(path: Path) -> None:
    """Note that something is about to be deleted, for the next opening if this program is ended."""
    with suppress(OSError):
        _deletion(path).touch()


def wiped(connection: sqlite3.Connection, path: Path) -> bool:
    """Write the file and its log anew without anything that was deleted, unless another is busy.

    Freed bytes are overwritten at once (``secure_delete``), but copies stay where rows were moved
    about: the tests have such a record.
    """
    try:
        connection.execute("VACUUM")
        busy = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    except sqlite3.OperationalError as fault:
        if _code(fault) != BUSY:
            raise
        return False
    if not busy:
        with suppress(OSError):
            _deletion(path).unlink()
    return not busy


def _tell(path: Path, fault: Exception) -> NoReturn:
    code = _code(fault)
    if code is not None and code in TOLD:
        found, cure = TOLD[code]
        raise Refusal(found.format(path=path), cure) from None
    with suppress(OSError):
        _suspicion(path).touch()
    raise Refusal(
        f"The record in {path} is damaged ({fault}).",
        "Leave and start again: the whole file is then looked over. If this comes back, give the "
        "file another name, and a fresh one is begun.",
    ) from None


def _code(fault: Exception) -> int | None:
    """SQLite's result code without its details; None if the fault was found elsewhere."""
    code: int | None = getattr(fault, "sqlite_errorcode", None)
    return None if code is None else code & 0xFF


def _beside(path: Path, ending: str) -> Path:
    return path.with_name(path.name + ending)


def _suspicion(path: Path) -> Path:
    """An empty file that says: trouble was met, look the record over."""
    return _beside(path, "-suspect")


def _deletion(path: Path) -> Path:
    """An empty file that says: something was deleted, and its traces may still be there."""
    return _beside(path, "-deleting")


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise Refusal(
            f"The folder {folder} for the record cannot be made: {said(fault)}.",
            "Allow writing there, " + ANOTHER,
        ) from None


def _look_at(path: Path, known: int) -> FileStanding:
    """What the file is, found without changing a byte of it. Errors: see `open_file`."""
    if path.exists() and not path.is_file():
        raise Refusal(f"{path} is no file, and so no record.", "Name another file for it.")
    try:
        with path.open("rb") as file:
            head = file.read(HEAD)
    except FileNotFoundError:
        return "new"
    except OSError as fault:
        raise Refusal(
            f"The record in {path} cannot be read: {said(fault)}.", "Allow it, " + ANOTHER
        ) from None
    if not head:
        return "new"
    if len(head) < HEAD or not head.startswith(MAGIC):
        if not (head.startswith(MAGIC) or _was_ours(path)):
            raise Refusal(
                f"{path} is no record: something else is in it.",
                "Name another file for the record; nothing was changed.",
            )
        return "damaged"
    if int.from_bytes(head[APPLICATION_AT], "big") != APPLICATION:
        return _of_another(path, head)
    form = max(int.from_bytes(head[FORM_AT], "big"), _form_ahead(path))
    if form > known:
        raise newer(form, known)
    return "ours"


def _was_ours(path: Path) -> bool:
    """Whether a file without the beginning of a database was a record: the names of its tables
    are still in it somewhere, or nothing is in it at all, as a disk that lost its power leaves it.
    """
    traces = [f"CREATE TABLE {table} (".encode() for table in TABLES]
    kept, nothing = b"", True
    with path.open("rb") as file:
        for piece in takewhile(bool, (file.read(PIECE) for _ in range(MOST_PIECES))):
            nothing = nothing and not piece.strip(b"\0")
            kept = kept[-HEAD:] + piece
            if any(trace in kept for trace in traces):
                return True
    return nothing


def _form_ahead(path: Path) -> int:
    """The form that the write-ahead log gives, which is newer than the file itself; 0 if none.

    A log that is not empty was left by a program that was ended, or is in use in another window.
    """
    try:
        if _beside(path, "-wal").stat().st_size == 0:
            return 0
        uri = f"{path.as_uri()}?mode=ro"
        with closing(sqlite3.connect(uri, timeout=PATIENCE, uri=True)) as reader:
            return form_of(reader)
    except (OSError, sqlite3.DatabaseError):
        return 0  # if there is trouble, opening meets it again


def _of_another(path: Path, head: bytes) -> FileStanding:
    """A file without our mark: an empty database is as good as a new one, all else is refused.

    Ours has its mark from its first transaction on, so none that is damaged passes here.
    """
    empty = not any(head[APPLICATION_AT]) and not _beside(path, "-wal").exists()
    if empty:
        uri = f"{path.as_uri()}?immutable=1"
        try:
            with closing(sqlite3.connect(uri, uri=True)) as reader:
                empty = reader.execute("SELECT 1 FROM sqlite_master").fetchone() is None
        except sqlite3.DatabaseError:
            empty = False
    if not empty:
        raise Refusal(
            f"{path} is a database of another program.",
            "Name another file for the record; nothing was changed.",
        )
    return "new"


def _set_aside(path: Path, now: float) -> str:
    """Give the file a name of its own, with what lies beside it, and say so."""
    when = datetime.fromtimestamp(now, UTC)
    base = aside = path.with_name(f"{path.name}.damaged-{when:%Y%m%d-%H%M%S}")
    number = 1
    while aside.exists():
        number += 1
        aside = _beside(base, f"-{number}")
    try:
        path.rename(aside)
        for ending in ("-wal", "-shm", "-journal"):
            with suppress(FileNotFoundError):
                _beside(path, ending).rename(_beside(aside, ending))
    except OSError as fault:
        raise Refusal(
            f"The record in {path} is damaged, and cannot be set aside: {said(fault)}.",
            "Give it another name yourself, " + ANOTHER,
        ) from None
    return (
        f"The record in {path} was damaged and could not be read. It is kept beside it as "
        f"{aside.name}, and a fresh record is begun."
    )


def _connected(path: Path, now: float, migrations: tuple[Migration, ...]) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
    try:
        # Every commit is on the disk before it is said to be; what is deleted is overwritten.
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA secure_delete = ON")
        _look_over_if_suspected(connection, path, migrations)
        _try_writing(connection)
        migrate(connection, now, migrations)
        _write_ahead(connection)
        if _deletion(path).exists():
            wiped(connection, path)
        connection.execute("PRAGMA foreign_keys = ON")
    except BaseException as fault:
        connection.close()
        if _is_damage(fault):
            raise _DamagedError from None
        raise
    return connection


def _is_damage(fault: BaseException) -> bool:
    return isinstance(fault, sqlite3.Error) and _code(fault) in (CORRUPT, NOTADB)


def _look_over_if_suspected(
    connection: sqlite3.Connection, path: Path, migrations: tuple[Migration, ...]
) -> None:
    suspicion = _suspicion(path)
    if not suspicion.exists():
        return
    sound = connection.execute("PRAGMA quick_check(1)").fetchone() == ("ok",)
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        migrate(fresh, 0.0, migrations[: form_of(connection)])
        sound = sound and _tables(fresh) <= _tables(connection)
    suspicion.unlink(missing_ok=True)
    if not sound:
        raise _DamagedError


def _tables(connection: sqlite3.Connection) -> set[tuple[str, str]]:
    """Tables and indexes with the statements that made them."""
    return set(connection.execute("SELECT name, sql FROM sqlite_master WHERE sql NOT NULL"))


def _try_writing(connection: sqlite3.Connection) -> None:
    """Find out now, and not after the first answer, whether the file can be written."""
    connection.execute("BEGIN IMMEDIATE")  # which a file that is for reading only lets pass
    try:
        connection.execute(f"PRAGMA user_version = {form_of(connection)}")
    finally:
        connection.rollback()


def _write_ahead(connection: sqlite3.Connection) -> None:
    """Let windows read while one writes. Where it cannot be had, the record is as safe without."""
    for _ in range(TRIES):
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as fault:
            if _code(fault) != BUSY:
                raise
            sleep(PAUSE)  # two windows make the file at one time
        else:
            return
