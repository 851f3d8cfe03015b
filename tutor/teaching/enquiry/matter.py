"""What a question is asked about: the network in hand, what has been told of it, what is open."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from tutor.circuit.network import Capacitor, Network, Problem
from tutor.teaching.conversation import OpenTask, StagedSupposing
from tutor.teaching.marking.faircopy import FairCopy
from tutor.teaching.messages import About
from tutor.teaching.reasons import points_in_words
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.choosing import is_lettered
from tutor.teaching.staged.going_on import worked
from tutor.teaching.staged.story import Ask, Telling
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Question, Walk, next_question
from tutor.teaching.whatif.change import Supposing
from tutor.teaching.wording import Wording


class Matter(NamedTuple):
    """A task as a question sees it, with nothing in it that the learner is still to find.

    ``told`` are the lines in which it was set, ``network`` what is there now, ``supply`` a sentence
    on what is joined to it. ``made`` says of which a capacitor that a step makes is made, ``known``
    holds values that have been given or found, as they are written, with a sentence or a line of
    working that says where each comes from.
    ``about`` is the kind of the question in hand, ``left`` how far the task is.
    ``wants`` says what would answer it where its kind does not, ``unit`` the unit of that;
    ``was_wrong`` that an answer to it did not fit.
    """

    speech: Speech
    told: tuple[str, ...] = ()
    network: Network | None = None
    supply: str = ""
    made: Mapping[str, tuple[str, ...]] = MappingProxyType({})
    known: Mapping[str, str] = MappingProxyType({})
    about: About | None = None
    left: str = ""
    wants: str = ""
    unit: str = ""
    was_wrong: bool = False

    @property
    def capacitors(self) -> tuple[Capacitor, ...]:
        """Those that are there now."""
        return self.network.capacitors if self.network is not None else ()

    @property
    def names(self) -> tuple[str, ...]:
        """Names of capacitors that are there, or are spoken of where there is no network."""
        if self.network is not None:
            return tuple(c.name for c in self.capacitors)
        return tuple(dict.fromkeys(re.findall(r"\bC\d+\b", "\n".join(self.told))))

    @property
    def ends(self) -> tuple[str, ...]:
        """The ends of the network."""
        return self.network.ends if self.network is not None else ()

    @property
    def inner(self) -> tuple[str, ...]:
        """The points where nothing but plates is joined."""
        return self.network.points()[1:-1] if self.network is not None else ()

    def meeting(self, point: str) -> str:
        """C1, C2 and C3: what meets at a point."""
        assert self.network is not None, "asked of points of a network"
        return listed(dict.fromkeys(c.name for c in self.network.meeting(point)))

    def lines_on(self, *words: str) -> str:
        """The first line told that holds one of these words; nothing where there is none."""
        pattern = re.compile(rf"\b(?:{'|'.join(map(re.escape, words))})\b")
        return next((line for line in self.told if pattern.search(line)), "")


NO_NETWORK: Final = Matter(Speech(MappingProxyType(
    {"capacitance": -6, "charge": -6, "voltage": 0, "energy": -6}
), DEFAULTS))


def matter_of(task: OpenTask) -> Matter:
    """What a question in this task is about."""
    if isinstance(task, Walk):
        return _of_walk(task)
    if isinstance(task, Telling):
        story = task.story
        given = next((line for line in story.opening if "supply" in line), "")
        supply = given if given.endswith(".") or not given else f"The problem says: {given}."
        left = f"This is question {min(task.at + 1, len(story.asks))} of {len(story.asks)} here."
        speech, ask = Speech(story.powers, task.terms), task.ask
        unit = speech.unit(ask.dimension) if ask is not None and ask.dimension is not None else ""
        return Matter(
            speech, story.opening, story.network, supply, known=_known_in_story(task, speech),
            left=left, unit=unit,
            wants=_wanted(ask, unit) if ask is not None else "",
            was_wrong=task.last_wrong is not None,
        )
    if isinstance(task, Supposing):
        lines = points_in_words(task.changed.network, task.speech)
        return Matter(
            task.speech, tuple(lines), task.changed.network, supply_of(task.changed, task.speech),
            about="change", left="This what-if has one question, and then both sides.",
        )
    assert isinstance(task, StagedSupposing), "the kinds of task are listed in conversation.py"
    story = task.before
    return Matter(
        Speech(story.powers, task.terms), story.opening, story.network, about="change",
        left="This what-if has one question, and then both sides.",
    )


def _wanted(ask: Ask, unit: str) -> str:
    """What would answer a question in stages."""
    where = " 'hint' says where to look." if ask.hints else ""
    if ask.options and is_lettered(ask):
        return f"One of the lettered lines is so; give its letter.{where}"
    if ask.options:
        words = listed([f"'{option.words[0]}'" for option in ask.options], "or")
        return f"Say which it is: {words}.{where}"
    if ask.pure or not unit:
        return f"A number is wanted, in the unit that the question names if it names one.{where}"
    return f"A value in {unit} is wanted; a sum may be typed as it stands.{where}"


def supply_of(problem: Problem, speech: Speech) -> str:
    """What is joined to the ends, in a sentence."""
    plus, minus = problem.network.ends
    if problem.supply is None:
        return f"No supply is named; the ends are {plus} and {minus}."
    amount = speech.amount(problem.supply.value, problem.supply.quantity)
    if problem.supply.quantity == "voltage":
        return f"The supply holds {amount} between {plus} and {minus}, with + at {plus}."
    return f"A charge of {amount} has been moved from {minus} to {plus}, the + end."


def _of_walk(walk: Walk) -> Matter:
    speech, words = speech_of(walk), Wording(speech_of(walk))
    steps = [*walk.steps, *([walk.pending] if walk.pending is not None else [])]
    made = {s.makes.name: tuple(c.name for c in s.parts) for s in steps if s.makes is not None}
    question = next_question(walk)
    return Matter(
        speech, tuple(points_in_words(walk.problem.network, speech)), walk.network,
        supply_of(walk.problem, speech), made, _known_in_walk(walk, speech),
        question.about if question is not None else None,
        words.where(walk).split("\n")[0], _passing(question, speech), _unit(question, speech),
        walk.last_wrong is not None,
    )


def _known_in_walk(walk: Walk, speech: Speech) -> Mapping[str, str]:
    """Where each value of a walk comes from; of several that are alike, the last one found."""
    givens: dict[str, str] = {}
    for quantity, value in walk.known.items():
        amount = speech.amount(value, quantity.dimension)
        givens.setdefault(
            amount, f"{amount} is {speech.name(quantity)}, and stands in the text of the problem."
        )
    worked = {
        speech.amount(walk.known[quantity], quantity.dimension): f"It comes so: {line}."
        for quantity, line in FairCopy(walk, speech).entries()
    }
    return {**givens, **worked}


def _known_in_story(telling: Telling, speech: Speech) -> Mapping[str, str]:
    """The same for a problem in stages."""
    return {
        speech.amount(ask.right, ask.dimension): f"It comes so: {worked(telling, at)}."
        for at, ask in enumerate(telling.story.asks)
        if telling.is_known(at) and ask.right is not None and ask.dimension is not None
    }


def _passing(question: Question | None, speech: Speech) -> str:
    if question is None or not question.going_back or question.about != "shares":
        return ""
    made = question.step.makes if question.step is not None else None
    of = made.name if made is not None else "the one before them"
    return (
        f"{of} is taken apart again, and each of its parts has something just as {of} had it: its "
        f"charge, or its {speech.terms.difference}? Say which."
    )


def _unit(question: Question | None, speech: Speech) -> str:
    if question is None or question.quantity is None:
        return ""
    return speech.unit(question.quantity.dimension)
