"""The form of the record's file, as the named changes that lead to it one after the other.

A migration that has been published is never edited: a new one is put after it. The file's
``user_version`` is how many it has been through.
"""

from __future__ import annotations

import sqlite3
from typing import Final, NamedTuple

from grammar.refusals import Refusal

APPLICATION: Final = 0x506C6174  # "Plat" in ASCII: it marks the file as ours


class Migration(NamedTuple):
    """One change of the form: its name, and its statements in order."""

    name: str
    statements: tuple[str, ...]


TABLES: Final = ("learners", "sittings", "turns", "said", "seen")
LEARNERS = """
CREATE TABLE learners (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL,
    folded TEXT NOT NULL UNIQUE,
    made REAL NOT NULL,
    exam TEXT,
    last_used REAL NOT NULL
)"""
SITTINGS = """
CREATE TABLE sittings (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learners (id) ON DELETE CASCADE,
    began REAL NOT NULL,
    opening TEXT NOT NULL,
    since INTEGER NOT NULL,
    continues TEXT REFERENCES sittings (id) ON DELETE CASCADE,
    version TEXT NOT NULL
)"""
TURNS = """
CREATE TABLE turns (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    sitting TEXT NOT NULL REFERENCES sittings (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    at REAL NOT NULL,
    line TEXT NOT NULL,
    problem TEXT NOT NULL,
    open INTEGER NOT NULL,
    about TEXT NOT NULL,
    UNIQUE (sitting, number)
)"""
SAID = """
CREATE TABLE said (
    turn INTEGER NOT NULL REFERENCES turns (id) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    kind TEXT NOT NULL,
    about TEXT,
    verdict TEXT,
    step INTEGER,
    text TEXT NOT NULL,
    malrules TEXT NOT NULL,
    PRIMARY KEY (turn, number)
)"""
SEEN = """
CREATE TABLE seen (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    turn INTEGER NOT NULL,
    said INTEGER NOT NULL,
    key TEXT NOT NULL,
    network TEXT NOT NULL,
    skills TEXT NOT NULL,
    answer TEXT NOT NULL,
    outcome TEXT NOT NULL,
    options INTEGER NOT NULL,
    helped INTEGER NOT NULL,
    weak INTEGER NOT NULL,
    malrules TEXT NOT NULL,
    sure INTEGER NOT NULL,
    blamed TEXT NOT NULL,
    chances TEXT NOT NULL,
    UNIQUE (turn, said),
    FOREIGN KEY (turn, said) REFERENCES said (turn, number) ON DELETE CASCADE
)"""
STANDINGS = """
CREATE TABLE standings (
    learner INTEGER PRIMARY KEY REFERENCES learners (id) ON DELETE CASCADE,
    folded_by INTEGER NOT NULL,
    upto INTEGER NOT NULL,
    at REAL NOT NULL,
    standing TEXT NOT NULL
)"""

MIGRATIONS: Final = (
    Migration(
        "learners, sittings, turns",
        (
            f"PRAGMA application_id = {APPLICATION}",
            "CREATE TABLE migrations (name TEXT PRIMARY KEY, at REAL NOT NULL)",
            LEARNERS,
            SITTINGS,
            "CREATE INDEX sittings_of_learner ON sittings (learner)",
            "CREATE INDEX sittings_continued ON sittings (continues)",
            TURNS,
            SAID,
            SEEN,
        ),
    ),
    Migration(
        "marks of a message",
        (
            "ALTER TABLE said ADD COLUMN marks INTEGER",
            "ALTER TABLE said ADD COLUMN marks_of INTEGER",
        ),
    ),
    Migration("where learners stand", (STANDINGS,)),
)


def form_of(connection: sqlite3.Connection) -> int:
    """How many migrations the file has been through."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def migrate(connection: sqlite3.Connection, now: float, migrations: tuple[Migration, ...]) -> None:
    """Bring the file to the newest form, each migration whole or not at all.

    Foreign keys are not to be enforced meanwhile, so that a migration may build a table anew.
    Errors: ``Refusal`` if a newer program has been here.
    """
    done = form_of(connection)
    while done < len(migrations):
        connection.execute("BEGIN IMMEDIATE")
        try:
            # Another window may have done it while this one waited for its turn to write.
            done = form_of(connection)
            if done < len(migrations):
                _apply(connection, now, migrations[done])
                done += 1
                connection.execute(f"PRAGMA user_version = {done}")
            connection.execute("COMMIT")
        except BaseException:
            connection.rollback()
            raise
    if done > len(migrations):
        raise newer(done, len(migrations))


def newer(found: int, known: int) -> Refusal:
    """What a file of a later form than this program knows is met with."""
    return Refusal(
        f"The record was written by a newer version of the program: its form is {found}, and "
        f"this one reads up to {known}.",
        "Use the newer version, or name another file for the record; nothing was changed.",
    )


def _apply(connection: sqlite3.Connection, now: float, migration: Migration) -> None:
    for statement in migration.statements:
        connection.execute(statement)
    connection.execute("INSERT INTO migrations (name, at) VALUES (?, ?)", (migration.name, now))
    if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise sqlite3.IntegrityError(f"'{migration.name}' leaves rows without what they refer to")
