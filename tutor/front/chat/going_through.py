"""A course gone through part by part; what is left in the middle is kept as it stands, and taken up
again there.
"""

from __future__ import annotations

from typing import Final

from grammar.wishing import read_wish
from tutor.front.chat.account import WHAT_NOW
from tutor.front.chat.home import in_the_middle, suggested
from tutor.front.chat.stages import (
    Answer,
    Chat,
    Choosing,
    InPuzzle,
    Paused,
    Reflecting,
    Solving,
    home_of,
)
from tutor.learner.suggesting import choices
from tutor.practice.course import Course, LessonCourse, serve
from tutor.practice.item_begun import begin_item
from tutor.practice.next_task import NextTask
from tutor.teaching.conversation import Replied
from tutor.teaching.exchange import hear, with_settings
from tutor.teaching.messages import Message
from tutor.teaching.puzzle import PuzzleTurn, begin_puzzle, hear_puzzle
from tutor.teaching.speech import counted, sentence
from tutor.teaching.walk import Walk

NEXT = "What next? Type another network, an example's number, 'start again' or 'stop'."
NEXT_IN_A_COURSE = "Type 'next' to go on, or 'home' to do something else."
AFTER_A_PUZZLE = "What next? Type a network, another puzzle, an example's number, or 'stop'."
ASK_NOW: Final = Message("ask", WHAT_NOW)
YOUR_TASK = "Your task"


def begin(chat: Chat, course: Course) -> Answer:
    """A course from its start; what was left of it before is not kept."""
    others = tuple(each for each in chat.paused if each.title != course.title)
    return onward(chat._replace(course=course, paused=others, skipped=()))


def onward(chat: Chat) -> Answer:
    """The next part of the course in hand."""
    assert chat.course is not None, "asked of a chat with a course"
    if chat.paused and chat.paused[-1].course == chat.course:
        return taken_up(chat)  # a text of one's own had been put before its task
    person = chat.person
    served = serve(chat.course, person.standing)
    headings = served.headings or ("",) * len(served.prose)
    said = tuple(
        Message("say", text, heading=heading)
        for text, heading in zip(served.prose, headings, strict=True)
    )
    if served.item is None:
        return _ended(chat, said)
    answer = begun_with(chat._replace(course=served.course), served.item)
    task = YOUR_TASK if served.headings else ""
    begun = tuple(message._replace(heading=task) for message in answer.messages)
    return answer._replace(messages=(*said, *begun))


def _ended(chat: Chat, said: tuple[Message, ...]) -> Answer:
    """A course at its end: what makes sense next, and after a lesson the one that follows it."""
    course, person = chat.course, chat.person
    done = chat._replace(course=None, stage=Choosing(), skipped=())
    number = course.lesson.number if isinstance(course, LessonCourse) else 0
    following = next((each for each in chat.lessons if each.number > number > 0), None)
    if following is not None:
        if chat.skipped:
            some = counted(len(chat.skipped), "task")
            text = f"On the way {some} stayed open; 'lesson {number}' begins it once more."
            said = (*said, Message("say", text))
        done = done._replace(left=LessonCourse(following))
        text = f"'next' begins lesson {following.number}, {following.title}."
        said = (*said, Message("say", text))
    for each in choices(person.standing, person.now, person.exam):
        text = suggested(chat, each.kind, each.skill, each.why)
        if not text.startswith(f"'lesson {number}'"):
            said = (*said, Message("say", f"Suggested: {text}"))
            break
    return Answer(done, (*said, ASK_NOW))


def paused(chat: Chat) -> Paused:
    """What is in hand, as it stands."""
    stage = home_of(chat.stage) or chat.stage
    if not isinstance(stage, Solving | InPuzzle | Reflecting):
        stage = Choosing()
    return Paused(in_the_middle(chat), stage, chat.course, chat.item, chat.described)


def set_aside(chat: Chat) -> Chat:
    """The chat with nothing in hand; what was is kept to be gone on with."""
    kept = chat.paused
    if chat.course is None or not kept or kept[-1].course != chat.course:
        kept = (*kept, paused(chat))
    return chat._replace(stage=Choosing(), course=None, paused=kept)


def to_home(chat: Chat) -> Answer:
    """What is in hand left; it keeps its place where it is not done."""
    if chat.course is None and chat.wants_network:
        return Answer(chat._replace(stage=Choosing()), (ASK_NOW,))
    text = f"{sentence(in_the_middle(chat))}: left here; 'go on' takes it up again."
    return Answer(set_aside(chat), (Message("say", text), ASK_NOW))


