"""The learner's settings in one small TOML file, in the folder that the system keeps for such."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from grammar.refusals import Place, Refusal
from tutor.front.user_place import user_folder
from tutor.learner.files import said, text_of
from tutor.teaching.settings import CHOICES, USUAL, Settings, changed

FILE_NAME = "settings.toml"
LARGEST = 100_000
CURE = "Put it right, or name another file with --settings FILE."
HEADING = "# Settings of platewalk: change them here, or type 'settings' while it runs."
MEANING: Mapping[str, str] = {
    "difference": "what there is between two points: p.d., voltage or potential difference",
    "pd_letter": "its letter: V or U",
    "energy_letter": "the letter of stored energy: E or W",
    "decimal_sign": "point or comma",
    "figures": "how many a rounded number keeps: 3 to 6",
    "asked": "everything, what is open, results, or the end",
    "row": "capacitors one after the other: chain or series group",
    "beside": "what is said beside our own words: nothing or in series",
}


def settings_path() -> Path:
    """Where the settings are kept unless another file is named."""
    return user_folder("config") / FILE_NAME


def read_settings(path: Path) -> Settings:
    """The settings of a file; where there is none, the usual ones.

    Errors: ``Refusal``, with its line where there is one, for a file that cannot be read, for
    what is no TOML, and for a key or a value that is not known.
    """
    try:
        text = text_of(path, LARGEST)
    except FileNotFoundError:
        return USUAL
    except Refusal as refusal:
        raise Refusal(f"The settings cannot be read. {refusal.found}", CURE) from None
    import tomllib  # the first prompt of whoever has set nothing does without

    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise _no_toml(str(fault), text) from None
    except (ValueError, RecursionError):
        beyond = "A number has too many digits, or brackets stand too deep in brackets."
        raise Refusal(f"The settings in {path} cannot be read. {beyond}", CURE) from None
    settings = USUAL
    for key, value in table.items():
        try:
            settings = changed(settings, key, value)
        except Refusal as refusal:
            place = _place_of(key, text)
            raise Refusal(refusal.found, refusal.cure, place) from None
    return settings


def write_settings(path: Path, settings: Settings) -> None:
    """Keep the settings, all at once or not at all.

    Errors: ``Refusal`` where the file cannot be written.
    """
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(as_toml(settings), "utf-8")
        beside.replace(path)
    except OSError as fault:
        with suppress(OSError):
            beside.unlink()
        found = f"The settings could not be kept in {path}: {said(fault)}."
        raise Refusal(found, "They hold until you leave.") from None


def as_toml(settings: Settings) -> str:
    """The file as it is written: every setting with its meaning."""
    lines = [HEADING]
    for name in CHOICES:
        value = getattr(settings, name)
        written = str(value) if isinstance(value, int) else f'"{value}"'
        lines.append(f"{name} = {written}  # {MEANING[name]}")
    return "\n".join(lines) + "\n"


def _place_of(key: str, text: str) -> Place | None:
    """The line that sets a key, or begins a table of its name."""
    pattern = re.compile(rf"\s*(?:\[\[?\s*)?[\"']?{re.escape(key)}[\"']?\s*[=.\]]")
    for number, line in enumerate(text.splitlines(), start=1):
        if pattern.match(line):
            return Place(number, len(line) - len(line.lstrip()) + 1, line)
    return None


def _no_toml(fault: str, text: str) -> Refusal:
    """A fault of the TOML reader, with its place as far as it tells it."""
    found = re.search(r"\(at line (\d+), column (\d+)\)", fault)
    lines = text.splitlines() or [""]
    number = min(int(found[1]), len(lines)) if found else len(lines)
    column = int(found[2]) if found else len(lines[-1]) + 1
    place = Place(number, column, lines[number - 1])
    return Refusal("This line is not TOML.", 'Write it like figures = 4 or pd_letter = "V".', place)
