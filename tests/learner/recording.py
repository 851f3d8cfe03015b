"""A scripted learner for tests of the record, and windows that write it: processes of their own.

``python -m tests.learner.recording FILE SITTING COUNT`` keeps turns of the script, in the sitting
of that id or (``new``) in one of its own. It prints the id, and the number of each turn once
that is kept.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tutor.learner.record import Record, open_record
from tutor.learner.rows import Exchange, KeptMessage, KeptTurn, Learner, Sitting
from tutor.teaching.messages import Message
from tutor.teaching.observation import Observation

ROOT = Path(__file__).parents[2]
NOW = 1_790_000_000.0
NAME = "Visitor 7"
OPENING = '{"network": "3 uF -- 7 uF, across 20 V"}'
FULL = Observation(
    "V1", "C1 = 3 uF -- C2 = 7 uF, across 20 V", ("S05", "S12"), "number", "wrong", 0, True, False,
    ("gives-the-larger-one-more", "halves"), True, ("S12",), ("halves",),
)


def exchange(number: int) -> Exchange:
    """Turn ``number`` of the script: a wrong answer, a hint or a right answer, with long words."""
    problem = f"lamp {number // 5}"
    words = f"What is said in turn {number}. " * (1 + number * 7 % 40)
    if number % 3 == 0:
        return Exchange("hint", (Message("hint", words, 2, "voltage"),), problem, True, "V1")
    seen = FULL._replace(key=f"V{number}", outcome="right" if number % 3 == 1 else "wrong")
    verdict = Message(
        "verdict", words, 2, "voltage", seen.outcome, malrules=seen.malrules, seen=seen
    )
    ask = Message("ask", "What is the p.d. across C2?", 3, "voltage")
    return Exchange(f"V{number} = {number} V", (verdict, ask), problem, number % 2 == 0, "V2")


def as_kept(given: Exchange, number: int, at: float) -> KeptTurn:
    """How a turn is to come back from the record."""
    said = tuple(
        KeptMessage(place, m.kind, m.about, m.verdict, m.step, m.text, m.malrules, m.seen, m.marks)
        for place, m in enumerate(given.messages, start=1)
    )
    return KeptTurn(number, at, given.line, given.problem, given.open, given.about, said)


def begun(record: Record, name: str = NAME) -> tuple[Learner, Sitting]:
    """A learner and a sitting that has no turn yet."""
    learner = record.learner(name, NOW)
    return learner, record.begin(learner, OPENING, NOW)


def window(path: Path, sitting: str, count: int) -> subprocess.Popen[str]:
    """A window that begins to keep turns at once."""
    command = [sys.executable, "-m", "tests.learner.recording", str(path), sitting, str(count)]
    return subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def main(path: str, sitting_id: str, count: str) -> None:
    """Be a window: see the top of the file."""
    with open_record(Path(path), NOW) as record:
        sitting = record.sitting(sitting_id) or begun(record)[1]
        print(sitting.id, flush=True)
        for number in range(1, int(count) + 1):
            kept = record.keep(sitting, exchange(number), NOW + number)
            print(kept, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
