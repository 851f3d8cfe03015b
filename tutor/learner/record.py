"""The record of learners: one file on this machine, and nothing in it but what happened.

Every line typed and everything said to it is on the disk before the next message is shown, so
that a machine may be switched off at any moment. All else that is known of a learner is worked out
from these rows.
"""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from itertools import groupby
from pathlib import Path
from types import TracebackType
from typing import Any, Final, TypeVar

from grammar.refusals import Refusal
from tutor.learner.migrations import MIGRATIONS, Migration, form_of, migrate, newer
from tutor.learner.record_file import (
    closed_if_failing,
    copy_of,
    open_file,
    set_aside,
    to_be_wiped,
    told_kindly,
    wiped,
)
from tutor.learner.record_turns import enter, write_turn
from tutor.learner.rows import (
    Exchange,
    KeptTurn,
    Learner,
    Sitting,
    folded,
    learner_in,
    said_in,
    shown_name,
    sitting_in,
    turn_in,
)
from tutor.learner.standing import Seen, Standing
from tutor.learner.standing_kept import OBSERVED, keep_up, latest_of, seen_between, standing_at

Kept = TypeVar("Kept")
LEARNER = "SELECT id, name, made, exam, last_used FROM learners"
SITTING = "SELECT sittings.id, learner, began, opening, since, continues, version FROM sittings"
LAST: Final = 2**63 - 1  # no number of a row is above it


