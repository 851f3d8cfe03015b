"""What is said in a lesson, in pages of at most one screen with a heading each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final, TypeAlias

from tutor.front.saying import PARTED, PrintedLine, Voice, said_lines, wrapped
from tutor.teaching.messages import Message

FREE: Final = 3  # lines of a screen beside a page: what was typed, and the way on
BLANK: Final = PrintedLine("", "say")
LESS: Final = 8  # so many lines make a page, however low the screen

OneBlock: TypeAlias = list[PrintedLine]


def pages(messages: Sequence[Message], voice: Voice, height: int) -> list[OneBlock]:
    """The lines of the messages; several pages only where they are of a lesson and do not fit into
    ``height`` lines together.
    """
    room = max(height - FREE, LESS)
    whole = [line for block in _blocks(messages, voice) for line in block]
    if len(whole) <= room or not any(message.heading for message in messages):
        return [whole]
    found: list[OneBlock] = [[]]
    for heading, group in groupby(messages, lambda message: message.heading):
        blocks = list(_blocks(list(group), voice))
        head = _head(heading, voice)
        if found[-1]:
            begun = any(line.role == "heading" for line in found[-1])
            if begun and len(found[-1]) + 1 + sum(map(len, blocks)) > room:
                found.append([])
            else:
                found[-1].append(BLANK)
        for block in (piece for each in blocks for piece in _cut(each, room - len(head))):
            if len(found[-1]) + len(block) > room and len(found[-1]) > len(head):
                found.append([*head])
            found[-1] += block
    return found


def _blocks(messages: Sequence[Message], voice: Voice) -> Iterator[OneBlock]:
    """The lines of each message; a heading in the place of the paragraph that is one. A blank line
    parts them, but none follows a heading.
    """
    heading, is_first = "", True
    for message in messages:
        if message.heading != heading:
            heading = message.heading
            yield [*([] if is_first else [BLANK]), *_head(heading, voice)]
            is_first = True
        if not message.text or (message.kind == "say" and message.text == heading):
            continue
        parted = not is_first and (message.heading or message.kind in PARTED)
        yield [*([BLANK] if parted else []), *said_lines([message], voice)]
        is_first = False


def _head(heading: str, voice: Voice) -> OneBlock:
    return [PrintedLine(line, "heading") for line in wrapped(heading, voice.text)]


def _cut(block: OneBlock, room: int) -> Iterator[OneBlock]:
    """A block that is too long for a page, in pieces."""
    for start in range(0, len(block), room):
        yield block[start : start + room]
