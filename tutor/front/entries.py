"""Files that hold many descriptions: parted by blank lines, or one a line."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from grammar.any_text import sure_reading
from grammar.records import Description, Place, Refusal
from tutor.front.machine import refusal_json
from tutor.front.stories import explained


class FileEntry(NamedTuple):
    """One description of a file; ``line`` is the number of its first line, from 1."""

    line: int
    text: str

    @property
    def heading(self) -> str:
        """Its text without remarks, in one line."""
        return " ".join(line.partition("#")[0].strip() for line in self.text.split("\n")).strip()

    def description(self) -> Description:
        """What it says. Errors: ``Refusal`` with its place in the whole file."""
        try:
            return sure_reading(self.text).description
        except Refusal as refusal:
            raise self._placed(refusal) from None

    def explained(self) -> dict[str, Any]:
        """Its object for machines. Errors: ``Refusal`` with its place in the whole file."""
        try:
            read = sure_reading(self.text)
            return explained(read.text, read.description)
        except Refusal as refusal:
            raise self._placed(refusal) from None

    def _placed(self, refusal: Refusal) -> Refusal:
        place = refusal.place or Place(1, 1, self.text.partition("\n")[0])
        there = place._replace(line=place.line + self.line - 1)
        return Refusal(refusal.found, refusal.cure, there)


def entries(text: str, one_per_line: bool) -> Iterator[FileEntry]:
    """The descriptions of a file in its order; what is blank or holds only remarks is passed by."""
    if text.startswith("\ufeff"):
        text = " " + text[1:]
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    block: list[str] = []
    for number, line in enumerate([*lines, ""], start=1):
        if one_per_line:
            block, ends = [line], True
        else:
            ends = not line.strip()
            block = block if ends else [*block, line]
        if ends:
            if not all(_says_nothing(each) for each in block):
                first = number if one_per_line else number - len(block)
                yield FileEntry(first, "\n".join(block))
            block = []


def explain_file(text: str, one_per_line: bool) -> Iterator[dict[str, Any]]:
    """One object for machines for each description: its solution, or why it was refused.

    A refused one does not stop the rest; its line and column are counted in the whole file.
    """
    for entry in entries(text, one_per_line):
        try:
            yield entry.explained()
        except Refusal as refusal:
            yield refusal_json(refusal)


def _says_nothing(line: str) -> bool:
    return not line.partition("#")[0].strip()
