"""What a class sees of a session, on the projector and on its own screens: never who said what,
and nothing of the answers before the reveal.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tutor.desk.leading.class_predictions import NO_ANSWER, Spread
from tutor.desk.leading.kept_session import AFTER_WORDS
from tutor.desk.leading.posed import PutQuestion
from tutor.desk.leading.session import Session
from tutor.desk.report import A_FEW, Columns
from tutor.teaching.messages import Message

ALONE = "A twin: answer it alone, without talking."
TALK_FIRST = "Talk it over with your neighbour, then answer again."
ANSWER_AGAIN = "Now answer again."
OVER = "That is the end of this session."
TALK_OVER = "Talk it over."


def class_view(session: Session) -> list[Message]:
    """What is to be read now: prose, the question with the help given so far, or its answer."""
    posed = session.posed
    if session.stage == "over":
        return [Message("close", OVER)]
    if session.stage == "reading" or posed is None:
        return list(_to_read(session))
    if posed.answer is not None:
        return [Message("say", posed.text), *posed.answer]
    return list(_asked(posed))


def _to_read(session: Session) -> Iterator[Message]:
    stop = session.stop
    if session.at == 0:
        yield Message("say", session.programme.title)
    yield from (Message("say", text) for text in stop.prose)
    if stop.item is not None and stop.is_talked_over:
        yield Message("ask", f"{TALK_OVER} {stop.item.text}")


def _asked(posed: PutQuestion) -> Iterator[Message]:
    if posed.is_twin:
        yield Message("say", ALONE)
    if posed.before and posed.round == 1 and not posed.helps:
        yield from posed.before
    else:
        yield Message("say", posed.listing, drawn=posed.drawn)
    yield from (Message("hint", text) for text in posed.helps)
    if posed.round > 1:
        after = posed.rounds[-1].after
        yield Message("say", TALK_FIRST if after == "discussion" else ANSWER_AGAIN)
    yield Message("ask", posed.text, about=None)


def rounds_table(posed: PutQuestion, spreads: Sequence[Spread]) -> Columns | None:
    """The rounds side by side for a class, once its question is revealed; a few are not counted
    out. None where nobody gave an answer to it that can be read.
    """
    columns = [
        {row.said: row.times for row in spread.rows if row.outcome not in NO_ANSWER}
        for spread in spreads
    ]
    said = dict.fromkeys(text for column in columns for text in column)
    if not said:
        return None
    heads = ("Answer", *(AFTER_WORDS[each.after] for each in posed.rounds))
    rows = tuple((text, *(_kindly(column.get(text, 0)) for column in columns)) for text in said)
    return Columns("What was answered", heads, rows)


def _kindly(number: int) -> str:
    if number == 0:
        return "nobody"
    return str(number) if number >= A_FEW else "a few"