def taken_up(chat: Chat) -> Answer:
    """What was left last, where it was."""
    *others, last = chat.paused
    stage = last.stage
    if isinstance(stage, Solving):
        stage = stage._replace(talk=with_settings(stage.talk, chat.terms))
    on = chat._replace(
        stage=stage,
        course=last.course,
        item=last.item,
        described=last.described,
        paused=tuple(others),
    )
    if on.wants_network and on.course is not None:  # between two tasks
        answer = onward(on)
        said = Message("say", f"On with {last.title}.")
        return answer._replace(messages=(said, *answer.messages))
    return where(Answer(on, ()))


def where(answer: Answer) -> Answer:
    """What is gone on with and how far it had come, then the network in hand, to be drawn, and the
    question that waits.
    """
    from tutor.front.progress import standing  # late, both of them
    from tutor.teaching.in_sight import in_sight

    chat = answer.chat
    stage, messages, about = chat.stage, answer.messages, in_the_middle(chat)
    if isinstance(stage, Solving):
        first, *others = talked(chat, hear(stage.talk, "list")).messages
        messages = (first._replace(drawn=in_sight(stage.talk)), *others)
    elif isinstance(stage, InPuzzle):
        messages = hear_puzzle(stage.puzzle, "list").messages
    elif isinstance(stage, Reflecting):
        messages = (Message("ask", stage.text),)
    text = f"On with {about}. {standing(chat)}" if about else "On with it."
    return answer._replace(messages=(Message("say", text), *messages))


def back_to(chat: Chat) -> Answer:
    """The task that was left last, where it was."""
    *others, last = chat.skipped
    back = chat._replace(stage=last.stage, course=last.course, item=last.item)
    return where(Answer(back._replace(skipped=tuple(others)), ()))


def begun_with(chat: Chat, item: NextTask) -> Answer:
    """The chat with a task of the course begun, whatever kind of task it is."""
    chat = chat._replace(item=item)
    if item.kind == "say":
        model = item.exercise.model if item.exercise is not None else ""
        reflecting = chat._replace(stage=Reflecting(item.text, model))
        return Answer(reflecting, (Message("ask", item.text),))
    if item.kind == "puzzle":
        return puzzled(chat.on_a_new_problem(), begin_puzzle(read_wish(item.text), chat.terms))
    begun = begin_item(item, chat.terms, chat.person.seed, chat.person.manner)
    return talked(chat.on_a_new_problem(), begun)


def talked(chat: Chat, reply: Replied) -> Answer:
    """The chat after a line of its problem; one that is over leads on to what is next."""
    messages, talk = reply.messages, reply.talk
    if talk.over and (chat.course is not None or isinstance(talk.problem, Walk)):
        messages = _led_on(chat, messages)
    return Answer(chat._replace(terms=talk.terms, stage=Solving(talk)), messages)


def puzzled(chat: Chat, turn: PuzzleTurn) -> Answer:
    """The chat after a turn of its puzzle."""
    if not turn.puzzle.over:
        return Answer(chat._replace(stage=InPuzzle(turn.puzzle)), turn.messages)
    text = AFTER_A_PUZZLE if chat.course is None else NEXT_IN_A_COURSE
    return Answer(chat._replace(stage=Choosing()), (*turn.messages, Message("ask", text)))


def _led_on(chat: Chat, messages: tuple[Message, ...]) -> tuple[Message, ...]:
    """The messages with what may come next at their end; within a lesson that is its next part,
    and what the close of a problem says of another network is left out.
    """
    if messages and messages[-1].kind == "ask":
        return messages
    if chat.course is None:
        leads = bool(messages) and "another network" in messages[-1].text
        if chat.paused:
            text = f"'go on' takes up {chat.paused[-1].title} again."
            messages = (*messages, Message("say", text))
        return messages if leads and not chat.paused else (*messages, Message("ask", NEXT))
    kept = [_without_another(m) if m.kind == "close" else m for m in messages]
    return (*(m for m in kept if m.text), Message("ask", NEXT_IN_A_COURSE))


def _without_another(message: Message) -> Message:
    lines = [line for line in message.text.split("\n") if "another network" not in line]
    return message._replace(text="\n".join(lines))
