"""A line whose value was judged wrong or not taken, looked at once more: wrong where nothing in it
is right.

Who answers often says more numbers than the answer: what is given, what was found before, a sum on
the way. Where a piece of the line is right by itself and all its other numbers are known here, that
piece is the answer; where something else stands beside it, it is asked which of them is meant.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final, NamedTuple, TypeVar

from grammar.answers import DIMS
from grammar.quantity import SYMBOL, UNIT_SIGN
from grammar.spoken_numbers import in_figures
from tutor.circuit.values import Value, in_letters
from tutor.teaching.by_clauses import breaks_a_bracket
from tutor.teaching.conversation import TurnOf, place_of
from tutor.teaching.judging import close
from tutor.teaching.messages import Message
from tutor.teaching.quantities import DIMENSION, Quantity
from tutor.teaching.reading.because_words import BECAUSE_OR_AS
from tutor.teaching.reading.said_values import WHICH
from tutor.teaching.staged.amounts_of_story import held_in_the_end
from tutor.teaching.staged.going_on import again
from tutor.teaching.staged.measuring import lookup_of
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import ask_again, speech_of
from tutor.teaching.walk import Walk, given, next_question

T = TypeVar("T", Walk, Telling)
LONGEST: Final = 200  # letters of a line that somebody says in a breath
SEVERAL: Final = 2
SENTENCE: Final = 3  # words
MOST: Final = 10  # pieces that are looked at

_PARTS = re.compile(
    r"(?i)([,;:!…—–](?!\d)|\.(?!\d)|[-=]+>|→|⇒|\s-\s|[()]|=(?=\s*[a-z]{3,}\s+[a-z]{3,})"
    r"|(?<!half )(?<!third )(?<!quarter )\bof\b"
    r"|\b(?:so|but|hence|therefore|thus|then|which|that['’]?s|leav(?:es|ing)|with|at|from|and|is"
    r"|are|gives?|makes?|has|have|had|gets?|takes?|brings?)\b)"
)
_BUT_BRACKETS: Final = re.compile(_PARTS.pattern.replace("|[()]", "", 1))
_CLAUSES = re.compile(
    r"(?i)[,;:!…—–](?!\d)|\.(?!\d)|[-=]+>|→|⇒|\s-\s|[()]|\b(?:so|but|hence|therefore|thus|then)\b"
)
_IN_A_SUM = re.compile(r"[-+*/×÷^(]\s*\(|\)\s*[-+*/×÷^)]|(?<![\w.])\d[\d.]*\(")
_A_DIFFERENCE = re.compile(r"\d\s-\s\d[\d.]*\s*\w{0,2}\W*$")
_CONCLUDES = re.compile(r"(?i)so|hence|therefore|thus|then|that['’]?s|[-=]+>?|→|⇒|is|gives?|makes?")
_TAKES_BACK = re.compile(r"(?i)^.*\b(?:no|wait|actually|sorry|oops|rather|instead|mean)\b")
# What is together with another is a part.
_SET_ASIDE = re.compile(r"(?i)\b(?:not|never|no|thought|than|was|wrong|together)\b|n['’]t\b")
_WEIGHS = re.compile(r"(?i)\b(?:or|either|unless|if|between)\b|\?")
_NUMBER = re.compile(r"(?<![\w.])(?<![eE][-+])\d+(?:\.\d+)?(?:[eE][-+]?\d+)?(?![\d.]*\d)")
_WITH_UNIT = re.compile(rf"(?P<number>{_NUMBER.pattern})\s*(?P<unit>{UNIT_SIGN})?")
_AMOUNT = re.compile(rf"{_NUMBER.pattern}(?:\s*{UNIT_SIGN})?")
_WORKED_OUT = re.compile(
    r"(?i)[=*/×÷+^√²%]|\b(?:times|over|by|plus|minus|half|thirds?|quarters?|twice|double)\b"
    r"|\d\s*[-−x]\s*\d"
)

_UNIT_OF: Final = MappingProxyType({DIMS[kind]: letter for kind, letter in SYMBOL.items()})


class _Known(NamedTuple):
    """A number that is known here, and its unit without a prefix."""

    number: Fraction
    unit: str


class _Piece(NamedTuple):
    """A piece of a line with a number in it; ``turn`` is what it comes to where it is right."""

    text: str
    concludes: bool
    turn: TurnOf[Walk] | TurnOf[Telling] | None


def look_again(
    answer: Callable[[T, str], TurnOf[T]], task: T, line: str, heard: TurnOf[T]
) -> TurnOf[T]:
    """What a line comes to that was ``heard`` as no right value: the same, the piece of it that is
    the right one, or after a wrong value the question which of its numbers is meant.
    """
    if len(line) > LONGEST or len(_NUMBER.findall(in_figures(line))) < SEVERAL:
        return heard
    if breaks_a_bracket(line):
        return heard
    pieces = _pieces(answer, task, _TAKES_BACK.sub("", line) if _means_the_last(line) else line)
    right = [each for each in pieces if each.turn is not None]
    known, asked = _numbers_known(task), _asked(task)
    rest = [each.text for each in pieces if each.turn is None and not _SET_ASIDE.search(each.text)]
    is_last_so = not pieces or pieces[-1].turn is not None or not pieces[-1].concludes
    is_open = _WEIGHS.search(line) or (rest and _A_DIFFERENCE.search(line))
    if right and is_last_so and not is_open and all(_are_of(known, asked, text) for text in rest):
        return right[-1].turn  # type: ignore[return-value]
    if not any(message.verdict == "wrong" for message in heard.messages):
        return heard
    if isinstance(task, Walk) and _are_in_another_order(task, line):
        return _in_that_order(task, line, heard)
    alone = [t for t in rest if not _WORKED_OUT.search(t)]
    if right or any(_turn_of(answer, task, n) for t in alone for n in _AMOUNT.findall(t)):
        return _which_of_them(task, heard)
    is_stated = _is_stated(_judged_of(answer, task, line), line, asked)
    return heard if is_stated else _which_of_them(task, heard)


def its_answer_alone(
    answer: Callable[[T, str], TurnOf[T]], task: T, line: str, heard: TurnOf[T]
) -> TurnOf[T]:
    """A line that was ``heard`` as a right value and then as one that is not right: the right one
    alone where no other number of the line stands for itself as a value, with what else is right
    in what follows it.
    """
    if len(line) > LONGEST:
        return heard
    pieces = _pieces(answer, task, line)
    right = next((at for at, each in enumerate(pieces) if each.turn is not None), None)
    rest = [each.text for each in pieces if each.turn is None]
    asked = _asked(heard.task)
    if right is None or _names_what_is_not_so(task, line) or any(
        _stated_in(each) and not _are_true(task, each) and not _is_of_another_kind(each, asked)
        for each in rest
    ):
        return heard
    turn = pieces[right].turn or heard
    return _with_what_follows(answer, turn, pieces[right + 1 :])


def _with_what_follows(
    answer: Callable[[Any, str], TurnOf[Any]], turn: TurnOf[Any], pieces: list[_Piece]
) -> TurnOf[Any]:
    """A turn and what each piece behind it is right for."""
    for each in pieces:
        following = _turn_of(answer, turn.task, each.text)
        if following is not None:
            said = [message for message in turn.messages if message.kind != "ask"]
            turn = following._replace(messages=(*said, *following.messages))
    return turn


_OF_A_NAME = re.compile(
    r"(?<![\w.])(?<!with )(?<!to )(?P<name>[A-Za-z]_?\d+'*)\s*(?:=|is|are)\s*"
    rf"(?P<number>{_NUMBER.pattern})(?!\s*[-+*/×÷])"
)


def _names_what_is_not_so(task: Walk | Telling, line: str) -> bool:
    """Whether a line gives a value by its name that this one has not: V2 = 3 V, which is V3."""
    if not isinstance(task, Walk):
        return False
    speech = speech_of(task)
    held = {speech.name(each): (each, value) for each, value in task.truth.items()}
    for found in _OF_A_NAME.finditer(in_figures(line)):
        name = found["name"].replace("_", "")
        quantity, value = held.get(name[0].upper() + name[1:], (None, Fraction(0)))
        if quantity is not None and not in_letters(value) and not _is_worth(
            Fraction(found["number"]), value
        ):
            return True
    return False


def _is_of_another_kind(text: str, asked: str) -> bool:
    """Whether all numbers of a piece have units, none of them that of the value asked next."""
    units = [each.unit for each in _numbers_in(text)]
    return bool(units and asked) and all(unit and unit != asked for unit in units)


def _are_true(task: Walk | Telling, text: str) -> bool:
    """Whether all numbers of a piece are values of the problem, found or still to be found."""
    return _are_of(_numbers_true(task), "", text)


def _judged_of(answer: Callable[[T, str], TurnOf[T]], task: T, line: str) -> object:
    """The value of a line that was judged wrong, though it be the last try, which forgets it."""
    return answer(task._replace(tries=0), line).task.last_wrong


_SQUARED = re.compile(r"(?<=m)\^[23]\b")
_STATING = re.compile(
    r"(?i)\b(?:(?:it|that|this|they|i|so|then|is|are|was|be|the|a|an|its|each|both|all|on|of|for|in"
    r"|about|around|roughly|exactly|just|only|must|should|will|would|get|got|think|guess|say|makes?"
    r"|gives?|comes?|to|out|answer|result|total|whole|equals?|has|have|holds?|charge|voltage|volts?"
    r"|difference|energy|capacitance|uF|across|by|adding|sum|and|or|my|upside|down|turned)(?:['’]s)?"
    r"|p\.?\s?d\.?|m\^?[23]|metres?|meters?|[cqvue](?:_?\d+)?'*)(?!\w)|[^\w\s]|_"
)


def _is_stated(judged: object, line: str, asked: str) -> bool:
    """Whether the value that was judged wrong is what the line states: it ends an equation, or
    stands in a clause of its own, with no more than its name and such words around it, as one with
    the unit of what is ``asked`` does. A number taken out of a sentence is no answer.
    """
    if not isinstance(judged, Fraction) or judged == 0:
        return True
    figures = re.sub(r"(?<=\d),(?=\d)", ".", _SQUARED.sub("", in_figures(line)))
    words = re.findall(r"[^\W\d_]{2,}", _WITH_UNIT.sub(" ", figures))
    if len(words) < SENTENCE or len(_NUMBER.findall(figures)) < SEVERAL:
        return True
    clauses = [each for part in BECAUSE_OR_AS.split(figures) for each in _CLAUSES.split(part)]
    stated = [found for each in clauses for found in _stated_in(each)]
    ends = [*_WITH_UNIT.finditer(figures.rpartition("=")[2])][:1] if "=" in figures else []
    return any(_is_worth(Fraction(found["number"]), judged) for found in (*stated, *ends)) or any(
        found["unit"] and found["unit"][-1] == asked for found in stated
    )


def _stated_in(clause: str) -> list[re.Match[str]]:
    """The numbers of a clause that has no more around them than names and such words."""
    is_more = re.search(r"[^\W\d]", _STATING.sub(" ", _WITH_UNIT.sub(" ", clause)))
    return [] if is_more else [*_WITH_UNIT.finditer(clause)]


def _is_worth(number: Fraction, value: Fraction) -> bool:
    """Whether a number is the figures of a value, in whatever prefix."""
    return number != 0 and any(
        close(number * Fraction(10) ** power, abs(value)) for power in range(-18, 7, 3)
    )


def _means_the_last(line: str) -> bool:
    """Whether numbers stand behind words that take back what was said before them."""
    found = _TAKES_BACK.match(line)
    return found is not None and _NUMBER.search(in_figures(line[found.end() :])) is not None


def _parted(line: str) -> list[str]:
    """A line cut where pieces meet, with the signs between, the brackets of a sum left whole."""
    return (_BUT_BRACKETS if _IN_A_SUM.search(line) else _PARTS).split(line)


def _pieces(answer: Callable[[T, str], TurnOf[T]], task: T, line: str) -> list[_Piece]:
    parts = ["", *_parted(line)]
    told = [
        (figures.strip(), _CONCLUDES.fullmatch(sign.strip()) is not None)
        for sign, text in zip(parts[::2], parts[1::2], strict=True)
        if _NUMBER.search(figures := in_figures(text))
    ]
    if len(told) > MOST:
        return []
    return [
        _Piece(text, concludes, None if _SET_ASIDE.search(text) else _turn_of(answer, task, text))
        for text, concludes in told
    ]


def _turn_of(answer: Callable[[T, str], TurnOf[T]], task: T, text: str) -> TurnOf[T] | None:
    """What a piece comes to by itself, where it is right and answers the question."""
    turn = answer(task, text)
    verdicts = {message.verdict for message in turn.messages if message.verdict}
    return turn if verdicts == {"right"} and place_of(turn.task) != place_of(task) else None


def _are_of(known: list[_Known], asked: str, text: str) -> bool:
    """Whether all numbers of a piece are known here, by their units where they have any. One that
    stands alone has the unit of what is asked.
    """
    is_alone = _NUMBER.fullmatch(text.strip(" .,")) is not None
    return all(
        any(close(each.number, one.number) and unit in ("", one.unit) for one in known)
        for each in _numbers_in(text) for unit in (asked if is_alone else each.unit,)
    )


def _numbers_in(text: str) -> Iterator[_Known]:
    for found in _WITH_UNIT.finditer(text):
        yield _Known(Fraction(found["number"]), (found["unit"] or "")[-1:])


def _asked(task: Walk | Telling) -> str:
    """The unit of what is asked, without its prefix; nothing for what has none of these."""
    if isinstance(task, Telling):
        return SYMBOL.get(task.ask.dimension, "") if task.ask and task.ask.dimension else ""
    question = next_question(task)
    wanted = question.quantity if question is not None else None
    return SYMBOL.get(wanted.dimension, "") if wanted is not None else ""


def _numbers_known(task: Walk | Telling) -> list[_Known]:
    """What is given, stands in the question or has been found, in the units of this problem."""
    if isinstance(task, Telling):
        held = [(each.value, each.power, each.dims) for each in lookup_of(task).values()]
        text = task.ask.text if task.ask else ""
        return [*(each for each in _numbers_in(text) if each.unit), *(
            _Known(_plain(value, power), _UNIT_OF.get(dims, ""))
            for value, power, dims in held if not in_letters(value)
        )]
    powers = task.problem.powers
    values = {Quantity("C", c.name): c.value for c in given(task)} | dict(task.known)
    return [
        _Known(_plain(value, powers[q.dimension]), SYMBOL[q.dimension])
        for q, value in values.items() if not in_letters(value)
    ]


def _numbers_true(task: Walk | Telling) -> list[_Known]:
    """All values of the problem, asked or not, and what is known besides."""
    if isinstance(task, Telling):
        rights = [
            _Known(_plain(ask.right, 0 if ask.pure else task.story.powers[ask.dimension]), "")
            for ask in task.story.asks
            if ask.right is not None and ask.dimension and not in_letters(ask.right)
        ]
        asked = task.ask.dimension if task.ask is not None else None
        ends = [  # of the kind that is asked another value may be meant for the one in hand
            _Known(_plain(value, task.story.powers[kind]), SYMBOL[kind])
            for value, kind in task.story.results.values()
            if kind is not None and kind != asked and kind in SYMBOL and not in_letters(value)
        ]
        held = held_in_the_end(task, task.story.network)
        return [*_numbers_known(task), *rights, *ends, *(
            _Known(_plain(value, task.story.powers[DIMENSION[symbol]]), SYMBOL[DIMENSION[symbol]])
            for (symbol, _), values in held.items() for value in values if not in_letters(value)
        )]
    powers = task.problem.powers
    return [*_numbers_known(task), *(
        _Known(_plain(value, powers[q.dimension]), SYMBOL[q.dimension])
        for q, value in task.truth.items() if not in_letters(value)
    )]


def _plain(value: Value, power: int) -> Fraction:
    return abs(Fraction(value)) / Fraction(10) ** power


_AMOUNTS_ALONE = re.compile(
    rf"(?i)\W*{_AMOUNT.pattern}(?:\s*(?:,|&|\band\b|,\s*and\b)\s*{_AMOUNT.pattern})+\W*"
)


def _are_in_another_order(walk: Walk, line: str) -> bool:
    """Whether a line has nothing but the values of all parts, each as often as they have it."""
    question = next_question(walk)
    step, asked = (question.step, question.quantity) if question is not None else (None, None)
    if step is None or asked is None or not _AMOUNTS_ALONE.fullmatch(in_figures(line)):
        return False
    rights = [walk.truth.get(Quantity(asked.symbol, part.name)) for part in step.parts]
    power = walk.problem.powers[asked.dimension]
    held = sorted(_plain(each, power) for each in rights if each and not in_letters(each))
    said = sorted(each.number for each in _numbers_in(in_figures(line)))
    return len(said) == len(held) == len(rights) and all(map(close, said, held))


def _in_that_order(walk: Walk, line: str, heard: TurnOf[Any]) -> TurnOf[Any]:
    """A question back about the order of such values; no try is spent."""
    question, said = next_question(walk), next(_numbers_in(in_figures(line)))
    if question is None or question.quantity is None:
        return heard
    asked, speech = question.quantity, speech_of(walk)
    first = said.number * Fraction(10) ** walk.problem.powers[asked.dimension]
    text = f"In that order? {speech.name(asked)} is not {speech.amount(first, asked.dimension)}."
    told = Message("verdict", text, about=question.about, verdict="incomplete")
    return ask_again(walk, [told])


def _which_of_them(task: T, heard: TurnOf[T]) -> TurnOf[T]:
    """The question which number is meant, in the place of the verdict; no try is spent."""
    wrong = next(each for each in heard.messages if each.verdict == "wrong")
    asked = Message("verdict", " ".join(WHICH), about=wrong.about, verdict="incomplete")
    return ask_again(task, [asked]) if isinstance(task, Walk) else again(task, [asked])
