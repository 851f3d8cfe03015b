"""How a problem begins in a chat, and how the chat goes on after each turn of it."""

from __future__ import annotations

from collections.abc import Callable

from grammar.records import Description
from tutor.circuit.network import Problem, build
from tutor.front.chat.stages import Answer, Chat, Choosing, Puzzling, Staged, Walking
from tutor.teaching.dialogue import begin
from tutor.teaching.manner import Manner
from tutor.teaching.messages import Message
from tutor.teaching.puzzle import PuzzleTurn
from tutor.teaching.settings import Settings
from tutor.teaching.staged import telling as stories
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Story, Told
from tutor.teaching.turn import Turn

NEXT = "What next? Type another network, an example's number, 'start again' or 'stop'."
NEXT_IN_A_COURSE = "Type 'next' to go on, or 'home' to do something else."
AFTER_A_PUZZLE = "What next? Type a network, another puzzle, an example's number, or 'stop'."


def open_walk(problem: Problem, chat: Chat, manner: Manner | None = None) -> Answer:
    """A walk of its own, from its start."""
    led = chat.person.manner if manner is None else manner
    return walked(chat.on_a_new_problem(), begin(problem, chat.terms, chat.person.seed, led))


def open_text(description: Description, chat: Chat, manner: Manner | None = None) -> Answer:
    """A network to be walked, or a problem that goes in stages, from its start.

    Errors: ``Refusal`` for data that cannot be used.
    """
    if story_of(description, chat.terms) is None:
        return open_walk(build(description), chat, manner)

    def retell(settings: Settings) -> Story:
        story = story_of(description, settings)
        assert story is not None, "what has a story has one in any words"
        return story

    return open_story(retell, chat, manner)


def open_story(
    retell: Callable[[Settings], Story], chat: Chat, manner: Manner | None = None
) -> Answer:
    """A story from its start. Errors: ``Refusal`` for data that cannot be used."""
    led = chat.person.manner if manner is None else manner
    begun = stories.begin(retell(chat.terms), chat.terms, led)
    return told(chat.on_a_new_problem(), begun, Staged(begun.telling, retell))


def walked(chat: Chat, turn: Turn) -> Answer:
    """The chat after a turn of its walk; a walk that is over leads on to what is next."""
    messages = turn.messages
    if turn.walk.over:
        messages = _led_on(chat, messages)
    return Answer(chat._replace(terms=turn.walk.terms, stage=Walking(turn.walk)), messages)


def told(chat: Chat, turn: Told, stage: Staged) -> Answer:
    """The chat after a turn of its story."""
    messages = turn.messages
    if turn.telling.over and chat.course is not None:
        messages = _led_on(chat, messages)
    return Answer(chat._replace(stage=stage._replace(telling=turn.telling)), messages)


def puzzled(chat: Chat, turn: PuzzleTurn) -> Answer:
    """The chat after a turn of its puzzle."""
    if not turn.puzzle.over:
        return Answer(chat._replace(stage=Puzzling(turn.puzzle)), turn.messages)
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
