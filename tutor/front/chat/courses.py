"""Lessons, practice and review in the chat: wishes for them, and what is said within them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from grammar.records import Refusal
from grammar.shown import bearable
from tutor.front.chat.account import account, asks_what_was_wrong, exam_in, someone_else
from tutor.front.chat.going_through import (
    ASK_NOW,
    NEXT_IN_A_COURSE,
    back_to,
    begin,
    begun_with,
    onward,
    paused,
    set_aside,
    taken_up,
    talked,
)
from tutor.front.chat.paper_on_screen import paper_asked_for
from tutor.front.chat.stages import Answer, Chat, Reflecting, Solving
from tutor.front.incoming import looks_like_network
from tutor.learner.sitting import make_sitting
from tutor.learner.suggesting import suggest
from tutor.practice.course import LessonCourse, PracticeCourse, QuestionCourse, ReviewCourse
from tutor.practice.lessons import Lesson, by_unit
from tutor.practice.library import lesson_called
from tutor.practice.making_needs import NEEDS, TaskOrder
from tutor.practice.next_task import renamed, twin_of
from tutor.practice.orders import order_in
from tutor.practice.questions.kinds import kind_called, kinds_for
from tutor.teaching.exchange import hear
from tutor.teaching.hearing import plain, request_in
from tutor.teaching.line_reading import AT_ANY_MOMENT, read
from tutor.teaching.messages import Message
from tutor.teaching.skills import SKILLS

if TYPE_CHECKING:
    from tutor.front.chat.own_wishes import Wished

LESSON = re.compile(r"(?i)\s*(?:the\s+)?lesson\s*:?\s+(.+?)\s*[.!]?\s*$")
PRACTICE = re.compile(r"(?i)\s*(?:practi[cs]e|practi[cs]ing)\b\s*:?\s*(.*?)\s*$")
LESSONS = ("lessons", "the lessons", "list lessons", "list of lessons", "which lessons are there")
REVIEW = ("review", "look again", "revise", "revision", "what i should look at again")
GO_ON = ("go on", "resume", "continue", "carry on")
WORKING_WORDS = ("working", "mark my working", "mark working", "mark this", "mark it")
LIKE_WORDS = ("another like this", "one like this", "another like it", "other values", "a twin")
RENAMED_WORDS = ("other names", "the same with other names", "the same under other names")
NEXT_WORDS = ("next", *GO_ON, "the next one", "next please")
# In the middle of a task or behind it: another of its kind.
MOVES_ON = re.compile(
    r"(?:(?:can|could|may|i|we|want|give|set|try|have|do|get|me|us|lets|go|move|on|to|a|the) )*"
    r"(?:(?:skip(?: (?:it|this|that))?|next|another|one more)(?: (?:one|task|question|problem))?"
    r"|(?:new|different) (?:one|task|question|problem))"
)
MAY_BE_WISHED = re.compile(
    r"\b(?:practi[sc]\w+|revis\w+|review|quiz|test|drill|instead|lessons?|settings?|wrong|mistakes?|units?"
    r"|(?:some|any)thing|tasks?|questions?|problems?|exercises?|harder|easier|easy|simpler?|difficult|full|exam|use"
    r"|can|could|may|shall|lets?|want|like|need|love|rather|prefer|what|how|another|one more)\b"
)
BACK_WORDS = ("back", "undo", "go back", "previous", "the previous one", "previous task")
HOME_WORDS = ("home", "leave the lesson", "leave this lesson", "something else", "end the lesson")
KINDS_TOO = "'practise questions without sums' lists the kinds that are told in words."
NOTHING_LEFT = "Nothing was left in the middle, so there is nothing to go on with."
TOO_LATE = "That task is done, so nothing more is marked there."
COURSE_HELP = (
    "'next' goes on to what follows, in practice 'another like this' gives the task other values "
    "and 'other names' writes the same network otherwise. 'home' leaves this and keeps its place "
    "for 'go on', 'stop' leaves the program and keeps it too. In a problem 'list', 'hint', 'why', "
    "'undo', 'start again' and 'I don't know' are open; 'where do I stand' tells what is steady."
)
LEFT_FOR_NOW = "That one is left for now; 'back' goes to it again."
WHICH_LESSON = "Which one? Type it like: lesson 2."


def asked_for(chat: Chat, line: str) -> Answer | None:
    """What a line wishes for, other than a network; None where it wishes for nothing of these."""
    words = plain(line)
    if chat.paused and (words in GO_ON or (words == "next" and chat.left is None)):
        return taken_up(chat)
    goes_over = words in ("go over", "go over it") or (
        chat.is_marked and asks_what_was_wrong(chat, words)
    )
    if (words in (*GO_ON, "next") or goes_over) and chat.left is not None:
        return begin(chat._replace(left=None), chat.left)
    if words in GO_ON and chat.person.resume is not None:
        return chat.person.resume()
    if words in LESSONS:
        listed = "\n".join(_listed(chat.lessons))
        return Answer(chat, (Message("say", listed), Message("ask", WHICH_LESSON)))
    if (answer := account(chat, words)) is not None:
        return answer
    if (answer := exam_in(chat, line)) is not None:
        return answer
    if (answer := someone_else(chat, line)) is not None:
        return answer
    behind = chat if chat.course is None else set_aside(chat)
    if (answer := paper_asked_for(behind, line)) is not None:
        return answer
    if words in REVIEW:
        return _review(chat)
    if found := LESSON.match(line):
        return _lesson(chat, found[1])
    if found := PRACTICE.match(line):
        return _practice(chat, found[1])
    if words in NEXT_WORDS and chat.course is None and chat.wants_network:
        return Answer(chat, (Message("say", NOTHING_LEFT), ASK_NOW))
    return in_own_words(chat, line) if MAY_BE_WISHED.search(words) else None


def in_own_words(chat: Chat, line: str) -> Answer | None:
    """What a line wishes for that is not put as it is typed here."""
    from tutor.front.chat.own_wishes import wish_in_own_words  # late: few lines may be a wish

    busy = isinstance(chat.stage, Solving) and not chat.stage.is_done
    return _wished(chat, wish_in_own_words(line, chat.lessons, busy))


def _wished(chat: Chat, wish: Wished | None) -> Answer | None:
    if wish is None:
        return None
    if wish.typed:
        return asked_for(chat, wish.typed)
    return Answer(chat, (Message("say", wish.told), ASK_NOW))


def _listed(lessons: tuple[Lesson, ...]) -> Iterator[str]:
    for unit, within in by_unit(lessons):
        yield unit
        yield from (f"  {each.number}  {each.title}" for each in within)


def _lesson(chat: Chat, words: str) -> Answer:
    lesson = lesson_called(chat.lessons, words)
    if lesson is None:
        from tutor.front.chat.own_wishes import about_lessons  # late: few are called by a topic

        if (wished := _wished(chat, about_lessons(words, chat.lessons))) is not None:
            return wished
        text = bearable(f"There is no lesson '{words}'. 'lessons' lists them.")
        return Answer(chat, (Message("say", text), ASK_NOW))
    course = LessonCourse(lesson)
    title = Message("say", course.heading, heading=course.heading)
    answer = begin(chat, course)
    return answer._replace(messages=(title, *answer.messages))


def _practice(chat: Chat, words: str) -> Answer:
    """Practice of what is wished for, or of what makes most sense now."""
    person = chat.person
    seed = person.seed + 7 * chat.problems  # so that the same wish draws other values
    if not words:
        wanted = suggest(person.standing, person.now, person.exam)
        skill = wanted.skill or next(iter(NEEDS))
        lead = Message("say", wanted.why)
        answer = begin(chat, PracticeCourse(TaskOrder(skill=skill, seed=seed)))
        return answer._replace(messages=(lead, *answer.messages))
    named = next((s.code for s in SKILLS if plain(s.name) == plain(words)), None)
    if named is not None:
        return begin(chat, PracticeCourse(TaskOrder(skill=named, seed=seed)))
    try:
        order = order_in(words)
    except Refusal as refusal:
        if (kind := kind_called(words)) is not None:
            return begin(chat, QuestionCourse(kind, seed))
        from tutor.front.chat.own_wishes import about_practice  # late: most orders are of one name

        if (wished := _wished(chat, about_practice(words))) is not None:
            return wished
        said = Message("verdict", f"{refusal} {KINDS_TOO}", verdict="unread")
        return Answer(chat, (said, ASK_NOW))
    return begin(chat, PracticeCourse(order if order.seed else order._replace(seed=seed)))


def _review(chat: Chat) -> Answer:
    person = chat.person
    among = frozenset(s.code for s in SKILLS if s.code in NEEDS or kinds_for(s.code))
    plan = make_sitting(person.standing, person.now, person.exam, among=among)
    if not any(person.standing.has_met(code) for code in plan):
        text = "There is nothing to look at again yet. A lesson or practice comes first."
        return Answer(chat, (Message("say", text), ASK_NOW))
    text = (
        "A mixed sitting. Mixing feels harder than one kind at a time, and it is kept longer. "
        "You can stop at any point and go on later."
    )
    answer = begin(chat, ReviewCourse(plan, person.seed))
    return answer._replace(messages=(Message("say", text), *answer.messages))


def _once_more(chat: Chat, with_other_values: bool) -> Answer:
    """The task in hand with other values, or under other names."""
    item = chat.item
    if item is None or item.order is None:
        said = Message("say", "This one was not made to order, so there is no other like it.")
        return Answer(chat, (said, Message("ask", NEXT_IN_A_COURSE)))
    seed = chat.person.seed + chat.problems
    return begun_with(chat, (twin_of if with_other_values else renamed)(item, seed))


def in_a_course(chat: Chat, line: str) -> Answer | None:
    """What is said about the course in hand; None for a line that belongs to its problem."""
    words = plain(line)
    done = chat.wants_network
    if request_in(line) == "typed":
        return _helped(chat)
    if words in (*LIKE_WORDS, *RENAMED_WORDS):
        return _once_more(chat, words in LIKE_WORDS)
    if words in GO_ON and isinstance(chat.stage, Reflecting):
        return Answer(chat, (Message("ask", chat.stage.text),))
    goes_on = words in NEXT_WORDS or MOVES_ON.fullmatch(words) is not None
    if done and words and not goes_on and not _is_for_the_problem(chat, line):
        return _too_late(chat, line)
    if words in BACK_WORDS and chat.skipped and _has_not_begun(chat):
        return back_to(chat)
    if goes_on or (done and not words):
        answer = onward(chat)
        if done:
            return answer
        skipped = (*chat.skipped, paused(chat)) if answer.chat.course is not None else ()
        left_out = Message("say", LEFT_FOR_NOW if skipped else "That one is left for now.")
        kept = answer.chat._replace(skipped=skipped)
        return Answer(kept, (left_out, *answer.messages))
    return None


def _helped(chat: Chat) -> Answer:
    """What can be typed in a course, and the question that waits."""
    stage, said = chat.stage, Message("say", COURSE_HELP)
    if isinstance(stage, Solving) and not stage.is_done:
        asked = talked(chat, hear(stage.talk, "repeat"))
        return asked._replace(messages=(said, *asked.messages))
    if isinstance(stage, Reflecting):
        return Answer(chat, (said, Message("ask", stage.text)))
    return Answer(chat, (said, Message("ask", NEXT_IN_A_COURSE)))


def _too_late(chat: Chat, line: str) -> Answer:
    """What is said between two tasks that neither goes on nor belongs to the last one."""
    from tutor.front.chat.topics import told_at_rest  # late: its tables are many

    told = told_at_rest(chat, line)
    said = told.messages[:-1] if told is not None else (Message("say", TOO_LATE),)
    return Answer(chat, (*said, Message("ask", NEXT_IN_A_COURSE)))


def _has_not_begun(chat: Chat) -> bool:
    """Whether nothing was answered in the task in hand, so that there is nothing to take back."""
    return not (isinstance(chat.stage, Solving) and chat.stage.talk.before)


def _is_for_the_problem(chat: Chat, line: str) -> bool:
    """Whether a line after the end of a problem is about it, or begins something else."""
    stage = chat.stage
    if request_in(line) not in (None, "unsure", "repeat") or looks_like_network(line):
        return True
    if isinstance(stage, Solving) and read(stage.talk, line).act in (*AT_ANY_MOMENT, "question"):
        return True
    return plain(line) in WORKING_WORDS or asked_for(chat, line) is not None
