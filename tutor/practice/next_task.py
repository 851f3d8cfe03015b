"""The next task of a skill: a network, or a question about one, that asks for it and shows most."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.learner.standing import Standing
from tutor.practice.lessons import Exercise
from tutor.practice.making_needs import NEEDS, TaskOrder
from tutor.practice.questions.kinds import kinds_for, make_question
from tutor.practice.questions.question import QuestionTask
from tutor.practice.tasks import make, most_telling, relabelled, variant
from tutor.teaching.manner import COLD
from tutor.teaching.rules.catalogue import blamed
from tutor.teaching.skills import BY_CODE

ItemKind: TypeAlias = Literal["network", "balances", "question", "puzzle", "choice", "say"]
CANDIDATES: Final = 3
IN_FULL: Final = 3  # every third task of a skill is walked in full, so that its place is not lost
# No question of a walk needs these alone, though wrong ideas of them show in one walked in full.
BESIDE_WALKS: Final = frozenset({"S05", "S13", "S15"})
DRAWS: Final = 40  # of a kind of question that asks for a skill now and then only
APART: Final = 1009  # between draws, so that one task is not drawn again at the next place


class NextTask(NamedTuple):
    """One thing to do.

    ``text`` is a network (``balances``: told in stages, by its charge balances), a wish for an
    arrangement or something to say freely; ``asked`` are the
    skills whose steps alone are asked, None for all; ``new`` are those shown worked once first;
    ``only`` names questions by their keys, which alone are asked; ``order`` makes the task again,
    where it was made to order.
    """

    kind: ItemKind
    text: str = ""
    asked: frozenset[str] | None = None
    new: frozenset[str] = frozenset()
    only: frozenset[str] | None = None
    question: QuestionTask | None = None
    exercise: Exercise | None = None
    order: TaskOrder | None = None


def task_for(order: TaskOrder, standing: Standing, at: int) -> NextTask:
    """A task of an order, chosen where what is suspected of this learner would show most.

    ``at`` counts the tasks of this kind: networks take turns with questions about them.
    """
    skill = order.skill
    if skill is None:
        task = make(order)
        return NextTask("network", task.text, order=task.order)
    suspected = suspected_of(standing, skill)
    if _is_question(order, at, bool(suspected)):
        question = _question_about(skill, order.seed, at // 2)
        if question is not None:
            return NextTask("question", question=question)
    if suspected:
        task = most_telling([order._replace(seed=order.seed + n) for n in range(CANDIDATES)],
                            suspected)
    else:
        task = make(order)
    in_full = skill in BESIDE_WALKS or at % IN_FULL == IN_FULL - 1
    new = frozenset() if at or standing.has_met(skill) else frozenset({skill})
    asked = None if in_full else asked_with(skill)
    return NextTask("network", task.text, asked, new, order=task.order)


def twin_of(item: NextTask, seed: int) -> NextTask:
    """The same shape and sort of numbers with other values; for an item made to order."""
    assert item.order is not None, "asked of an item made to order"
    task = variant(make(item.order), seed)
    return item._replace(text=task.text, order=task.order, new=frozenset())


def renamed(item: NextTask, seed: int) -> NextTask:
    """The same network under other names and written otherwise; for an item made to order."""
    assert item.order is not None, "asked of an item made to order"
    return item._replace(text=relabelled(make(item.order), seed).text, new=frozenset())


def _is_question(order: TaskOrder, at: int, suspected: bool) -> bool:
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


def _question_about(skill: str, seed: int, at: int) -> QuestionTask | None:
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


def asked_with(skill: str) -> frozenset[str]:
    """A skill with what it rests on that is always asked: what is shared, or held fixed."""
    return frozenset({skill}) | COLD.intersection(BY_CODE[skill].needs)


def suspected_of(standing: Standing, skill: str) -> tuple[str, ...]:
    """Wrong ideas of a skill that may be this learner's, those that come back first."""
    found = [
        (idea.state != "held", name) for name, idea in standing.ideas.items()
        if idea.state in ("possible", "held") and skill in blamed((name,))
    ]
    return tuple(name for _, name in sorted(found))
