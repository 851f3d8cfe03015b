"""The questions for a value that a problem holds, each to stand alone on a page, with the right
value and with what every known wrong idea makes of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.reading import read_network
from grammar.records import Dimension
from tutor.circuit.network import build
from tutor.circuit.values import in_letters
from tutor.desk.foreseen import foreseen_at
from tutor.teaching.problem_questions import questions_of, to_the_end
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.context import RuleContext, context_on
from tutor.teaching.rules.rule_text import cannot_be, question, route
from tutor.teaching.rules.separation import separation
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.speech import Speech, listed, sentence, speech_for
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Story
from tutor.teaching.walk import Walk, begin_walk
from tutor.teaching.wording import Wording

WANTED: Final = " Wanted: "  # what the text itself asks for, in place of which one value is asked


class Foreseen(NamedTuple):
    """A wrong answer that a wrong idea leads to: the ``number`` in the unit of the question, and
    as it is ``shown`` with its unit; ``way`` says how it comes about ('adding 3 µF and 7 µF'),
    ``cannot`` what cannot be, and ``ask`` is the question that lets a learner find it. ``alone``:
    no other known idea gives it here.
    """

    idea: str
    number: Fraction
    shown: str
    way: str
    cannot: str
    ask: str
    alone: bool


class ValueQuestion(NamedTuple):
    """A question for one value. ``given`` are sentences on the problem, ``asks`` the question;
    ``right`` is a number in ``unit`` ('' for a plain number), ``shown`` the same with its unit.
    """

    text: str
    name: str
    given: tuple[str, ...]
    asks: str
    right: Fraction
    unit: str
    shown: str
    foreseen: tuple[Foreseen, ...]

    def telling(self, idea: str) -> Foreseen | None:
        """The answer by which this question tells a wrong idea from all else; None if it cannot."""
        return next((each for each in self.foreseen if each.idea == idea and each.alone), None)


def value_questions(text: str) -> Iterator[ValueQuestion]:
    """All of a problem in the notation, in the order in which they are worked out; none for
    values in letters. Errors: ``Refusal`` for a text or data that cannot be used.
    """
    description = read_network(text)
    story = story_of(description, DEFAULTS)
    if story is not None:
        yield from _of_story(text, story)
        return
    walk, stories = to_the_end(build(description))
    if stories:
        wording = Wording(speech_for(walk.problem, DEFAULTS))
        opening = wording.opening(begin_walk(walk.problem, DEFAULTS))
        for told in stories:
            yield from _of_story(text, told._replace(opening=tuple(opening.split("\n"))[1:]))
    elif walk.whole is not None:
        yield from _of_walk(text, walk)


def _of_walk(text: str, walk: Walk) -> Iterator[ValueQuestion]:
    done = walk._replace(steps=walk.plan)
    speech = speech_for(walk.problem, DEFAULTS)
    lines = Wording(speech).opening(walk).split("\n")[1:]
    given = tuple(line.split(WANTED)[0] for line in lines)
    for quantity in questions_of(walk):
        context = context_on(done, quantity)
        if context is None or in_letters(walk.truth[quantity]):
            continue
        asks = f"What is {_in_words(walk, quantity, speech)}?"
        found = (text, quantity.name, given, asks)
        yield _question(found, context, speech, quantity.dimension)


def _in_words(walk: Walk, quantity: Quantity, speech: Speech) -> str:
    """A quantity in words that need no earlier step: a group by all that it stands for."""
    given = [c.name for c in walk.problem.network.capacitors]
    of = quantity.of
    if walk.whole is not None and of == walk.whole.name and of not in given:
        of = None
    if of is None or of in given:
        return Wording(speech).quantity(quantity._replace(of=of))
    stands_for = _members(walk, of)
    parts = [c.name for c in walk.problem.network.capacitors if c.name in stands_for]
    together = f"the one capacitor that can take the place of {listed(parts)}"
    if quantity.symbol == "C":
        return together
    difference = speech.terms.difference
    return f"the {'charge' if quantity.symbol == 'Q' else difference} of {together}"


def _members(walk: Walk, name: str) -> frozenset[str]:
    """The capacitors of the text that a made one stands for."""
    step = walk.made_by(name)
    if step is None:
        return frozenset({name})
    return frozenset().union(*(_members(walk, c.name) for c in step.parts))


def _of_story(text: str, story: Story) -> Iterator[ValueQuestion]:
    speech = Speech(story.powers, DEFAULTS)
    given = list(story.opening)
    for ask in story.asks:
        context = context_of_ask(ask, story.powers)
        if context is not None:
            dimension = None if ask.pure else ask.dimension
            found = (text, ask.name or ask.key, tuple(given), ask.text)
            yield _question(found, context, speech, dimension)
        if ask.right is not None:  # the next questions may speak of it
            given.append(f"Found so far: {ask.reveal}")


def _question(
    found: tuple[str, str, tuple[str, ...], str], context: RuleContext, speech: Speech,
    dimension: Dimension | None,
) -> ValueQuestion:
    text, name, given, asks = found
    scale = Fraction(10) ** (context.power - context.usual)
    unit = speech.unit(dimension) if dimension is not None else ""

    def shown(number: Fraction) -> str:
        if dimension is None:
            return speech.ratio(number)
        return speech.amount(number * Fraction(10) ** context.power, dimension)

    tells = separation(context).tells
    foreseen = tuple(
        Foreseen(
            rule.name, written, shown(number), route(rule, context, speech),
            cannot_be(rule, context, speech), sentence(question(rule, context, speech)),
            rule.name in tells,
        )
        for rule, number, written, _ in foreseen_at(context)
    )
    right = context.right
    return ValueQuestion(text, name, given, asks, right * scale, unit, shown(right), foreseen)
