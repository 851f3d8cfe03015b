"""The scripts of a class as they lie in a folder: a file per learner, with a name and a seed.

A script may begin with lines such as ``name: Ada`` and ``seed: 7``; without them the name of the
file says both, as in ``Ada Lovelace seed 7.txt``. Lines keep the numbers that they have in the
file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from stat import S_ISREG
from typing import Final, NamedTuple

from grammar.records import Place, Refusal
from tutor.learner.files import text_of
from tutor.learner.rows import shown_name

LONGEST_SCRIPT: Final = 40_000
MOST_SCRIPTS: Final = 500
HEADS_WITHIN: Final = 6  # lines at the start of a script in which its name and seed may stand
_HEAD: Final = re.compile(r"(?i)\s*(name|pupil|seed)\s*[:=]\s*(.*?)\s*$")
_VARIANT: Final = r"(?:[\s_,.-]*v(?:ariant)?[\s_=.-]*(\d{1,4}))?"
_SEED: Final = re.compile(rf"(?i)(\d{{1,12}}){_VARIANT}")
_SEED_IN_NAME: Final = re.compile(
    rf"(?i)[\s_.,-]*(?:^|[\s_.,-])seed[\s_=-]*(\d{{1,12}}){_VARIANT}[\s_.-]*$"
)


class HandedIn(NamedTuple):
    """A script: whose it is, the ``file`` it stood in, and its ``text`` with the lines that are no
    working left empty. ``seed`` is None where none is said, ``variant`` 0.
    """

    pupil: str
    file: str
    text: str
    seed: int | None = None
    variant: int = 0

    @property
    def said_seed(self) -> str:
        """The seed as it stands on a paper, '' where none is said: 7, 91 variant 2."""
        if self.seed is None:
            return ""
        return f"{self.seed} variant {self.variant}" if self.variant else str(self.seed)


class Unmarked(NamedTuple):
    """A file that could not be marked, and why."""

    file: str
    why: Refusal


def scripts_in(folder: Path) -> Iterator[HandedIn | Unmarked]:
    """Every file of a folder by its name, hidden ones left out; folders within it are passed over.

    Errors: ``Refusal`` for a folder that there is not, that cannot be looked into, or that holds
    nothing or too much.
    """
    try:
        paths = sorted(
            path for path in folder.iterdir() if not path.name.startswith(".") and not path.is_dir()
        )
    except NotADirectoryError:
        raise Refusal(f"{folder} is no folder.", "Name the folder with the scripts.") from None
    except OSError as fault:
        why = (fault.strerror or str(fault)).lower()
        raise Refusal(f"{folder} cannot be looked into: {why}.", "Name another folder.") from None
    if not paths:
        raise Refusal(f"No script is in {folder}.", "Put in a text file for each learner.")
    if len(paths) > MOST_SCRIPTS:
        found = f"{folder} holds {len(paths)} files; {MOST_SCRIPTS} are read at once."
        raise Refusal(found, "Part them into several folders.")
    return map(script_in, paths)


def script_in(path: Path) -> HandedIn | Unmarked:
    """One file as a script, or why it is none."""
    try:
        if not S_ISREG(path.lstat().st_mode):
            raise Refusal(f"{path.name} is a link, a pipe or a device.", "Put in the file itself.")
        return handed_in_as(path, text_of(path, LONGEST_SCRIPT))
    except FileNotFoundError:
        return Unmarked(path.name, Refusal(f"{path.name} is gone.", "Put it back."))
    except OSError as fault:
        why = (fault.strerror or str(fault)).lower()
        return Unmarked(path.name, Refusal(f"{path.name} cannot be read: {why}.", "Allow it."))
    except Refusal as refusal:
        found = refusal.found.replace(str(path), path.name)
        return Unmarked(path.name, Refusal(found, refusal.cure, refusal.place))


def handed_in_as(path: Path, text: str) -> HandedIn:
    """The script with what its first lines and the name of its file say.

    Errors: ``Refusal`` for an empty script, and for a seed or a name that can be none.
    """
    lines = text.splitlines()
    heads: dict[str, str] = {}
    for at, line in enumerate(lines[:HEADS_WITHIN]):
        found = _HEAD.match(line)
        if found is None and line.strip():
            break
        if found is not None:
            kind = "seed" if found[1].lower() == "seed" else "name"
            if kind == "seed" and not _SEED.fullmatch(found[2]):
                place = Place(at + 1, found.start(2) + 1, line)
                raise Refusal("A seed is a whole number.", "Copy it from the sheet.", place)
            heads[kind] = found[2]
            lines[at] = ""
    if not any(line.strip() for line in lines):
        raise Refusal(f"Nothing is written in {path.name}.", "Ask for the working.")
    in_name = _SEED_IN_NAME.search(path.stem)
    stem = path.stem[: in_name.start()] if in_name else path.stem
    name = heads.get("name") or " ".join(stem.replace("_", " ").split()) or path.stem
    seed = _SEED.fullmatch(heads["seed"]) if "seed" in heads else in_name
    text, whose = "\n".join(lines), shown_name(name)
    if seed is None:
        return HandedIn(whose, path.name, text)
    return HandedIn(whose, path.name, text, int(seed[1]), int(seed[2] or 0))
