"""Files that someone hands over: read only where they are files, and no more than is bearable."""

from __future__ import annotations

import os
from pathlib import Path
from stat import S_ISREG

from grammar.refusals import Refusal

LARGEST = 2_000_000


def bytes_of(path: Path, most: int = LARGEST) -> bytes:
    """What is in an ordinary file of up to ``most`` bytes.

    Errors: ``FileNotFoundError``, and ``Refusal`` for whatever else keeps it from being read: a
    folder, a device, a pipe, a loop of links, a file that is too large or may not be read.
    """
    try:
        with open(path, "rb", opener=_opened) as file:
            if not S_ISREG(os.fstat(file.fileno()).st_mode):
                found = f"{path} is a device or a pipe, and no file."
                raise Refusal(found, "Name an ordinary file.")
            read = file.read(most + 1)
    except (FileNotFoundError, NotADirectoryError):
        raise FileNotFoundError(path) from None
    except (OSError, ValueError) as fault:
        raise Refusal(f"{path} cannot be read: {said(fault)}.", "Name another file.") from None
    if len(read) > most:
        raise Refusal(f"{path} has more than {most:,} bytes.", "Part it into smaller files.")
    return read


def _opened(path: str, flags: int) -> int:
    """Open at once, also a pipe that nobody writes to, where the system can."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


# What some editors call Unicode: a text, though with noughts between its letters.
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")


def text_of(path: Path, most: int = LARGEST) -> str:
    """The same as text in UTF-8, without a mark of its order of bytes. Errors: as above."""
    read = bytes_of(path, most)
    if b"\0" in read and not read.startswith(_UTF_16):
        raise Refusal(f"{path} is no text, but a picture or the like.", "Name a file of text.")
    try:
        return read.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refusal(f"{path} is not text in UTF-8.", "Save it as UTF-8.") from None


def said(fault: Exception) -> str:
    """What the system says of a fault, to stand in a sentence."""
    return (getattr(fault, "strerror", None) or str(fault)).lower()
