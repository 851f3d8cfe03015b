"""What is open at any moment beside the problem: the fair copy and the settings."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal, TypeAlias

from tutor.teaching.hearing import plain
from tutor.teaching.marking.faircopy import ASKING, SAVING, file_in
from tutor.teaching.settings import setting_in

Beside: TypeAlias = tuple[Literal["copy", "how to save", "settings", "set"], str]

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
