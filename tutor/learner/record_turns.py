"""How a turn is written: its sitting if it is the first one, and all that was said and seen."""

from __future__ import annotations

import sqlite3

from tutor.learner.rows import Exchange, Sitting, listed, row_of, storable
from tutor.teaching.observation import Observation


def enter(connection: sqlite3.Connection, sitting: Sitting) -> None:
    """Enter the sitting unless it is there."""
    query = "SELECT 1 FROM sittings WHERE id = ?"
    if connection.execute(query, (sitting.id,)).fetchone() is None:
        connection.execute(
            "INSERT INTO sittings (id, learner, began, opening, since, continues, version)"
            " VALUES (?, ?, ?, ?, ?, ?, ?)",
            sitting._replace(
                opening=storable(sitting.opening), version=sitting.version or _version()
            ),
        )


def write_turn(
    connection: sqlite3.Connection, sitting: Sitting, exchange: Exchange, now: float
) -> int:
    """Write the rows of one turn; gives its number."""
    query = "SELECT coalesce(max(number), 0) + 1 FROM turns WHERE sitting = ?"
    (number,) = connection.execute(query, (sitting.id,)).fetchone()
    turn = connection.execute(
        "INSERT INTO turns (sitting, number, at, line, problem, open, about)"
        " VALUES (?, ?, ?, ?, ?, ?, ?)",
        (sitting.id, number, now, storable(exchange.line), storable(exchange.problem),
         exchange.open, storable(exchange.about)),
    ).lastrowid
    for place, message in enumerate(exchange.messages, start=1):
        connection.execute(
            "INSERT INTO said (turn, number, kind, about, verdict, step, text, malrules, marks,"
            " marks_of) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (turn, place, message.kind, message.about, message.verdict, message.step,
             storable(message.text), listed(message.malrules), *(message.marks or (None, None))),
        )
        if message.seen is not None:
            values = (turn, place, *row_of(message.seen))
            columns = ", ".join(Observation._fields)
            marks = ", ".join("?" * len(values))
            connection.execute(
                f"INSERT INTO seen (turn, said, {columns}) VALUES ({marks})", values
            )
    return int(number)


def _version() -> str:
    """The program's own; empty if it runs without having been installed."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("platewalk")
    except PackageNotFoundError:
        return ""
