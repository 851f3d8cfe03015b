"""What whoever leads may type, and what is shown of it: to them alone, or to the class."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from random import Random
from time import time
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from grammar.records import Refusal
from tutor.desk.leading.class_predictions import NO_ANSWER, JudgedAs, Spread, advice
from tutor.desk.leading.class_view import class_view, rounds_table
from tutor.desk.leading.kept_session import AFTER_WORDS, OUTCOME_WORDS
from tutor.desk.leading.led import Led
from tutor.desk.leading.posed import PutQuestion, hint_for
from tutor.desk.leading.session import Happening, twin_in
from tutor.desk.leading.tally import answers_in
from tutor.desk.report import Columns, ReportPart
from tutor.learner.files import text_of
from tutor.teaching.hearing import plain
from tutor.teaching.messages import Message
from tutor.teaching.speech import counted, listed

Eyes: TypeAlias = Literal["class", "own"]
MOST_EXPLAINED = 3
DESK = "desk "  # whose answers were typed here
HELP = """\
While a question is on, type answers: one a line, or a tally such as 12 charge, 13 p.d.
take FILE  answers from a file, one a line
spread     what was answered, by value and by wrong idea: for you alone
which      the answers that occurred, in any order and without numbers: for the class to talk about
again      ask once more, after talking, a hint or an explanation
hint       a hint to all
explain    what the wrong ideas among the answers overlook, to all
twin       the same of another network, to be answered alone
reveal     both rounds side by side, then the answer with its reason
next       on, after a reveal or a reading
question   what the class has before it, once more
undo       take back the answer typed last
door       where the class comes in, as a code to scan and in words: for the class
who        who has come in by the page, and whether they have answered
stop       leave; 'platewalk lead' goes on with it
end        end for good: what is kept has no names, and groups under five as 'a few'; with
           --record the first answers of who gave a name go into that record"""
NOT_NOW = "That is for a question that is being asked. 'next' goes on."
FIRST_REVEAL = "The question is still open: 'reveal' tells its answer, then 'next' goes on."
NO_COMMAND = (
    "Not noted: '{0}' is no answer to this question that can be read, and 'help' lists no such "
    "word. To count it all the same, write 1 × {0}"
)
NO_ANSWERS = "There are no answers yet. Type them, one a line, or as a tally."


class DeskReply(NamedTuple):
    """What a line leads to: for whose eyes, what is said or tabled, and whether one leaves."""

    eyes: Eyes
    parts: tuple[Message | ReportPart, ...]
    leaves: bool = False


def own(*texts: str) -> DeskReply:
    """Something said to whoever leads."""
    return DeskReply("own", tuple(Message("say", text) for text in texts))


def hear_lead(led: Led, line: str) -> DeskReply:
    """One line of whoever leads. Errors: ``Refusal`` where the session cannot be written."""
    words = plain(line)
    first, _, rest = line.strip().partition(" ")
    if first.lower() == "take" and rest:
        return _take(led, rest.strip())
    command = COMMANDS.get(words)
    if command is not None:
        return command(led)
    if not words:
        return _so_far(led)
    if not led.session.is_asking:
        return own("No question is open. 'next' goes on, 'help' lists what can be typed.")
    given = answers_in(line)
    texts = [text for _, text in given]
    if given == [(1, line.strip())] and list(_judged_as(led, "unread", texts)):
        return own(NO_COMMAND.format(line.strip()))
    taken = [_said(led, text, times, place) for place, (times, text) in enumerate(given)]
    led.take(taken)
    noted = ", ".join(f"{each['times']} × {each['text']}" for each in taken)
    return DeskReply("own", (*own(f"Noted: {noted}", *_no_answers(led, texts)).parts,
                             *_so_far(led).parts))


def _no_answers(led: Led, texts: list[str]) -> Iterator[str]:
    """Which of the texts are no answer to the question that is open."""
    if unread := list(_judged_as(led, "unread", texts)):
        yield f"Not read as an answer to this question: {listed(unread)}."
    if elsewhere := list(_judged_as(led, "elsewhere", texts)):
        yield f"An answer to another question than this one: {listed(elsewhere)}."


def _judged_as(led: Led, outcome: JudgedAs, texts: list[str]) -> Iterator[str]:
    posed = led.session.posed
    assert posed is not None, "asked while a question is open"
    yield from (f"'{each}'" for each in texts if led.judging(posed, each).outcome == outcome)


def _said(led: Led, text: str, times: int, place: int = 0) -> Happening:
    """An answer typed here; what is counted together has nobody's name."""
    posed = led.session.posed
    assert posed is not None, "asked while a question is open"
    hand = f"{DESK}{len(posed.rounds[-1].predictions) + place}"
    return {"event": "said", "who": hand, "text": text, "times": times,
            "question": posed.number, "round": posed.round}


