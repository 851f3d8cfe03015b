"""What is kept of a session once it is over, and a report of it: no answer by whom, few as 'a few'.

Both rounds of a question stand side by side with their wrong ideas, so that the next lesson can
begin where this one stopped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from tutor.desk.leading.class_predictions import JudgedPrediction, Spread, spread_of
from tutor.desk.leading.posed import AskedRound, PutQuestion
from tutor.desk.leading.session import Happening, Session
from tutor.desk.report import A_FEW, Columns, Heading, ReportPart

Judging = Callable[[PutQuestion, str], JudgedPrediction]

OUTCOME_WORDS: Mapping[str, str] = MappingProxyType({
    "right": "right", "wrong": "", "incomplete": "right as far as it goes",
    "elsewhere": "answers another question", "unread": "could not be read", "unsure": "",
})
AFTER_WORDS: Mapping[str, str] = MappingProxyType({
    "": "First", "discussion": "After talking", "hint": "After a hint",
    "explanation": "After an explanation",
})


class KeptRound(NamedTuple):
    """One round without anyone's name: answers and ideas with their numbers, 0 for a few."""

    after: str
    of: int
    answers: tuple[tuple[str, str, int], ...]
    ideas: tuple[tuple[str, int], ...]


class KeptQuestion(NamedTuple):
    """A question that was put, its rounds, and what was told at its reveal."""

    text: str
    is_twin: bool
    rounds: tuple[KeptRound, ...]
    answer: str


def kept_of(session: Session, judging: Judging) -> tuple[KeptQuestion, ...]:
    """Every question that was answered by anyone, or revealed."""
    put = [*session.past, *(each for each in (session.waiting, session.posed) if each is not None)]
    put.sort(key=lambda posed: posed.number)
    return tuple(
        _question(posed, judging) for posed in put
        if posed.answer is not None or any(each.answered for each in posed.rounds)
    )


def _question(posed: PutQuestion, judging: Judging) -> KeptQuestion:
    rounds = tuple(_round(posed, each, judging) for each in posed.rounds if each.answered)
    answer = "\n".join(m.text for m in posed.answer or () if m.kind == "reveal")
    return KeptQuestion(posed.text, posed.is_twin, rounds, answer)


def spread_in(posed: PutQuestion, asked: AskedRound, judging: Judging) -> Spread:
    """The answers of one round, counted."""
    return spread_of(asked.predictions.values(), lambda text: judging(posed, text))


def _round(posed: PutQuestion, asked: AskedRound, judging: Judging) -> KeptRound:
    spread = spread_in(posed, asked, judging)
    unread = sum(row.times for row in spread.rows if row.outcome == "unread")
    read: list[tuple[str, str, int]] = [
        (r.said, r.outcome, _kindly(r.times)) for r in spread.rows if r.outcome != "unread"
    ]
    if unread:  # what someone wrote that is no answer is nobody's business later
        read.append(("(no answer to this)", "unread", _kindly(unread)))
    ideas = tuple((words, _kindly(times)) for words, times in spread.ideas)
    return KeptRound(asked.after, spread.answers, tuple(read), ideas)


def _kindly(number: int) -> int:
    return 0 if number < A_FEW else number


# As events, and back


def closing_events(first: Happening, kept: Sequence[KeptQuestion]) -> tuple[Happening, ...]:
    """What takes the place of a session's events when it is over."""
    return (
        first,
        *({"event": "kept", **question._asdict(),
           "rounds": [each._asdict() for each in question.rounds]} for question in kept),
        {"event": "ended"},
    )


def kept_in(events: Sequence[Happening]) -> tuple[KeptQuestion, ...]:
    """What was kept of a session that is over."""
    return tuple(_read(event) for event in events if event["event"] == "kept")


def _read(event: Happening) -> KeptQuestion:
    rounds = tuple(
        KeptRound(
            each["after"], each["of"], tuple((a, b, c) for a, b, c in each["answers"]),
            tuple((words, times) for words, times in each["ideas"]),
        )
        for each in event["rounds"]
    )
    return KeptQuestion(event["text"], event["is_twin"], rounds, event["answer"])


# The report


def report_of(title: str, kept: Sequence[KeptQuestion], when: str) -> Iterator[ReportPart]:
    """The session for whoever led it."""
    yield Heading(f"Guided session of {when}")
    yield title
    if not kept:
        yield "No question was answered in it."
    for number, question in enumerate(kept, start=1):
        yield Heading(f"{number}. {_headed(question)}", 3)
        if not question.rounds:
            yield "Told without answers."
        else:
            yield _answers_table(question)
            if any(each.ideas for each in question.rounds):
                yield _ideas_table(question)
        if question.answer:
            yield question.answer


def _headed(question: KeptQuestion) -> str:
    return f"Twin: {question.text}" if question.is_twin else question.text


def _answers_table(question: KeptQuestion) -> Columns:
    outcomes = {a: outcome for each in question.rounds for a, outcome, _ in each.answers}
    columns = [{a: times for a, _, times in each.answers} for each in question.rounds]
    table = _side_by_side("Answers", question.rounds, columns, "Answer")
    said = (("Answers in all", *(str(each.of) for each in question.rounds)),)
    rows = tuple((_with_outcome(name, outcomes), *cells) for name, *cells in table.rows)
    return table._replace(rows=(*rows, *said))


def _with_outcome(answer: str, outcomes: dict[str, str]) -> str:
    word = OUTCOME_WORDS[outcomes[answer]]
    return f"{answer} ({word})" if word else answer


def _ideas_table(question: KeptQuestion) -> Columns:
    columns = [dict(each.ideas) for each in question.rounds]
    caption = "Wrong ideas that give such answers"
    return _side_by_side(caption, question.rounds, columns, "Someone who so answers")


def _side_by_side(
    caption: str, rounds: Sequence[KeptRound], columns: Sequence[dict[str, int]], first: str
) -> Columns:
    rows = dict.fromkeys(name for column in columns for name in column)
    heads = (first, *(AFTER_WORDS[each.after] for each in rounds))
    return Columns(caption, heads, tuple(
        (name, *(_cell(column.get(name)) for column in columns)) for name in rows
    ))


def _cell(number: int | None) -> str:
    if number is None:
        return "nobody"
    return str(number) if number else "a few"
