"""Windows killed at moments of chance, mid-writing: ``python -m tests.learner.killing [kills]``.

After each kill the record must open, be sound, and hold every turn that was said to be kept, once.
One more turn may be there, which was being written, but then whole. A kill shows nothing about a
power cut: for that the record relies on SQLite's ``synchronous = FULL``.
"""

from __future__ import annotations

import sqlite3
import sys
import time
from contextlib import closing
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NamedTuple

from tests.learner.recording import NAME, NOW, as_kept, exchange, window
from tutor.learner.record import open_record

MORE_THAN_ANY = 100_000  # turns: no window lives to keep as many
KILLS_A_FILE = 6  # one file comes back from several kills
SHARE_AT_ONCE = 0.2  # of the windows: killed while they start and make the file
LONGEST_START, LONGEST_TURN = 0.3, 0.003  # seconds, as seen on one machine
MOST_TURNS = 30


class Tally(NamedTuple):
    """What so many kills met."""

    kills: int
    said_to_be_kept: int
    in_the_middle: int  # kills after which one turn more was there, whole


def kill_some(folder: Path, kills: int, seed: int) -> Tally:
    """Kill so many windows, and look at the record after each."""
    chance = Random(seed)
    said_to_be_kept = in_the_middle = 0
    kept: dict[str, int] = {}
    for number in range(kills):
        if number % KILLS_A_FILE == 0:
            kept = {}
        path = folder / f"record {number // KILLS_A_FILE}.db"
        sitting, turns = _kill_one(path, chance)
        if sitting:
            kept[sitting] = turns
        there = _look(path, kept)
        said_to_be_kept += turns
        in_the_middle += there - sum(kept.values())
        kept = {each: _turns(path, each) for each in kept}
    return Tally(kills, said_to_be_kept, in_the_middle)


def _kill_one(path: Path, chance: Random) -> tuple[str, int]:
    """The sitting of a killed window ('' if it came to none), and how many turns it called kept."""
    at_once = chance.random() < SHARE_AT_ONCE
    turns, part = chance.randrange(MOST_TURNS), chance.random()
    with window(path, "new", MORE_THAN_ANY) as victim:
        assert victim.stdout is not None
        assert victim.stderr is not None
        heard = [] if at_once else [victim.stdout.readline() for _ in range(turns + 1)]
        time.sleep(part * (LONGEST_START if at_once else LONGEST_TURN))
        victim.kill()
        heard += victim.stdout.readlines()
        complaint = victim.stderr.read()
    assert not complaint, complaint
    sitting, *numbers = "".join(heard).split() or [""]
    assert numbers == [str(number) for number in range(1, len(numbers) + 1)]
    return sitting, len(numbers)


def _look(path: Path, kept: dict[str, int]) -> int:
    """Check the whole record as the program meets it next; gives how many turns there are."""
    with open_record(path, NOW) as record:
        assert record.notice == ""
        learner = record.find(NAME)
        there = record.sittings(learner) if learner else ()
        assert {sitting.id for sitting in there} <= set(kept)
        total = showing = 0
        for sitting, called in kept.items():
            turns = list(record.kept(sitting))
            assert called <= len(turns) <= called + 1, (called, len(turns))
            assert turns == [
                as_kept(exchange(number), number, NOW + number)
                for number in range(1, len(turns) + 1)
            ]
            total += len(turns)
            showing += sum(said.seen is not None for turn in turns for said in turn.said)
        if learner:
            assert len(list(record.seen(learner))) == showing
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA quick_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    return total


def _turns(path: Path, sitting: str) -> int:
    with open_record(path, NOW) as record:
        return len(record.turns(sitting))


def main(kills: int) -> None:
    """Kill so many, and print what was met."""
    with TemporaryDirectory() as folder:
        print(kill_some(Path(folder), kills, seed=kills))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
