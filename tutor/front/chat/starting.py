"""How a problem begins in a chat, and how the chat goes on after each turn of it."""

from __future__ import annotations

from grammar.records import Description
from tutor.front.chat.stages import Answer, Chat, Choosing, InPuzzle, Solving
from tutor.practice.item_begun import begin_description
from tutor.teaching.conversation import Replied
from tutor.teaching.messages import Message
from tutor.teaching.puzzle import PuzzleTurn
from tutor.teaching.settings import ASKED_WORDS, Settings
from tutor.teaching.walk import Walk

NEXT = "What next? Type another network, an example's number, 'start again' or 'stop'."
NEXT_IN_A_COURSE = "Type 'next' to go on, or 'home' to do something else."
LESS_THAN_USUAL = ("results", "the end")
AFTER_A_PUZZLE = "What next? Type a network, another puzzle, an example's number, or 'stop'."


def open_text(description: Description, chat: Chat) -> Answer:
    """A network to be walked, or a problem that goes in stages, from its start.

    Errors: ``Refusal`` for data that cannot be used.
    """
    person = chat.person
    begun = begin_description(description, chat.terms, person.seed, person.manner)
    if chat.problems == 0 and chat.terms.asked in LESS_THAN_USUAL:
        *said, asked = begun.messages
        begun = begun._replace(messages=(*said, _how_much_is_asked(chat.terms), asked))
    return talked(chat.on_a_new_problem()._replace(described=description), begun)


def _how_much_is_asked(terms: Settings) -> Message:
    """A setting that was kept earlier and leaves out much, said where a sitting begins with it."""
    return Message("say", f"{ASKED_WORDS[terms.asked]} 'ask for everything' changes that.")


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
        return messages if leads else (*messages, Message("ask", NEXT))
    kept = [_without_another(m) if m.kind == "close" else m for m in messages]
    return (*(m for m in kept if m.text), Message("ask", NEXT_IN_A_COURSE))


def _without_another(message: Message) -> Message:
    lines = [line for line in message.text.split("\n") if "another network" not in line]
    return message._replace(text="\n".join(lines))
