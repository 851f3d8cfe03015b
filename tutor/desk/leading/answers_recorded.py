"""The answers of learners who gave a name put into the record, where they were told so at the door.

What someone answers alone shows what they hold; what they answer after talking shows the talk. So
the first round of each question counts, and a twin's, and no other.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from hashlib import sha256

from tutor.desk.leading.class_predictions import answered
from tutor.desk.leading.posed import PutQuestion
from tutor.desk.leading.session import Session
from tutor.learner.record import Record
from tutor.learner.rows import Exchange
from tutor.teaching.speech import counted


def record_answers(record: Record, session: Session, when: str, now: float) -> str:
    """Enter what each named learner answered as one sitting of theirs, who is entered if new; gives
    what was done in words. ``when`` is when the session was begun: a session enters once.

    Errors: ``Refusal`` where the record cannot be written.
    """
    opening = json.dumps({"led": session.programme.title, "when": when})
    entered = 0
    for who, name in session.joined.items():
        turns = [(each, now) for each in _exchanges(session, who)] if name else []
        if not turns:
            continue
        learner = record.learner(name, now)
        mark = sha256("\0".join((who, opening)).encode("utf-8", "replace"))
        sitting = record.begin(learner, opening, now)._replace(id=mark.hexdigest()[:32])
        if record.sitting(sitting.id) is None:
            record.keep_all(sitting, turns)
            entered += 1
    return f"The answers of {counted(entered, 'learner')} are entered in {record.path}."


def _exchanges(session: Session, who: str) -> Iterator[Exchange]:
    put = (*session.past, session.waiting, session.posed)
    asked = sorted((each for each in put if each is not None), key=_number)
    for posed in asked:
        given = posed.rounds[0].predictions.get(who)
        if given is not None:
            messages = answered(posed.talk, given.text)
            yield Exchange(given.text, messages, str(posed.number))


def _number(posed: PutQuestion) -> int:
    return posed.number
