"""A chat that is kept: each turn is in the record, on the disk, before it is shown.

What a chat was at any moment is worked out again from the lines typed in it, since the chat is a
state machine; so a sitting that was cut off goes on at the same question.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from functools import reduce
from typing import Any

from grammar.reading import read_network
from grammar.records import Refusal
from tutor.front.chat.home import open_home
from tutor.front.chat.stages import (
    Answer,
    Chat,
    Choosing,
    Left,
    Person,
    Staged,
    Walking,
)
from tutor.front.chat.starting import open_text
from tutor.front.chat.talk import leave, open_chat, safely
from tutor.learner.record import Record
from tutor.learner.rows import Exchange, Learner, Sitting
from tutor.learner.standing import standing_of
from tutor.teaching.messages import Message
from tutor.teaching.settings import CHOICES, DEFAULTS, Settings, changed
from tutor.teaching.walk import at_hand

SOMEONE = "me"  # who a learner is that gave no name


class Unkept:
    """Holds a chat of which nothing is kept."""

    def open(self, settings: Settings, text: str | None = None, wish: str = "") -> Answer:
        """A new chat, on a text, on a wish in words, or at home.

        Errors: ``Refusal`` for a text that cannot be read.
        """
        chat = Chat(settings)
        if text is not None:
            return open_text(read_network(text), chat)
        return safely(chat, wish) if wish else open_chat(chat)

    def hear(self, chat: Chat, line: str) -> Answer:
        """The answer to a line."""
        return safely(chat, line)

    def leave(self, chat: Chat) -> Answer:
        """The end of the chat."""
        return leave(chat)


class Keeper:
    """Holds a chat for one learner and keeps it. ``clock`` tells seconds since 1970."""

    def __init__(self, record: Record, learner: Learner, clock: Callable[[], float]) -> None:
        self.record = record
        self.learner = learner
        self.clock = clock
        self.sitting: Sitting | None = None

    def open(self, settings: Settings, text: str | None = None, wish: str = "") -> Answer:
        """A new sitting, on a text, on a wish in words, or at home.

        Errors: ``Refusal`` for a text that cannot be read.
        """
        now = self.clock()
        opening = {
            "text": text, "wish": wish, "settings": settings._asdict(),
            "exam": _written(self.learner.exam),
        }
        self.sitting = self.record.begin(self.learner, json.dumps(opening), now)
        return self._opened(self.sitting, self._with_unfinished)

    def hear(self, chat: Chat, line: str) -> Answer:
        """The answer to a line, which is in the record before it is handed on."""
        sitting = self.sitting
        answer = safely(chat, line)
        if self.sitting is not sitting:
            return answer  # it has gone on with an earlier sitting, of which this line is no part
        said = self._keep(chat, line, answer)
        if answer.chat.person.name != chat.person.name:
            return self._changed_over(answer)
        return answer._replace(messages=(*answer.messages, *said))

    def leave(self, chat: Chat) -> Answer:
        """The end of the chat, which leaves what is in the middle as it is."""
        return leave(chat)

    def _keep(self, chat: Chat, line: str, answer: Answer) -> tuple[Message, ...]:
        assert self.sitting is not None, "a chat is opened before it is heard"
        after = chat if isinstance(answer.chat.stage, Left) else answer.chat
        about = in_the_middle(after)
        kept = Exchange(line, answer.messages, str(chat.problems), bool(about), about)
        try:
            if answer.chat.person.exam != chat.person.exam:
                self.learner = self.record.set_exam(self.learner, answer.chat.person.exam)
            self.record.keep(self.sitting, kept, self.clock())
        except Refusal as refusal:
            return (Message("say", f"That line could not be kept. {refusal}"),)
        return ()

    def _changed_over(self, answer: Answer) -> Answer:
        """Home of another learner."""
        try:
            self.learner = self.record.learner(answer.chat.person.name, self.clock())
        except Refusal as refusal:
            return answer._replace(messages=(Message("say", str(refusal)),))
        return self.open(answer.chat.terms)

    # Opening, and opening again

    def _opened(
        self, sitting: Sitting, at_home: Callable[[Person], Person] = lambda person: person
    ) -> Answer:
        """A sitting as it was at its beginning; ``at_home`` adds what may be gone on with."""
        opening = json.loads(sitting.opening)
        settings = settings_in(opening["settings"])
        person = self._person(sitting, opening)
        text = opening["text"]
        if text is not None:
            return open_text(read_network(text), Chat(settings, person=person))
        if opening["wish"]:
            return safely(Chat(settings, person=person), opening["wish"])
        person = at_home(person)
        chat = Chat(settings, person=person)
        return open_home(chat) if person.standing.skills or person.resume else open_chat(chat)

    def _person(self, sitting: Sitting, opening: dict[str, Any]) -> Person:
        seen = self.record.seen(self.learner, sitting.since)
        exam = opening.get("exam")
        return Person(
            name=self.learner.name,
            standing=standing_of(seen),
            now=sitting.began,
            exam=None if exam is None else date.fromisoformat(exam),
            seed=int(sitting.began),
        )

    def _with_unfinished(self, person: Person) -> Person:
        found = self.record.unfinished(self.learner)
        if found is None:
            return person

        def resume(found: Sitting = found) -> Answer:
            self.sitting = found
            return self.again(found)

        *_, last = self.record.kept(found.id)
        return person._replace(resume=resume, left_in=last.about)

    def again(self, sitting: Sitting) -> Answer:
        """A sitting as it stands after all its lines, and its question once more."""
        lines = self.record.turns(sitting.id)
        start = self._opened(sitting)
        answer = reduce(_heard_again, lines, start)
        return answer._replace(messages=(Message("say", "On with it."), *_where(answer)))


def _heard_again(answer: Answer, line: str) -> Answer:
    """A line of an earlier sitting; one that left it changes nothing, since it is gone on with."""
    following = safely(answer.chat, line)
    return answer if isinstance(following.chat.stage, Left) else following


def _where(answer: Answer) -> tuple[Message, ...]:
    """The network in hand, to be drawn, and the question that waits."""
    stage = answer.chat.stage
    if not isinstance(stage, Walking | Staged):
        return answer.messages
    first, *others = safely(answer.chat, "list").messages
    if isinstance(stage, Walking):
        first = first._replace(network=at_hand(stage.walk).network)
    return (first, *others)


def in_the_middle(chat: Chat) -> str:
    """What is not done yet, in short words; empty if nothing is."""
    if chat.course is not None:
        return chat.course.title
    stage = chat.stage
    if isinstance(stage, Walking) and not stage.is_done:
        return "a walk through " + ", ".join(c.name for c in stage.walk.problem.network.capacitors)
    if isinstance(stage, Staged) and not stage.is_done:
        return "a problem in stages"
    if isinstance(stage, Choosing | Left | Walking | Staged):
        return ""
    return "what you were typing"


def settings_in(values: dict[str, Any]) -> Settings:
    """Settings as they were kept; what is not known any more is left as usual."""
    settings = DEFAULTS
    for name in CHOICES:
        if name in values:
            settings = changed(settings, name, values[name])
    return settings


def _written(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
