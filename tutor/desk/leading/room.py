"""The room that a class comes into by the page: who is in it, and what each of them sees.

Nothing here knows of a network. Who comes in gets a key by chance; the file of the session holds
only what the key comes to, so that nobody who reads it can answer for another. What one learner
sees holds no other's name or answer, before the reveal or after it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from hashlib import blake2b, sha256
from types import MappingProxyType
from typing import Any, Final, NamedTuple

from grammar.shown import visible
from tutor.desk.leading.allowance import Allowance, Pace
from tutor.desk.leading.class_view import class_view
from tutor.desk.leading.led import Led
from tutor.desk.leading.posed import PutQuestion
from tutor.desk.leading.room_names import is_room
from tutor.desk.leading.session import Happening, Session

LONGEST_NAME: Final = 40
LONGEST_ANSWER: Final = 300


class Limits(NamedTuple):
    """How many may come in, how fast each may do what, and for how many seconds a request that
    has begun may stay unfinished.
    """

    learners: int = 250
    answers: Pace = Pace(8, 1)
    coming_in: Pace = Pace(60, 1)
    wrong_rooms: Pace = Pace(20, 0.3)
    asking: Pace = Pace(1_000, 400)
    patience: float = 10


USUAL_LIMITS: Final = Limits()


class RoomReply(NamedTuple):
    """What a request comes to: a status of HTTP, why it is not taken or what is seen, and the key
    of who has come in.
    """

    status: int
    said: str = ""
    seen: Mapping[str, Any] = MappingProxyType({})
    key: str = ""

    @property
    def body(self) -> dict[str, Any]:
        """The object to be sent."""
        return {"said": self.said} if self.said else dict(self.seen)


WRONG_ROOM: Final = RoomReply(
    403, "No room of that name is open here. Look at the board, and try again."
)
TOO_FAST: Final = RoomReply(429, "That was too fast. Wait a moment, then try again.")
FULL: Final = RoomReply(503, "The room is full.")
NOT_IN: Final = RoomReply(403, "Come in first, by the name of the room.")
UNUSABLE: Final = RoomReply(400, "That could not be used.")
TOO_LONG: Final = RoomReply(413, f"That is too long: up to {LONGEST_ANSWER} characters are taken.")
TOO_SLOW: Final = RoomReply(408, "That came too slowly. Send it again.")
NOTHING: Final = RoomReply(400, "Nothing was typed. Type what you expect, or: I don't know.")
PASSED: Final = RoomReply(409, "That question is closed, so this was not counted.")


class Room:
    """Who is in the room of a session. ``clock`` tells seconds, ``keys`` makes a key by chance."""

    def __init__(
        self, led: Led, name: str, clock: Callable[[], float], keys: Callable[[], str],
        limits: Limits = USUAL_LIMITS,
    ) -> None:
        self.led = led
        self.name = name
        self.keys = keys
        self.limits = limits
        self._answers = Allowance(limits.answers, clock)
        self._coming = Allowance(limits.coming_in, clock)
        self._wrong = Allowance(limits.wrong_rooms, clock)
        self._asking = Allowance(limits.asking, clock)
        self._shared: tuple[object, dict[str, Any]] = (None, {})

    def may_ask(self, address: str) -> bool:
        """Whether this address has not asked for too much of late."""
        return self._asking.takes(address)

    def come_in(self, asked: object, address: str) -> tuple[RoomReply, Happening | None]:
        """Someone at the door: what they are told, and what has happened if they are in."""
        room, name = _text_of(asked, "room"), _text_of(asked, "name")
        if room is None or name is None or len(room) > LONGEST_ANSWER:
            return UNUSABLE, None
        if not self._wrong.has(address):
            return TOO_FAST, None  # the right name too, or trying them all out would find it
        if not is_room(room, self.name):
            self._wrong.takes(address)
            return WRONG_ROOM, None
        if not self._coming.takes(address):
            return TOO_FAST, None
        if len(self.led.session.joined) >= self.limits.learners:
            return FULL, None
        key = self.keys()
        short = " ".join(visible(name).split())[:LONGEST_NAME]
        return RoomReply(200, key=key), {"event": "joined", "who": code_of(key), "name": short}

    def who(self, key: str) -> str | None:
        """The code of a learner who is in, by their key."""
        code = code_of(key) if key else ""
        return code if code in self.led.session.joined else None

    def answer_of(self, asked: object, who: str) -> RoomReply | Happening:
        """An answer as what happens, to be written, or why it is not taken."""
        text = _text_of(asked, "text")
        if text is None or not isinstance(asked, dict):
            return UNUSABLE
        if len(text) > LONGEST_ANSWER:
            return TOO_LONG
        text = " ".join(visible(text).split())
        if not text:
            return NOTHING
        if not self._answers.takes(who):
            return TOO_FAST
        number, at = asked.get("question"), asked.get("round")
        return {"event": "said", "who": who, "text": text, "question": number, "round": at}

    # What a learner sees

    def now(self, who: str) -> dict[str, Any]:
        """What is before the class, and what this learner has answered."""
        session = self.led.session
        seen = self._seen(session)
        posed = session.posed
        own = posed.rounds[-1].predictions.get(who) if posed is not None else None
        if posed is None or own is None:
            return {**seen, "yours": "", "reply": ""}
        reply = self._reply(posed, own.text) if posed.answer is not None else ""
        return {**seen, "yours": own.text, "reply": reply}

    def _seen(self, session: Session) -> dict[str, Any]:
        """The same for all, worked out once for each change that a class can see."""
        posed = session.posed
        helps = (posed.number, posed.round, len(posed.helps)) if posed is not None else None
        place = (session.stage, session.at, helps)
        if self._shared[0] != place:
            self._shared = (place, _shared(session))
        return self._shared[1]

    def _reply(self, posed: PutQuestion, text: str) -> str:
        judged = self.led.judging(posed, text)
        if judged.outcome == "right":
            return "That is right."
        return judged.reply if judged.outcome == "wrong" else ""


def _shared(session: Session) -> dict[str, Any]:
    posed, messages = session.posed, class_view(session)
    asks = [m.text for m in messages if m.kind == "ask"]
    is_told = session.stage == "revealed"
    listed = [m.text for m in messages if m.drawn is not None and m.kind == "say" and not is_told]
    on_top = {session.programme.title, posed.text if posed is not None else "", *listed}
    texts = [m.text for m in messages if m.kind != "ask" and m.text not in on_top]
    return {
        "stage": session.stage,
        "question": posed.number if posed is not None else 0,
        "round": posed.round if posed is not None else 0,
        "title": session.programme.title,
        "asked": posed.text if posed is not None else (asks[-1] if asks else ""),
        "texts": [] if is_told else texts,
        "told": texts if is_told else [],
        "listing": "\n".join(listed),
        "picture": session.is_asking and posed is not None and posed.drawn is not None,
    }


def code_of(key: str) -> str:
    """What a key comes to in the file."""
    return sha256(key.encode()).hexdigest()[:16]


def tag_of(seen: dict[str, Any]) -> str:
    """Equal for equal states, so that what has not changed is not sent again."""
    data = json.dumps(seen, sort_keys=True).encode()
    return f'"{blake2b(data, digest_size=12).hexdigest()}"'


def _text_of(asked: object, field: str) -> str | None:
    found = asked.get(field, "") if isinstance(asked, dict) else None
    return found if isinstance(found, str) else None
