
"""What stands around the program: its terminal, its encoding, the learner's settings."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from grammar.refusals import Refusal
    from tutor.front.options import Options
    from tutor.front.plain import Page
    from tutor.teaching.settings import Settings

PIPE_WIDTH = 70
NARROWEST = 40
SIGNS = "µ≈−½²×─╢║"


def is_terminal() -> bool:
    """Whether both sides are a terminal that can move its cursor."""
    both = sys.stdin.isatty() and sys.stdout.isatty()
    return both and os.environ.get("TERM", "dumb" if os.name == "posix" else "") != "dumb"


def can_print_signs(stream: TextIO) -> bool:
    """Whether the stream takes more than ASCII."""
    try:
        SIGNS.encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def columns() -> int:
    """The width of the terminal now."""
    from shutil import get_terminal_size

    return get_terminal_size().columns


def lines() -> int:
    """The height of the terminal now."""
    from shutil import get_terminal_size

    return get_terminal_size().lines


def page_for(options: Options) -> Page:
    """The page to print on, by the options and by what standard output is."""
    from tutor.front.plain import Page

    width = options.width or (columns() if sys.stdout.isatty() else PIPE_WIDTH)
    return Page(width, options.ascii or not can_print_signs(sys.stdout), not options.plain)


def settings_file(options: Options | None) -> Path:
    """Where settings are kept: the file named, or the one in the system's own place."""
    if options is not None and options.settings_file is not None:
        return Path(options.settings_file)
    from tutor.front.settings_place import settings_path

    return settings_path()


def kept_settings(options: Options | None) -> Path | None:
    """Where settings typed in a chat are kept; nowhere where nothing of it is to be kept."""
    is_unkept = options is not None and options.unrecorded and options.settings_file is None
    return None if is_unkept else settings_file(options)


def settings_for(options: Options | None) -> Settings:
    """The learner's settings, changed by the options.

    What a program reads does not depend on whose machine it runs on: there only a file that is
    named counts. Errors: ``Refusal`` for a file or words that cannot be used.
    """
    from tutor.front.settings_place import read_settings
    from tutor.teaching.settings import USUAL, changed, set_by_words

    if options is None:
        return read_settings(settings_file(None))
    settings = USUAL
    if options.settings_file is not None or not (options.json or options.jsonl):
        settings = read_settings(settings_file(options))
    if options.pd_word is not None:
        settings = changed(settings, "difference", options.pd_word)
    for words in options.settings:
        settings = set_by_words(settings, words)
    return settings


def complain(refusal: Refusal, width: int | None = None) -> None:
    """Show on standard error what was refused, where, and what would do.

    ``width`` is in columns; None is the terminal's own, or that of a page.
    """
    from grammar.refusals import WIDTH, show
    from grammar.shown import visible
    from tutor.front.plain import to_ascii

    own = columns() if sys.stderr.isatty() else WIDTH
    shown = show(refusal, max(NARROWEST, width or own))
    text = visible(shown, "\n")
    print(text if can_print_signs(sys.stderr) else to_ascii(text), file=sys.stderr)
