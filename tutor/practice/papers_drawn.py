"""What a paper is chosen from: tasks made to order and questions answered by a letter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
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
MOST_DRAWN: Final = 40  # times one question is drawn again for other values
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


def with_other_values(question: PaperQuestion, chance: Random) -> PaperQuestion:
    """The same question on other values: of its skill and shape or kind, with as many marks."""
    for _ in range(MOST_DRAWN):
        other = _drawn_again(question, chance.randrange(10**6))
        if other.text != question.text and (other.skill, other.marks) == question[1:3]:
            return other
    return question


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
