"""The first screen of a learner who has been here before: three lines, and a question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tutor.front.chat.stages import Answer, Chat, Choosing, InPuzzle, Left, Solving, Writing
from tutor.front.opening import OPENING, WHICH, offered
from tutor.learner.rows import SOMEONE
from tutor.learner.standing_words import SkillWords, skills_in_words
from tutor.learner.suggesting import suggest
from tutor.practice.lesson_index import LESSON_FOR
from tutor.teaching.messages import Message

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
        f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'} {word}"
        for word in ("steady", "getting there", "shaky", "still open")
        if (names := _names(skills, word))
    ]
    text = "; ".join(told) if told else "nothing has been asked yet"
    yield f"{lead}{text}."
    if person.resume is not None:
        yield f"In the middle: {person.left_in}. 'go on' takes it up where it was."
    elif again := _names(skills, "to look at again"):
        yield f"To look at again: {' and '.join(again)}. 'review' does that."
    best = suggest(person.standing, person.now, person.exam)
    yield f"Suggested: {suggested(chat, best.kind, best.skill, best.why)}"


def _names(skills: Iterable[SkillWords], word: str) -> list[str]:
    """The last few of that word, since those are what was done of late."""
    return [f"'{each.name}'" for each in skills if each.word == word][-NAMED:]


def suggested(chat: Chat, kind: str, skill: str | None, why: str) -> str:
    """A suggestion with its reason and what to type for it."""
    found = _lesson_for(chat, skill) if kind == "lesson" and skill is not None else None
    return f"'{kind}'. {why}" if found is None else f"'lesson {found[0]}', {found[1]}. {why}"


def _lesson_for(chat: Chat, skill: str) -> tuple[int, str] | None:
    """Number and title of the lesson for a skill, if there is one."""
    if chat.person.library is None:
        return LESSON_FOR.get(skill)
    from tutor.practice.library import lessons_for

    lessons = lessons_for(chat.lessons, skill)
    return (lessons[0].number, lessons[0].title) if lessons else None


def in_the_middle(chat: Chat) -> str:
    """What is not done yet, or was left so, in short words; empty if nothing is."""
    if chat.course is not None:
        return chat.course.title
    stage = chat.stage
    if isinstance(stage, Solving) and not stage.is_done:
        from tutor.teaching.walk import Walk

        problem = stage.talk.problem
        if not isinstance(problem, Walk):
            return "a problem in stages"
        return "a walk through " + ", ".join(c.name for c in problem.problem.network.capacitors)
    if isinstance(stage, Writing):
        return f"a paper, question {stage.at + 1} of {len(stage.paper.questions)}"
    if isinstance(stage, InPuzzle):
        return "a puzzle"
    if isinstance(stage, Choosing | Left | Solving):
        is_marked = isinstance(stage, Choosing) and chat.is_marked
        left = chat.paused[-1].title if chat.paused else ""
        return "a paper that is marked, to be gone over" if is_marked else left
    return "what you were typing"
