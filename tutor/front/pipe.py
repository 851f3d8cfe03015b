"""The shell for pipes, screen readers and programs: line by line, everything printed once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple, TextIO

from grammar.shown import json_line
from tutor.front.chat.stages import Answer, Chat, Gathering
from tutor.front.keeping import Keeper, Unkept
from tutor.front.saving import carried_out
from tutor.front.saying import Voice, said_lines
from tutor.teaching.depicted import in_words
from tutor.teaching.hearing import request_in
from tutor.teaching.messages import Message

DRAWN = "Drawn:"
STILL_HERE = "Still here; type stop or press Ctrl-D to leave."


class Streams(NamedTuple):
    """Where lines come from and go to; ``prompt`` is printed before each, if someone types.

    ``settings_file`` is where settings are kept, None to keep none; ``host`` holds the chat.
    """

    source: TextIO
    out: TextIO
    prompt: str = ""
    settings_file: Path | None = None
    host: Keeper | Unkept = Unkept()


def talk(start: Answer, streams: Streams, voice: Voice) -> None:
    """Hold a chat in plain lines, until it is left or the input ends.

    A drawing comes only where one is asked for, in plain ASCII, after the same in words.
    """

    def put(messages: Iterable[Message], line: str) -> None:
        wants_drawing = request_in(line) == "drawing"
        page = voice.page._replace(drawings=wants_drawing, ascii=True)
        done = carried_out(messages, streams.settings_file)
        done = map(_worded, done) if wants_drawing else done
        for each in said_lines(done, voice._replace(page=page)):
            print(each.text, file=streams.out)
        streams.out.flush()

    _hold(start, streams, put)


def talk_json(start: Answer, streams: Streams, ascii: bool = False) -> None:
    """The same with one JSON object a line for each message."""

    def put(messages: Iterable[Message], line: str) -> None:
        del line
        for message in carried_out(messages, streams.settings_file):
            print(json_line(fields(message), ascii), file=streams.out)
        streams.out.flush()

    _hold(start, streams, put)


def _worded(message: Message) -> Message:
    """With what a drawing shows in words before it."""
    if message.drawn is None:
        return message
    return message._replace(text="\n".join([message.text, *in_words(message.drawn), DRAWN]))


def fields(message: Message) -> dict[str, Any]:
    """A message as the object that programs get."""
    entry: dict[str, Any] = {
        "kind": message.kind, "text": message.text, "step": message.step, "about": message.about
    }
    if message.kind == "verdict":
        entry |= {"verdict": message.verdict, "malrules": list(message.malrules)}
    return entry


def _hold(start: Answer, streams: Streams, put: Callable[[Iterable[Message], str], None]) -> None:
    put(start.messages, "")
    chat: Chat = start.chat
    host = streams.host
    for line in _lines(streams):
        try:
            answer = host.hear(chat, line)
        except KeyboardInterrupt:  # a long answer is left, and not the chat
            if not streams.prompt:
                raise
            print(f"\n{STILL_HERE}", file=streams.out)
            continue
        put(answer.messages, line)
        chat = answer.chat
        if chat.is_over:
            return
    if isinstance(chat.stage, Gathering):
        answer = host.hear(chat, "")
        put(answer.messages, "")
        chat = answer.chat
    put((Message("say", "The input has ended."), *host.leave(chat).messages), "")


def _lines(streams: Streams) -> Iterator[str]:
    """Lines of the learner's without their ends; Ctrl-C at a prompt is no reason to go."""
    while True:
        try:
            streams.out.write(streams.prompt)
            streams.out.flush()
            line = streams.source.readline()
        except KeyboardInterrupt:
            if not streams.prompt:
                raise
            print(f"\n{STILL_HERE}", file=streams.out)
            continue
        if not line:
            return
        yield line.rstrip("\r\n")
