"""What of a chat is drawn where a drawing stays in sight."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tutor.front.chat.stages import Chat, Solving

if TYPE_CHECKING:
    from tutor.teaching.depicted import Depicted
    from tutor.teaching.messages import Message


def in_view(chat: Chat) -> Depicted | None:
    """What is in hand; None where there is nothing to draw."""
    if not isinstance(chat.stage, Solving):
        return None
    from tutor.teaching.in_sight import in_sight

    return in_sight(chat.stage.talk)


def without_what_is(
    in_sight_now: Depicted | None, messages: Iterable[Message], line: str
) -> tuple[Message, ...]:
    """The messages without a drawing of the network that is in sight, unless the line asks for
    one.
    """
    if in_sight_now is None:
        return tuple(messages)
    from tutor.teaching.hearing import request_in

    if request_in(line) == "drawing":
        return tuple(messages)
    network = in_sight_now.network
    return tuple(
        message._replace(drawn=None)
        if message.drawn is not None and message.drawn.network == network else message
        for message in messages
    )
