"""What a learner goes through: a lesson, practice of one kind, or a mixed sitting of review.

A course says what comes next, from where the learner stands; it holds no clock and no chance, so
that the same answers lead to the same tasks.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.learner.sitting import Plan, after_answer
from tutor.learner.standing import Standing
from tutor.learner.suggesting import suggest
from tutor.learner.words import evidence_of
from tutor.practice.lessons import Exercise, Lesson, Prose
from tutor.practice.making_needs import NEEDS, Order
from tutor.practice.questions.kinds import kind_in, kinds_for, make_question
from tutor.practice.questions.question import Question
from tutor.practice.tasks import make, most_telling
from tutor.teaching.evidence import blamed
from tutor.teaching.manner import COLD
from tutor.teaching.skills import BY_CODE

ItemKind: TypeAlias = Literal["network", "question", "puzzle", "choice", "say"]
CANDIDATES = 3
IN_FULL = 3  # every third task of a skill is walked in full, so that its place is not lost
# No question of a walk needs these alone, though wrong ideas of them show in one walked in full.
BESIDE_WALKS: Final = frozenset({"S05", "S13", "S15"})
DRAWS: Final = 40  # of a kind of question that asks for a skill now and then only
APART: Final = 1009  # between draws, so that one task is not drawn again at the next place
SENT_BACK: Final = 2  # how often a step of a review comes again before it is left for another day
LEADS: Mapping[str, str] = MappingProxyType({
    "S39": "When nothing can be combined, put a star for a triangle by naming its three points, "
           "as in: a star for A, P, R.",
})


class Item(NamedTuple):
    """One thing to do.

    ``text`` is a network, a wish for an arrangement or something to say freely; ``asked`` are the
    skills whose steps alone are asked, None for all; ``new`` are those shown worked once first.
    """

    kind: ItemKind
    text: str = ""
    asked: frozenset[str] | None = None
    new: frozenset[str] = frozenset()
    question: Question | None = None
    exercise: Exercise | None = None


class LessonCourse(NamedTuple):
    """A lesson; ``at`` is the part that comes next."""

    lesson: Lesson
    at: int = 0

    @property
    def title(self) -> str:
        """What it is called."""
        return f"Lesson {self.lesson.number}, {self.lesson.title}"


class PracticeCourse(NamedTuple):
    """Tasks of one order, one after the other; ``at`` counts them."""

    order: Order
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
    in hand before its task was set, ``back`` are the steps sent back so far.
    """

    plan: Plan
    seed: int = 0
    at: int = 0
    tried: int | None = None
    back: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """What it is called."""
        return "Looking again"


Course: TypeAlias = LessonCourse | PracticeCourse | QuestionCourse | ReviewCourse


class Served(NamedTuple):
    """What comes next: paragraphs to read, then something to do; without it the course is over."""

    course: Course
    prose: tuple[str, ...]
    item: Item | None


def serve(
    course: Course, standing: Standing, now: float, exam: date | None = None
) -> Served:
    """The next part of a course for this learner, ``now`` in seconds since the start of 1970."""
    if isinstance(course, LessonCourse):
        return _of_lesson(course)
    if isinstance(course, QuestionCourse):
        question = make_question(course.kind, course.seed + course.at)
        item = Item("question", question=question)
        return Served(course._replace(at=course.at + 1), (), item)
    if isinstance(course, PracticeCourse):
        return _of_practice(course, standing, now, exam)
    return _of_review(course, standing)


# Lessons


def _of_lesson(course: LessonCourse) -> Served:
    prose: list[str] = []
    parts = course.lesson.parts
    for at in range(course.at, len(parts)):
        part = parts[at]
        if isinstance(part, Prose):
            prose += _paragraphs(part)
        else:
            return Served(course._replace(at=at + 1), tuple(prose), item_of(part))
    prose.append(f"That was lesson {course.lesson.number}, {course.lesson.title}.")
    return Served(course._replace(at=len(parts)), tuple(prose), None)


def _paragraphs(part: Prose) -> list[str]:
    """Lines that stand together as one text each, as those of a list do."""
    found: list[list[str]] = [[]]
    for line in part.lines:
        if line:
            found[-1].append(line)
        else:
            found.append([])
    return ["\n".join(lines) for lines in found if lines]


def item_of(exercise: Exercise) -> Item:
    """What a task of a lesson sets. Errors: ``Refusal`` for words that cannot be read."""
    from tutor.practice.orders import order_in


    asked = frozenset(exercise.ask) or None
    if exercise.kind == "order":
        return Item("network", make(order_in(exercise.text)).text, asked)
    if exercise.kind == "question":
        kind = kind_in(exercise.text)
        assert kind is not None, "the check of lessons refuses a kind that is not known"
        return Item("question", question=make_question(kind, exercise.seed))
    if exercise.kind == "network":
        return Item("network", exercise.text, asked)
    if exercise.kind == "text":
        return Item("choice", exercise.text, exercise=exercise)
    return Item(exercise.kind, exercise.text)


