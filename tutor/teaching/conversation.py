"""The state of a conversation: what is being talked through, the last thing opened on top.

Under all lies a problem: a network that is walked or a problem in stages. On it stand the things
that are talked through before it goes on: the story of a step that series and parallel cannot take,
a detour through a star or a triangle, a twin of a step that was shown, a change that was supposed.
Each is a task with questions of its own, and all are led by the one exchange of dialogue.py.
"""

from __future__ import annotations

from typing import Generic, Literal, NamedTuple, TypeAlias, TypeVar

from tutor.circuit.star_delta import StarDelta
from tutor.circuit.steps import Step
from tutor.teaching.messages import Message
from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Story, Telling
from tutor.teaching.walk import Walk, next_question
from tutor.teaching.whatif.change import Supposing


class StagedSupposing(NamedTuple):
    """One given value of a problem in stages changed, as it was ``said``: the story ``before`` and
    ``after``. ``pairs`` are the places of the values compared; those at the places ``found`` have
    been found already, so that their numbers may be told. ``predicted`` are the pairs of which it
    was said rightly which way they go; ``hinted`` once the learner did not know.
    """

    said: str
    before: Story
    after: Story
    pairs: tuple[tuple[int, int], ...]
    found: frozenset[int]
    terms: Settings
    predicted: frozenset[tuple[int, int]] = frozenset()
    hinted: bool = False
    over: bool = False


OpenTask: TypeAlias = Walk | Telling | Supposing | StagedSupposing
T = TypeVar("T")
Purpose: TypeAlias = Literal["problem", "step", "exchange", "detour", "twin", "what if"]


class Frame(NamedTuple):
    """A task and why it was opened.

    ``purpose``: the problem itself; the story of a ``step`` that its walk then takes; the story of
    an ``exchange`` of a star for a triangle or the other way, and the detour of a walk through the
    network with that done; a twin; a what-if.
    """

    task: OpenTask
    purpose: Purpose = "problem"
    step: Step | None = None
    exchange: StarDelta | None = None


class TurnOf(NamedTuple, Generic[T]):
    """A task after a line, what is said, and what is opened on top of it, if anything."""

    task: T
    messages: tuple[Message, ...]
    opens: Frame | None = None


class Conversation(NamedTuple):
    """All that is needed to go on; it never changes, each line makes the next one.

    ``frames``: the problem first, what is in hand last. ``before`` are the frames as they were
    before each answer, the newest last, to go back to. ``thought`` is an answer that was put as a
    question, and has just been asked back.
    """

    frames: tuple[Frame, ...]
    before: tuple[tuple[Frame, ...], ...] = ()
    thought: str = ""

    @property
    def problem(self) -> Walk | Telling:
        """The walk or the problem in stages that all is about."""
        task = self.frames[0].task
        assert isinstance(task, Walk | Telling), "a what-if stands on a problem"
        return task

    @property
    def in_hand(self) -> OpenTask:
        """The task whose question is open."""
        return self.frames[-1].task

    @property
    def walk(self) -> Walk:
        """The walk that the conversation is about; there must be one."""
        task = self.frames[0].task
        assert isinstance(task, Walk), "asked of walks alone"
        return task

    @property
    def telling(self) -> Telling:
        """The problem in stages that the conversation is about; it must be one."""
        task = self.frames[0].task
        assert isinstance(task, Telling), "asked of problems in stages alone"
        return task

    @property
    def subject(self) -> Walk:
        """The walk in hand, or the one that the story in hand is told within."""
        return [frame.task for frame in self.frames if isinstance(frame.task, Walk)][-1]

    @property
    def own_walk(self) -> Walk:
        """The walk with the text that the question in hand is about: a twin has one of its own."""
        twin = self.frames[-1].task if self.frames[-1].purpose == "twin" else None
        return twin if isinstance(twin, Walk) else self.walk

    @property
    def terms(self) -> Settings:
        """The learner's words and letters."""
        return self.problem.terms

    @property
    def over(self) -> bool:
        """Whether the problem is done and nothing stands on it."""
        return len(self.frames) == 1 and self.problem.over

    @property
    def is_supposing(self) -> bool:
        """Whether a change that was supposed is in hand."""
        return self.frames[-1].purpose == "what if"

    def open(self, purpose: Purpose) -> OpenTask | None:
        """The topmost task that was opened for this purpose; None where there is none."""
        found = [frame.task for frame in self.frames if frame.purpose == purpose]
        return found[-1] if found else None


class Replied(NamedTuple):
    """The conversation after a line, and what is said."""

    talk: Conversation
    messages: tuple[Message, ...]

    @property
    def walk(self) -> Walk:
        """The walk that it is about."""
        return self.talk.walk

    @property
    def telling(self) -> Telling:
        """The problem in stages that it is about."""
        return self.talk.telling


def place_of(task: OpenTask) -> object:
    """Where a task stands, so that two places are equal if the same question is open at both."""
    if isinstance(task, Telling):
        return task.at
    if isinstance(task, Walk):
        return next_question(task), len(task.steps), task.over
    return None
