"""What is printed, whatever it is printed as: sheets of blocks, each with a line at its foot."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from tutor.desk.pictures.canvas import Picture
from tutor.desk.report import Heading


class GivenLines(NamedTuple):
    """What is given: lines of text, with the picture beside them if there is one."""

    lines: tuple[str, ...]
    picture: Picture | None = None


class Asking(NamedTuple):
    """One question of several, with answers to choose from; ``mark`` stands at its end."""

    label: str
    text: str
    options: tuple[str, ...] = ()
    mark: str = ""


class LineShown(NamedTuple):
    """A line of working, with its marks and the wrong answers to expect, a line each."""

    text: str
    marks: str = ""
    expected: tuple[str, ...] = ()
    label: str = ""


class Blank(NamedTuple):
    """Room to write: so many lines, with the beginning of the first where that is given."""

    lines: int
    begun: str = ""


class Entries(NamedTuple):
    """A list; the entries of one that is ``numbered`` count from 1."""

    entries: tuple[str, ...]
    numbered: bool = False


class Small(NamedTuple):
    """Words in small print."""

    text: str


SheetBlock: TypeAlias = Heading | GivenLines | Asking | LineShown | Blank | Entries | Small | str


class OnePaper(NamedTuple):
    """One learner's sheet, or the key to it; it begins on a new page. ``foot`` stands under it."""

    title: str
    foot: str
    blocks: tuple[SheetBlock, ...]


class Printed(NamedTuple):
    """Everything that goes into one file."""

    title: str
    papers: tuple[OnePaper, ...]
