"""``platewalk picture``: one network drawn, or every network of a file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from grammar.any_text import sure_reading
from grammar.records import Refusal
from tutor.desk.pictures.canvas import svg
from tutor.desk.pictures.pictured import picture_of
from tutor.desk.typesetting import png
from tutor.front.entries import entries
from tutor.front.out_files import made_folder, put
from tutor.teaching.settings import Settings

if TYPE_CHECKING:
    from tutor.front.options import Options

WANTING = 1
ENDINGS = (".svg", ".png")


def draw_one(text: str, options: Options, terms: Settings) -> None:
    """Draw a network into a file, or print it as SVG. Errors: ``Refusal``."""
    name = options.out
    if name is not None and not name.lower().endswith(ENDINGS):
        raise Refusal(
            f"{name} does not say what to draw.", "End the name in .svg or in .png."
        )
    drawn = _svg(text, options, terms)
    if name is None:
        sys.stdout.write(drawn)
    elif name.lower().endswith(".png"):
        put(Path(name), png(drawn))
    else:
        put(Path(name), drawn.encode())


def draw_every(text: str, options: Options, terms: Settings) -> int:
    """Draw each network of a file into a folder, as SVG and PNG, numbered in order.

    What cannot be drawn is told and passed over; the code is then 1.
    """
    assert options.out is not None, "the options see to it"
    folder, code = made_folder(options.out), 0
    for number, entry in enumerate(entries(text, one_per_line=False), start=1):
        try:
            drawn = _svg(entry.text, options, terms)
        except Refusal as refusal:
            print(f"line {entry.line}: {refusal}", file=sys.stderr)
            code = WANTING
            continue
        put(folder / f"{number:02}.svg", drawn.encode())
        put(folder / f"{number:02}.png", png(drawn))
    return code


def _svg(text: str, options: Options, terms: Settings) -> str:
    picture = picture_of(sure_reading(text).description, options.show, terms)
    return svg(picture, "dark" if options.dark else "light")
