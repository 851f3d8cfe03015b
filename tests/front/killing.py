"""Chats killed at moments of chance: ``python -m tests.front.killing [kills]``.

What had been printed when the kill came must all be in the record, once; the chat then goes on at
the question that was last asked, with the same network to be drawn.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import NamedTuple

from tests.conversing import is_walking
from tutor.front.chat.stages import Answer
from tutor.front.keeping import Keeper, Opening
from tutor.front.pipe import fields
from tutor.learner.record import open_record
from tutor.learner.rows import SOMEONE
from tutor.teaching.messages import Message

ROOT = Path(__file__).parents[2]
NOW = 1_800_000_000.0
HALL = "6 uF -- (9 uF || 5 uF), across 15 V"
LINES = (
    HALL, "C1 C2", "hint", "C2 C3", "p.d.", "P and B", "13", "14", "C1 C23", "charge, at P", "20.0",
    "a", "4.2 uF", "63 uC", "charge", "what if C2 is doubled", "C up", "V1 = 10.5 V, V23 = 4.5 V",
    "drawing", "p.d.", "45 uC", "where are we",
)
LONGEST = 1.5  # seconds in which such a chat is over on one machine, start and all


class Tally(NamedTuple):
    """What so many kills met: ``lines`` were kept in all, ``printed`` messages checked."""

    kills: int
    lines: int
    printed: int


def kill_some(folder: Path, kills: int, seed: int) -> Tally:
    """Kill so many chats, and go on with each."""
    chance = Random(seed)
    lines = printed = 0
    for number in range(kills):
        path = folder / f"{number}.sqlite"
        shown = _kill_one(path, LONGEST * (0.3 + 0.7 * chance.random()))
        kept = _look(path, shown)
        lines, printed = lines + kept, printed + len(shown)
    return Tally(kills, lines, printed)


def _straight(folder: Path, began: float, lines: tuple[str, ...]) -> list[Answer]:
    """The same chat without a kill: the opening and the answer to each line."""
    with open_record(folder / f"straight {began}.sqlite", began) as record:
        host = Keeper(record, record.learner(SOMEONE, began), lambda: began)
        answers = [host.open(Opening())]
        for line in lines:
            answers.append(host.hear(answers[-1].chat, line))
    return answers


def _entries(messages: tuple[Message, ...]) -> list[dict[str, object]]:
    return [json.loads(json.dumps(fields(message))) for message in messages]


def _kill_one(path: Path, after: float) -> list[dict[str, object]]:
    """A chat killed after so many seconds; gives what it had printed whole."""
    command = [
        sys.executable, "-m", "tutor.front.commands", "walk", "--jsonl", "--record", str(path),
    ]
    with subprocess.Popen(
        command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as victim:
        assert victim.stdin is not None
        assert victim.stdout is not None
        victim.stdin.write("".join(f"{line}\n" for line in LINES))
        victim.stdin.flush()
        time.sleep(after)
        victim.kill()
        *whole, _ = victim.stdout.read().split("\n")
    return [json.loads(line) for line in whole]


def _look(path: Path, shown: list[dict[str, object]]) -> int:
    """How many lines were kept: all that was shown is among them, and the chat goes on after them
    as if it had never been cut off.
    """
    with open_record(path, NOW) as record:
        assert record.notice == ""
        learner = record.find(SOMEONE)
        sittings = record.sittings(learner) if learner else ()
        if learner is None or not sittings:
            assert len(shown) <= len(_straight(path.parent, NOW, ())[0].messages)
            return 0
        (sitting,) = sittings
        kept = record.turns(sitting.id)
        assert kept == LINES[: len(kept)]
        answers = _straight(path.parent, sitting.began, kept)
        expected = [entry for answer in answers for entry in _entries(answer.messages)]
        assert shown == expected[: len(shown)], shown[-1]
        host = Keeper(record, learner, lambda: NOW)
        again = host.hear(host.open(Opening()).chat, "go on")
        assert is_walking(again.chat.stage)
        assert again.chat.stage == answers[-1].chat.stage
    return len(kept)


def main(kills: int) -> None:
    """Kill so many, and print what was met."""
    with TemporaryDirectory() as folder:
        print(kill_some(Path(folder), kills, seed=kills))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
