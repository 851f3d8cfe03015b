"""Exam papers: questions mixed over chosen units, with the marks that their schemes offer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from random import Random
from typing import Final, NamedTuple

from grammar.reading import read_network
from grammar.records import Place, Refusal
from tutor.practice.making_needs import NEEDS, Order
from tutor.practice.tasks import Task, make
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.scheme import Scheme
from tutor.teaching.skills import BY_CODE, SKILLS, UNITS

USUAL_MARKS: Final = 30
MOST_MARKS: Final = 200
MOST_QUESTIONS: Final = 30
LARGEST_QUESTION: Final = 12  # marks: a longer one takes the room of all else
OVER: Final = 2  # marks by which a paper may run over what was wanted
TRIES: Final = 60
MINUTES_A_MARK: Final = 1.25  # common practice, no source


class PaperOrder(NamedTuple):
    """What a paper is to be like. ``questions`` and ``minutes`` are None where nothing is said."""

    units: tuple[int, ...] = tuple(UNITS)
    marks: int = USUAL_MARKS
    questions: int | None = None
    minutes: int | None = None
    seed: int = 0


class PaperQuestion(NamedTuple):
    """One question: a text in our notation, the skill it is for, and its marks."""

    text: str
    skill: str
    marks: int


class Paper(NamedTuple):
    """A paper: the same order gives the same one."""

    order: PaperOrder
    questions: tuple[PaperQuestion, ...]

    @property
    def marks(self) -> int:
        """The marks of all questions together."""
        return sum(question.marks for question in self.questions)

    @property
    def usual_minutes(self) -> int:
        """How long such a paper usually takes, to five minutes."""
        return 5 * max(1, round(self.marks * MINUTES_A_MARK / 5))


# Orders in words

_PARTS: Final = (
    ("units", re.compile(
        r"units?\s+(\d+(?:\s*(?:,|and|&|to|-)\s*\d+(?!\d*\s*(?:marks?|questions?|min)))*)"
    )),
    ("marks", re.compile(r"(\d+)\s*marks?\b")),
    ("questions", re.compile(r"(\d+)\s*questions?\b")),
    ("minutes", re.compile(r"(\d+)\s*min(?:ute)?s?\b")),
    ("seed", re.compile(r"seed\s+(\d+)")),
)
_FILLER: Final = re.compile(r"(?:all|every|units?|with|of|on|from|in|for|and|a|an|the)\b|[,;.]|\s")
_CURE: Final = (
    "Order it like: units 3 and 4, 30 marks, seed 7. '6 questions' and '40 minutes' may be added."
)


def paper_in(words: str, seed: int = 0) -> PaperOrder:
    """The order that plain words give; ``seed`` is taken where none is said.

    Errors: ``Refusal`` for a word that is not known, a unit that there is not, or too much.
    """
    order, at, low = PaperOrder(seed=seed), 0, words.lower()
    while at < len(low):
        found = next(((name, m) for name, part in _PARTS if (m := part.match(low, at))), None)
        if found is not None:
            name, match = found
            order, at = _set(order, name, match[1], Place(1, match.start() + 1, words)), match.end()
        elif filler := _FILLER.match(low, at):
            at = filler.end()
        else:
            word = re.match(r"\S+", low[at:])
            shown = word.group() if word else low[at:]
            raise Refusal(f'"{shown}" is not known in a paper.', _CURE, Place(1, at + 1, words))
    return order


def _set(order: PaperOrder, name: str, said: str, place: Place) -> PaperOrder:
    if name == "units":
        units = tuple(dict.fromkeys(_units(said)))
        unknown = [unit for unit in units if unit not in UNITS]
        if unknown:
            raise Refusal(f"There is no unit {unknown[0]}.", f"There are 1 to {len(UNITS)}.", place)
        return order._replace(units=units)
    number, most = int(said[:9]), {"marks": MOST_MARKS, "questions": MOST_QUESTIONS}.get(name)
    if most is not None and not 1 <= number <= most:
        raise Refusal(f"A paper has 1 to {most} {name}, not {said}.", _CURE, place)
    if name == "marks":
        return order._replace(marks=number)
    if name == "questions":
        return order._replace(questions=number)
    return order._replace(minutes=number) if name == "minutes" else order._replace(seed=number)


def _units(said: str) -> Iterator[int]:
    """1, 2 and 4 to 6 as numbers."""
    for first, last in re.findall(r"(\d+)(?:\s*(?:to|-)\s*(\d+))?", said):
        yield from range(int(first[:3]), int((last or first)[:3]) + 1)


# Making


def make_paper(order: PaperOrder) -> Paper:
    """Questions over all skills of the units in turn, no two of one shape in a row, as near to the
    marks wanted as whole questions come.

    Errors: ``Refusal`` where the units have nothing to be worked out on paper.
    """
    skills = [s.code for s in SKILLS if s.unit in order.units and s.code in NEEDS]
    if not skills:
        raise Refusal("These units have no question for a paper.", "Add another unit.")
    chance = Random(f"paper {order.units} {order.marks} {order.questions} {order.seed}")
    chosen: list[PaperQuestion] = []
    shape: str | None = None
    turn: list[str] = []
    for number in range(TRIES):
        if _is_full(order, chosen):
            break
        turn = turn or chance.sample(skills, len(skills))
        skill = turn.pop()
        task = make(Order(skill=skill, seed=chance.randrange(10**6) + number))
        question = PaperQuestion(task.text, skill, marks_of(task))
        if question.marks and task.order.shape != shape and _fits(order, chosen, question):
            chosen.append(question)
            shape = task.order.shape
    chosen.sort(key=lambda question: BY_CODE[question.skill].unit)
    return Paper(order, tuple(chosen))


def marks_of(task: Task) -> int:
    """The marks that the scheme of a problem offers."""
    return mark_working(read_network(task.text), "", Scheme()).of


def _is_full(order: PaperOrder, chosen: list[PaperQuestion]) -> bool:
    if order.questions is not None:
        return len(chosen) >= order.questions
    return sum(question.marks for question in chosen) >= order.marks


def _fits(order: PaperOrder, chosen: list[PaperQuestion], question: PaperQuestion) -> bool:
    if order.questions is not None:
        return question.marks <= LARGEST_QUESTION
    left = order.marks - sum(each.marks for each in chosen)
    return question.marks <= min(left + OVER, max(LARGEST_QUESTION, order.marks // 3))
