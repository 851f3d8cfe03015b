"""Sheets in the typesetter's language: the source of a PDF that is tagged as PDF/UA-1 wants it.

Whatever comes from outside stands in quoted strings, so that nothing typed is ever taken for
source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final, NamedTuple

from tutor.desk.pictures.canvas import Picture, svg
from tutor.desk.report import Heading
from tutor.desk.sheets.formulas import MathsPiece, line_of, quoted, typeset, words_of
from tutor.desk.sheets.printed import (
    Asking,
    Blank,
    Entries,
    GivenLines,
    LineShown,
    OnePaper,
    Printed,
    SheetBlock,
    Small,
)

POINTS_PER_PIXEL: Final = 0.68
WIDEST_BESIDE: Final = 250.0  # points: a wider picture stands below the list
WIDEST: Final = 470.0
_HEAD: Final = """#set text(lang: "en", region: "GB", size: 11pt)
#set par(leading: 0.62em, spacing: 0.9em)
#set page(paper: "a4", margin: (x: 2.1cm, top: 1.8cm, bottom: 2.2cm))
#show heading.where(level: 1): set text(size: 15pt)
#show heading.where(level: 2): set text(size: 12pt)
#show heading: set block(above: 1.3em, below: 0.8em, sticky: true)
#let pic(n, w, said) = image(bytes(sys.inputs.at("p" + str(n))), format: "svg", width: w, alt: said)
#let given(body) = { set par(spacing: 0.62em); body }
#let beside(said, drawn) = grid(columns: (1fr, auto), column-gutter: 14pt, said, drawn)
#let maths(said, body) = math.equation(alt: said, math.display(body))
#let line-of(body, mark, wide: 1.2em) = grid(
  columns: (wide, 1fr, auto), column-gutter: 6pt, inset: (y: 1.2pt),
  align: (start, start + horizon, end + horizon), [], body, strong(mark))
#let asked(label, body, mark) = block(sticky: true, grid(
  columns: (if label == "" { 0pt } else { 1.2em }, 1fr, auto),
  column-gutter: if label == "" { 0pt } else { 6pt }, label, body, mark))
#let small(body) = text(size: 9pt, body)
#let ruled(n) = for _ in range(n) {
  block(above: 0.78cm, below: 0.5cm, line(length: 100%, stroke: 0.3pt + luma(150)))
}
#let paper(foot, body) = {
  set page(footer: context grid(columns: (1fr, auto), small(foot), small(counter(page).display())))
  counter(page).update(1)
  body
}
"""


class TypstSource(NamedTuple):
    """A source and the pictures it asks for by name."""

    text: str
    inputs: dict[str, str]


def as_typst(printed: Printed) -> TypstSource:
    """The whole file."""
    writer = _Writer({}, [])
    lines = [f"#set document(title: {quoted(printed.title)})", _HEAD]
    for paper in printed.papers:
        lines += writer.paper(paper)
    return TypstSource("\n".join(lines), {f"p{at}": text for at, text in enumerate(writer.drawn)})


class _Writer(NamedTuple):
    """Writes blocks; ``drawn`` are the pictures so far, each once, ``places`` where each is."""

    places: dict[str, int]
    drawn: list[str]

    def paper(self, paper: OnePaper) -> Iterator[str]:
        """One sheet, on pages of its own."""
        yield f"#paper({quoted(paper.foot)})["
        yield f"#heading(level: 1, {quoted(paper.title)})"
        for block, after in zip(paper.blocks, (*paper.blocks[1:], ""), strict=True):
            if isinstance(block, str) and isinstance(after, Heading):
                yield f"#block(sticky: true)[{_words(block)}]"  # what leads up to a problem
            else:
                yield from self.block(block)
        yield "]"

    def block(self, block: SheetBlock) -> Iterator[str]:
        """One block."""
        if isinstance(block, Heading):
            yield f"#heading(level: {block.level}, {quoted(block.text)})"
        elif isinstance(block, GivenLines):
            yield self.stated(block)
        elif isinstance(block, Asking):
            options = "".join(f"#linebreak(){_words(each)}" for each in block.options)
            yield (
                f"#asked({quoted(block.label)}, [{_words(block.text)}{options}], "
                f"{quoted(block.mark)})"
            )
        elif isinstance(block, LineShown):
            yield from _worked(block)
        elif isinstance(block, Blank):
            if block.begun:
                yield f"#par({_line(block.begun)})"
            yield f"#ruled({block.lines})"
        elif isinstance(block, Entries):
            entries = ", ".join(f"[{_words(each)}]" for each in block.entries)
            yield f"#{'enum' if block.numbered else 'list'}({entries})"
        elif isinstance(block, Small):
            yield f"#par(small({quoted(block.text)}))"
        else:
            yield f"#par[{_words(block)}]"

    def stated(self, block: GivenLines) -> str:
        """The list, the picture beside it or, where it is wide, below."""
        said = "".join(f"#par(hanging-indent: 1em)[{_words(line)}]" for line in block.lines)
        if block.picture is None:
            return f"#given[{said}]"
        drawn = self.picture(block.picture)
        if block.picture.width * POINTS_PER_PIXEL <= WIDEST_BESIDE:
            return f"#beside(given[{said}], {drawn})"
        return f"#given[{said}]\n#{drawn}"

    def picture(self, picture: Picture) -> str:
        """A picture with its words."""
        text = svg(picture._replace(words="", title=""), "light")
        place = self.places.setdefault(text, len(self.places))
        if place == len(self.drawn):
            self.drawn.append(text)
        wide = min(picture.width * POINTS_PER_PIXEL, WIDEST)
        return f"pic({place}, {wide:.0f}pt, {quoted(picture.words)})"


def _worked(block: LineShown) -> Iterator[str]:
    yield f"#line-of({_line(block.text)}, {quoted(block.marks)})"
    if block.expected:
        said = "#linebreak()".join(map(_words, block.expected))
        yield f"#line-of(small([{said}]), \"\", wide: 3em)"


def _line(text: str) -> str:
    """A line with its mathematics, as one piece of content."""
    return f"[{_content(line_of(text))}]"


def _words(text: str) -> str:
    """Words with the names in them, as the inside of a piece of content."""
    return _content(words_of(text))


def _content(pieces: Iterable[MathsPiece]) -> str:
    return "".join(
        f"#{quoted(piece)}" if isinstance(piece, str)
        else f"#maths({quoted(said)}, ${typeset(piece)}$)"
        for piece, said in pieces
    )