def now_before_the_class(led: Led) -> DeskReply:
    """What the class has before it."""
    session = led.session
    parts: list[Message | ReportPart] = []
    posed = session.posed
    if session.stage == "revealed" and posed is not None:
        table = rounds_table(posed, [led.spread(posed, each) for each in posed.rounds])
        parts += [table] if table is not None else []
    return DeskReply("class", (*parts, *class_view(session)))


def _question(led: Led) -> DeskReply:
    return now_before_the_class(led)


def _so_far(led: Led) -> DeskReply:
    posed = led.session.posed
    if not led.session.is_asking or posed is None:
        return own("'next' goes on." if led.session.stage != "over" else "The session is over.")
    number = posed.rounds[-1].answered
    told = "nobody has answered yet" if not number else f"{counted(number, 'answer')} so far"
    return own(f"Round {posed.round}: {told}.")


# Answers looked at


def _open_question(led: Led) -> PutQuestion | None:
    return led.session.posed if led.session.is_asking else None


def _spread(led: Led) -> DeskReply:
    posed = led.session.posed
    if posed is None:
        return own(NOT_NOW)
    spreads = [led.spread(posed, each) for each in posed.rounds]
    if not any(spread.answers for spread in spreads):
        return own(NO_ANSWERS)
    parts: list[Message | ReportPart] = [*_tables(posed, spreads)]
    if posed.answer is None and spreads[-1].answers:
        parts.append(Message("say", advice(spreads[-1])))
    return DeskReply("own", tuple(parts))


def _tables(posed: PutQuestion, spreads: list[Spread]) -> Iterator[Columns]:
    """By value and by wrong idea, the rounds side by side, every number as it is."""
    heads = tuple(AFTER_WORDS[each.after] for each in posed.rounds)
    rows = {row.said: row for spread in spreads for row in spread.rows}
    columns = [{row.said: row.times for row in spread.rows} for spread in spreads]
    said_of = [
        (f"{said} ({word})" if (word := OUTCOME_WORDS[row.outcome]) else said,
         *(str(column.get(said, 0)) for column in columns))
        for said, row in rows.items()
    ]
    right = ("Right in all", *(f"{spread.right} of {spread.read}" for spread in spreads))
    yield Columns("Answers", ("Answer", *heads), (*said_of, right))
    ideas = [dict(spread.ideas) for spread in spreads]
    if names := dict.fromkeys(name for column in ideas for name in column):
        yield Columns("Wrong ideas that give such answers", ("Someone who so answers", *heads),
                      tuple((name, *(str(column.get(name, 0)) for column in ideas))
                            for name in names))


def _which(led: Led) -> DeskReply:
    """In an order by chance that is the same each time, so that nothing is read from it."""
    posed = _open_question(led)
    if posed is None:
        return own(NOT_NOW)
    spread = led.spread(posed, posed.rounds[-1])
    said = [row.said for row in spread.rows if row.outcome not in NO_ANSWER]
    if not said:
        return own(NO_ANSWERS)
    Random(f"{posed.number} {posed.round}").shuffle(said)
    lines = "\n".join(["These answers occurred. What speaks for each?", *said])
    return DeskReply("class", (Message("ask", posed.text), Message("say", lines)))


# The course of a question


def _again(led: Led) -> DeskReply:
    posed = _open_question(led)
    if posed is None:
        return own(NOT_NOW)
    if not posed.rounds[-1].predictions:
        return own(NO_ANSWERS)
    led.happened({"event": "again"})
    return now_before_the_class(led)


def _hint(led: Led) -> DeskReply:
    posed = _open_question(led)
    if posed is None:
        return own(NOT_NOW)
    if not hint_for(posed)[1]:
        return own("There is no further hint but the answer: 'explain', 'again' or 'reveal'.")
    led.happened({"event": "hint"})
    return now_before_the_class(led)


def _explain(led: Led) -> DeskReply:
    """What a learner alone would be told of the wrong ideas that were met most."""
    posed = _open_question(led)
    if posed is None:
        return own(NOT_NOW)
    if posed.is_two_way:
        return own("Of two answers, what is said of one tells the other: 'hint' or 'reveal'.")
    told = _overlooked(led, posed)
    if not told:
        return own("No wrong idea is recognised among the answers: 'hint' or 'reveal'.")
    led.happened({"event": "explained", "text": told})
    return now_before_the_class(led)


