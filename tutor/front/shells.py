
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
    kept_settings,
    lines,
    page_for,
    settings_for,
)

if TYPE_CHECKING:
    from tutor.front.chat.stages import Answer
    from tutor.front.options import Options
    from tutor.front.record_place import Host
    from tutor.teaching.settings import Settings


def chat(options: Options, wish: str = "") -> None:
    """Hold a chat, on a network, a wish in words or neither.

    Errors: ``Refusal`` for a network, settings or a record that cannot be used.
    """
    from tutor.front.keeping import Opening
    from tutor.front.record_place import host_for

    if options.lessons_from is not None:
        look_into(options.lessons_from)
    settings = settings_for(options)
    text = _first_paragraph() if options.text == "-" else options.text
    host = host_for(options)
    start = host.open(Opening(settings, text, wish, options.lessons_from))
    if options.jsonl or options.plain or not is_terminal():
        _in_lines(options, host, start)
    else:
        _in_terminal(options, host, start)


def chat_at_once() -> None:
    """The chat in a terminal with no options: the first prompt waits for nothing that is not
    needed, which is all but a few modules where nothing is kept yet.
    """
    from tutor.front.record_place import host_for, record_path

    if not record_path().exists():
        _in_terminal(None, None, None)
        return
    from tutor.front.keeping import Opening

    host = host_for(None)
    _in_terminal(None, host, host.open(Opening(_usable_settings(None))))


def look_into(folder: str) -> None:
    """Say which lessons of a folder have a fault and are left out.

    Errors: ``Refusal`` for a folder without a lesson that can be used.
    """
    from pathlib import Path

    from grammar.refusals import Refusal
    from tutor.practice.library import lessons_in

    files = lessons_in(Path(folder))
    faulty = [each.name for each in files if each.faults]
    if faulty:
        left_out = Refusal(
            f"Left out, as there are faults in them: {', '.join(faulty)}.",
            f"See them with: platewalk lessons check {folder}",
        )
        if len(faulty) == len(files):
            raise left_out
        complain(left_out)


def _first_paragraph() -> str:
    """Standard input up to a blank line; what follows are the learner's lines."""
    lines: list[str] = []
    for line in iter(sys.stdin.readline, ""):
        if not line.strip() and lines:
            break
        lines.append(line)
    return "".join(lines)


def _in_lines(options: Options, host: Host, start: Answer) -> None:
    from tutor.front.pipe import Streams, talk, talk_json
    from tutor.front.saying import Voice

    page = page_for(options)
    file = None if options.jsonl and options.settings_file is None else kept_settings(options)
    if options.jsonl:
        talk_json(start, Streams(sys.stdin, sys.stdout, settings_file=file, host=host), page.ascii)
        return
    prompt = "> " if sys.stdin.isatty() and sys.stdout.isatty() else ""
    text = page if options.width else page._replace(width=min(page.width, PIPE_WIDTH))
    talk(start, Streams(sys.stdin, sys.stdout, prompt, file, host), Voice(page, text))


def _in_terminal(options: Options | None, host: Host | None, start: Answer | None) -> None:
    from tutor.front.terminal import Screen, Shell

    width = options.width if options else None
    screen = Screen(
        width=lambda: width or columns(),
        ascii=bool(options and options.ascii) or not can_print_signs(sys.stdout),
        colour=not os.environ.get("NO_COLOR"),
        wide_text=width is not None,
        settings_file=lambda: kept_settings(options),
        height=lines,
    )
    Shell(screen, lambda: _usable_settings(options), lambda: host or _host(options)).run(start)


def _host(options: Options | None) -> Host:
    from tutor.front.record_place import host_for

    return host_for(options)


def _usable_settings(options: Options | None) -> Settings:
    """The settings; where their file cannot be read, say so and take the usual ones."""
    from grammar.refusals import Refusal
    from tutor.teaching.settings import USUAL

    try:
        return settings_for(options)
    except Refusal as refusal:
        complain(refusal)
        return USUAL
