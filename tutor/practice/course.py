"""What a learner goes through: a lesson, practice of one kind, or a mixed sitting of review.

A course says what comes next, from where the learner stands; it holds no clock and no chance, so
that the same answers lead to the same tasks.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple, TypeAlias

from tutor.learner.sitting import Plan, after_answer
from tutor.learner.standing import Standing
from tutor.learner.standing_words import evidence_of
from tutor.practice.lessons import Exercise, Lesson, Prose
from tutor.practice.making_needs import TaskOrder
from tutor.practice.next_task import BESIDE_WALKS, CANDIDATES, NextTask, asked_with, task_for
from tutor.practice.orders import order_in
from tutor.practice.questions.kinds import kind_in, make_question
from tutor.practice.tasks import make
from tutor.teaching.skills import BY_CODE

SENT_BACK: Final = 2  # how often a step of a review comes again before it is left for another day
LEADS: Mapping[str, str] = MappingProxyType({
    "S39": "When nothing can be combined, put a star for a triangle by naming its three points, "
           "as in: a star for A, P, R.",
})


class LessonCourse(NamedTuple):
    """A lesson; ``at`` is the part that comes next, ``task`` the one in hand."""

    lesson: Lesson
    at: int = 0
    task: int = 0

    @property
    def title(self) -> str:
        """What it is called."""
        return f"Lesson {self.lesson.number}, {self.lesson.title}"

    @property
    def heading(self) -> str:
        """What stands over its first page."""
        return f"Lesson {self.lesson.number}: {self.lesson.title}"


class PracticeCourse(NamedTuple):
    """Tasks of one order, one after the other; ``at`` counts them."""

    order: TaskOrder
    at: int = 0

    @property
    def title(self) -> str:
        """What it is called."""
        skill = BY_CODE[self.order.skill].name if self.order.skill else self.order.shape
        return f"Practice: {skill}"


class QuestionCourse(NamedTuple):
    """Questions of one kind, one after the other."""

    kind: str
    seed: int = 0
    at: int = 0

    @property
    def title(self) -> str:
        """What it is called."""
        return f"Practice: {self.kind}"


class ReviewCourse(NamedTuple):
    """A mixed sitting: a skill for each step still to come; ``tried`` counts the tries of the skill
    in hand before its task was set, ``back`` are the steps sent back so far, ``shown`` the skills
    shown worked.
    """

    plan: Plan
    seed: int = 0
    at: int = 0
    tried: int | None = None
    back: tuple[str, ...] = ()
    shown: frozenset[str] = frozenset()

    @property
    def title(self) -> str:
        """What it is called."""
        return "Looking again"


class GoingOver(NamedTuple):
    """A paper gone over: for each question that lost marks its number and the walk."""

    items: tuple[tuple[int, NextTask], ...]
    at: int = 0

    @property
    def title(self) -> str:
        """What it is called."""
        return "Going over the paper"


Course: TypeAlias = LessonCourse | PracticeCourse | QuestionCourse | ReviewCourse | GoingOver


class Served(NamedTuple):
    """What comes next: paragraphs to read, then something to do; without it the course is over.

    ``headings`` has one for each paragraph of a lesson, the heading that it stands under.
    """

    course: Course
    prose: tuple[str, ...]
    item: NextTask | None
    headings: tuple[str, ...] = ()


def serve(course: Course, standing: Standing) -> Served:
    """The next part of a course for this learner."""
    if isinstance(course, LessonCourse):
        return _of_lesson(course)
    if isinstance(course, GoingOver):
        if course.at == len(course.items):
            return Served(course, ("That was all that lost marks.",), None)
        number, item = course.items[course.at]
        prose = (f"Question {number} of the paper, where it lost marks.",)
        return Served(course._replace(at=course.at + 1), prose, item)
    if isinstance(course, QuestionCourse):
        question = make_question(course.kind, course.seed + course.at)
        item = NextTask("question", question=question)
        return Served(course._replace(at=course.at + 1), (), item)
    if isinstance(course, PracticeCourse):
        return _of_practice(course, standing)
    return _of_review(course, standing)


# Lessons


def _of_lesson(course: LessonCourse) -> Served:
    prose: list[str] = []
    headings: list[str] = []
    heading, parts = _heading_before(course), course.lesson.parts
    for at in range(course.at, len(parts)):
        part = parts[at]
        if not isinstance(part, Prose):
            after = course._replace(at=at + 1, task=at)
            return Served(after, tuple(prose), item_of(part), tuple(headings))
        for text, is_heading in _paragraphs(part):
            heading = text if is_heading else heading
            prose.append(text)
            headings.append(heading)
    prose.append(f"That was lesson {course.lesson.number}, {course.lesson.title}.")
    return Served(course._replace(at=len(parts)), tuple(prose), None, (*headings, heading))


def _heading_before(course: LessonCourse) -> str:
    """The heading under which the lesson goes on; its own before the first one."""
    heading = course.heading
    for part in course.lesson.parts[: course.at]:
        if isinstance(part, Prose):
            for text, is_heading in _paragraphs(part):
                heading = text if is_heading else heading
    return heading


def _paragraphs(part: Prose) -> list[tuple[str, bool]]:
    """Lines that stand together as one text each, as those of a list do, and whether it is a
    heading.
    """
    found: list[tuple[list[str], bool]] = [([], False)]
    for line, level in zip(part.lines, part.levels, strict=True):
        if line and not (level or found[-1][1]):
            found[-1][0].append(line)
        else:
            found.append(([line] if line else [], bool(level)))
    return [("\n".join(lines), is_heading) for lines, is_heading in found if lines]


def item_of(exercise: Exercise) -> NextTask:
    """What a task of a lesson sets. Errors: ``Refusal`` for words that cannot be read."""
    asked = frozenset(exercise.ask) or None
    if exercise.kind == "order":
        return NextTask("network", make(order_in(exercise.text)).text, asked)
    if exercise.kind == "question":
        kind = kind_in(exercise.text)
        assert kind is not None, "the check of lessons refuses a kind that is not known"
        return NextTask("question", question=make_question(kind, exercise.seed))
    if exercise.kind == "network":
        return NextTask("network", exercise.text, asked)
    if exercise.kind == "text":
        return NextTask("choice", exercise.text, exercise=exercise)
    return NextTask(exercise.kind, exercise.text, exercise=exercise)


# Practice


def _of_practice(course: PracticeCourse, standing: Standing) -> Served:
    skill = course.order.skill
    if skill is not None and course.at and standing.is_stuck(skill):
        # What would help more is suggested wherever a course ends, and is not said twice.
        text = f"More of {BY_CODE[skill].name} would not help just now."
        return Served(course, (text,), None)
    if skill is not None and course.at and standing.is_steady(skill):
        text = f"{_capital(skill)} is steady now: {evidence_of(standing.of(skill))}."
        return Served(course, (text,), None)
    seed = course.order.seed + course.at * CANDIDATES
    prose = _opening(skill) if skill is not None and not course.at else ()
    item = task_for(course.order._replace(seed=seed), standing, course.at)
    return Served(course._replace(at=course.at + 1), prose, item)


def _opening(skill: str) -> tuple[str, ...]:
    said = _sentence(f"What you practise here: to {BY_CODE[skill].says}")
    return (said, LEADS[skill]) if skill in LEADS else (said,)


def _sentence(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def _capital(skill: str) -> str:
    name = BY_CODE[skill].name
    return name[:1].upper() + name[1:]


# Review


def _of_review(course: ReviewCourse, standing: Standing) -> Served:
    """The next step of the plan; the one before it is done by one success without help.

    One that does not succeed comes again, but not for ever. What is new or did not succeed is shown
    worked, once: often that leaves nothing to ask of the same network.
    """
    plan, back = course.plan, course.back
    if course.tried is not None and plan:
        first, last = plan[0], standing.of(plan[0])
        clean = last.tried > course.tried and last.lately[-1].clean
        left = standing.is_stuck(first) or back.count(first) == SENT_BACK
        if not clean and not left:
            back = (*back, first)
        plan = after_answer(plan, clean or left)
    if not plan:
        return Served(course._replace(plan=()), ("That is all for this time.",), None)
    skill = plan[0]
    order = TaskOrder(skill=skill, seed=course.seed + course.at * CANDIDATES)
    item = task_for(order, standing, course.at)
    if item.kind == "network" and skill not in BESIDE_WALKS:
        item = item._replace(asked=asked_with(skill))
    is_for_showing = skill in back or not standing.has_met(skill)
    new = frozenset({skill} if is_for_showing and item.kind == "network" else ()) - course.shown
    item = item._replace(new=new)
    steps = len(plan)
    prose = (f"{_sentence(_capital(skill))} {steps} {'step' if steps == 1 else 'steps'} to go.",)
    after = ReviewCourse(plan, course.seed, course.at + 1, standing.of(skill).tried, back)
    after = after._replace(shown=course.shown | new)
    return Served(after, prose, item)
