"""The first screen of a learner who has been here before: three lines, and a question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tutor.front.chat.account import suggested
from tutor.front.chat.stages import Answer, Chat
from tutor.front.opening import OPENING, WHICH, offered
from tutor.learner.rows import SOMEONE
from tutor.learner.standing_words import SkillWords, skills_in_words
from tutor.learner.suggesting import suggest
from tutor.teaching.messages import Message
from tutor.teaching.speech import listed

ASKED = (
    "What would you like to do? A network, a lesson, 'practice', or any wish; 'help' says more."
)
NAMED = 2


def open_home(chat: Chat) -> Answer:
    """Where this learner stands and what is suggested, in three lines at most; for someone new
    what the program does.
    """
    if not chat.person.standing.skills and chat.person.resume is None:
        name = chat.person.name
        said = [Message("say", OPENING), Message("say", offered()), Message("ask", WHICH)]
        if name not in ("", SOMEONE):
            said.insert(0, Message("say", f"{name}: nothing has been asked yet."))
        return Answer(chat, tuple(said))
    lines = "\n".join(_lines(chat))
    return Answer(chat, (Message("say", lines), Message("ask", ASKED)))


def _lines(chat: Chat) -> Iterator[str]:
    person = chat.person
    skills = skills_in_words(person.standing, person.now, person.exam)
    lead = f"{person.name}: " if person.name not in ("", SOMEONE) else ""
    told = [
        f"{listed(names)} {'is' if len(names) == 1 else 'are'} {word}"
        for word in ("steady", "getting there", "shaky")
        if (names := _names(skills, word))
    ]
    text = "; ".join(told) if told else "nothing has been asked yet"
    yield f"{lead}{text}."
    if person.resume is not None:
        yield f"In the middle: {person.left_in}. 'go on' takes it up where it was."
    elif again := _names(skills, "to look at again"):
        yield f"To look at again: {listed(again)}. 'review' does that."
    best = suggest(person.standing, person.now, person.exam)
    yield f"Suggested: {suggested(chat, best.kind, best.skill, best.why)}"


def _names(skills: Iterable[SkillWords], word: str) -> list[str]:
    """The last few of that word, since those are what was done of late."""
    return [f"'{each.name}'" for each in skills if each.word == word][-NAMED:]
