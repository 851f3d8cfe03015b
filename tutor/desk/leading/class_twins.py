"""The twin of a question: the same of another network, to be answered alone.

In one large study about half of a class were right at first, nearly 70 % after discussion, and
more on a twin answered alone (Smith and others, Science 323, 2009, 122; from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from tutor.circuit.network import Network, Problem
from tutor.desk.leading.posed import PutQuestion
from tutor.teaching.conversation import Conversation, Frame
from tutor.teaching.exchange import begin, told
from tutor.teaching.staged.story import Telling
from tutor.teaching.twins import shown_in, twin_of
from tutor.teaching.walk import Question, Walk, next_question

MOST_STEPS: Final = 60  # before a twin would come to the question that it is the twin of


def twin_for(
    posed: PutQuestion, number: int, anew: Callable[[], Conversation | None]
) -> PutQuestion | None:
    """The twin of a question; None where there is none. ``anew`` gives the whole problem from its
    start on other values, None where it cannot have others.
    """
    task = posed.talk.in_hand
    talk = None
    if isinstance(task, Telling):
        talk = _of_stages(task, anew())
    elif isinstance(task, Walk):
        talk = _of_walk(task)
    return None if talk is None else PutQuestion(number, talk, is_twin=True)


def _of_stages(telling: Telling, talk: Conversation | None) -> Conversation | None:
    """The problem on other values, gone on with to the same question. What is answered in words
    would have the same answer there, and so has no twin.
    """
    asked = telling.ask
    if talk is None or asked is None or asked.right is None:
        return None
    for _ in range(MOST_STEPS):
        task = talk.in_hand
        now = task.ask if isinstance(task, Telling) else None
        if now is not None and (now.key, now.name) == (asked.key, asked.name):
            return talk if now.right != asked.right else None
        if talk.over:
            return None
        talk = told(talk).talk
    return None


def _of_walk(walk: Walk) -> Conversation | None:
    question = next_question(walk)
    if question is None:
        return None
    shown = shown_in(question)
    if shown is not None:
        return Conversation((Frame(twin_of(walk, shown)),))
    return _of_another(walk, question)


def _of_another(walk: Walk, question: Question) -> Conversation | None:
    """The same question of a network with other names: of what is left of it on the way in, of all
    of it with its supply, and with other values, on the way back.
    """
    if question.about == "check":  # the answer would be the same
        return None
    given = walk.problem.network if question.going_back else walk.network
    supply = walk.problem.supply if question.going_back else None
    network = _turned(given, question.going_back)
    problem = Problem(network, supply, (), (), walk.problem.powers)
    talk = begin(problem, walk.terms, walk.seed).talk
    for _ in range(MOST_STEPS):
        task = talk.in_hand
        now = next_question(task) if isinstance(task, Walk) else None
        if now is None:
            return None
        if _kind_of(now) == _kind_of(question):
            return talk
        talk = told(talk).talk
    return None


def _turned(network: Network, other_values: bool) -> Network:
    """The network with its names the other way about, and twice each value where others are
    needed.
    """
    parts = network.capacitors
    turned = tuple(
        part._replace(name=f"C{len(parts) - at}", value=2 * part.value if other_values else
                      part.value)
        for at, part in enumerate(parts)
    )
    return Network(tuple(reversed(turned)), network.ends)


def _kind_of(question: Question) -> tuple[str, bool, str]:
    """What makes two questions of different networks the same."""
    about = "shares" if question.about == "reason" else question.about
    kind = question.step.kind if question.step is not None and question.going_back else ""
    return about, question.going_back, kind
