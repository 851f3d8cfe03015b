"""A chat that is kept: each turn is in the record, on the disk, before it is shown.

What a chat was at any moment is worked out again from the lines typed in it, since the chat is a
state machine; so a sitting that was cut off goes on at the same question.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from functools import partial, reduce
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from grammar.refusals import Refusal
from tutor.front.chat.home import in_the_middle, open_home
from tutor.front.chat.stages import Answer, Chat, Left, Person, Writing
from tutor.learner.record import Record
from tutor.learner.record_file import told_kindly
from tutor.learner.rows import Exchange, Learner, Sitting
from tutor.teaching.messages import Message
from tutor.teaching.settings import CHOICES, DEFAULTS, USUAL, Settings, changed

if TYPE_CHECKING:
    from tutor.practice.lessons import Lesson



class Opening(NamedTuple):
    """What a chat begins with: a text, a wish in words, or neither; ``folder`` holds lessons of a
    teacher's own, which then take the place of the program's.
    """

    settings: Settings = USUAL
    text: str | None = None
    wish: str = ""
    folder: str | None = None

    def begin(self, person: Person) -> Answer:
        """The chat at its beginning. Errors: ``Refusal`` for a text that cannot be read."""
        if self.folder is not None:
            person = person._replace(library=partial(lessons_from, self.folder))
        chat = Chat(self.settings, person=person)
        if self.text is not None:
            from grammar.any_text import readings_of
            from tutor.front.chat.before_problem import opened

            start = opened(chat, self.text, readings_of(self.text))
            words = self.settings.worded
            said = tuple(m._replace(text=words(m.text)) for m in start.messages)
            return start._replace(messages=said)
        if self.wish:
            return safely(chat, self.wish)
        return open_home(chat)


def lessons_from(folder: str) -> tuple[Lesson, ...]:
    """The lessons of a folder that have no fault; none where it cannot be looked into any more."""
    from tutor.practice.library import lessons_in

    try:
        found = lessons_in(Path(folder))
    except Refusal:
        return ()
    return tuple(each.lesson for each in found if each.lesson is not None)


# The chat is imported where a line is to be answered: the first prompt does not wait for it.


def safely(chat: Chat, line: str) -> Answer:
    """The answer to a line, whatever happens."""
    from tutor.front.chat.talk import safely as answer_safely

    return answer_safely(chat, line)


def leave(chat: Chat) -> Answer:
    """The end of the chat."""
    from tutor.front.chat.talk import leave as leave_it

    return leave_it(chat)


class Unkept:
    """Holds a chat of which nothing is kept."""

    def open(self, opening: Opening) -> Answer:
        """A new chat. Errors: ``Refusal`` for a text that cannot be read."""
        return opening.begin(Person())

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

    def open(self, opening: Opening) -> Answer:
        """A new sitting. Errors: ``Refusal`` for a text that cannot be read."""
        exam = self.learner.exam
        written = json.dumps({
            **opening._asdict(), "settings": opening.settings._asdict(),
            "exam": None if exam is None else exam.isoformat(),
        })
        self.sitting = self.record.begin(self.learner, written, self.clock())
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
        return self.open(Opening(answer.chat.terms))

    # Opening, and opening again

    def _opened(
        self, sitting: Sitting, at_home: Callable[[Person], Person] = lambda person: person
    ) -> Answer:
        """A sitting as it was at its beginning; ``at_home`` adds what may be gone on with."""
        with told_kindly(self.record.path):
            opening, exam = _opened_with(sitting.opening)
        return opening.begin(at_home(self._person(sitting, exam)))

    def _person(self, sitting: Sitting, exam: date | None) -> Person:
        return Person(
            name=self.learner.name,
            standing=self.record.standing(self.learner, sitting.since),
            now=sitting.began,
            exam=exam,
            seed=int(sitting.began),
        )

    def _with_unfinished(self, person: Person) -> Person:
        found = self.record.unfinished(self.learner)
        if found is None:
            return person

        def resume(found: Sitting = found) -> Answer:
            answer = self.again(found)
            self.sitting = found
            chat = answer.chat
            is_left = chat.course is None and chat.wants_network and not chat.is_marked
            return self.hear(chat, "go on") if is_left and chat.paused else answer

        return person._replace(resume=resume, left_in=self.record.left_in(found.id))

    def again(self, sitting: Sitting) -> Answer:
        """A sitting as it stands after all its lines, and its question once more."""
        lines = self.record.turns(sitting.id)
        start = self._opened(sitting)
        answer = reduce(_heard_again, lines, start)
        from tutor.front.chat.going_through import where  # the first prompt does not wait for it

        if isinstance(answer.chat.stage, Writing):
            from tutor.front.chat.paper_on_screen import once_more

            answer = answer._replace(messages=once_more(answer.chat))
        return where(answer)


def _opened_with(kept: str) -> tuple[Opening, date | None]:
    """What a sitting was opened with, and the exam then. Errors: ``ValueError``."""
    written = json.loads(kept)
    try:
        day, settings = written.pop("exam"), settings_in(written.pop("settings"))
        if not all(isinstance(each, str | None) for each in written.values()):
            raise ValueError("it is no text")
        return Opening(settings, **written), None if day is None else date.fromisoformat(day)
    except (AttributeError, KeyError, TypeError, ValueError):
        raise ValueError("what a sitting was opened with cannot be read") from None


def _heard_again(answer: Answer, line: str) -> Answer:
    """A line of an earlier sitting; one that left it changes nothing, since it is gone on with."""
    following = safely(answer.chat, line)
    return answer if isinstance(following.chat.stage, Left) else following


def settings_in(values: dict[str, Any]) -> Settings:
    """Settings as they were kept; what is not known any more is left as usual. A sitting of before
    it could be set asked everything, and its lines answer that.
    """
    settings = DEFAULTS
    for name in CHOICES:
        if name in values:
            settings = changed(settings, name, values[name])
    return settings
