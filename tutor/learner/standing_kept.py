"""Where learners stand, kept beside the rows that show it, so that opening need not fold them all.

What is kept says nothing that the rows do not say: it is left aside where it was folded by other
rules, where it cannot be read, and where an older answer came in after it (a clock set back, a
record merged in). Then all is folded anew.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import reduce
from types import MappingProxyType
from typing import Any, Final, NamedTuple, TypeVar

from tutor.learner.knowledge import Idea
from tutor.learner.rows import observation_in
from tutor.learner.standing import NOBODY, Practised, Seen, Standing, Try, with_seen
from tutor.teaching.observation import Observation

# Raised whenever the same answers come to another standing: a test holds it to what they come to.
FOLDED_BY: Final = 2
LEFT_TO_FOLD: Final = 50  # answers at most that an opening folds, a millisecond or two

ReadRow = TypeVar("ReadRow")
OBSERVED: Final = "seen." + ", seen.".join(Observation._fields)
OF_LEARNER: Final = (
    "FROM seen JOIN turns ON turns.id = seen.turn JOIN sittings ON sittings.id = turns.sitting"
    " WHERE sittings.learner = ?"
)
SEEN_BETWEEN: Final = (
    f"SELECT sitting || '.' || problem, at, {OBSERVED} {OF_LEARNER}"
    " AND seen.id > ? AND seen.id <= ? ORDER BY turns.at, seen.id"
)


class KeptStanding(NamedTuple):
    """A standing with the answers in it: up to the one of this number (0: none), the latest of
    them at this time, in seconds since 1970.
    """

    standing: Standing
    upto: int
    at: float


_NOTHING: Final = KeptStanding(NOBODY, 0, float("-inf"))


def seen_between(
    connection: sqlite3.Connection, learner: int, after: int, upto: int
) -> Iterator[Seen]:
    """What the learner's answers after one number and up to another showed, in order of time.

    Errors: ``ValueError`` for a row that cannot be one.
    """
    met: dict[str, tuple[str, ...]] = {}
    for problem, at, *values in connection.execute(SEEN_BETWEEN, (learner, after, upto)).fetchall():
        yield Seen(observation_in(values, met), problem, float(at))


def latest_of(connection: sqlite3.Connection, learner: int) -> int:
    """The number of the learner's last answer; 0 if there is none."""
    query = "SELECT upto FROM standings WHERE learner = ?"
    ((upto,),) = connection.execute(query, (learner,)).fetchall() or [(0,)]
    query = f"SELECT max(seen.id) {OF_LEARNER} AND seen.id > ?"
    return connection.execute(query, (learner, upto)).fetchone()[0] or int(upto)


def standing_at(connection: sqlite3.Connection, learner: int, upto: int) -> Standing:
    """Where the learner stood after the answer of this number. Errors: as for the rows."""
    return _folded(connection, learner, upto).standing


def keep_up(connection: sqlite3.Connection, learner: int) -> None:
    """Keep the standing anew where more than a few answers are not in it; in a transaction."""
    query = (
        "SELECT coalesce((SELECT max(id) FROM seen), 0) - coalesce("
        "(SELECT upto FROM standings WHERE learner = ? AND folded_by = ?), 0)"
    )
    if connection.execute(query, (learner, FOLDED_BY)).fetchone()[0] < LEFT_TO_FOLD:
        return
    now = _folded(connection, learner, latest_of(connection, learner))
    connection.execute(
        "INSERT OR REPLACE INTO standings (learner, folded_by, upto, at, standing)"
        " VALUES (?, ?, ?, ?, ?)",
        (learner, FOLDED_BY, now.upto, now.at, written(now.standing)),
    )


def kept(connection: sqlite3.Connection, learner: int) -> KeptStanding:
    """What is kept of the learner; nothing where that is of no use."""
    query = "SELECT standing, upto, at FROM standings WHERE learner = ? AND folded_by = ?"
    row = connection.execute(query, (learner, FOLDED_BY)).fetchone()
    if row is None:
        return _NOTHING
    try:
        return KeptStanding(read(row[0]), int(row[1]), float(row[2]))
    except (ValueError, TypeError, AttributeError):
        return _NOTHING


def _folded(connection: sqlite3.Connection, learner: int, upto: int) -> KeptStanding:
    start = kept(connection, learner)
    if start.upto > upto:
        start = _NOTHING
    new = list(seen_between(connection, learner, start.upto, upto))
    if new and new[0].when < start.at:
        start, new = _NOTHING, list(seen_between(connection, learner, 0, upto))
    standing = reduce(with_seen, new, start.standing)
    return KeptStanding(standing, upto, new[-1].when if new else start.at)


def written(standing: Standing) -> str:
    """A standing as text, of which `read` makes the same."""
    return json.dumps(_plain(standing), separators=(",", ":"), ensure_ascii=False)


def read(text: str) -> Standing:
    """The standing in a text. Errors: ``ValueError`` or ``TypeError`` for any other text."""
    skills, ideas, asked = json.loads(text)
    return Standing(
        _each(skills, _practised),
        _each(ideas, _idea),
        tuple((str(problem), frozenset(keys)) for problem, keys in asked),
    )


def _plain(value: object) -> object:
    """The same of lists and dictionaries alone, what has no order put in one."""
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, frozenset):
        return sorted(map(_plain, value))  # type: ignore[type-var]
    return [*map(_plain, value)] if isinstance(value, tuple) else value


def _each(rows: Mapping[str, Any], made: Callable[[Any], ReadRow]) -> Mapping[str, ReadRow]:
    return MappingProxyType({name: made(row) for name, row in rows.items()})


def _practised(row: Iterable[Any]) -> Practised:
    found = Practised(*row)
    return found._replace(
        networks=frozenset(found.networks), lately=tuple(Try(*each) for each in found.lately)
    )


def _idea(row: Iterable[Any]) -> Idea:
    found = Idea(*row)
    return found._replace(
        doubts=_places(found.doubts),
        lately=tuple(found.lately),
        networks=frozenset(found.networks),
        places=_places(found.places),
    )


def _places(rows: Iterable[Iterable[str]]) -> frozenset[tuple[str, str]]:
    return frozenset((problem, key) for problem, key in rows)
