"""What of a chat is drawn where a drawing stays in sight."""

from __future__ import annotations

from collections.abc import Iterable

from tutor.front.chat.stages import Chat, Solving
from tutor.teaching.depicted import Depicted
from tutor.teaching.hearing import request_in
from tutor.teaching.in_sight import in_sight
from tutor.teaching.messages import Message


def in_view(chat: Chat) -> Depicted | None:
    """What is in hand; None where there is nothing to draw."""
    return in_sight(chat.stage.talk) if isinstance(chat.stage, Solving) else None


def without_what_is(
    in_sight_now: Depicted | None, messages: Iterable[Message], line: str
) -> tuple[Message, ...]:
    """The messages without a drawing of the network that is in sight, unless the line asks for
    one.
    """
    if in_sight_now is None or request_in(line) == "drawing":
        return tuple(messages)
    network = in_sight_now.network
    return tuple(
        message._replace(drawn=None)
        if message.drawn is not None and message.drawn.network == network else message
        for message in messages
    )
