"""A guided session: what it is at any moment is worked out from what has happened in it.

``follow`` takes one event into a session; no clock, file or chance is in it, so that the same
events make the same session after a restart, in another window, or for a report.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial, reduce
from random import Random
from types import MappingProxyType
from typing import Any, Literal, NamedTuple, TypeAlias

from tutor.desk.leading.class_predictions import Prediction
from tutor.desk.leading.class_twins import twin_for
from tutor.desk.leading.posed import PutQuestion, hint_for
from tutor.desk.leading.programme import Programme, Stop
from tutor.desk.other_values import with_other_values
from tutor.practice.item_begun import begin_item
from tutor.teaching.conversation import Conversation
from tutor.teaching.settings import DEFAULTS, Settings

Happening: TypeAlias = Mapping[str, Any]
SessionStage: TypeAlias = Literal["reading", "asking", "revealed", "over"]


class Door(NamedTuple):
    """Where a class comes in: the name of the room, and the page's address and port."""

    room: str
    address: str
    port: int

    @property
    def url(self) -> str:
        """What is typed or scanned; the name of the room is in it and goes no further."""
        host = f"[{self.address}]" if ":" in self.address else self.address
        return f"http://{host}:{self.port}/#{self.room.replace(' ', '-')}"


class Session(NamedTuple):
    """A session as it stands.

    ``at`` is the stop in hand; ``posed`` the question in hand, ``waiting`` the one that a twin was
    put before, ``past`` all that are done. ``joined`` are the names of those who came in by the
    page, by their codes, and ``door`` where they do. ``record`` is the file in which answers of
    learners who give a name are entered at the end; none where it is empty.
    """

    programme: Programme
    settings: Settings = DEFAULTS
    seed: int = 0
    at: int = 0
    stage: SessionStage = "reading"
    posed: PutQuestion | None = None
    waiting: PutQuestion | None = None
    past: tuple[PutQuestion, ...] = ()
    joined: Mapping[str, str] = MappingProxyType({})
    door: Door | None = None
    record: str = ""

    @property
    def stop(self) -> Stop:
        """The stop in hand."""
        return self.programme.stops[self.at]

    @property
    def number(self) -> int:
        """The number of the question that was put last."""
        put = [*self.past, *(each for each in (self.waiting, self.posed) if each is not None)]
        return max((each.number for each in put), default=0)

    @property
    def is_asking(self) -> bool:
        """Whether answers are taken."""
        return self.stage == "asking"


def begun(programme: Programme, settings: Settings = DEFAULTS, seed: int = 0) -> Session:
    """A session at its start: what is to be read first, or the first question at once."""
    return _at_stop(Session(programme, settings, seed))


def follow(session: Session, event: Happening) -> Session:
    """The session after an event; one that is not known, or comes too late, changes nothing."""
    step = FOLLOWING.get(event["event"])
    return step(session, event) if step is not None else session


def followed(session: Session, events: Iterable[Happening]) -> Session:
    """The session after several events."""
    return reduce(follow, events, session)


def _at_stop(session: Session) -> Session:
    stop = session.stop
    if stop.prose or stop.item is None or stop.is_talked_over:
        return session._replace(stage="reading", posed=None)
    return _opened(session)


def _opened(session: Session) -> Session:
    """The problem of this stop with its first question."""
    item = session.stop.item
    assert item is not None, "the end of a lesson opens nothing"
    reply = begin_item(item, session.settings, session.seed)
    before = tuple(m for m in reply.messages if m.kind != "ask")
    posed = PutQuestion(session.number + 1, reply.talk, before)
    return session._replace(stage="asking", posed=posed)


