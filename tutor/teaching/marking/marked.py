"""A marked script, whatever the problem was: its lines, the total, the scheme in words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from typing import Final, NamedTuple, ParamSpec, TypeVar

from grammar.records import Refusal
from grammar.shown import with_few_blanks
from tutor.circuit.values import Value, same
from tutor.teaching.judging import POWERS_OF_TEN, RELATIVE_TOLERANCE, point_moved
from tutor.teaching.marking.awarding import Awarded, Marks
from tutor.teaching.marking.grading import GradeFault, GradeVerdict, Judgement, Topic
from tutor.teaching.marking.scheme import Offer
from tutor.teaching.marking.working import WrittenLine, written_lines
from tutor.teaching.messages import Message

MOST_LINES: Final = 400
FAILED: Final = (
    "This program failed on this line. The fault is its own: nothing is taken off for it."
)
MOST_STATED: Final = 18  # in one line, three times what anybody writes there
TOO_MUCH: Final = "This line states too much at once. Write each value on a line of its own."
Result = TypeVar("Result")
Args = ParamSpec("Args")


class MarkedLine(NamedTuple):
    """One line of working. ``about`` names the last quantity it states, empty for none;
    ``malrules`` are for the record, ``remark`` for the learner.
    """

    line: int
    text: str
    about: str
    verdict: GradeVerdict
    fault: GradeFault | None
    malrules: tuple[str, ...]
    marks: Marks
    remark: str


class Credit(NamedTuple):
    """What was made of one value or choice that has marks: ``got`` out of ``of``.

    ``key`` is that of its question in the dialogue, empty where no one question asks for it;
    ``name`` is how learners write it. ``lines`` are the numbers of the lines about it; without any
    there is no ``verdict``, and marks are for what later lines show to have been known, with the
    value that an earlier slip led to if it is ``led_on``.
    """

    key: str
    name: str
    got: int
    of: int
    lines: tuple[int, ...] = ()
    verdict: GradeVerdict | None = None
    malrules: tuple[str, ...] = ()
    led_on: bool = False


class Marked(NamedTuple):
    """A marked script: ``total`` out of ``of``; ``first_error`` is the number of the line where
    the first error was made; ``scheme`` are the marks there are, in words; ``left_out`` names what
    nothing was written for; ``credits`` tell the same marks by what they are for;
    ``rules`` are those of marking, in words; ``note`` is what is to be said of the whole script.
    """

    lines: tuple[MarkedLine, ...]
    total: int
    of: int
    scheme: tuple[str, ...]
    first_error: int | None
    left_out: tuple[str, ...]
    credits: tuple[Credit, ...] = ()
    rules: tuple[str, ...] = ()
    note: str = ""


def lines_of(text: str) -> tuple[WrittenLine, ...]:
    """The lines of a script. Raises Refusal for too many."""
    written = written_lines(with_few_blanks(text))
    if len(written) > MOST_LINES:
        found = f"This script has more than {MOST_LINES} lines."
        raise Refusal(found, "Mark it in smaller pieces.")
    return written


def unless_failing(
    otherwise: Result, work: Callable[Args, Result], *of: Args.args, **named: Args.kwargs
) -> Result:
    """The result of work on one line, or ``otherwise`` where the program itself fails on it: a
    fault met on one line must not cost the rest of a script.
    """
    try:
        return work(*of, **named)
    except Exception:
        return otherwise


def without_wrong_guesses(
    lines: Sequence[tuple[Judgement[Topic], ...]],
) -> list[tuple[Judgement[Topic], ...]]:
    """Leave unread what was only guessed to be an answer, where a better one follows; what is
    wrong in numbers whatever it is of stays so, and has no marks. Where the same value follows
    under its name, the guess was none.
    """
    better: dict[Topic, Value | None] = {}
    found: list[tuple[Judgement[Topic], ...]] = []
    for grades in reversed(lines):
        kept: list[Judgement[Topic]] = []
        for each in reversed(grades):
            is_guess = each.guessed and each.verdict == "wrong"
            is_idle = is_guess and each.quantity in better
            is_idle = is_idle and not _is_same(each.value, better[each.quantity])
            is_way = is_guess and any(_is_way_to(each, other) for other in kept)
            if not (is_idle or is_way) or each.is_certain:
                kept.append(each._replace(given=each.given or is_idle))
                better |= {each.quantity: None} if each.verdict == "right" else {}
        for each in kept:
            if each.verdict != "wrong" or not each.guessed:
                better[each.quantity] = each.value if each.verdict == "carried" else None
        found.append(tuple(reversed(kept)))
    return found[::-1]


def _is_way_to(guess: Judgement[Topic], other: Judgement[Topic]) -> bool:
    """Whether a guess is of the number of a good value of another kind behind it on its line, to
    which it is the way then: 18 − 12 = 6, so V23 = 6 V.
    """
    one, value = guess.value, other.value
    if other.verdict == "wrong" or guess.quantity == other.quantity or not one or not value:
        return False
    shift = point_moved(abs(one), abs(value), RELATIVE_TOLERANCE)  # each is rounded by itself
    return shift in (0, *POWERS_OF_TEN)


def _is_same(one: Value | None, other: Value | None) -> bool:
    return one is not None and other is not None and same(one, other)


def with_what_it_earned(
    grades: Sequence[Judgement[Topic]], awarded: Awarded[Topic], at: int
) -> tuple[Judgement[Topic], ...]:
    """The judgements of the line ``at``, each carried one with what it has of its marks, where no
    rule of marking that has a remark of its own took them.
    """
    lost = awarded.lost
    if at in lost.units | lost.figures | lost.misread:
        return tuple(grades)
    return tuple(
        each if (at, each.quantity) in lost.contradicted else _with_earned(each, marks)
        for each, marks in zip(grades, awarded.marks[at], strict=True)
    )


def _with_earned(each: Judgement[Topic], marks: Marks) -> Judgement[Topic]:
    if each.verdict != "carried" or each.given:
        return each
    if marks.of and not marks.total:
        return each._replace(earned="nothing")
    is_way_alone = marks.method and each.is_final and not each.accurate
    return each._replace(earned="way") if is_way_alone else each


def marked_line(
    written: WrittenLine,
    said: tuple[str, str],
    grades: Sequence[Judgement[Topic]],
    awarded: Awarded[Topic],
    at: int,
) -> MarkedLine:
    """One line with its marks; ``said`` are what it is about and the remark."""
    about, remark = said
    marks = Marks(*(sum(column) for column in zip(Marks(), *awarded.marks[at], strict=True)))
    fault = next((g.fault for g in grades if g.fault), None)
    if fault is None and at in awarded.lost.units:
        fault = "unit"
    malrules = tuple(dict.fromkeys(m for g in grades for m in g.malrules))
    return MarkedLine(
        written.number,
        written.text,
        about,
        _worst(g.verdict for g in grades),
        fault,
        malrules,
        marks,
        remark,
    )


def _worst(verdicts: Iterable[GradeVerdict]) -> GradeVerdict:
    said = set(verdicts)
    order: tuple[GradeVerdict, ...] = ("wrong", "carried", "right")
    return next((verdict for verdict in order if verdict in said), "unread")


def in_all(
    lines: Sequence[MarkedLine],
    awarded: Awarded[Topic],
    scheme: Sequence[str],
    of: int,
    name: Callable[[Topic], str],
) -> Marked:
    """The lines with their total."""
    return Marked(
        tuple(lines),
        sum(line.marks.total for line in lines),
        of,
        tuple(scheme),
        next((line.line for line in lines if line.verdict == "wrong"), None),
        tuple(dict.fromkeys(name(item.quantity) for item in awarded.left)),
    )


def credits_of(
    rows: Sequence[Sequence[Judgement[Topic]]],
    numbers: Sequence[int],
    awarded: Awarded[Topic],
    items: Sequence[Offer[Topic]],
    called: Callable[[Topic], tuple[str, str]],
) -> tuple[Credit, ...]:
    """The marks by what they are for; ``numbers`` are those of the lines, ``called`` gives the key
    and the name of an item.
    """
    stated: dict[Topic, list[tuple[int, Judgement[Topic], Marks]]] = {}
    for number, row, marks_of_row in zip(numbers, rows, awarded.marks, strict=True):
        for each, marks in zip(row, marks_of_row, strict=True):
            if not each.given:
                stated.setdefault(each.quantity, []).append((number, each, marks))
    found = []
    for item in items:
        here = stated.get(item.quantity, [])
        got = sum(marks.total - marks.implied for _, _, marks in here)
        got += awarded.implied.get(item.quantity, 0)
        key, name = called(item.quantity)
        found.append(
            Credit(
                key,
                name,
                got,
                item.marks,
                tuple(dict.fromkeys(number for number, _, _ in here)),
                _worst(each.verdict for _, each, _ in here) if here else None,
                tuple(dict.fromkeys(m for _, each, _ in here for m in each.malrules)),
                item.quantity in awarded.led_on,
            )
        )
    return tuple(found)


def in_marks(number: int) -> str:
    """So many marks, in figures as on a paper."""
    return f"{number} mark{'' if number == 1 else 's'}"


def told_left_out(marked: Marked) -> str:
    """For what nothing was written. Of very much, those that follow on one another are told by
    the first and the last, and what such names mean and why there are so many is said.
    """
    names = marked.left_out
    if len(names) <= MOST_NAMED:
        return f"Nothing was written for: {', '.join(names)}."
    runs: list[list[str]] = []
    for each in sorted(names, key=_in_turn):
        if runs and _in_turn(each) == _next_to(runs[-1][-1]):
            runs[-1].append(each)
        else:
            runs.append([each])
    told = [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if run[2:] else run)]
    group = next(filter(_OF_SEVERAL, names), "")
    groups = f" {group} is that of several as one." if group else ""
    return (
        f"Nothing was written for: {', '.join(told)}.{groups} All of this counts where a problem "
        "does not say what it asks for, as 'asked: C, Q' at its end does."
    )


MOST_NAMED: Final = 12
_OF_SEVERAL: Final = re.compile(r"[A-Z]\d{3,}").fullmatch  # more than a number of one has


def _in_turn(name: str) -> tuple[str, int, str]:
    """By the letter, then by the number, then what is named otherwise."""
    letter, number = name[:1], name[1:]
    return (letter, int(number), "") if number.isdecimal() else (letter, 10**9, number)


def _next_to(name: str) -> tuple[str, int, str]:
    letter, number, rest = _in_turn(name)
    return letter, number + 1, rest


def summary(marked: Marked) -> str:
    """The total in words, with the line to look at first and what is to be said of the whole."""
    total = f"{marked.total} of {in_marks(marked.of)}."
    if marked.note:
        return f"{total} {marked.note}"
    if marked.first_error is None:
        return total
    return f"{total} The first thing to look at is line {marked.first_error}."


def in_chat(marking: Callable[[], Marked]) -> list[Message]:
    """A script marked within a dialogue: one message a line, then where to look first. No total
    is told, since what is still to come would count as lost.

    A script that cannot be marked gives one message that says why.
    """
    try:
        marked = marking()
    except Refusal as refusal:
        return [Message("verdict", str(refusal), verdict="unread")]
    said: list[Message] = []
    for line in marked.lines:
        if not line.text.strip():
            continue
        verdict = "right" if line.verdict == "carried" else line.verdict
        said.append(
            Message(
                "verdict",
                f"Line {line.line}: {line.remark}",
                verdict=verdict,
                malrules=line.malrules,
            )
        )
    if marked.first_error is not None:
        text = f"The first thing to look at is line {marked.first_error}."
        said.append(Message("say", text))
    return said