class Record:
    """An open record. Every method refuses kindly (``Refusal``) what the file does not let it do.

    ``notice`` is what the user is to be told of the opening: empty, or that a damaged file was
    set aside.
    """

    def __init__(
        self, path: Path, connection: sqlite3.Connection, notice: str, form: int
    ) -> None:
        self.path = path
        self.notice = notice
        self._connection = connection
        self._form = form

    def __enter__(self) -> Record:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; nothing is lost if this never comes about."""
        self._connection.close()

    def learners(self) -> tuple[Learner, ...]:
        """Everyone in the record, by name."""
        return self._learners("ORDER BY folded")

    def find(self, name: str) -> Learner | None:
        """The learner of this name, in any case of letters; None if there is none yet."""
        return _first(self._learners("WHERE folded = ?", folded(name)))

    def learner(self, name: str, now: float) -> Learner:
        """The learner of this name, who is entered if new; from now on the last one here.

        Errors: ``Refusal`` for a name that is empty, too long, or no text to be shown.
        """
        shown, key = shown_name(name), folded(name)
        with self._writing() as connection:
            connection.execute(
                "INSERT INTO learners (name, folded, made, last_used) VALUES (?, ?, ?, ?)"
                " ON CONFLICT (folded) DO UPDATE SET last_used = excluded.last_used",
                (shown, key, now, now),
            )
            row = connection.execute(f"{LEARNER} WHERE folded = ?", (key,)).fetchone()
            return learner_in(row)

    def take_in(self, learner: Learner) -> Learner:
        """The learner of this name, with what another record tells of one: when each was first and
        last here, and the exam where none is known yet. Errors: ``Refusal`` for such a name.
        """
        shown, key = shown_name(learner.name), folded(learner.name)
        exam = None if learner.exam is None else learner.exam.isoformat()
        with self._writing() as connection:
            connection.execute(
                "INSERT INTO learners (name, folded, made, exam, last_used) VALUES (?, ?, ?, ?, ?)"
                " ON CONFLICT (folded) DO UPDATE SET made = min(made, excluded.made),"
                " exam = coalesce(exam, excluded.exam),"
                " last_used = max(last_used, excluded.last_used)",
                (shown, key, learner.made, exam, learner.last_used),
            )
            row = connection.execute(f"{LEARNER} WHERE folded = ?", (key,)).fetchone()
            return learner_in(row)

    def last_learner(self) -> Learner | None:
        """Who was here last."""
        return _first(self._learners("ORDER BY last_used DESC, id DESC LIMIT 1"))

    def set_exam(self, learner: Learner, exam: date | None) -> Learner:
        """Keep the day of the learner's exam, or that there is none; gives the learner anew."""
        day = None if exam is None else exam.isoformat()
        with self._writing() as connection:
            connection.execute("UPDATE learners SET exam = ? WHERE id = ?", (day, learner.id))
        return learner._replace(exam=exam)

    def begin(
        self, learner: Learner, opening: str, now: float, continues: Sitting | None = None
    ) -> Sitting:
        """A new sitting. Nothing is written: it enters the record with its first turn.

        Errors: ``ValueError`` for an opening that is no JSON text.
        """
        json.loads(opening)
        earlier = None if continues is None else continues.id
        since = self.latest_seen(learner)
        return Sitting(os.urandom(16).hex(), learner.id, now, opening, since, earlier)

    def keep(self, sitting: Sitting, exchange: Exchange, now: float) -> int:
        """Write one turn, whole or not at all, and wait until it is on the disk.

        Gives its number within the sitting, from 1; two windows may write to one sitting.
        Errors: ``Refusal`` if it could not be kept.
        """
        return self.keep_all(sitting, [(exchange, now)])

    def keep_all(self, sitting: Sitting, turns: Sequence[tuple[Exchange, float]]) -> int:
        """Write some turns, each with its time, all or none; gives the number of the last.

        Errors: as for one.
        """
        with self._writing() as connection:
            try:
                enter(connection, sitting)
            except sqlite3.IntegrityError:
                raise Refusal(
                    "This cannot be kept: the learner was deleted from the record meanwhile.",
                    "Start again to begin a new record under the same name or another.",
                ) from None
            connection.execute(
                "UPDATE learners SET last_used = max(last_used, ?) WHERE id = ?",
                (max(at for _, at in turns), sitting.learner),
            )
            numbers = [write_turn(connection, sitting, each, at) for each, at in turns]
            keep_up(connection, sitting.learner)
            return numbers[-1]

    def sitting(self, sitting_id: str) -> Sitting | None:
        """The sitting as it was kept; None if it has no turn yet or was deleted."""
        return _first(self._sittings("WHERE sittings.id = ?", sitting_id))

    def sittings(self, learner: Learner) -> tuple[Sitting, ...]:
        """All sittings of the learner, in order of time."""
        return self._sittings("WHERE learner = ? ORDER BY began, number", learner.id)

    def turns(self, sitting_id: str) -> tuple[str, ...]:
        """The lines typed in a sitting, in order."""
        rows = self._rows("SELECT line FROM turns WHERE sitting = ? ORDER BY number", sitting_id)
        return tuple(line for (line,) in rows)

    def unfinished(self, learner: Learner) -> Sitting | None:
        """The last sitting in which the learner began something, if it left that in the middle; one
        in which they only asked where they stand comes between no two others.

        None too if another sitting has gone on with it.
        """
        found = self._sittings(
            "JOIN turns ON turns.sitting = sittings.id WHERE turns.id = ("
            " SELECT turns.id FROM turns JOIN sittings ON sittings.id = turns.sitting"
            " WHERE learner = ? AND (turns.open OR turns.problem <> '0')"
            " ORDER BY turns.at DESC, turns.id DESC LIMIT 1) AND turns.open"
            " AND NOT EXISTS (SELECT 1 FROM sittings AS later WHERE later.continues = sittings.id)",
            learner.id,
        )
        return _first(found)

    def left_in(self, sitting_id: str) -> str:
        """What the last turn of a sitting was in the middle of; '' for nothing."""
        ((about,),) = self._rows(
            "SELECT about FROM turns WHERE sitting = ? ORDER BY number DESC LIMIT 1", sitting_id
        )
        return str(about)

    def kept(self, sitting_id: str) -> Iterator[KeptTurn]:
        """All turns of a sitting in order, with all that was said."""
        rows = self._rows(
            "SELECT turns.number, at, line, problem, open, turns.about, said.number, said.kind,"
            f" said.about, verdict, step, text, said.malrules, marks, marks_of, seen.id, {OBSERVED}"
            " FROM turns"
            " LEFT JOIN said ON said.turn = turns.id"
            " LEFT JOIN seen ON seen.turn = turns.id AND seen.said = said.number"
            " WHERE sitting = ? ORDER BY turns.number, said.number",
            sitting_id,
        )
        met: dict[str, tuple[str, ...]] = {}
        with told_kindly(self.path):
            for turn, messages in groupby(rows, key=lambda row: row[:6]):
                said = tuple(said_in(row[6:], met) for row in messages if row[6] is not None)
                yield turn_in(turn, said)

    def seen(self, learner: Learner, upto: int | None = None) -> Iterator[Seen]:
        """All that the learner's answers showed, in order; problems are named with their sittings.

        ``upto`` is the last to be given, as in ``Sitting.since``; None gives all.
        """
        with told_kindly(self.path):
            yield from seen_between(
                self._connection, learner.id, 0, LAST if upto is None else upto
            )

    def standing(self, learner: Learner, upto: int | None = None) -> Standing:
        """Where the learner stands by all answers, or stood after the one of this number."""
        with told_kindly(self.path):
            last = self.latest_seen(learner) if upto is None else upto
            return standing_at(self._connection, learner.id, last)

    def latest_seen(self, learner: Learner) -> int:
        """The number of the learner's last observation in the record; 0 if there is none."""
        with told_kindly(self.path):
            return latest_of(self._connection, learner.id)

    def delete(self, learner: Learner) -> tuple[Path, ...]:
        """Take the learner out with every row, also out of the free space of the file.

        Gives the damaged files once set aside, in which rows can still stand: a person must
        delete those. Errors: ``Refusal`` if another window keeps copies of the rows from going.
        """
        to_be_wiped(self.path)
        with self._writing() as connection:
            connection.execute("DELETE FROM learners WHERE id = ?", (learner.id,))
        with told_kindly(self.path):
            if not wiped(self._connection, self.path):
                raise Refusal(
                    f"{learner.name} is out of the record, but another window is using the file, "
                    "and traces stay on the disk meanwhile.",
                    "Close the program in every window; its next start takes them away.",
                )
        return set_aside(self.path)

    def _learners(self, which: str, *values: object) -> tuple[Learner, ...]:
        rows = self._rows(f"{LEARNER} {which}", *values)
        with told_kindly(self.path):
            return tuple(map(learner_in, rows))

    def _sittings(self, which: str, *values: object) -> tuple[Sitting, ...]:
        rows = self._rows(f"{SITTING} {which}", *values)
        with told_kindly(self.path):
            return tuple(map(sitting_in, rows))

    def _rows(self, query: str, *values: object) -> list[Any]:
        with told_kindly(self.path):
            return self._connection.execute(query, values).fetchall()

    @contextmanager
    def at_once(self) -> Iterator[None]:
        """Let all that is written meanwhile be one transaction."""
        with self._writing():
            yield

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction: all of it, or nothing. Within another one it is a part of that."""
        connection = self._connection
        if connection.in_transaction:
            yield connection
            return
        with told_kindly(self.path):
            connection.execute("BEGIN IMMEDIATE")
            try:
                found = form_of(connection)
                if found > self._form:
                    raise newer(found, self._form)
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                connection.rollback()
                raise


def open_record(
    path: Path, now: float, migrations: tuple[Migration, ...] = MIGRATIONS
) -> Record:
    """Open the record in a file, which is made if there is none; ``now`` is in seconds since 1970.

    A damaged file is set aside: see ``Record.notice``. Errors: ``Refusal`` for a file of another
    program or of a newer version, which stay untouched, and for a place that cannot be used.
    """
    whole = path.absolute().resolve()
    connection, notice = open_file(whole, now, migrations)
    return Record(whole, connection, notice, len(migrations))


def open_to_read(path: Path, now: float) -> Record:
    """The record to be looked at: where its file may not be written, a copy of it in memory.

    Errors: ``Refusal`` as above, and for what cannot be read at all.
    """
    if path.exists() and not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)):
        return open_copy(path, now)
    return open_record(path, now)


def open_copy(path: Path, now: float) -> Record:
    """A copy in memory of the record in a file, which is not touched, be it old or damaged.

    Errors: ``Refusal`` for what is no record, or a damaged one, and what cannot be read.
    """
    whole = path.absolute().resolve()
    return Record(whole, copy_of(whole, now, MIGRATIONS), "", len(MIGRATIONS))


def in_memory(now: float) -> Record:
    """An empty record that is gone once it is closed, for other records to be merged in."""
    with closed_if_failing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        migrate(connection, now, MIGRATIONS)
        connection.execute("PRAGMA foreign_keys = ON")
    return Record(Path("memory"), connection, "", len(MIGRATIONS))


def _first(found: Sequence[Kept]) -> Kept | None:
    return found[0] if found else None
