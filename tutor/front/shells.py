
"""Which shell a chat gets: the terminal's, the one for plain lines, or the one for programs."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from tutor.front.surroundings import (
    PIPE_WIDTH,
    can_print_signs,
    columns,
    complain,
    is_terminal,
    page_for,
    settings_file,
    settings_for,
)

if TYPE_CHECKING:
    from tutor.front.chat_stages import Answer
    from tutor.front.options import Options
    from tutor.teaching.settings import Settings


def chat(options: Options) -> None:
    """Hold a chat. Errors: ``Refusal`` for a network or settings that cannot be read."""
    settings = settings_for(options)
    start = _walk(options, settings)
    if options.jsonl or options.plain or not is_terminal():
        _in_lines(options, settings, start)
    else:
        in_terminal(options, start)


def _walk(options: Options, settings: Settings) -> Answer | None:
    """The beginning of the walk that was asked for, if one was."""
    if options.text is None:
        return None
    from grammar.reading import read_network
    from tutor.front.chat import open_text

    text = _first_paragraph() if options.text == "-" else options.text
    return open_text(read_network(text), settings)


def _first_paragraph() -> str:
    """Standard input up to a blank line; what follows are the learner's lines."""
    lines: list[str] = []
    for line in iter(sys.stdin.readline, ""):
        if not line.strip() and lines:
            break
        lines.append(line)
    return "".join(lines)


def _in_lines(options: Options, settings: Settings, start: Answer | None) -> None:
    from tutor.front.chat import open_chat
    from tutor.front.pipe import Streams, talk, talk_json
    from tutor.front.saying import Voice

    begun = start or open_chat(settings)
    page = page_for(options)
    keeps = options.settings_file is not None or not options.jsonl
    file = settings_file(options) if keeps else None
    if options.jsonl:
        talk_json(begun, Streams(sys.stdin, sys.stdout, settings_file=file), page.ascii)
        return
    prompt = "> " if sys.stdin.isatty() and sys.stdout.isatty() else ""
    text = page if options.width else page._replace(width=min(page.width, PIPE_WIDTH))
    talk(begun, Streams(sys.stdin, sys.stdout, prompt, file), Voice(page, text))


def in_terminal(options: Options | None, start: Answer | None) -> None:
    """The chat in a terminal. Without options nothing is read before the first prompt."""
    from tutor.front.terminal import Screen, Shell

    width = options.width if options else None
    screen = Screen(
        width=lambda: width or columns(),
        ascii=bool(options and options.ascii) or not can_print_signs(sys.stdout),
        colour=not os.environ.get("NO_COLOR"),
        wide_text=width is not None,
        settings_file=lambda: settings_file(options),
    )
    Shell(screen, lambda: _usable_settings(options)).run(start)


def _usable_settings(options: Options | None) -> Settings:
    """The settings; where their file cannot be read, say so and take the usual ones."""
    from grammar.records import Refusal
    from tutor.front.options import Options as Given
    from tutor.teaching.settings import DEFAULTS

    try:
        return settings_for(options or Given())
    except Refusal as refusal:
        complain(refusal)
        return DEFAULTS
