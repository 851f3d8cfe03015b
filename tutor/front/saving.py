"""What a message asks the shell to keep: a fair copy in a file, settings in theirs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from grammar.refusals import Refusal
from tutor.learner.files import said
from tutor.teaching.messages import Message

_ELSEWHERE: Final = "Name another place, or allow writing there."


def carried_out(messages: Iterable[Message], settings_file: Path | None) -> Iterator[Message]:
    """The messages, each that wants something kept followed by how that went."""
    for message in messages:
        yield message
        wants_some = message.save_as is not None or message.keep is not None
        if wants_some and (told := carry_out(message, settings_file)):
            yield Message("say", told)


def carry_out(message: Message, settings_file: Path | None) -> str | None:
    """Do what the message asks, and say how it went; None where it asks for nothing.

    Settings are kept in ``settings_file``, if there is one. Nothing is written over a file that
    is there already, apart from the settings.
    """
    if message.save_as is not None:
        return save_copy(message.save_as, message.text)
    if message.keep is not None and settings_file is not None:
        from tutor.front.settings_place import write_settings

        try:
            write_settings(settings_file, message.keep)
        except Refusal as refusal:
            return str(refusal)
        return f"Kept in {settings_file}."
    return None


def save_copy(name: str, text: str) -> str:
    """Write the text to a new file and say so, or why not."""
    try:
        path = Path(name).expanduser()
        with path.open("x", encoding="utf-8") as file:
            file.write(f"{text}\n")
    except FileExistsError:
        return f"{name} is there already, and nothing was written over it. Give another name."
    except (OSError, ValueError, RuntimeError) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        return f"Nothing was saved in {name}: {why.lower()}. Give another name."
    return f"Saved in {path}."


def folder_for(name: str) -> Path:
    """The folder of this name, made if there is none. Errors: ``Refusal``."""
    path = Path(name).expanduser()
    try:
        path.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as fault:
        raise Refusal(f"The folder {name} cannot be made: {said(fault)}.", _ELSEWHERE) from None
    return path


def save_over(path: Path, text: str | bytes) -> None:
    """Write a whole file, over an earlier one of this name, its ends of line as they are.

    Errors: ``Refusal`` where it cannot be written.
    """
    try:
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    except (OSError, ValueError) as fault:
        raise Refusal(f"{path} cannot be written: {said(fault)}.", _ELSEWHERE) from None
