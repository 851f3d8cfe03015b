"""Files that a command makes: written whole, and refused with what would do."""

from __future__ import annotations

from pathlib import Path

from grammar.records import Refusal
from tutor.learner.files import said


def put(path: Path, data: bytes) -> None:
    """Write a file. Errors: ``Refusal`` where it cannot be written."""
    try:
        path.write_bytes(data)
    except (OSError, ValueError) as fault:
        found = f"{path} cannot be written: {said(fault)}."
        raise Refusal(found, "Name a file in a folder that is there.") from None


def made_folder(name: str) -> Path:
    """The folder of this name, made if it is not there. Errors: ``Refusal`` where it cannot be."""
    folder = Path(name)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as fault:
        found = f"{name} cannot be made a folder: {said(fault)}."
        raise Refusal(found, "Name a folder.") from None
    return folder
