"""Each task of a lesson tried out: read, solved, and answered rightly to its end."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from grammar.reading import read_network
from grammar.records import Description, Refusal
from grammar.refusals import nearest
from tutor.circuit.network import Problem, build
from tutor.practice.lesson_solving import told, walked
from tutor.practice.lessons import Exercise, ExerciseKind
from tutor.teaching.observation import Observation
from tutor.teaching.problem_questions import of_problem
from tutor.teaching.rules.separation import Separation, separation_of_ask
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Story


class Trial(NamedTuple):
    """One task tried out.

    ``skills`` are codes of all that its questions ask for, ``tells`` names of the malrules that
    they tell apart. ``separations`` are by what is asked (C23, Q1); ``problem`` is there for a
    network in one state, ``network`` is its text, if it has one. ``questions`` is how many are
    asked.
    """

    exercise: Exercise
    skills: tuple[str, ...] = ()
    tells: tuple[str, ...] = ()
    questions: int = 1
    separations: Mapping[str, Separation] = MappingProxyType({})
    problem: Problem | None = None
    network: str = ""


def tried(exercise: Exercise) -> Trial:
    """Try out a task. Errors: ``Refusal`` where it cannot be read, solved or brought to an end;
    its place, if any, is one in the text of the task.
    """
    return _TRIED[exercise.kind](exercise)


def _network(exercise: Exercise) -> Trial:
    description = read_network(exercise.text)
    return _described(exercise, description)._replace(network=exercise.text)


def _described(exercise: Exercise, description: Description) -> Trial:
    story = story_of(description, DEFAULTS)
    if story is not None:
        return _story(exercise, story)
    problem = build(description)
    seen = walked(problem, exercise.ask)
    asked = {each.key for each in seen}
    apart = {
        quantity.name: each
        for quantity, each in of_problem(problem).items() if quantity.name in asked
    }
    return _of(exercise, seen)._replace(separations=apart, problem=problem)


def _story(exercise: Exercise, story: Story) -> Trial:
    apart = {
        ask.name or ask.key: each
        for ask in story.asks if (each := separation_of_ask(ask, story.powers)) != Separation()
    }
    return _of(exercise, told(story, exercise.ask))._replace(separations=apart)


def _of(exercise: Exercise, seen: tuple[Observation, ...]) -> Trial:
    misjudged = next((each for each in seen if each.outcome != "right"), None)
    if misjudged is not None:
        raise Refusal(
            f"The right answer to '{misjudged.key}' is not taken as right.", "Change the values."
        )
    skills = dict.fromkeys(code for each in seen for code in each.skills)
    tells = dict.fromkeys(name for each in seen for name in each.chances)
    return Trial(exercise, tuple(skills), tuple(tells), len(seen))


def _puzzle(exercise: Exercise) -> Trial:
    from grammar.wishing import read_wish
    from tutor.teaching.puzzle import begin_puzzle

    puzzle = begin_puzzle(read_wish(exercise.text), DEFAULTS).puzzle
    if puzzle.over or not puzzle.findings.met:
        raise Refusal(
            f"{puzzle.target} cannot be made of this stock.", "Change what is wanted, or the stock."
        )
    return Trial(exercise, ("S10", "S11"))


def _order(exercise: Exercise) -> Trial:
    from tutor.practice.orders import order_in
    from tutor.practice.tasks import make

    made = make(order_in(exercise.text))
    return _described(exercise, read_network(made.text))._replace(network=made.text)


def _question(exercise: Exercise) -> Trial:
    from tutor.practice.questions.kinds import KINDS, kind_in, make_question, story_of_question

    kind = kind_in(exercise.text)
    if kind is None:
        near = nearest(exercise.text, KINDS)
        cure = f"Did you mean '{near}'?" if near else f"There are: {', '.join(KINDS)}."
        raise Refusal(f"There is no kind of question called '{exercise.text}'.", cure)
    question = make_question(kind, exercise.seed)
    return _story(exercise, story_of_question(question, DEFAULTS))._replace(
        skills=question.skills, network=question.network
    )


def _say(exercise: Exercise) -> Trial:
    return Trial(exercise)


def _text(exercise: Exercise) -> Trial:
    from tutor.practice.own_choices import story_of_choice

    return _story(exercise, story_of_choice(exercise, DEFAULTS))


_TRIED: Mapping[ExerciseKind, Callable[[Exercise], Trial]] = MappingProxyType({
    "network": _network,
    "order": _order,
    "question": _question,
    "puzzle": _puzzle,
    "say": _say,
    "text": _text,
})
