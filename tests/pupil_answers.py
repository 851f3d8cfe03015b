"""What a simulated pupil types to the question in hand, in a walk or in a problem in stages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import combinations
from random import Random
from typing import NamedTuple

from grammar.lengths import SIZE_SYMBOL
from grammar.quantity import SYMBOL
from grammar.records import Dimension
from tests.misled import at_figures, right_line, to_usual, value_of, written
from tests.pupils import GUESSED_NUMBER, STRAYS, Pupil
from tutor.front.chat.stages import Chat, InPuzzle, Reflecting, Solving
from tutor.teaching.evidence import skills_in
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import context_on
from tutor.teaching.shared_reasons import LETTERS, reasons
from tutor.teaching.staged.story import Ask, Telling
from tutor.teaching.staged.story_skills import skills_of as skills_of_ask
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Question, Walk, is_stuck, next_question

UNIT = {**SYMBOL, **SIZE_SYMBOL}

LEAVE = "next"
GIVE_UP = "show me"
UNSURE = "I don't know"


class Said(NamedTuple):
    """A line, and the wrong rule of the pupil's own that it shows."""

    line: str
    rule: str | None = None


def answer(pupil: Pupil, chat: Chat) -> Said:
    """What this pupil types now."""
    stage = chat.stage
    if isinstance(stage, Solving) and not stage.is_done:
        task = stage.talk.in_hand
        if isinstance(task, Telling):
            return _to_story(pupil, task)
        assert isinstance(task, Walk), "no pupil supposes anything"
        return _to_walk(pupil, task)
    if isinstance(stage, Reflecting):
        return Said("I would look at the points first.")
    assert not isinstance(stage, InPuzzle) or chat.course is not None, "puzzles come in lessons"
    return Said(LEAVE)


# A walk


def _to_walk(pupil: Pupil, walk: Walk) -> Said:
    question = next_question(walk)
    assert question is not None, "the walk goes on"
    if walk.aside is not None and walk.aside.kind == "routes":
        return Said(_own_route(pupil, walk.aside.options))
    knows = pupil.knows(skills_in(walk, question))
    own = dict(_own_numbers(pupil, walk, question))
    if walk.tries or walk.rung or walk.aside is not None:
        return Said(_right(walk, question, pupil.rng) if knows and not own else GIVE_UP)
    slips = pupil.slips()
    if own and not slips:
        name = pupil.rng.choice(list(own))
        return Said(_number(walk, question.quantity, own[name], pupil.rng), name)
    if knows and not slips:
        return Said(_right(walk, question, pupil.rng))
    return Said(_guess(pupil, walk, question))


def _own_route(pupil: Pupil, options: tuple[tuple[str, ...], ...]) -> str:
    own = [at for at, names in enumerate(options) if pupil.held.keys() & set(names)]
    return LETTERS[own[0] if own else len(options)]


def _own_numbers(
    pupil: Pupil, walk: Walk, question: Question
) -> Iterator[tuple[str, Fraction]]:
    """What the pupil's wrong rules give here, in the usual unit."""
    for name, number in _wrong_numbers(walk, question):
        if name in pupil.held:
            yield name, number


def _wrong_numbers(walk: Walk, question: Question) -> Iterator[tuple[str, Fraction]]:
    quantity = question.quantity
    scene = context_on(walk, quantity) if quantity is not None else None
    if scene is None or question.about == "check":
        return
    for rule in CATALOGUE:
        if rule.fits(scene):
            numbers = [n * to_usual(scene) for n in rule.wrong(scene) if n >= 0]
            if numbers:
                yield rule.name, numbers[0]


def _right(walk: Walk, question: Question, rng: Random) -> str:
    if question.about == "choice" and is_stuck(walk):
        asked = walk.manner.asked or ()
        corners = [point for point in walk.network.points() if point != walk.network.ends[1]]
        return f"a star for {', '.join(corners)}" if "S39" in asked else "none"
    return right_line(walk, question, rng)


def _number(walk: Walk, quantity: Quantity | None, number: Fraction, rng: Random) -> str:
    assert quantity is not None, "a number is that of a quantity"
    return written(at_figures(number, 3), quantity, walk.problem, rng)