def _overlooked(led: Led, posed: PutQuestion) -> str:
    """What the wrong ideas that were met most overlook; '' where none is recognised."""
    spread = led.spread(posed, posed.rounds[-1])
    met = [row for row in spread.rows if row.outcome == "wrong" and row.malrules]
    told = dict.fromkeys(led.judging(posed, row.said).reply for row in met[:MOST_EXPLAINED])
    return "\n".join(told)


def _twin(led: Led) -> DeskReply:
    session = led.session
    if session.posed is None or session.posed.is_twin or session.waiting is not None:
        return own("A twin is of a question, and there is one at a time.")
    if twin_in(session) is None:
        return own("This question has no twin.")
    led.happened({"event": "twin"})
    return now_before_the_class(led)


def _reveal(led: Led) -> DeskReply:
    posed = _open_question(led)
    if posed is None:
        return own(NOT_NOW)
    against = _overlooked(led, posed) if posed.is_choice else ""
    led.happened({"event": "revealed", "text": "" if against in posed.helps else against})
    return now_before_the_class(led)


def _next(led: Led) -> DeskReply:
    if led.session.is_asking:
        return own(FIRST_REVEAL)
    if led.session.stage == "over":
        return own("The session is over: 'end' keeps it for good.")
    led.happened({"event": "next"})
    return now_before_the_class(led)


def _undo(led: Led) -> DeskReply:
    posed = _open_question(led)
    if posed is None:
        return own("An answer can be taken back while its question is open.")
    given = posed.rounds[-1].predictions.values()
    typed = [each for each in given if each.who.startswith(DESK)]
    if not typed:
        return own("No answer has been typed here in this round.")
    last = typed[-1]
    led.happened({"event": "taken back", "who": last.who})
    told = own(f"Taken back: {last.times} × {last.text}")
    return DeskReply("own", (*told.parts, *_so_far(led).parts))


def _who(led: Led) -> DeskReply:
    """Whether, and never what: the screen may be seen."""
    session = led.session
    if not session.joined:
        return own("Nobody has come in by the page.")
    given = session.posed.rounds[-1].predictions if session.posed is not None else {}
    lines = [
        f"{name or 'without a name'}: {'has answered' if who in given else 'not yet'}"
        for who, name in session.joined.items()
    ]
    return own("\n".join([f"{counted(len(lines), 'learner')} by the page:", *lines]))


def _door(led: Led) -> DeskReply:
    if led.session.door is None:
        return own("No page is open: 'platewalk lead --open' opens one.")
    from tutor.front.leading.opened import shown_door

    return DeskReply("class", (shown_door(led.session.door),))


def _take(led: Led, name: str) -> DeskReply:
    if _open_question(led) is None:
        return own(NOT_NOW)
    try:
        text = text_of(Path(name).expanduser())
    except FileNotFoundError:
        return own(f"There is no file {name}.")
    except Refusal as refusal:
        return own(str(refusal))
    lines = [line for line in text.splitlines() if line.strip()]
    said = [
        {**_said(led, each, times), "who": f"{name} {number}"}
        for number, (times, each) in enumerate(p for line in lines for p in answers_in(line))
    ]
    led.take(said)
    told = own(f"{counted(len(lines), 'line')} read.")
    return DeskReply("own", (*told.parts, *_so_far(led).parts))


def _stop(led: Led) -> DeskReply:
    return own(f"Kept in {led.file.path}. 'platewalk lead' goes on with it.")._replace(leaves=True)


def _end(led: Led) -> DeskReply:
    entered = [_entered(led)] if led.session.record else []
    led.end()
    text = "The session is over. 'platewalk lead --report' tells what was answered in it."
    return own(*entered, text)._replace(leaves=True)


def _entered(led: Led) -> str:
    from tutor.desk.leading.answers_recorded import record_answers
    from tutor.learner.record import open_record

    with open_record(Path(led.session.record), time()) as record:
        return record_answers(record, led.session, led.first["when"], time())


def _help(led: Led) -> DeskReply:
    del led
    return own(HELP)


COMMANDS: Mapping[str, Callable[[Led], DeskReply]] = MappingProxyType({
    "spread": _spread, "which": _which, "again": _again, "hint": _hint, "explain": _explain,
    "twin": _twin, "reveal": _reveal, "next": _next, "question": _question, "undo": _undo,
    "door": _door, "who": _who, "stop": _stop, "end": _end, "help": _help,
})
