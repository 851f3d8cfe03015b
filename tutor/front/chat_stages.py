"""The stages of a chat: each is a record that holds what it needs, and nothing is done here."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from tutor.front import guided as drawing
from tutor.front.stories import Staged
from tutor.teaching.messages import Message
from tutor.teaching.puzzle import Puzzle
from tutor.teaching.speech import Terms
from tutor.teaching.walk import Walk


class Choosing(NamedTuple):
    """No walk yet; ``draft`` is a text that could not be read, kept to be put right."""

    draft: str = ""


class Gathering(NamedTuple):
    """A text of several lines on its way in; ``walk`` or ``staged`` is what it interrupts,
    ``working`` says that it is working of that problem, to be marked.
    """

    lines: tuple[str, ...]
    walk: Walk | None = None
    working: bool = False
    staged: Staged | None = None


class Walking(NamedTuple):
    """A walk, going on or over; ``draft`` as above."""

    walk: Walk
    draft: str = ""


class Offered(NamedTuple):
    """A text typed in the middle of another: yes goes to ``begun``, its beginning, no goes on."""

    home: Walking | Staged
    begun: Answer


class Reading(NamedTuple):
    """A drawing being read off a book."""

    guided: drawing.Guided


class Puzzling(NamedTuple):
    """A puzzle being solved."""

    puzzle: Puzzle


class Left(NamedTuple):
    """The learner has left."""


Stage: TypeAlias = Choosing | Gathering | Walking | Staged | Offered | Reading | Puzzling | Left


class Chat(NamedTuple):
    """The whole state of a chat."""

    terms: Terms
    stage: Stage = Choosing()

    @property
    def is_over(self) -> bool:
        """Whether the learner has left."""
        return isinstance(self.stage, Left)

    @property
    def wants_network(self) -> bool:
        """Whether the next line should describe a network."""
        stage = self.stage
        return isinstance(stage, Choosing) or (
            isinstance(stage, Walking | Staged) and is_done(stage)
        )

    @property
    def draft(self) -> str:
        """A text to be put right, empty if there is none."""
        return self.stage.draft if isinstance(self.stage, Choosing | Walking | Staged) else ""


class Answer(NamedTuple):
    """The next state and what is said."""

    chat: Chat
    messages: tuple[Message, ...]


def is_done(home: Walking | Staged) -> bool:
    """Whether a walk or a story has come to its end."""
    return home.walk.over if isinstance(home, Walking) else home.telling.over
