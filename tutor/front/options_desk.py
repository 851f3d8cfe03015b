"""The options of commands for a teacher: marking, and the record of several learners."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Final, TypeAlias

from tutor.teaching.marking.examining import OPTIONS

Adder: TypeAlias = Callable[..., ArgumentParser]
"""Adds a command: by its name, with its help; an option that is not given is not there."""

TEXT_HELP: Final = (
    "the network; quote it, as shells take || and brackets for their own; - reads it from "
    "standard input"
)

MOST_TASKS, LONGEST_SEED = 100, 9


def add_mark(add: Adder) -> None:
    """``mark``: one script, several, or those of a class."""
    mark = add(
        "mark",
        help="mark a script of working, or those of a class",
        description="Marks the working of a problem line by line. With --class every file of a "
        "folder is one learner's script: its name is the learner's, or a first line 'name: Ada' "
        "says whose it is. For a paper each script says its seed, in its name ('Ada seed 7.txt') "
        "or in a line 'seed: 7', and 'Question 2' on a line of its own begins the next question.",
        epilog="examples: platewalk mark '3 uF -- 7 uF, across 12 V' --working script.txt\n"
        "          platewalk mark '3 uF -- 7 uF, across 12 V' --class scripts --to marked\n"
        "          platewalk mark --paper 'units 3 and 4, 30 marks' --class scripts --to marked\n"
        "          platewalk mark '3 uF -- 7 uF, across 12 V' --scheme-only\n\n"
        + _examiners_choices(),
    )
    mark.add_argument("text", nargs="*", metavar="TEXT", help=TEXT_HELP)
    mark.add_argument(
        "--working", metavar="F", action="append",
        help="a file with working; - is standard input; several may be given, a learner each",
    )
    mark.add_argument(
        "--class", metavar="FOLDER", dest="class_folder",
        help="a folder with a file for each learner",
    )
    mark.add_argument(
        "--paper", metavar="WORDS",
        help="with --class: what was set is a paper, ordered in these words",
    )
    mark.add_argument(
        "--to", metavar="FOLDER",
        help="where to put the marked scripts, a table (marks.csv) and one page (marks.html)",
    )
    mark.add_argument(
        "--scheme", metavar="WORDS", help="settings of the mark scheme in words; see below"
    )
    mark.add_argument(
        "--scheme-only", action="store_true", dest="scheme_only",
        help="print the mark scheme of the problem, and mark nothing",
    )
    mark.add_argument("--json", action="store_true", help="for programs: one JSON object a line")


def _examiners_choices() -> str:
    """What --scheme takes: the examiner's choices, each with what it does."""
    choices = (f"  {name}: {effect}" for name, effect in OPTIONS.items())
    return "\n".join(("words for --scheme, parted by commas:", *choices))


def fault_of_mark(text: str | None, found: Mapping[str, Any]) -> str:
    """What is wrong with the options of ``mark`` together; '' for nothing."""
    working, is_class = found["working"], "class_folder" in found
    if found.get("scheme_only"):
        alone = text is not None and not working and not is_class
        return "" if alone else "--scheme-only goes with a problem alone"
    if bool(working) == is_class:
        return "mark wants either --working FILE or --class FOLDER"
    if (text is None) == ("paper" not in found):
        return (
            "mark wants the network of the problem, as in: platewalk mark '4 uF, ...'; or with "
            "--class a paper, as in: --paper 'units 3 and 4, 30 marks'"
        )
    if "-" in working and (len(working) > 1 or text == "-"):
        return "only one of the two can come from standard input"
    if not is_class and ("paper" in found or ("to" in found and len(working) == 1)):
        return "--paper and --to go with --class FOLDER"
    return ""


def fault_of_record(text: str | None, found: Mapping[str, Any]) -> str:
    """What is wrong with the options of ``record`` together; '' for nothing."""
    del text
    what, files = found["what"], found["files"]
    if what == "merge" and not files:
        return "merge wants the records to be taken in, as in: platewalk record merge a.sqlite"
    if what != "merge" and files:
        return f"{what} takes no files; name the record with --record {files[0]}"
    return ""


