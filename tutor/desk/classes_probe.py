"""For a wrong idea that is held: a problem that shows it, and a question to put to the class."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Final, NamedTuple

from grammar.records import Refusal
from tutor.desk.value_questions import ValueQuestion, value_questions
from tutor.practice.making_needs import NEEDS, TaskOrder
from tutor.practice.questions.kinds import kinds_for, make_question, story_of_question
from tutor.practice.tasks import make
from tutor.teaching.rules.catalogue import SKILL_OF
from tutor.teaching.rules.idea_texts import text_of
from tutor.teaching.skills import SKILLS

SEEDS: Final = 4  # tasks of each skill that are looked through
DRAWS: Final = 12  # and questions of each kind

NEVER_ORDERED: Final = (  # problems of kinds, or with values, of which no task is made to order
    "19 plates 75 mm by 75 mm gap 0.2 mm filled 5",
    "plates 100 cm2 gap 2 mm, across 500 V; find field, force",
    "cable 100 m radii 1 mm and 4 mm filled 2.3",
    "spheres radii 5 cm and 8 cm filled 3",
    "C1 = ?; C2 = ?; C1 || C2 = 12 uF; C2 = 2 C1",
    "C1 = ?; C2 = ?; C1 = C2 + 3 uF; C1 || C2 = 9 uF",
    "C1 = ? -- C2 = ?; C = 2 uF; C2 = 2 C1",
    "C1 = ? -- C2 = ?; C = 3 uF; C1 || C2 = 16 uF",
    "C1 = ?; C2 = ?; C3 = ?; C1 = C2 = C3; C1 -- C2 -- C3 = 2 uF",
    "three 6 uF in parallel",
    "C1 = 3 uF charged to 20 V; C2 = 5 uF charged to 4 V; join C1 and C2",
    "C1 = 4 uF from A to P; C2 = 12 uF from P to B; C3 = 2 uF from P to R; ends A and B; "
    "across 16 V",
    "star of 2 uF, 3 uF and 6 uF",
    "sphere diameter 20 cm",
)


class Probe(NamedTuple):
    """A ``problem`` and what to ask about it; ``right`` is the answer, ``shows`` what someone
    answers who has the idea, ``then`` the question that lets them find it and ``found`` what it
    comes to, where that is known.
    """

    problem: str
    asks: str
    right: str
    shows: str
    then: str
    found: str = ""


def probe_for(idea: str, seed: int = 0) -> Probe | None:
    """A problem in which this wrong idea gives an answer that nothing else gives; None where only
    a walk can show it. The same seed gives the same one.
    """
    return next(_probes(idea, seed), None)


def _probes(idea: str, seed: int) -> Iterator[Probe]:
    own = SKILL_OF[idea].split("+")
    for skill in own:
        if skill in NEEDS:
            yield from _of_values(idea, skill, seed)
    for skill in own:
        yield from _of_choices(idea, skill, seed)
    for resting in SKILLS:  # a later skill may need a value that this idea spoils
        if resting.code in NEEDS and set(resting.needs) & set(own):
            yield from _of_values(idea, resting.code, seed)
    for text in NEVER_ORDERED:
        yield from _of_text(idea, text)


def _of_values(idea: str, skill: str, seed: int) -> Iterator[Probe]:
    for number in range(SEEDS):
        if text := _practising(skill, seed + number):
            yield from _of_text(idea, text)


@lru_cache(maxsize=256)  # pure; ideas of one skill are looked for in the same problems
def _practising(skill: str, seed: int) -> str:
    """A problem that practises a skill; nothing where none is found with this seed."""
    try:
        return make(TaskOrder(skill=skill, seed=seed)).text
    except Refusal:
        return ""


@lru_cache(maxsize=256)  # as above
def _questions_of(text: str) -> tuple[ValueQuestion, ...]:
    return (*value_questions(text),)


def _of_text(idea: str, text: str) -> Iterator[Probe]:
    for question in _questions_of(text):
        found = question.telling(idea)
        if found is not None:
            yield Probe(text, question.asks, question.shown, found.shown, found.ask)


def _of_choices(idea: str, skill: str, seed: int) -> Iterator[Probe]:
    for kind in kinds_for(skill):
        for number in range(DRAWS):
            story = story_of_question(make_question(kind, seed + number))
            for ask in story.asks:
                shown = next((o for o in ask.options if idea in o.malrules), None)
                right = next((o for o in ask.options if o.is_right), None)
                if shown is not None and right is not None:
                    problem = "\n".join(story.opening)
                    options = right.words[0], shown.words[0]
                    yield Probe(problem, ask.text, *options, _asked_back(idea), shown.reply)


def _asked_back(idea: str) -> str:
    """The question that an idea is met with, put to whoever chose an answer by it."""
    return text_of(idea).ask.replace("{part}", "that capacitor")
