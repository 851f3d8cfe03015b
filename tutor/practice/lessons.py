"""What a lesson is: frozen records, read from a file of text by ``lesson_reading``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple, TypeAlias

from grammar.records import Place, Refusal
from tutor.teaching.skills import UNITS

ExerciseKind: TypeAlias = Literal["network", "order", "question", "puzzle", "say", "text"]


class Prose(NamedTuple):
    """What is read before a task: each of the ``lines`` is to be wrapped by itself.

    A heading is a line, a paragraph is one, and so is each entry of a list, led by '- ' or by its
    number; an empty line stands between them, but not between the entries of a list. Marks of
    emphasis are taken off. ``at`` are the numbers of these lines in the file (of an empty one,
    that of the line after it), ``levels`` those of headings, from 2, and 0 for what is none.
    """

    lines: tuple[str, ...]
    at: tuple[int, ...]
    levels: tuple[int, ...]
    place: Place


class WrongChoice(NamedTuple):
    """A wrong choice of the author's own, and what is said to it."""

    say: str
    reply: str


class OwnChoice(NamedTuple):
    """The answers of a question of the author's own: of one that is answered by a value the right
    one alone, without any ``wrong`` ones.

    ``because`` is the reason for the right one; the hint may be empty.
    """

    right: str
    because: str
    wrong: tuple[WrongChoice, ...]
    hint: str = ""


class Exercise(NamedTuple):
    """One task of a lesson.

    ``text`` is a network, a task made to order in words, the name of a kind of question, a wish
    for an arrangement, something to say freely, or a question with a ``choice`` or a value. With
    ``ask`` (codes of skills) only the steps that need one of these are asked and the others are
    shown worked; else all are asked. ``skills`` are those that a question of the author's own
    practises, ``model`` an answer to compare one's own words with. ``place`` is the line that opens
    the task and ``last`` the number of its last line within, both in the file.
    """

    kind: ExerciseKind
    text: str
    place: Place
    last: int
    ask: tuple[str, ...] = ()
    seed: int = 1
    choice: OwnChoice | None = None
    skills: tuple[str, ...] = ()
    model: str = ""


LessonPart: TypeAlias = Prose | Exercise


class Lesson(NamedTuple):
    """A lesson: ``number`` orders it among the others, ``name`` is that of its file without number
    and ending, ``skills`` are codes, the first being what the lesson is for. ``unit`` is the number
    of one of the program's, or the name of a teacher's own.
    """

    number: int
    name: str
    title: str
    unit: int | str
    skills: tuple[str, ...]
    parts: tuple[LessonPart, ...]

    @property
    def exercises(self) -> tuple[Exercise, ...]:
        """Its tasks, in order."""
        return tuple(part for part in self.parts if isinstance(part, Exercise))


def by_unit(lessons: Sequence[Lesson]) -> Iterator[tuple[str, tuple[Lesson, ...]]]:
    """The lessons of each unit that has any under its heading: those of the program by number,
    then a teacher's own in the order in which they come.
    """
    units: list[int | str] = [*UNITS]
    units += dict.fromkeys(lesson.unit for lesson in lessons if isinstance(lesson.unit, str))
    for unit in units:
        within = tuple(lesson for lesson in lessons if lesson.unit == unit)
        if within:
            yield f"Unit {unit}: {UNITS[unit]}" if isinstance(unit, int) else unit, within


class Faults(Exception):
    """Everything wrong with one file of a lesson, in the order of its lines.

    ``name`` is that of the file, ``lesson`` what can be read of it all the same, in which what is
    at fault is empty. ``args`` stay plain so that it pickles.
    """

    def __init__(
        self, name: str, faults: tuple[Refusal, ...], lesson: Lesson | None = None
    ) -> None:
        super().__init__(name, faults)
        self.name = name
        self.faults = faults
        self.lesson = lesson

    def __str__(self) -> str:
        return "\n".join(f"{self.name}:{_line(each)} {each}" for each in self.faults)


def _line(fault: Refusal) -> str:
    return f"{fault.place.line}:" if fault.place else ""
