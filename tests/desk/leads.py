"""Sessions for tests: led from a folder of the test's own, line by line."""

from __future__ import annotations

from pathlib import Path

from tutor.desk.leading.event_file import KNOWN_AS, EventFile
from tutor.desk.leading.led import Led
from tutor.desk.leading.programme import of_text
from tutor.desk.leading.session import begun
from tutor.desk.report import Columns
from tutor.front.leading.desk import DeskReply, hear_lead
from tutor.teaching.messages import Message

NETWORK = "6 uF -- (9 uF || 5 uF), across 15 V"


def led_in(folder: Path, text: str = NETWORK, name: str = "session.jsonl") -> Led:
    """A session in a file, begun or gone on with."""
    file = EventFile(folder / name)
    if not file.events:
        first = {"event": "begun", "kept by": KNOWN_AS, "text": text, "title": text, "seed": 1,
                 "when": "2026-11-29T09:00+00:00", "settings": {}}
        file.add([first])
        file.events = (first,)
    return Led(file, begun(of_text(text), seed=1))


def said(led: Led, *lines: str) -> list[DeskReply]:
    """What each line leads to."""
    return [hear_lead(led, line) for line in lines]


def text_in(shown: DeskReply) -> str:
    """All of it as text, tables a row a line."""
    found = []
    for part in shown.parts:
        if isinstance(part, Message):
            found.append(part.text)
        elif isinstance(part, Columns):
            found += [" | ".join(row) for row in (part.heads, *part.rows)]
    return "\n".join(found)