def _next(session: Session, event: Happening) -> Session:
    """On: from what is read to the problem, from a reveal to the next question or stop."""
    if session.stage == "reading":
        if session.stop.item is not None and not session.stop.is_talked_over:
            return _opened(session)
        return _on_to_next_stop(session)
    posed = session.posed
    if session.stage != "revealed" or posed is None or posed.onward is None:
        return session
    done = session._replace(past=(*session.past, posed), posed=None)
    if session.waiting is not None:
        back = done._replace(posed=session.waiting, waiting=None)
        if session.waiting.answer is None:
            return back._replace(stage="asking")
        return _next(back._replace(stage="revealed"), event)
    if posed.onward.over:
        return _on_to_next_stop(done)
    return done._replace(posed=PutQuestion(session.number + 1, posed.onward), stage="asking")


def _on_to_next_stop(session: Session) -> Session:
    if session.at + 1 == len(session.programme.stops):
        return session._replace(stage="over", posed=None)
    return _at_stop(session._replace(at=session.at + 1))


def _said(session: Session, event: Happening) -> Session:
    posed = session.posed
    if not session.is_asking or posed is None or not is_current(posed, event):
        return session
    prediction = Prediction(event["who"], event["text"], event.get("times", 1))
    return session._replace(posed=posed.with_prediction(prediction))


def is_current(posed: PutQuestion, event: Happening) -> bool:
    """Whether an event is about this round of this question."""
    return bool(event.get("question") == posed.number and event.get("round") == posed.round)


def _taken_back(session: Session, event: Happening) -> Session:
    if not session.is_asking or session.posed is None:
        return session
    return session._replace(posed=session.posed.without(event["who"]))


def _again(session: Session, event: Happening) -> Session:
    del event
    posed = session.posed
    if not session.is_asking or posed is None:
        return session
    return session._replace(posed=posed.asked_again())


def _hint(session: Session, event: Happening) -> Session:
    del event
    if not session.is_asking or session.posed is None:
        return session
    return session._replace(posed=hint_for(session.posed)[0])


def _explained(session: Session, event: Happening) -> Session:
    """What each wrong idea in the room overlooks, told to all before they are asked again."""
    posed = session.posed
    if not session.is_asking or posed is None:
        return session
    return session._replace(posed=posed.helped(event["text"], "explanation"))


def _revealed(session: Session, event: Happening) -> Session:
    if not session.is_asking or session.posed is None:
        return session
    return session._replace(posed=session.posed.revealed(event.get("text", "")), stage="revealed")


def twin_in(session: Session) -> PutQuestion | None:
    """The twin that the question in hand would have; None where it has none. The problem on other
    values is the same each time, so that a session is the same after a restart.
    """
    posed = session.posed
    if posed is None or posed.is_twin or session.waiting is not None:
        return None
    number = session.number + 1
    return twin_for(posed, number, partial(_on_other_values, session, number))


def _on_other_values(session: Session, number: int) -> Conversation | None:
    item = session.stop.item
    if item is None or item.kind != "network":
        return None
    text = with_other_values(item.text, Random(f"twin {session.seed} {number}"))
    if text == item.text:
        return None
    return begin_item(item._replace(text=text), session.settings, session.seed).talk


def _twin(session: Session, event: Happening) -> Session:
    del event
    twin = twin_in(session)
    if twin is None:
        return session
    return session._replace(posed=twin, waiting=session.posed, stage="asking")


def _joined(session: Session, event: Happening) -> Session:
    return session._replace(joined={**session.joined, event["who"]: event["name"]})


def _recorded(session: Session, event: Happening) -> Session:
    return session if session.joined else session._replace(record=event["record"])


def _opened_door(session: Session, event: Happening) -> Session:
    return session._replace(door=Door(event["room"], event["address"], event["port"]))


def _ended(session: Session, event: Happening) -> Session:
    del event
    return session._replace(stage="over")


FOLLOWING: Mapping[str, Callable[[Session, Happening], Session]] = MappingProxyType({
    "opened": _opened_door,
    "recorded": _recorded,
    "joined": _joined,
    "said": _said,
    "taken back": _taken_back,
    "again": _again,
    "hint": _hint,
    "explained": _explained,
    "revealed": _revealed,
    "twin": _twin,
    "next": _next,
    "ended": _ended,
})
