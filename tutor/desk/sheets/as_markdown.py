"""Sheets as Markdown (CommonMark), which any editor opens; pictures are files beside it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from grammar.shown import visible
from tutor.desk.pictures.canvas import svg
from tutor.desk.report import Heading
from tutor.desk.sheets.printed import (
    Asking,
    Blank,
    Entries,
    GivenLines,
    LineShown,
    Printed,
    SheetBlock,
    Small,
)

_SIGNS = re.compile(r"([\\`*_\[\]<>#|])")


class Markdown(NamedTuple):
    """The text, and the pictures by the names of their files."""

    text: str
    pictures: dict[str, str]


def as_markdown(printed: Printed, folder: str) -> Markdown:
    """The whole text; ``folder`` is where its pictures will be."""
    writer = _MarkdownWriter(folder, {})
    lines = [f"# {_plain(printed.title)}"]
    for paper in printed.papers:
        lines += ["", "---", "", f"## {_plain(paper.title)}", ""]
        for block in paper.blocks:
            lines += [*writer.block(block), ""]
        lines.append(_plain(paper.foot))
    text = re.sub(r"\n{3,}", "\n\n", "\n".join(lines)) + "\n"
    return Markdown(text, {name: drawn for drawn, name in writer.names.items()})


class _MarkdownWriter(NamedTuple):
    """Writes blocks; ``names`` has the file of every picture so far."""

    folder: str
    names: dict[str, str]

    def block(self, block: SheetBlock) -> Iterator[str]:
        """The lines of one block."""
        if isinstance(block, Heading):
            yield f"{'#' * (block.level + 1)} {_plain(block.text)}"
        elif isinstance(block, GivenLines):
            yield from (f"- {_plain(line)}" for line in block.lines)
            if block.picture is not None:
                drawn = svg(block.picture, "light")
                name = self.names.setdefault(drawn, f"{len(self.names) + 1:03}.svg")
                yield from ("", f"![{_plain(block.picture.words)}]({self.folder}/{name})")
        elif isinstance(block, Asking):
            mark = f" {_plain(block.mark)}" if block.mark else ""
            yield f"{block.label} {_plain(block.text)}{mark}".strip()
            yield from (("", *(f"- {_plain(each)}" for each in block.options)))
        elif isinstance(block, LineShown):
            yield f"- {_plain(block.text)}" + (f" **{block.marks}**" if block.marks else "")
            yield from (f"  - {_plain(each)}" for each in block.expected)
        elif isinstance(block, Entries):
            for at, each in enumerate(block.entries, start=1):
                yield f"{f'{at}.' if block.numbered else '-'} {_plain(each)}"
        elif isinstance(block, Blank):
            if block.begun:
                yield _plain(block.begun)
            yield from ("", "\n\n".join(["\\_" * 30] * block.lines))
        else:
            yield _plain(block.text if isinstance(block, Small) else block)


def _plain(text: str) -> str:
    return _SIGNS.sub(r"\\\1", " ".join(visible(text, "\n").split()))
