"""A report as one page of HTML that needs nothing else: no script, no address outside, no colour
that carries a meaning alone. It prints well, and is read in order by a screen reader.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape

from grammar.shown import visible
from tutor.desk.report import Columns, Figure, Heading, ReportPart

STYLE = """
:root { color-scheme: light dark; --ink: #1b1b1b; --paper: #ffffff; --line: #767676;
  --head: #eeeeee; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #eeeeee; --paper: #161616; --line: #9a9a9a; --head: #2b2b2b; } }
body { font: 1rem/1.5 system-ui, sans-serif; color: var(--ink); background: var(--paper);
  max-width: 62rem; margin: 0 auto; padding: 1rem; }
a { color: inherit; }
h2 { margin-top: 2.5rem; border-bottom: 1px solid var(--line); }
table { border-collapse: collapse; margin: 1rem 0; }
caption { text-align: left; font-weight: 600; padding: .3rem 0; }
th, td { border: 1px solid var(--line); padding: .25rem .6rem; text-align: left;
  vertical-align: top; }
th { background: var(--head); }
.wide { overflow-x: auto; }
figure { margin: 1rem 0; }
svg { max-width: 100%; height: auto; }
@media print { body { max-width: none; padding: 0; } h2.part { break-before: page; }
  nav { display: none; } tr, figure { break-inside: avoid; } }
"""


def page_of(title: str, blocks: Iterable[ReportPart]) -> str:
    """The whole page under a title; headings of the second level can be jumped to."""
    blocks = tuple(blocks)
    labels = _labels(blocks)
    return "\n".join([
        "<!DOCTYPE html>",
        '<html lang="en-GB">',
        '<head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{text_of(title)}</title>",
        f"<style>{STYLE}</style></head>",
        "<body><main>",
        f"<h1>{text_of(title)}</h1>",
        *_index(blocks),
        *(_block(number, block, labels) for number, block in enumerate(blocks)),
        "</main></body></html>",
        "",
    ])


def text_of(text: str) -> str:
    """Text as it may stand anywhere in a page."""
    return escape(visible(text, "\n"))


def _index(blocks: Sequence[ReportPart]) -> Iterator[str]:
    parts = [
        (number, block.text) for number, block in enumerate(blocks)
        if isinstance(block, Heading) and block.level == 2
    ]
    if len(parts) > 1:
        yield '<nav aria-label="Parts of this page"><ul>'
        yield from (f'<li><a href="#part-{at}">{text_of(text)}</a></li>' for at, text in parts)
        yield "</ul></nav>"


def _labels(blocks: Sequence[ReportPart]) -> Mapping[int, str]:
    """What the region of each table is called, by its place: no two alike, so that whoever goes
    from region to region knows where they are.
    """
    found: dict[int, str] = {}
    times: Counter[str] = Counter()
    for number, block in enumerate(blocks):
        if isinstance(block, Columns):
            times[block.caption] += 1
            nth = times[block.caption]
            found[number] = block.caption if nth == 1 else f"{block.caption} ({nth})"
    return found


def _block(number: int, block: ReportPart, labels: Mapping[int, str]) -> str:
    if isinstance(block, Heading):
        return f'<h{block.level} id="part-{number}">{text_of(block.text)}</h{block.level}>'
    if isinstance(block, Columns):
        return "\n".join(_table(block, labels[number]))
    if isinstance(block, Figure):
        return (
            f'<figure role="img" aria-label="{text_of(block.told)}">{block.svg}</figure>'
            f"<p>{text_of(block.told)}</p>"
        )
    return f"<p>{_with_breaks(block)}</p>"


def _table(table: Columns, label: str) -> Iterator[str]:
    """A region of its own that takes the keyboard, since a wide table is moved sideways."""
    yield f'<div class="wide" tabindex="0" role="region" aria-label="{text_of(label)}"><table>'
    yield f"<caption>{text_of(table.caption)}</caption>"
    heads = "".join(f'<th scope="col">{text_of(head)}</th>' for head in table.heads)
    yield f"<thead><tr>{heads}</tr></thead><tbody>"
    for first, *others in table.rows:
        cells = "".join(f"<td>{_with_breaks(cell)}</td>" for cell in others)
        yield f'<tr><th scope="row">{_with_breaks(first)}</th>{cells}</tr>'
    yield "</tbody></table></div>"


def _with_breaks(text: str) -> str:
    return text_of(text).replace("\n", "<br>")
