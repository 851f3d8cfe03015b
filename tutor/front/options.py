"""The command line: what may be given, and what it means."""

from __future__ import annotations

import sys
from argparse import SUPPRESS, ArgumentParser, ArgumentTypeError, RawDescriptionHelpFormatter
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import partial
from types import MappingProxyType
from typing import Any, Literal, NamedTuple, NoReturn, TypeAlias

from grammar.shown import bearable, visible
from tutor.desk.pictures.views import View
from tutor.front.options_desk import (
    TEXT_HELP,
    Adder,
    add_class,
    add_items,
    add_mark,
    add_record,
    fault_of_items,
    fault_of_mark,
    fault_of_record,
)
from tutor.front.options_lead import add_lead
from tutor.front.options_print import (
    add_picture,
    add_printing,
    add_sheet,
    fault_of_picture,
    fault_of_printing,
    fault_of_sheet,
)

NARROWEST, WIDEST = 40, 200
USUAL_MOST, LARGEST_MOST = 10, 1_000
_DASHES = "\ufdd0"  # no character of any text: stands for -- while the options are sorted out

_SAME: Mapping[str, str] = MappingProxyType({"practise": "practice"})
_BESIDE_PRINT: Mapping[str, str] = MappingProxyType({
    "lesson": "the key to its tasks", "paper": "mark scheme and model answers",
})

SHELLS = ("bash", "zsh", "fish")
WORDS_FOR_PD = ("p.d.", "voltage", "potential difference")


Command: TypeAlias = Literal[
    "chat", "walk", "explain", "mark", "arrange", "lessons", "lesson", "practice", "review",
    "paper", "picture", "sheet", "record", "class", "lead", "completion", "version",
]


class Parser(ArgumentParser):
    """A parser whose messages hold nothing that moves a cursor, and fail where they cannot go."""

    def error(self, message: str) -> NoReturn:
        """Leave with a message that quotes no more than can be read."""
        super().error(bearable(f"{message}{_meant(message)}"))

    def _print_message(self, message: str, file: Any = None) -> None:
        (file or sys.stderr).write(visible(message, "\n"))


def _meant(message: str) -> str:
    """The word nearest to one that argparse does not know, of those it names after it."""
    from difflib import get_close_matches

    word, _, choices = message.partition("invalid choice: ")[2].partition(" (choose from ")
    near = get_close_matches(word.strip("'"), choices.strip(")").replace("'", "").split(", "), 1)
    return f". Did you mean {near[0]}?" if word and near else ""


class Options(NamedTuple):
    """What was asked for on the command line.

    ``text`` is None where no network was given, ``-`` for standard input; ``width`` is None for
    the terminal's own. ``what`` is the part of a command that has several, ``form`` that of an
    export.
    """

    command: Command = "chat"
    text: str | None = None
    plain: bool = False
    ascii: bool = False
    width: int | None = None
    pd_word: str | None = None
    settings: tuple[str, ...] = ()
    settings_file: str | None = None
    jsonl: bool = False
    json: bool = False
    file: str | None = None
    lines: bool = False
    brief: bool = False
    working: tuple[str, ...] = ()
    class_folder: str | None = None
    paper: str | None = None
    to: str | None = None
    scheme: str = ""
    scheme_only: bool = False
    most: int = USUAL_MOST
    record: str | None = None
    learner: str | None = None
    unrecorded: bool = False
    what: str = ""
    folder: str | None = None
    form: str = "jsonl"
    sure: bool = False
    files: tuple[str, ...] = ()
    full: bool = False
    since: date | None = None
    csv: bool = False
    lesson: str | None = None
    network: str | None = None
    number: int = 1
    lessons_from: str | None = None
    out: str | None = None
    show: View = "network"
    dark: bool = False
    open: bool = False
    projector: bool = False
    own_screen: bool = False
    report: bool = False
    answers: str | None = None
    session: str | None = None
    address: str | None = None
    port: int | None = None
    variants: int | None = None
    seed: int | None = None
    problems: int | None = None
    learners: str | None = None
    faded: bool = False
    key: Literal["whole", "answers", "none"] = "whole"
    title: str | None = None
    printed: str | None = None


def read_options(arguments: Sequence[str]) -> Options:
    """Sort out the arguments. Errors: ``SystemExit`` after help (0) or a usage message (2)."""
    parser = _parser()
    given = [_DASHES if each == "--" else each for each in arguments]
    known, others = parser.parse_known_args(given)
    found = vars(known)
    if others:
        _take_in(found, others, parser)
    if found.pop("version", False):
        return Options("version")
    words = [word.replace(_DASHES, "--") for word in found.pop("text", [])]
    text = " ".join(words) if words else None
    command = found["command"] = _SAME.get(found["command"] or "", found["command"] or "chat")
    found["settings"] = tuple(found.get("settings", ()))
    found["working"] = tuple(found.get("working", ()))
    found["files"] = tuple(found.get("files", ()))
    options = Options(text=text, **found)
    if (fault_of := FAULTS.get(command)) and (fault := fault_of(text, found)):
        parser.error(fault)
    if options.lines and options.file is None:
        parser.error("--lines goes with --file")
    return options