def add_record(add: Adder) -> None:
    """``record``: what is kept of learners."""
    record = add(
        "record",
        help="show, export, delete or bring together what is kept of learners",
        description="Shows in a line where each learner stands, or with --learner more of one; "
        "exports all that is kept; deletes a learner; merges the records of several machines into "
        "one, in which nothing is doubled however often that is done.",
        epilog="examples: platewalk record\n"
        "          platewalk record --learner Ada --full\n"
        "          platewalk record merge --record class.sqlite ada.sqlite ben.sqlite\n"
        "          platewalk record export --as csv > record.csv\n"
        "          platewalk record delete --learner Ada --sure",
    )
    record.add_argument(
        "what", nargs="?", choices=("show", "export", "delete", "merge"), default="show",
        metavar="show|export|delete|merge",
    )
    record.add_argument(
        "files", nargs="*", metavar="FILE", default=(), help="for merge: the records to be taken in"
    )
    record.add_argument(
        "--full", action="store_true",
        help="for show: every skill and every wrong idea with the evidence",
    )
    record.add_argument(
        "--as", dest="form", choices=("jsonl", "csv", "xapi"), metavar="FORM",
        help="for export: jsonl (JSON lines), csv (for a spreadsheet) or xapi (statements of "
        "IEEE 9274.1.1)",
    )
    record.add_argument("--sure", action="store_true", help="for delete: do it")


def add_class(add: Adder) -> None:
    """``class``: what a class holds."""
    of_class = add(
        "class",
        help="show what a class holds, from one or more records",
        description="Shows who stands where and needs what, which wrong ideas are about and a "
        "question for each, and how it went over the weeks. Nothing is scored and nobody ranked.",
        epilog="examples: platewalk class --record class.sqlite\n"
        "          platewalk class ada.sqlite ben.sqlite --to report\n"
        "          platewalk class --record class.sqlite --learner Ada",
    )
    of_class.add_argument(
        "files", nargs="*", metavar="FILE", default=(),
        help="records, each sitting counted once; without any the one of --record",
    )
    of_class.add_argument(
        "--since", type=_day, metavar="DAY",
        help="compare wrong ideas before and from this day on, as in 2026-11-09",
    )
    of_class.add_argument(
        "--csv", action="store_true",
        help="print the table of skills by learners alone, for a spreadsheet",
    )
    of_class.add_argument(
        "--to", metavar="FOLDER",
        help="where to put one page (class.html) and the table (class.csv); with --learner "
        "learner.html and learner.csv",
    )


def add_items(add: Adder) -> None:
    """``items``: tasks for other programs."""
    items = add(
        "items",
        help="write tasks as items of IMS QTI 3.0 for other programs",
        description="Writes a package of items (IMS QTI 3.0): each question of a task with its "
        "right answer, and for each wrong answer that is foreseen what is said to it.",
        epilog="examples: platewalk items 'two in series, whole numbers' --number 8 --out set.zip\n"
        "          platewalk items --lesson 10 --out lesson-10.zip\n"
        "          platewalk items --paper 'unit 3, 12 marks, seed 7' --out paper.zip\n"
        "          platewalk items --network '3 uF -- 7 uF, across 12 V' --out one.zip",
    )
    items.add_argument(
        "text", nargs="*", metavar="WORDS", help="a skill, a shape or a kind of question"
    )
    for name, metavar, says in (
        ("--lesson", "N", "the tasks of a lesson"),
        ("--paper", "WORDS", "a paper, ordered in these words"),
        ("--network", "TEXT", "one network or problem in stages"),
    ):
        items.add_argument(name, metavar=metavar, help=says)
    items.add_argument(
        "--number", type=_how_many, metavar="N",
        help="how many tasks of WORDS, each with other values, 1 unless said",
    )
    items.add_argument("--seed", type=_seed, metavar="N", help="which values, from this seed on")
    items.add_argument(
        "--out", metavar="FILE", required=True, help="the package to write, as in set.zip"
    )


def fault_of_items(text: str | None, found: Mapping[str, Any]) -> str:
    """What is wrong with the options of ``items`` together; '' for nothing."""
    sources = [text is not None, *(name in found for name in ("lesson", "paper", "network"))]
    if sum(sources) != 1:
        return "items wants one of WORDS, --lesson, --paper and --network"
    return ""


def _how_many(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text[:9]) <= MOST_TASKS:
        raise ArgumentTypeError(f"{text!r} is not a whole number from 1 to {MOST_TASKS}")
    return int(text)


def _seed(text: str) -> int:
    if not text.isdecimal() or len(text) > LONGEST_SEED:
        raise ArgumentTypeError(f"{text!r} is not a whole number of up to {LONGEST_SEED} figures")
    return int(text)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no day; write it as 2026-11-09") from None