def _guess(pupil: Pupil, walk: Walk, question: Question) -> str:
    rng = pupil.rng
    if question.about == "choice":
        if pupil.knows(("S06", "S07")):
            return UNSURE  # who can tell a set and a chain does not name what is neither
        names = [c.name for c in walk.network.capacitors]
        pairs = [" ".join(pair) for pair in combinations(names, 2)]
        return rng.choice([*pairs, "none"])
    if question.about == "shares":
        return rng.choice(("the p.d.", "the charge"))
    if question.about == "reason":
        assert question.step is not None, "a reason is that of a step"
        return rng.choice(LETTERS[: len(reasons(question.step, speech_of(walk), walk.seed))])
    if rng.random() < GUESSED_NUMBER:
        return _right(walk, question, rng)
    strays = [number for _, number in _wrong_numbers(walk, question)]
    quantity = question.quantity
    assert quantity is not None, "all else asks for a value"
    right = value_of(walk, quantity)
    number = rng.choice(strays) if strays and rng.random() < STRAYS else _unlike(right, rng)
    return _number(walk, quantity, number, rng)


def _unlike(right: Fraction, rng: Random) -> Fraction:
    """A number that has nothing to do with the right one but its size, roughly."""
    while True:
        factor = Fraction(10 ** rng.uniform(-1, 1)).limit_denominator(10**4)
        if abs(factor - 1) > Fraction(1, 20):
            return (right or 1) * factor


# A problem in stages


def _to_story(pupil: Pupil, telling: Telling) -> Said:
    ask = telling.ask
    assert ask is not None, "the story goes on"
    if telling.routes:
        return Said(_own_route(pupil, telling.routes))
    knows = pupil.knows(ask.skills or skills_of_ask(ask))
    powers = telling.story.powers
    own = {name: n for name, n in _wrong_of_ask(ask, powers) if name in pupil.held}
    wrong = [(o.words[0], name) for o in ask.options for name in o.malrules if name in pupil.held]
    if telling.tries or telling.rung:
        return Said(right_of_ask(ask) if knows and not own and not wrong else GIVE_UP)
    slips = pupil.slips()
    if not slips and own:
        name = pupil.rng.choice(list(own))
        return Said(_in_words(own[name], ask), name)
    if not slips and wrong:
        return Said(*pupil.rng.choice(wrong))
    if not slips and knows:
        return Said(right_of_ask(ask))
    return Said(_guess_of_ask(pupil, ask, powers))


def _wrong_of_ask(
    ask: Ask, powers: Mapping[Dimension, int]
) -> Iterator[tuple[str, Fraction]]:
    """What wrong rules give here, in SI units."""
    context = context_of_ask(ask, powers)
    for rule in CATALOGUE if context is not None else ():
        if context is not None and rule.fits(context):
            numbers = [n for n in rule.wrong(context) if n >= 0]
            if numbers:
                yield rule.name, numbers[0] * Fraction(10) ** context.power


def right_of_ask(ask: Ask) -> str:
    if ask.options:
        return next(option for option in ask.options if option.is_right).words[0]
    assert isinstance(ask.right, Fraction), "pupils work with numbers"
    return _in_words(ask.right, ask, figures=6)


def _guess_of_ask(pupil: Pupil, ask: Ask, powers: Mapping[Dimension, int]) -> str:
    rng = pupil.rng
    if ask.options:
        return rng.choice(ask.options).words[0]
    assert isinstance(ask.right, Fraction), "pupils work with numbers"
    if rng.random() < GUESSED_NUMBER:
        return right_of_ask(ask)
    strays = [number for _, number in _wrong_of_ask(ask, powers)]
    stray = bool(strays) and rng.random() < STRAYS
    return _in_words(rng.choice(strays) if stray else _unlike(ask.right, rng), ask)


def _in_words(number: Fraction, ask: Ask, figures: int = 3) -> str:
    """A number in SI units, or a plain one."""
    if number == 0:
        return "0"
    worth = float(at_figures(number, figures).number)
    if ask.pure or ask.dimension is None:
        return f"{worth:.12g}"
    return f"{worth:.{figures - 1}e} {UNIT[ask.dimension]}"
