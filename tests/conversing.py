"""A conversation about one task that a test has brought to where it wants it."""

from __future__ import annotations

from tutor.front.chat.stages import Solving, Stage
from tutor.teaching.conversation import Conversation, Frame, OpenTask
from tutor.teaching.staged.story import Telling
from tutor.teaching.walk import Walk


def about(task: OpenTask) -> Conversation:
    """The task as the problem of a conversation of its own."""
    return Conversation((Frame(task),))


def is_walking(stage: Stage) -> bool:
    """Whether a chat is in a walk, going on or over."""
    return isinstance(stage, Solving) and isinstance(stage.talk.problem, Walk)


def is_staged(stage: Stage) -> bool:
    """Whether a chat is in a problem in stages, going on or over."""
    return isinstance(stage, Solving) and isinstance(stage.talk.problem, Telling)