def _fault_of_explain(text: str | None, found: Mapping[str, Any]) -> str:
    if (text is None) == (found.get("file") is None):
        return "explain wants either a network or --file, as in: platewalk explain '4 uF'"
    return ""


def _fault_of_arrange(text: str | None, found: Mapping[str, Any]) -> str:
    del found
    return "" if text is not None else (
        "arrange wants what to find, as in: platewalk arrange '5 uF from 2 uF, 3 uF'"
    )


def _fault_of_lessons(text: str | None, found: Mapping[str, Any]) -> str:
    del text
    if found["what"] not in ("", "check", "skills"):
        return f"lessons takes check, skills or nothing, not {found['what']!r}"
    if (found["what"] == "check") != (found.get("folder") is not None):
        return "check wants a folder, as in: platewalk lessons check my-lessons"
    return ""


def _fault_of_lesson(text: str | None, found: Mapping[str, Any]) -> str:
    if text is None:
        return "lesson wants its number, as in: platewalk lesson 10"
    return fault_of_printing(text, found)


# What is wrong with the options of a command together; '' for nothing.
FAULTS: Mapping[str, Callable[[str | None, Mapping[str, Any]], str]] = MappingProxyType({
    "explain": _fault_of_explain,
    "mark": fault_of_mark,
    "picture": fault_of_picture,
    "sheet": fault_of_sheet,
    "items": fault_of_items,
    "record": fault_of_record,
    "arrange": _fault_of_arrange,
    "lessons": _fault_of_lessons,
    "lesson": _fault_of_lesson,
    "paper": fault_of_printing,
})


def _take_in(found: dict[str, Any], others: list[str], parser: Parser) -> None:
    """Words that an option stood in front of, as in: lessons check --json FOLDER."""
    words = [each for each in others if not each.startswith("-")]
    wants_one = found.get("command") == "lessons" and found.get("what")
    if wants_one and found.get("folder") is None and words == others and len(words) == 1:
        found["folder"] = words[0]
        return
    takes_files = found.get("what") == "merge" or found.get("command") == "class"
    if takes_files and words == others:
        found["files"] = [*found.get("files", ()), *others]
        return
    parser.error(f"unrecognized arguments: {' '.join(others)}".replace(_DASHES, "--"))


def _parser() -> Parser:
    shared = _shared_options()
    parser = Parser(
        prog="platewalk",
        description="Works through networks of capacitors with you, step by step, in a chat.",
        epilog="example: platewalk\n         (opens the chat; type help there)",
        formatter_class=RawDescriptionHelpFormatter,
        parents=[shared],
    )
    parser.add_argument("--version", action="store_true", help="print the version and leave")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    add = partial(
        commands.add_parser, formatter_class=RawDescriptionHelpFormatter, parents=[shared],
        argument_default=SUPPRESS,
    )
    for add_command in (
        _add_walk, _add_explain, add_mark, _add_arrange, _add_lessons, _add_courses, add_picture,
        add_sheet, add_record, add_class, add_items, add_lead,
    ):
        add_command(add)
    _add_completion(commands.add_parser)
    return parser


def _add_walk(add: Adder) -> None:
    walk = add(
        "walk",
        help="start the chat on a network",
        description="Starts the chat on a network, or without one if no text is given.",
        epilog="example: platewalk walk '4 uF -- (2 uF || 3 uF), across 12 V'",
    )
    after = "; lines that follow a blank line there are your answers"
    walk.add_argument("text", nargs="*", metavar="TEXT", help=TEXT_HELP + after)
    walk.add_argument(
        "--jsonl", action="store_true",
        help="for programs: one line in, messages out as one JSON object a line",
    )


def _add_explain(add: Adder) -> None:
    explain = add(
        "explain",
        help="print the whole solution with its reasons",
        description="Prints the whole solution of a network with the reason of every step.",
        epilog="example: platewalk explain '4 uF -- (2 uF || 3 uF), across 12 V'",
    )
    explain.add_argument("text", nargs="*", metavar="TEXT", help=TEXT_HELP)
    for name, says in (
        ("--json", "for programs: one JSON object"),
        ("--lines", "with --file: one network a line"),
        ("--brief", "only the lines that one writes on paper"),
    ):
        explain.add_argument(name, action="store_true", help=says)
    explain.add_argument(
        "--file", metavar="F",
        help="read networks from a file, parted by blank lines, and print the solution of each, or "
        "with --json one object each; - is standard input",
    )


