"""The options of commands that make files to print: pictures and sheets."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable, Mapping
from typing import Any, Final

from tutor.desk.pictures.views import SAID_OF_VIEWS, VIEWS
from tutor.front.options_desk import TEXT_HELP, Adder

MOST_VARIANTS: Final = 400
MOST_PROBLEMS: Final = 40
LARGEST_SEED: Final = 10**9


def add_picture(add: Adder) -> None:
    """``picture``: a network drawn."""
    picture = add(
        "picture",
        help="draw a network, or plates, as SVG or PNG",
        description="Draws a network, or a pair of plates, as SVG or PNG.",
        epilog="examples: platewalk picture '4 uF -- (2 uF || 3 uF), across 12 V' --out net.svg\n"
        "          platewalk picture '4 uF -- 2 uF, across 12 V' --show heights --out net.png\n"
        "          platewalk picture --file networks.txt --out pictures",
    )
    picture.add_argument("text", nargs="*", metavar="TEXT", help=TEXT_HELP)
    picture.add_argument(
        "--out", metavar="FILE",
        help="where the picture goes, a name that ends in .svg or .png; without it SVG is printed",
    )
    picture.add_argument(
        "--show", choices=VIEWS, metavar="VIEW",
        help="; ".join(f"{view}: {said}" for view, said in SAID_OF_VIEWS.items()),
    )
    picture.add_argument("--dark", action="store_true", help="light lines on a dark ground")
    picture.add_argument(
        "--file", metavar="F",
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


def add_sheet(add: Adder) -> None:
    """``sheet``: problems for paper, with a key."""
    sheet = add(
        "sheet",
        help="make a sheet of problems and its key, to print",
        description="Makes a sheet of problems and, beside it, its key (NAME-key): from a lesson, "
        "from skills and shapes parted by ;, or from networks of your own. A seed makes the same "
        "sheet again; it stands on sheet and key.",
        epilog="examples: platewalk sheet lesson 10 --out sheet.pdf\n"
        "          platewalk sheet 'two in series; a chain in a parallel set' --variants 30 "
        "--out sheet.pdf\n"
        "          platewalk sheet --file networks.txt --learners class.txt --out sheet.html",
    )
    sheet.add_argument(
        "text", nargs="*", metavar="WORDS",
        help="a lesson by its number, or what to practise, parted by ;",
    )
    sheet.add_argument(
        "--out", metavar="FILE", required=True,
        help="where the sheet goes, a name that ends in .pdf, .html or .md",
    )
    sheet.add_argument(
        "--file", metavar="F",
        help="networks of your own, parted by blank lines; one variant has them as they stand, "
        "several have other values",
    )
    for name, says, most in (
        ("--problems", "how many problems each has; 8 unless said", MOST_PROBLEMS),
        ("--seed", "of the first variant; the others count on from it", LARGEST_SEED),
    ):
        sheet.add_argument(name, type=_number_to(most), metavar="N", help=says)
    sheet.add_argument(
        "--faded", action="store_true",
        help="each problem four times: worked, with one line left out, with two, with all",
    )
    _add_for_all(sheet)


def add_printing(parser: ArgumentParser, beside: str) -> None:
    """What a lesson or a paper needs to be printed, with something ``beside`` it."""
    parser.add_argument(
        "--print", metavar="FILE", dest="printed",
        help=f"print it, with {beside} beside it, as .pdf, .html or .md",
    )
    _add_for_all(parser)


def _add_for_all(parser: ArgumentParser) -> None:
    """What every print may have."""
    parser.add_argument(
        "--variants", type=_number_to(MOST_VARIANTS), metavar="N",
        help="how many, each of the same questions on other values; those of a sheet have seeds "
             "that count on, those of a paper one seed and a number",
    )
    parser.add_argument("--learners", metavar="FILE", help="a variant for each name, one a line")
    parser.add_argument(
        "--key", choices=("whole", "answers", "none"),
        help="whole: every line, its marks, the wrong answers to expect; answers alone; or none",
    )
    parser.add_argument("--title", metavar="WORDS", help="what it is called")


def _number_to(most: int) -> Callable[[str], int]:
    def number(text: str) -> int:
        if not text.isdecimal() or not 0 <= int(text[:12]) <= most:
            raise ArgumentTypeError(f"{text!r} is not a whole number up to {most}")
        return int(text)

    return number


def fault_of_sheet(text: str | None, found: Mapping[str, Any]) -> str:
    """What is wrong with the options of ``sheet`` together; '' for nothing."""
    if (text is None) == (found.get("file") is None):
        return "sheet wants a lesson, skills or --file, as in: platewalk sheet lesson 10"
    if found.get("variants") == 0 or found.get("problems") == 0:
        return "a sheet has at least one variant and one problem"
    return _fault_of_all(found)


def fault_of_printing(text: str | None, found: Mapping[str, Any]) -> str:
    """What is wrong with the options of a lesson or a paper together; '' for nothing."""
    del text
    given = [f"--{name}" for name in ("variants", "learners", "key", "title") if name in found]
    if given and "printed" not in found:
        return f"{given[0]} goes with --print FILE"
    return "at least one is printed" if found.get("variants") == 0 else _fault_of_all(found)


def _fault_of_all(found: Mapping[str, Any]) -> str:
    both = "variants" in found and "learners" in found
    return "either --variants N or --learners FILE says how many there are" if both else ""
