"""The stages of a chat: each is a record that holds what it needs, and nothing is done here."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from tutor.learner.standing import NOBODY, Standing
from tutor.teaching.manner import Manner

if TYPE_CHECKING:  # the first prompt waits for this module, and not for all that a chat may hold
    from grammar.any_text import Readings
    from grammar.records import Description
    from tutor.front import guided as drawing
    from tutor.practice.course import Course
    from tutor.practice.lessons import Lesson
    from tutor.practice.next_task import NextTask
    from tutor.practice.papers import ExamPaper
    from tutor.teaching.conversation import Conversation
    from tutor.teaching.messages import Message
    from tutor.teaching.puzzle import Puzzle
    from tutor.teaching.speech import Terms


class Choosing(NamedTuple):
    """No walk yet; ``draft`` is a text that could not be read, kept to be put right."""

    draft: str = ""


class Solving(NamedTuple):
    """A problem talked through, going on or over; ``draft`` as above."""

    talk: Conversation
    draft: str = ""

    @property
    def is_done(self) -> bool:
        """Whether the problem has come to its end."""
        return self.talk.over


class Deciding(NamedTuple):
    """A text that can be read in several ways, or of which something is left out: which is meant
    is asked.
    """

    found: Readings
    text: str


class Gathering(NamedTuple):
    """A text of several lines on its way in; ``home`` is what it interrupts, ``working`` says that
    it is working of that problem, to be marked.
    """

    lines: tuple[str, ...]
    home: Solving | None = None
    working: bool = False


class Offered(NamedTuple):
    """A text typed in the middle of another: yes goes to ``begun``, its beginning, no goes on."""

    home: Solving
    begun: Answer


class Reading(NamedTuple):
    """A drawing being read off a book."""

    guided: drawing.Guided


class InPuzzle(NamedTuple):
    """A puzzle being solved."""

    puzzle: Puzzle


class Reflecting(NamedTuple):
    """A question of a lesson that is answered freely; the answer is kept and not judged, and the
    ``model`` answer shown after it; ``nudged`` once it was not known, or a hint was asked for.
    """

    text: str
    model: str = ""
    nudged: bool = False


class Writing(NamedTuple):
    """A paper being written: the question in hand, and the lines of working of each; ``is_sure``
    once it was asked whether to hand in with some of them empty.
    """

    paper: ExamPaper
    at: int = 0
    scripts: tuple[tuple[str, ...], ...] = ()
    is_sure: bool = False


class Left(NamedTuple):
    """The learner has left."""


class Paused(NamedTuple):
    """What was left in the middle, as it stood, and in short words what it is."""

    title: str
    stage: Solving | InPuzzle | Reflecting | Choosing
    course: Course | None
    item: NextTask | None
    described: Description | None


Stage: TypeAlias = (
    Choosing | Deciding | Gathering | Solving | Offered | Reading | InPuzzle | Reflecting
    | Writing | Left
)


class Person(NamedTuple):
    """Who is learning, and when.

    ``name`` is empty where nothing is kept. ``now`` is when the sitting began, in seconds since
    the start of 1970, ``exam`` the day of the exam; ``seed`` orders menus and draws values.
    ``resume`` brings back what was left in the middle, ``left_in`` says what that was; ``library``
    reads lessons that take the place of the program's own.
    """

    name: str = ""
    standing: Standing = NOBODY
    now: float = 0.0
    exam: date | None = None
    seed: int = 0
    resume: Callable[[], Answer] | None = None
    left_in: str = ""
    library: Callable[[], tuple[Lesson, ...]] | None = None

    @property
    def manner(self) -> Manner:
        """How a problem of the learner's own choice is led: all is asked."""
        from tutor.learner.suggesting import manner_of

        return manner_of(self.standing)._replace(shown=frozenset())


class Chat(NamedTuple):
    """The whole state of a chat.

    ``problems`` counts the problems begun so far; ``course`` is the lesson or the practice that
    goes on behind the problem in hand, ``left`` one that is on offer next; ``paused`` is what was
    left in the middle and may be gone on with, the last one last; ``skipped`` are tasks of the
    course in hand that 'next' left; ``item`` is the task in hand, or the last one, of a course;
    ``described`` is the last problem that was begun from a text.
    """

    terms: Terms
    stage: Stage = Choosing()
    person: Person = Person()
    problems: int = 0
    course: Course | None = None
    left: Course | None = None
    paused: tuple[Paused, ...] = ()
    skipped: tuple[Paused, ...] = ()
    item: NextTask | None = None
    described: Description | None = None

    @property
    def is_over(self) -> bool:
        """Whether the learner has left."""
        return isinstance(self.stage, Left)

    @property
    def is_at_rest(self) -> bool:
        """Whether nothing is in hand or behind it: no problem, no course."""
        return isinstance(self.stage, Choosing) and self.course is None

    @property
    def is_marked(self) -> bool:
        """Whether a paper has been marked and may be gone over."""
        from tutor.practice.course import GoingOver

        return isinstance(self.left, GoingOver)

    @property
    def wants_network(self) -> bool:
        """Whether nothing is in hand, so that the next line may begin something, as a network."""
        stage = self.stage
        return isinstance(stage, Choosing) or (
            isinstance(stage, Solving) and stage.is_done
        )

    @property
    def draft(self) -> str:
        """A text to be put right, empty if there is none."""
        if isinstance(self.stage, Deciding) and self.stage.found.ways:
            return self.stage.found.ways[0].text
        return self.stage.draft if isinstance(self.stage, Choosing | Solving) else ""

    @property
    def lessons(self) -> tuple[Lesson, ...]:
        """The lessons there are."""
        from tutor.practice.library import own_lessons

        return (self.person.library or own_lessons)()

    def on_a_new_problem(self) -> Chat:
        """The same chat with one more problem begun."""
        return self._replace(problems=self.problems + 1)


class Answer(NamedTuple):
    """The next state and what is said."""

    chat: Chat
    messages: tuple[Message, ...]


def home_of(stage: Stage) -> Solving | None:
    """The problem that is going on, or is interrupted, or is the last one done."""
    if isinstance(stage, Solving):
        return stage
    return stage.home if isinstance(stage, Gathering | Offered) else None
