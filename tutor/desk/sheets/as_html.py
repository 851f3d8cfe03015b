"""Sheets as one page of HTML that needs nothing else and prints a sheet to a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape
from typing import Final

from grammar.shown import visible
from tutor.desk.pictures.canvas import svg
from tutor.desk.report import Heading
from tutor.desk.sheets.formulas import MathsPiece, line_of, mathml, words_of
from tutor.desk.sheets.printed import (
    Asking,
    Blank,
    Entries,
    GivenLines,
    LineShown,
    OnePaper,
    Printed,
    Small,
)

STYLE: Final = """
:root { color-scheme: light dark; --ink: #1b1b1b; --paper: #fff; --line: #767676; }
@media (prefers-color-scheme: dark) { :root { --ink: #eee; --paper: #161616; --line: #9a9a9a; } }
body { font: 1.05rem/1.5 Georgia, "Times New Roman", serif; color: var(--ink);
  background: var(--paper); max-width: 48rem; margin: 0 auto; padding: 1rem; }
section { border-top: 2px solid var(--ink); margin-top: 2.5rem; }
.stated { display: flex; flex-wrap: wrap; gap: .5rem 2rem; align-items: flex-start;
  justify-content: space-between; }
.stated ul { list-style: none; margin: 0; padding: 0; flex: 1 1 18rem; }
svg { max-width: 100%; height: auto; }
.row { display: flex; gap: .75rem; align-items: baseline; margin: .35rem 0; }
.row > :nth-child(2) { flex: 1; }
.mark { font-weight: 600; white-space: nowrap; }
.options { list-style: none; margin: .1rem 0 .3rem 2rem; padding: 0; }
.expected { margin: 0 0 .5rem 2rem; padding: 0; list-style: none; }
.small, .expected { font-size: .88rem; }
.blank { border-bottom: 1px solid var(--line); height: 2rem; }
math { font-size: 1.05em; }
@media print { @page { size: A4; margin: 1.8cm; }
  :root { --ink: #000; --paper: #fff; }
  body { max-width: none; padding: 0; font-size: 11pt; }
  section { border: 0; margin: 0; break-before: page; }
  section:first-of-type { break-before: auto; }
  .stated, .row, h2, h3 { break-inside: avoid; } h2, h3 { break-after: avoid; } }
"""


def as_html(printed: Printed) -> str:
    """The whole page."""
    title = _text(printed.title)
    if len(printed.papers) == 1:
        papers = _contents(printed.papers[0], 0)
    else:
        papers = (line for at, paper in enumerate(printed.papers) for line in _paper(at, paper))
    return "\n".join([
        "<!DOCTYPE html>",
        '<html lang="en-GB">',
        '<head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{title}</title>",
        f"<style>{STYLE}</style></head>",
        f"<body><main><h1>{title}</h1>",
        *papers,
        "</main></body></html>",
        "",
    ])


def _paper(at: int, paper: OnePaper) -> Iterator[str]:
    yield f'<section aria-labelledby="paper-{at}"><h2 id="paper-{at}">{_text(paper.title)}</h2>'
    yield from _contents(paper, 1)
    yield "</section>"


def _contents(paper: OnePaper, within: int) -> Iterator[str]:
    """A paper's blocks, its headings by so many levels ``within`` those of a paper by itself."""
    for block in paper.blocks:
        if isinstance(block, Heading):
            level = block.level + within
            yield f"<h{level}>{_text(block.text)}</h{level}>"
        else:
            yield from _block(block)
    yield f'<p class="small">{_text(paper.foot)}</p>'


def _block(block: GivenLines | Asking | LineShown | Blank | Entries | Small | str) -> Iterator[str]:
    if isinstance(block, GivenLines):
        lines = _entries(block.lines)
        yield f'<div class="stated">{f"<ul>{lines}</ul>" if lines else ""}'
        if block.picture is not None:
            yield svg(block.picture)
        yield "</div>"
    elif isinstance(block, Asking):
        yield _row(block.label, _words(block.text), block.mark)
        if block.options:
            yield f'<ul class="options">{_entries(block.options)}</ul>'
    elif isinstance(block, LineShown):
        yield _row("", _line(block.text), block.marks)
        if block.expected:
            yield f'<ul class="expected">{_entries(block.expected)}</ul>'
    elif isinstance(block, Blank):
        if block.begun:
            yield f"<p>{_line(block.begun)}</p>"
        yield '<div class="blank"></div>' * block.lines
    elif isinstance(block, Entries):
        kind = "ol" if block.numbered else "ul"
        yield f"<{kind}>{_entries(block.entries)}</{kind}>"
    elif isinstance(block, Small):
        yield f'<p class="small">{_text(block.text)}</p>'
    else:
        yield f"<p>{_words(block)}</p>"


def _entries(texts: Iterable[str]) -> str:
    return "".join(f"<li>{_words(each)}</li>" for each in texts)


def _row(label: str, inside: str, mark: str) -> str:
    return (
        f'<div class="row"><span>{_text(label)}</span><span>{inside}</span>'
        f'<span class="mark">{_text(mark)}</span></div>'
    )


def _line(text: str) -> str:
    return _written(line_of(text))


def _words(text: str) -> str:
    return _written(words_of(text))


def _written(pieces: Iterable[MathsPiece]) -> str:
    return "".join(
        _text(piece) if isinstance(piece, str) else mathml(piece) for piece, _ in pieces
    )


def _text(text: str) -> str:
    return escape(visible(text, "\n"))
