"""What a class is led through: one problem, or a lesson with its prose and tasks in turn."""

from __future__ import annotations

from typing import NamedTuple

from grammar.any_text import sure_reading
from grammar.records import Refusal
from tutor.learner.standing import Standing
from tutor.practice.course import LessonCourse, serve
from tutor.practice.item_begun import begin_item
from tutor.practice.lessons import Lesson
from tutor.practice.next_task import NextTask
from tutor.teaching.settings import DEFAULTS

TALKED_OVER = frozenset({"say", "puzzle"})


class Stop(NamedTuple):
    """Paragraphs to read, then something to do; at the end of a lesson there is nothing to do."""

    prose: tuple[str, ...]
    item: NextTask | None

    @property
    def is_talked_over(self) -> bool:
        """Whether what is to be done is done by word of mouth, so that nothing is judged."""
        return self.item is not None and self.item.kind in TALKED_OVER


class Programme(NamedTuple):
    """A title and the stops in order."""

    title: str
    stops: tuple[Stop, ...]


def of_text(text: str) -> Programme:
    """One problem. Errors: ``Refusal`` for a text that cannot be read or used."""
    read = sure_reading(text)
    item = NextTask("network", read.text)
    if begin_item(item, DEFAULTS).talk.over:
        raise Refusal("Nothing is left to ask of that network.", "Give one with more in it.")
    return Programme(read.text, (Stop((), item),))


def of_lesson(lesson: Lesson) -> Programme:
    """A lesson from its start to its end."""
    stops: list[Stop] = []
    course, nobody = LessonCourse(lesson), Standing({}, {})
    while True:
        served = serve(course, nobody)
        stops.append(Stop(served.prose, served.item))
        if served.item is None:
            return Programme(course.title, tuple(stops))
        assert isinstance(served.course, LessonCourse)
        course = served.course
