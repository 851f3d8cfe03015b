"""What a paper is chosen from: tasks made to order and questions answered by a letter."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import chain
from random import Random
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.reading import read_network
from tutor.practice.making_needs import NEEDS, C, TaskOrder, Wanted
from tutor.practice.questions.kinds import ALL, make_question, story_of_question
from tutor.practice.questions.question import QuestionTask
from tutor.practice.tasks import make
from tutor.teaching.skills import SKILLS

LARGEST: Final = 14  # marks: a longer question takes the room of all else
LARGEST_PART: Final = 2  # of a short paper, one part in so many may be one question
SMALLEST: Final = 4  # marks that one question may always have
ONE_IN: Final = 3  # so many places, the last of them for a question answered by a letter
MORE_MARKS: Final = 30  # drawn than wanted, so that there is something to choose from
MORE_QUESTIONS: Final = 6
TRIES: Final = 2  # turns through the skills for each place, the first for new shapes alone
MOST_DRAWN: Final = 60  # times one question is drawn again for other values
LEAST_ALIKE: Final = 2  # so that neighbours need not have the same one
_NAME: Final = re.compile(r"\b[A-Z]\d*\b")
_VALUE: Final = re.compile(r"(?<![A-Za-z\d.,])\d[\d.,]*(?:\s*[pnuµm]?[FVCJ]\b)?")
APART: Final = 10  # turns through the kinds, of which some ask for a skill now and then only
# Steps whose whole way is long are asked for one or two values; S26 is a check of all of them,
# and has no marks of its own.
ASKED: Mapping[str, tuple[Wanted, ...]] = MappingProxyType({
    "S19": (Wanted("charge"),),
    "S20": (Wanted("voltage"), Wanted("charge")),
    "S21": (Wanted("voltage"), Wanted("voltage", "each")),
    "S22": (Wanted("charge"), Wanted("charge", "each")),
    "S23": (Wanted("charge"), Wanted("voltage")),
    "S25": (Wanted("energy", "whole"), Wanted("energy", "each")),
    "S37": (C,),
    "S38": (C,),
})
NOT_ON_PAPER: Final = frozenset({"S26"})


class PaperQuestion(NamedTuple):
    """One question and its marks: a text in our notation with the skill it is for, or where
    ``question`` is there that one, which is answered by a letter. ``shape`` is what no neighbour
    of it has: that of its network, or its kind; ``order`` made a text.
    """

    text: str
    skill: str
    marks: int
    shape: str
    question: QuestionTask | None = None
    order: TaskOrder | None = None


def drawn_for(
    units: tuple[int, ...], marks: int | None, questions: int | None, chance: Random
) -> list[PaperQuestion]:
    """More questions than a paper of so many marks or questions needs, the skills in turn; long
    ones only where the units have nothing else.
    """
    largest = LARGEST if marks is None else min(LARGEST, max(SMALLEST, marks // LARGEST_PART))
    tasks, letters = _tasks(units, largest, chance), _letters(units, chance)
    if (first := next(tasks, None)) is not None:
        tasks = chain((first,), tasks)
    else:
        tasks = _tasks(units, LARGEST, chance)
    found: list[PaperQuestion] = []
    while not _is_enough(found, marks, questions):
        by_letter = len(found) % ONE_IN == ONE_IN - 1
        sources = (letters, tasks) if by_letter else (tasks, letters)
        drawn = next(filter(None, (next(each, None) for each in sources)), None)
        if drawn is None:
            break
        found.append(drawn)
    return found


def _is_enough(found: list[PaperQuestion], marks: int | None, questions: int | None) -> bool:
    if questions is not None and len(found) < questions + MORE_QUESTIONS:
        return False
    return marks is None or sum(each.marks for each in found) >= marks + MORE_MARKS


def _tasks(units: tuple[int, ...], largest: int, chance: Random) -> Iterator[PaperQuestion]:
    """Problems to be worked out: new shapes and questions first, then other values of them."""
    skills = [s.code for s in SKILLS if s.unit in units and s.code in NEEDS]
    skills = [code for code in skills if code not in NOT_ON_PAPER]
    turn: list[str] = []
    drawn: set[str] = set()
    met: set[tuple[str, str]] = set()
    while skills:
        for tried in range(TRIES * len(skills)):
            turn = turn or chance.sample(skills, len(skills))
            question, asked = _task(turn.pop(), chance)
            is_new = (question.shape, asked) not in met or tried >= TRIES * len(skills) // 2
            if 0 < question.marks <= largest and question.text not in drawn and is_new:
                break
        else:
            return
        drawn.add(question.text)
        met.add((question.shape, asked))
        yield question


def _task(skill: str, chance: Random) -> tuple[PaperQuestion, str]:
    """A task of a skill, and what it asks for."""
    asked = chance.choice(ASKED[skill]) if skill in ASKED else None
    task = make(TaskOrder(skill=skill, asked=asked, seed=chance.randrange(10**6)))
    shape = task.order.shape or ""
    marks = _marks(task.text)
    return PaperQuestion(task.text, skill, marks, shape, None, task.order), str(task.order.asked)


def with_other_values(question: PaperQuestion, number: int) -> PaperQuestion:
    """The same question on other values, for the variant of this number from 1: of its skill, with
    as many marks, on a network of the same form, so that whoever has it needs the same steps.
    """
    return _alike_to(question).of_number(number)


class _Alike:
    """Questions like one of them, drawn when they are wanted and always in the same order."""

    def __init__(self, question: PaperQuestion) -> None:
        self.question, self.form = question, _form(question)
        self.chance = Random(f"alike {question.text} {question.order} {question.question}")
        self.found: list[list[PaperQuestion]] = [[] for _ in range(len(self.form) + 1)]
        self.drawn = 0

    def of_number(self, number: int) -> PaperQuestion:
        """The one of the same form, or the most alike where hardly any is found."""
        same = self.found[0]
        while len(same) < number and self.drawn < MOST_DRAWN:
            self._draw()
        if len(same) < min(number, LEAST_ALIKE):
            every = [each for found in self.found for each in found]
            same = every[: max(LEAST_ALIKE, len(same))] or [self.question]
        return same[(number - 1) % len(same)]

    def _draw(self) -> None:
        self.drawn += 1
        own = self.question
        other = _drawn_again(own, self.chance.randrange(10**6))
        if other.text != own.text and (other.skill, other.marks) == own[1:3]:
            parts = zip(self.form, _form(other), strict=True)
            alike = self.found[sum(one != another for one, another in parts)]
            alike += [] if other in alike else [other]


@lru_cache(maxsize=256)  # what it draws is always the same, so that keeping it changes nothing
def _alike_to(question: PaperQuestion) -> _Alike:
    return _Alike(question)


def without_values(text: str) -> str:
    """A text without its numbers: what is left of a network is its form."""
    return _VALUE.sub("", text)


def _form(question: PaperQuestion) -> tuple[object, ...]:
    """What makes a question easier or harder whatever its values, part by part: how many there are
    and of what points, how they are joined, what is done, what is asked.
    """
    joined = without_values(question.text)
    size = (joined.count("C"), joined.count("from"), joined.count("wire"))
    if question.question is None:
        return size, joined
    story = story_of_question(question.question)
    texts = (" ".join(story.opening[-1:]), story.asks[0].text.partition("\n")[0])
    told = [without_values(text.partition("Suppose ")[2] or text) for text in texts]
    return size, joined, *told, *(_NAME.sub("", text) for text in told)


def _drawn_again(question: PaperQuestion, seed: int) -> PaperQuestion:
    if question.question is not None:
        asked = make_question(question.question.kind, seed)
        is_one = len(story_of_question(asked).asks) == 1
        return PaperQuestion(
            asked.network, asked.skills[0], int(is_one), asked.kind, asked
        )
    assert question.order is not None
    task = make(question.order._replace(seed=seed))
    return question._replace(text=task.text, marks=_marks(task.text), order=task.order)


def _marks(text: str) -> int:
    from tutor.teaching.marking.any_problem import mark_working  # late: no chat waits for marking
    from tutor.teaching.marking.examining import GENERAL_PRACTICE

    return mark_working(read_network(text), "", GENERAL_PRACTICE).of


def _letters(units: tuple[int, ...], chance: Random) -> Iterator[PaperQuestion]:
    """Questions answered by one letter, the kinds in turn."""
    codes = {skill.code for skill in SKILLS if skill.unit in units}
    kinds = [kind.name for kind in ALL if codes.intersection(kind.skills)]
    turn: list[str] = []
    drawn: set[tuple[str, str]] = set()
    while kinds:
        for _ in range(APART * len(kinds)):
            turn = turn or chance.sample(kinds, len(kinds))
            question = make_question(turn.pop(), chance.randrange(10**6))
            asks = story_of_question(question).asks
            known = (question.network, asks[0].text)
            if len(asks) == 1 and question.skills[0] in codes and known not in drawn:
                break
        else:
            return
        drawn.add(known)
        yield PaperQuestion(question.network, question.skills[0], 1, question.kind, question)
