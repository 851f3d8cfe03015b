"""A problem as set on paper, with its key: every line, its marks, the wrong answers to expect.

All of it is read off what the dialogue works with: the walk, the story, the mark scheme and the
malrules.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.reading import read_network
from grammar.records import Asked, Description, Dimension
from grammar.writing import write_number
from tutor.circuit.network import build
from tutor.circuit.values import in_letters
from tutor.desk.foreseen import foreseen_at
from tutor.teaching.cautions import cautions
from tutor.teaching.marking.faircopy import FairCopy
from tutor.teaching.marking.routes import past_levels, without_idle
from tutor.teaching.marking.scheme import in_order, needed_for, scheme_lines
from tutor.teaching.marking.stories.story_scheme import offers
from tutor.teaching.problem_questions import questions_of
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import because
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.context import RuleContext, context_of, route_of
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, speech_for
from tutor.teaching.staged.bridged import bridge_story
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import PASSED_ON, Ask, Option, Story, Way
from tutor.teaching.staged.story_skills import key_of
from tutor.teaching.walk import Walk, begin_walk, targets
from tutor.teaching.ways_of_walk import canonical
from tutor.teaching.wording import Wording

MOST_EXPECTED: Final = 4
# What the dialogue says of typing, which nobody does on paper.
_ON_TYPING: Final = re.compile(
    r" (?:\((?:A number|The number|Give|Type|In words)[^()]*\)|The number alone is enough\.)"
)


class Expected(NamedTuple):
    """A wrong answer to expect, and in one line how it comes about."""

    answer: str
    why: str


class KeyLine(NamedTuple):
    """A line of the key: what is written, for which marks (M1 A1), which wrong answers to expect.

    ``question`` is the number of the question on the sheet that it belongs to, 0 for the whole.
    ``names`` are what it finds, as learners write it; ``reason`` says why, where that is told.
    """

    text: str
    marks: str = ""
    expected: tuple[Expected, ...] = ()
    question: int = 0
    name: str = ""
    reason: str = ""


class SubQuestion(NamedTuple):
    """One question of several on a network, its answers to choose from and its marks."""

    text: str
    options: tuple[str, ...]
    marks: int


class Keyed(NamedTuple):
    """A problem for paper: what is given, the questions if there are several, and the key.

    ``answers`` is the shortest key of all; ``marks`` is what the whole is worth.
    """

    given: tuple[str, ...]
    parts: tuple[SubQuestion, ...]
    lines: tuple[KeyLine, ...]
    answers: tuple[str, ...]
    marks: int
    cautions: tuple[str, ...]
    description: Description | None = None


def keyed_text(text: str, terms: Settings) -> Keyed:
    """A problem of a text in the notation. Errors: ``Refusal`` for data that cannot be."""
    return keyed_description(read_network(text), terms)


def keyed_description(description: Description, terms: Settings) -> Keyed:
    """The same of what a text says."""
    story = story_of(description, terms)
    if story is not None:
        return keyed_story(story, terms, _marks(story, description.asked), description)
    problem = build(description)
    begun = begin_walk(problem, terms)
    walk = past_levels(without_idle(begun))
    careful = cautions(walk.truth.get(Quantity("V")), walk.truth.get(Quantity("E")), terms=terms)
    given = tuple(Wording(speech_for(problem, terms)).opening(begun).split("\n")[1:])
    if walk.whole is None:
        story = bridge_story(problem, terms)
        told = keyed_story(story, terms, _marks(story, description.asked))
        lines = tuple(line._replace(question=0) for line in told.lines)
        return told._replace(given=given, parts=(), lines=lines, description=description,
                             cautions=careful)
    lines = tuple(_walk_lines(walk, speech_for(problem, terms)))
    wanted = tuple(_answers(walk, speech_for(problem, terms)))
    marks = sum(offer.marks for offer in scheme_lines(walk))
    return Keyed(given, (), lines, wanted, marks, careful, description)


# Networks in one state


def _walk_lines(walk: Walk, speech: Speech) -> Iterator[KeyLine]:
    offers = {offer.quantity: offer for offer in scheme_lines(walk)}
    told = _expected_of(walk, speech)
    reasons = {Quantity("C", step.makes.name): step for step in walk.plan if step.makes}
    for quantity, line in FairCopy(_worked_out(walk), speech).entries():
        offer = offers.get(canonical(walk, quantity))
        marks = ""
        if offer is not None:
            marks = _in_letters(offer.method, offer.accuracy, offer.independent)
        step = reasons.get(quantity)
        yield KeyLine(
            line, marks, told.get(canonical(walk, quantity), ()), 0,
            speech.name(canonical(walk, quantity)), because(step, speech) if step else "",
        )


def _worked_out(walk: Walk) -> Walk:
    """The walk at its end, all known that leads to what is wanted, in the order of working."""
    wanted = {canonical(walk, quantity): None for quantity in targets(walk)}
    needed = needed_for(walk, wanted)
    known = dict(walk.known)
    for quantity in _as_worked(walk):
        if quantity not in needed or quantity not in walk.truth:
            continue
        if quantity == Quantity("C") and walk.whole is not None:
            known[Quantity("C", walk.whole.name)] = walk.truth[quantity]
        known[quantity] = walk.truth[quantity]
    return walk._replace(known=known, steps=walk.plan)


def _as_worked(walk: Walk) -> Iterator[Quantity]:
    """All there is in the order of working, what is passed on to the parts of a step before what
    is worked out from it.
    """
    found = in_order(walk)
    place = {quantity: at for at, quantity in enumerate(found)}
    for step in walk.plan:
        joining = step.joining
        if step.makes is None or joining is None:
            continue
        for c in step.parts:
            shared, own = Quantity(joining.shares, c.name), Quantity(joining.adds, c.name)
            if shared in place and own in place:
                first = min(place[shared], place[own])
                place[shared], place[own] = first, first + len(found)
    return iter(sorted(found, key=lambda quantity: place[quantity] % len(found)
                       + place[quantity] // len(found) / 2))


def _answers(walk: Walk, speech: Speech) -> Iterator[str]:
    for quantity in dict.fromkeys(canonical(walk, each) for each in targets(walk)):
        if quantity in walk.truth:
            result = speech.result(walk.truth[quantity], quantity.dimension)
            yield f"{speech.name(quantity)} {result}"


def _expected_of(walk: Walk, speech: Speech) -> Mapping[Quantity, tuple[Expected, ...]]:
    route = route_of(walk)
    contexts = ((quantity, context_of(route, quantity)) for quantity in questions_of(walk))
    return {
        canonical(walk, quantity): tuple(_expected(context, quantity.dimension, speech))
        for quantity, context in contexts if context is not None
    }


def _expected(
    context: RuleContext, dimension: Dimension | None, speech: Speech
) -> Iterator[Expected]:
    """The wrong answers to expect, the commonest first, none that would be taken as right."""
    told: set[str] = set()
    for _, _, written, why in foreseen_at(context):
        text = _number(written, dimension, speech)
        if not told.isdisjoint((text, why)):
            continue
        told |= {text, why}
        yield Expected(text, why)
        if len(told) == 2 * MOST_EXPECTED:
            return


def _number(number: Fraction, dimension: Dimension | None, speech: Speech) -> str:
    """In the unit that a learner would write it in, whatever suits it better, and to no more
    figures than are asked for: a wrong number need not be told to its last decimal.
    """
    style = speech.terms.style
    text = write_number(number, style.figures, style.comma, in_full=style.figures)[0]
    return text if dimension is None else f"{text} {speech.unit(dimension)}"


# Problems in stages


def keyed_story(
    story: Story, terms: Settings, marks: Mapping[str, int], description: Description | None = None
) -> Keyed:
    """A problem in stages, each stage a question of its own; ``marks`` by the keys of questions."""
    speech = Speech(story.powers, terms)
    parts: list[SubQuestion] = []
    lines: list[KeyLine] = []
    for at, ask in enumerate(story.asks):
        worth = marks.get(key_of(at, ask), 0)
        if ask.key != PASSED_ON:
            parts.append(_part(ask, worth))
        lines += _story_lines(ask, len(parts), worth, speech)
    answers = tuple(_short_answer(ask, speech) for ask in story.asks)
    return Keyed(
        _paragraphs(story), tuple(parts), tuple(lines), answers,
        sum(marks.values()), story.cautions, description,
    )


def _paragraphs(story: Story) -> tuple[str, ...]:
    return tuple(line for line in story.opening if line and line != "Here is the network.")


def _part(ask: Ask, worth: int) -> SubQuestion:
    first, *others = _ON_TYPING.sub("", ask.text).split("\n")
    options = others if ask.options else []
    text = first if ask.options else " ".join([first, *others])
    return SubQuestion(text, tuple(options), worth)


def _story_lines(ask: Ask, number: int, worth: int, speech: Speech) -> Iterator[KeyLine]:
    *first, last = ask.reveal.split("\n")
    bare = re.fullmatch(rf"{re.escape(ask.name)} (=[^=]*(?:[=≈][^=≈]*)?|≈[^≈]*)", last)
    if not first and bare and ask.ways and not re.search(r"[+×]", last):
        last = f"{ask.name} = {_relation(ask.ways[0])} {bare[1]}"
    yield from (KeyLine(text, question=number) for text in first)
    marks = _in_letters(1, 1, 0) if worth == 2 else _in_letters(0, 0, worth)
    if ask.options:
        expected = tuple(_wrong_options(ask))
    else:
        context = context_of_ask(ask, speech.powers)
        dimension = None if ask.pure else ask.dimension
        expected = tuple(_expected(context, dimension, speech)) if context else ()
    yield KeyLine(last, marks, expected, number, ask.name, ask.because)


def _relation(way: Way) -> str:
    """The relation of a way; of a difference that is meant without its sign, the larger first."""
    found = re.fullmatch(r"\((V_\w+) − (V_\w+)\)(.*)", way.relation)
    if found is None:
        return way.relation
    one, other, rest = found.groups()
    high, low = way.uses[one][0], way.uses[other][0]
    if way.then == "size" and not (in_letters(high) or in_letters(low)) and high < low:
        one, other = other, one
    return f"({one} − {other}){rest}" if rest else f"{one} − {other}"


def _wrong_options(ask: Ask) -> Iterator[Expected]:
    for option in ask.options:
        if option.is_right:
            continue
        why = next((idea_in_words(name) for name in option.malrules), option.reply)
        if why:
            yield Expected(_said(option), why)


def _said(option: Option) -> str:
    """The words of an answer, its letter before them where it has one."""
    first, *others = option.words
    return f"{first}) {others[0]}" if len(first) == 1 and others else first


def _short_answer(ask: Ask, speech: Speech) -> str:
    right = next((option for option in ask.options if option.is_right), None)
    last = ask.reveal.split("\n")[-1]
    if right is not None:
        return _said(right)
    name = re.search(rf"(?<![\w']){re.escape(ask.name)}'?(?=\s*[=≈])", last) if ask.name else None
    if ask.right is None or name is None:
        return last
    if ask.dimension is None or in_letters(ask.right):
        return f"{name[0]} {re.findall(r'[=≈][^=≈]*$', last)[0]}"
    return f"{name[0]} {speech.shown(ask.right, ask.dimension).after_equals}"


# Marks


def _marks(story: Story, asked: tuple[Asked, ...]) -> Mapping[str, int]:
    """The marks that the scheme has for each question, by key."""
    found = offers(story, asked)
    return {key_of(each.quantity, story.asks[each.quantity]): each.marks for each in found}


def _in_letters(method: int, accuracy: int, independent: int) -> str:
    """M1 A1 as in mark schemes: method, accuracy on it, independent marks."""
    letters: Iterable[tuple[str, int]] = (("M", method), ("A", accuracy), ("B", independent))
    return " ".join(f"{letter}{number}" for letter, number in letters if number)
