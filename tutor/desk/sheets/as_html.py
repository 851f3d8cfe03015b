"""Sheets as one page of HTML that needs nothing else and prints a sheet to a page."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import Final

from grammar.shown import visible
from tutor.desk.pictures.canvas import svg
from tutor.desk.report import Heading
from tutor.desk.sheets.formulas import line_of, mathml
from tutor.desk.sheets.printed import (
    Asking,
    Blank,
    GivenLines,
    LineShown,
    OnePaper,
    Printed,
    SheetBlock,
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
    for block in paper.blocks:
        yield from _block(block)
    yield f'<p class="small">{_text(paper.foot)}</p></section>'


def _block(block: SheetBlock) -> Iterator[str]:
    if isinstance(block, Heading):
        yield f"<h{block.level + 1}>{_text(block.text)}</h{block.level + 1}>"
    elif isinstance(block, GivenLines):
        lines = "".join(f"<li>{_text(line)}</li>" for line in block.lines)
        yield f'<div class="stated">{f"<ul>{lines}</ul>" if lines else ""}'
        if block.picture is not None:
            yield svg(block.picture)
        yield "</div>"
    elif isinstance(block, Asking):
        yield _row(block.label, _text(block.text), block.mark)
        if block.options:
            options = "".join(f"<li>{_text(each)}</li>" for each in block.options)
            yield f'<ul class="options">{options}</ul>'
    elif isinstance(block, LineShown):
        yield _row("", _line(block.text), block.marks)
        if block.expected:
            said = "".join(f"<li>{_text(each)}</li>" for each in block.expected)
            yield f'<ul class="expected">{said}</ul>'
    elif isinstance(block, Blank):
        if block.begun:
            yield f"<p>{_line(block.begun)}</p>"
        yield '<div class="blank"></div>' * block.lines
    elif isinstance(block, Small):
        yield f'<p class="small">{_text(block.text)}</p>'
    else:
        yield f"<p>{_text(block)}</p>"


def _row(label: str, inside: str, mark: str) -> str:
    return (
        f'<div class="row"><span>{_text(label)}</span><span>{inside}</span>'
        f'<span class="mark">{_text(mark)}</span></div>'
    )


def _line(text: str) -> str:
    return "".join(
        _text(piece) if isinstance(piece, str) else mathml(piece) for piece, _ in line_of(text)
    )


def _text(text: str) -> str:
    return escape(visible(text, "\n"))