def _add_arrange(add: Adder) -> None:
    arrange = add(
        "arrange",
        help="find how to make a capacitance from a stock",
        description="Finds the arrangements of a stock that make a wanted capacitance, the fewest "
        "capacitors first, or else the nearest; and says what is proven.",
        epilog="examples: platewalk arrange '5 uF from 2 uF, 3 uF, 6 uF'\n"
        "          platewalk arrange '5 uF from up to 5 x 2 uF, within 2 %'\n"
        "          platewalk arrange '12 uF for 100 V from 8 x 6 uF rated 63 V'\n"
        "          platewalk arrange '5 nF from E12 between 1 nF and 100 nF, up to 3 parts'\n"
        "          platewalk arrange 'every value from three 6 uF'",
    )
    arrange.add_argument(
        "text", nargs="*", metavar="TEXT",
        help="what is wanted of which stock; quote it; - reads it from standard input",
    )
    arrange.add_argument(
        "--most", type=_number_to_show, metavar="N",
        help=f"how many arrangements to show, {USUAL_MOST} unless said",
    )
    arrange.add_argument("--json", action="store_true", help="for programs: one JSON object")


def _add_lessons(add: Adder) -> None:
    lessons = add(
        "lessons",
        help="list the lessons, or check lessons of your own",
        description="Lists the lessons; with skills what a lesson may name and its fields; with "
        "check FOLDER looks through lessons of your own, solves every task and says which skills "
        "and slips each can tell apart. A head between lines +++ is converted.",
        epilog="examples: platewalk lessons\n          platewalk lessons skills\n"
        "          platewalk lessons check my-lessons",
    )
    lessons.add_argument("what", nargs="?", default="", metavar="check|skills")
    lessons.add_argument(
        "folder", nargs="?", metavar="FOLDER", help="a folder of lessons, or one lesson"
    )
    lessons.add_argument("--json", action="store_true", help="for programs: one JSON object a line")


def _add_completion(add: Adder) -> None:
    completion = add(
        "completion",
        help="print a script with which a shell completes commands and options",
        description="Prints a script for your shell; where it has to stand is the shell's affair.",
        epilog="example: platewalk completion bash > "
        "~/.local/share/bash-completion/completions/platewalk",
        formatter_class=RawDescriptionHelpFormatter,
    )
    completion.add_argument("what", choices=SHELLS, metavar="SHELL", help=", ".join(SHELLS))


def completion_script(shell: str) -> str:
    """A script for one of ``SHELLS`` that knows every command and option."""
    from shtab import complete

    return str(complete(_parser(), shell=shell))


def _add_courses(add: Adder) -> None:
    for name, says, what, example in (
        ("lesson", "begin a lesson in the chat", "its number or words of its title", "lesson 10"),
        ("practice", "practise in the chat, aimed at what you get wrong",
         "a skill, a shape or a kind of question; nothing takes what makes most sense now",
         "practice 'two in series, whole numbers'"),
        ("review", "look again at what you know, mixed", "", "review"),
        ("paper", "write a mixed paper without help, then have it marked and go over it",
         "units, marks or questions, minutes, seed", "paper 'units 3 and 4, 30 marks'"),
    ):
        aliases = [other for other, same in _SAME.items() if same == name]
        course = add(
            name, help=says, aliases=aliases, description=f"{says[:1].upper()}{says[1:]}.",
            epilog=f"example: platewalk {example}",
        )
        if what:
            course.add_argument("text", nargs="*", metavar="WORDS", help=what)
        if name in _BESIDE_PRINT:
            add_printing(course, _BESIDE_PRINT[name])
        course.add_argument(
            "--jsonl", action="store_true",
            help="for programs: one line in, messages out as one JSON object a line",
        )


def _shared_options() -> Parser:
    """Options of every command. They set nothing by themselves, so that an option before the
    command is not undone by the command's own copy.
    """
    shared = Parser(add_help=False, argument_default=SUPPRESS)
    shared.add_argument(
        "--plain", action="store_true",
        help="line by line, with no colour, no redrawing and no box characters",
    )
    shared.add_argument("--ascii", action="store_true", help="print ASCII characters alone")
    shared.add_argument("--width", type=_width, metavar="N", help="columns to use, 40 to 200")
    shared.add_argument(
        "--pd-word", choices=WORDS_FOR_PD, metavar="WORD", dest="pd_word",
        help="what a difference of potential is called: p.d., voltage or potential difference",
    )
    shared.add_argument(
        "--set", action="append", metavar="WORDS", dest="settings",
        help="a setting, as typed in the chat after set: 'decimal comma', 'figures 3'",
    )
    shared.add_argument(
        "--settings", metavar="FILE", dest="settings_file", help="where your settings are kept"
    )
    shared.add_argument(
        "--from", metavar="FOLDER", dest="lessons_from", help="a folder with lessons of your own"
    )
    shared.add_argument("--record", metavar="FILE", help="the record in which what you do is kept")
    shared.add_argument(
        "--learner", metavar="NAME", help="who is learning, by a name or a code of your choice"
    )
    shared.add_argument("--unrecorded", action="store_true", help="keep nothing of this chat")
    return shared


def _width(text: str) -> int:
    if not text.isdecimal() or not NARROWEST <= int(text[:9]) <= WIDEST:
        raise ArgumentTypeError(f"{text!r} is not a whole number from {NARROWEST} to {WIDEST}")
    return int(text)


def _number_to_show(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text[:9]) <= LARGEST_MOST:
        raise ArgumentTypeError(f"{text!r} is not a whole number from 1 to {LARGEST_MOST}")
    return int(text)
