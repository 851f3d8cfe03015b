"""The options of guided sessions."""

from __future__ import annotations

from argparse import ArgumentTypeError

from tutor.front.options_desk import TEXT_HELP, Adder


def add_lead(add: Adder) -> None:
    """``lead``: a class led through a problem or a lesson."""
    lead = add(
        "lead",
        help="lead a class through a problem or a lesson",
        description="Leads a class: everyone predicts, the spread by value and by wrong idea is "
        "for you alone, then the answer is revealed. Without a problem the last session goes on. "
        "Answers are typed here (one a line, or '12 charge, 13 p.d.'), read from a file, or sent "
        "from the learners' own devices with --open.",
        epilog="examples: platewalk lead '4 uF -- (2 uF || 3 uF), across 12 V'\n"
        "          platewalk lead lesson 10 --open\n"
        "          platewalk lead --projector   (in a second window, for the class)\n"
        "          platewalk lead --report --to report.html",
    )
    lead.add_argument("text", nargs="*", metavar="TEXT", help=f"'lesson 10', or {TEXT_HELP}")
    for name, says in (
        ("--open", "open one page on this network, on which learners answer"),
        ("--projector", "show the class the session that is led in another window"),
        ("--own-screen", "this window is on a screen that the class does not see"),
        ("--report", "tell what was answered in a session, the last one unless one is named"),
    ):
        lead.add_argument(name, action="store_true", help=says)
    for name, metavar, says in (
        ("--answers", "FILE", "take answers from this file too, as lines are added to it"),
        ("--session", "FILE", "the file in which the session is kept"),
        ("--address", "ADDRESS", "with --open: this machine's address to open it at"),
        ("--to", "FILE", "with --report: write it as one page of HTML"),
    ):
        lead.add_argument(name, metavar=metavar, help=says)
    lead.add_argument(
        "--port", type=_port, metavar="N", help="with --open: the port to open it at, from 1024"
    )


def _port(text: str) -> int:
    if not text.isdecimal() or not 1024 <= int(text[:9]) <= 65535:
        raise ArgumentTypeError(f"{text!r} is not a whole number from 1024 to 65535")
    return int(text)