# Practice


def _of_practice(
    course: PracticeCourse, standing: Standing, now: float, exam: date | None
) -> Served:
    skill = course.order.skill
    if skill is not None and course.at and standing.is_stuck(skill):
        return Served(course, (_stopping(skill, standing, now, exam),), None)
    if skill is not None and course.at and standing.is_steady(skill):
        text = f"{_capital(skill)} is steady now: {evidence_of(standing.of(skill))}."
        return Served(course, (text,), None)
    seed = course.order.seed + course.at * CANDIDATES
    prose = _opening(skill) if skill is not None and not course.at else ()
    item = task_for(course.order._replace(seed=seed), standing, course.at)
    return Served(course._replace(at=course.at + 1), prose, item)


def _opening(skill: str) -> tuple[str, ...]:
    said = _sentence(f"You practise to {BY_CODE[skill].says}")
    return (said, LEADS[skill]) if skill in LEADS else (said,)


def _sentence(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def _capital(skill: str) -> str:
    name = BY_CODE[skill].name
    return name[:1].upper() + name[1:]


def _stopping(skill: str, standing: Standing, now: float, exam: date | None) -> str:
    """Why practice of a skill stops here, and what would help more."""
    better = suggest(standing, now, exam)
    lead = f"More of {BY_CODE[skill].name} would not help just now."
    return f"{lead} {better.why}" if better.skill != skill else lead


def task_for(order: Order, standing: Standing, at: int) -> Item:
    """A task of an order, chosen where what is suspected of this learner would show most.

    ``at`` counts the tasks of this kind: networks take turns with questions about them.
    """
    skill = order.skill
    if skill is None:
        return Item("network", make(order).text)
    suspected = suspected_of(standing, skill)
    if _is_question(order, at, bool(suspected)):
        question = _question_about(skill, order.seed, at // 2)
        if question is not None:
            return Item("question", question=question)
    if suspected:
        task = most_telling([order._replace(seed=order.seed + n) for n in range(CANDIDATES)],
                            suspected)
    else:
        task = make(order)
    in_full = skill in BESIDE_WALKS or at % IN_FULL == IN_FULL - 1
    new = frozenset() if standing.has_met(skill) else frozenset({skill})
    return Item("network", task.text, None if in_full else _asked_with(skill), new)


def _is_question(order: Order, at: int, suspected: bool) -> bool:
    """Whether this place is one for a question: every other one where there are networks too, and
    all but every third, or but for a suspicion, where no question of a walk asks for the skill.
    """
    if order.skill not in NEEDS:
        return True
    if order.shape is not None:
        return False
    if order.skill in BESIDE_WALKS:
        return at % IN_FULL != IN_FULL - 1 and not (suspected and at % 2 == 0)
    return at % 2 == 1


def _question_about(skill: str, seed: int, at: int) -> Question | None:
    """A question that asks for a skill, the kinds that may do so taking turns; None if none does.

    Most kinds ask for one or another of several skills, by chance.
    """
    kinds = kinds_for(skill)
    for kind in (*kinds[at % len(kinds):], *kinds[: at % len(kinds)]) if kinds else ():
        for draw in range(DRAWS):
            question = make_question(kind, seed + draw * APART)
            if skill in question.skills:
                return question
    return None


def _asked_with(skill: str) -> frozenset[str]:
    """A skill with what it rests on that is always asked: what is shared, or held fixed."""
    return frozenset({skill}) | COLD.intersection(BY_CODE[skill].needs)


def suspected_of(standing: Standing, skill: str) -> tuple[str, ...]:
    """Wrong ideas of a skill that may be this learner's, those that come back first."""
    found = [
        (idea.state != "held", name) for name, idea in standing.ideas.items()
        if idea.state in ("possible", "held") and skill in blamed((name,))
    ]
    return tuple(name for _, name in sorted(found))


# Review


def _of_review(course: ReviewCourse, standing: Standing) -> Served:
    """The next step of the plan; the one before it is done by one success without help.

    One that does not succeed comes again, shown worked first, but not for ever.
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
    order = Order(skill=skill, seed=course.seed + course.at * CANDIDATES)
    item = task_for(order, standing, course.at)
    if item.kind == "network" and skill not in BESIDE_WALKS:
        item = item._replace(asked=_asked_with(skill))
    if skill in back:
        item = item._replace(new=frozenset({skill}))
    steps = len(plan)
    prose = (f"{_sentence(_capital(skill))} {steps} {'step' if steps == 1 else 'steps'} to go.",)
    after = ReviewCourse(plan, course.seed, course.at + 1, standing.of(skill).tried, back)
    return Served(after, prose, item)
