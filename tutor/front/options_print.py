"""The options of commands that make files to print: pictures and sheets."""

from __future__ import annotations

from argparse import SUPPRESS, ArgumentParser, RawDescriptionHelpFormatter
from collections.abc import Mapping
from typing import Any

from tutor.desk.pictures.views import SAID_OF_VIEWS, VIEWS
from tutor.front.options_desk import TEXT_HELP, Adder


def add_picture(add: Adder, shared: ArgumentParser) -> None:
    """``picture``: a network drawn."""
    picture = add(
        "picture",
        help="draw a network, or plates, as SVG or PNG",
        description="Draws a network, or a pair of plates, as SVG or PNG.",
        epilog="examples: platewalk picture '4 uF -- (2 uF || 3 uF), across 12 V' --out net.svg\n"
        "          platewalk picture '4 uF -- 2 uF, across 12 V' --show heights --out net.png\n"
        "          platewalk picture --file networks.txt --out pictures",
        formatter_class=RawDescriptionHelpFormatter,
        parents=[shared],
    )
    picture.add_argument("text", nargs="*", metavar="TEXT", help=TEXT_HELP)
    picture.add_argument(
        "--out", metavar="FILE", default=SUPPRESS,
        help="where the picture goes, a name that ends in .svg or .png; without it SVG is printed",
    )
    picture.add_argument(
        "--show", choices=VIEWS, metavar="VIEW", default=SUPPRESS,
        help="; ".join(f"{view}: {said}" for view, said in SAID_OF_VIEWS.items()),
    )
    picture.add_argument(
        "--dark", action="store_true", default=SUPPRESS, help="light lines on a dark ground"
    )
    picture.add_argument(
        "--file", metavar="F", default=SUPPRESS,
        help="draw every network of a file, parted by blank lines, into the folder --out",
    )


def fault_of_picture(text: str | None, found: Mapping[str, Any]) -> str:
    """What is wrong with the options of ``picture`` together; '' for nothing."""
    file = found.get("file")
    if (text is None) == (file is None):
        return "picture wants either a network or --file, as in: platewalk picture '4 uF'"
    if file is not None and found.get("out") is None:
        return "--file goes with --out FOLDER, where the pictures are put"
    return ""
