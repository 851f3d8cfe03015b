"""What is open at any moment beside the problem: the fair copy, the settings, what if."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Literal, TypeAlias

from tutor.teaching.hearing import plain
from tutor.teaching.settings import setting_in

Beside: TypeAlias = tuple[Literal["copy", "how to save", "settings", "set"], str]

_OPENING = re.compile(
    r"(?is)\s*(?:(?:and|so|but|now|ok(?:ay)?|well|hm+|then)[\s,]+)*"
    r"(?:wh?at|waht|wath)\s*(?:would\s+(?:happen|change)\s+|happens\s+|changes\s+|about\s+)?if\b"
    r"[\s:,]*(.*?)[\s?.!]*$"
)
ASKING = frozenset({
    "fair copy", "a fair copy", "the fair copy", "make a fair copy", "write a fair copy",
    "write it out", "write that out", "write everything out", "write it all out", "my working",
    "show my working", "working", "the working", "show working", "show the working",
    "write out my working", "full working", "my route", "whole working",
})
# A wish to keep it that names no file.
SAVING = frozenset({
    f"{verb}{what}" for verb in ("save", "export", "store")
    for what in ("", " it", " that", " the fair copy", " a fair copy", " my fair copy",
                 " fair copy", " my working", " the working", " everything", " to a file")
})
HOW_TO_SAVE = "To keep it, name a file, like: save it as copy.txt."
_SAVING = re.compile(
    r"(?is)\s*(?:please\s+)?(?:save|write|store|export)\s+(?:(?:the|my|a|this)\s+)?"
    r"(?:(?:fair\s+copy|working|it|that|everything)\s+)?(?:out\s+)?(?:to|as|in|into)\s+"
    r"(?:(?:the|a)\s+file\s+|file\s+)?(?P<file>.+?)\s*"
)
_FILE_ALONE = re.compile(
    r"(?is)\s*(?:save|export)\s+(?:(?:the\s+|my\s+)?(?:fair\s+copy|it)\s+)?"
    r"(?P<file>\S+\.[a-z]\w{0,4})\s*"
)
SETTINGS_WORDS = frozenset({
    "settings", "the settings", "my settings", "show settings", "show the settings",
    "show my settings", "setting", "options", "preferences", "change settings",
    "what can i set", "what can be set",
})


def beside_in(line: str, names: Collection[str]) -> Beside | None:
    """What a line asks for that leaves everything where it is: the fair copy with the file that it
    is to be kept in, how to keep it, the settings, or one of them set; None for any other line.
    ``names`` are those of the capacitors, which are no settings.
    """
    words = plain(line)
    name = file_in(line)
    if name is not None or words in ASKING:
        return "copy", name or ""
    if words in SAVING:
        return "how to save", ""
    if words in SETTINGS_WORDS:
        return "settings", ""
    wanted = setting_in(line, [*names])
    return None if wanted is None else ("set", wanted)


def file_in(line: str) -> str | None:
    """The file that a line asks the fair copy to be saved in, as it was typed."""
    found = _SAVING.fullmatch(line) or _FILE_ALONE.fullmatch(line)
    if found is None:
        return None
    return found["file"].strip("\"'") or None


def opens(line: str) -> str | None:
    """What follows ``what if`` at the start of a line; None for any other line."""
    found = _OPENING.match(line)
    return found[1] if found else None
