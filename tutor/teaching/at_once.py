"""One line that answers several questions in turn: names, what they share, then the value.

Each piece is heard as an answer of its own, as long as the ones before it are not wrong.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from itertools import takewhile
from types import MappingProxyType
from typing import Final, Literal, TypeAlias

from grammar.spoken_numbers import in_figures
from tutor.circuit.steps import Choice, examine
from tutor.teaching.hearing import SAYS_EQUAL, plain
from tutor.teaching.messages import About, Message
from tutor.teaching.named_pairs import make_so_much, with_what_they_make
from tutor.teaching.pointing import capacitors_in
from tutor.teaching.quantities import Quantity
from tutor.teaching.reading.conclusion import conclusion_in
from tutor.teaching.reading.grounds import is_of_others
from tutor.teaching.reading.said_values import with_unit
from tutor.teaching.reading.weighing import reason_in
from tutor.teaching.turn import Turn, replies_of
from tutor.teaching.walk import Question, Walk, next_question

Sort: TypeAlias = Literal["names", "words", "value"]
MOST_PIECES = 20
WAITING: Final = "What follows on that line is not read yet."


def hear_each(
    walk: Walk, question: Question, line: str, hear: Callable[[Walk, Question, str], Turn]
) -> Turn:
    """Hear a line piece by piece, or as a whole where it answers the one question in hand."""
    pieces = _pieces(walk, question, line)
    said: list[Message] = []
    waiting: tuple[Walk, Question, str] | None = None
    while True:
        head = _head(walk, question, pieces)
        turn = hear(walk, question, ", ".join(head))
        pieces = pieces[len(head):]
        if waiting is not None and any(m.kind == "reveal" for m in turn.messages):
            _reason_let_be(*waiting, said)
        waiting = (walk, question, ", ".join(head)) if question.about == "shares" else None
        if not pieces:
            return turn._replace(messages=(*said, *turn.messages))
        said += [message for message in turn.messages if message.kind != "ask"]
        asked = next_question(turn.task)
        stops = {"wrong", "unread", *(["incomplete"] if question.about == "choice" else [])}
        stopped = any(m.verdict in stops for m in turn.messages)
        is_left = asked is not None and asked.about != "choice" and (
            question.about == "choice" and _sort(walk, question, pieces[0]) == "names"
        )  # names of a step to come, and what is asked first is a value
        if asked is None or turn.opens or stopped or is_left:
            asks = [message for message in turn.messages if message.kind == "ask"]
            return turn._replace(messages=(*said, Message("say", WAITING), *asks))
        walk, question = turn.task, asked
        pieces = _not_said_again(walk, pieces)
        if not pieces:
            return turn._replace(messages=(*said, *(m for m in turn.messages if m.kind == "ask")))
        pieces = _named_for(asked, pieces)


def _not_said_again(walk: Walk, pieces: list[str]) -> list[str]:
    """The pieces without the values that were found before, and are of another kind than is asked
    by now: nobody was asked for them.
    """
    if not any(re.search(r"\d", each) for each in pieces):
        return pieces
    from tutor.teaching.told_again import is_said_again  # late: few lines go on

    return [each for each in pieces if not is_said_again(walk, each)]


def _reason_let_be(walk: Walk, question: Question, words: str, said: list[Message]) -> None:
    """A sharing said rightly whose reason is not enough, or not given: taken as it is where the
    step is worked out in the same breath, and so explained. One that is not so stays answered.
    """
    step, at = question.step, len(said) - 1
    if step is None or reason_in(words, walk.network, step).worth not in ("half", "none"):
        return
    if at >= 0 and said[at].verdict == "incomplete" and said[at].about == "shares":
        said[at] = said[at]._replace(text=replies_of(walk).shares_half(step), verdict="right")


def _named_for(asked: Question, pieces: list[str]) -> list[str]:
    """A bare number that follows a sharing whose reason is asked still: it is that of what the
    step makes.
    """
    made = asked.step.makes if asked.step is not None else None
    if made is not None and pieces[0].startswith("="):
        return [f"{made.name} {pieces[0]}", *pieces[1:]]
    if asked.about not in ("shares", "reason") or asked.going_back or made is None:
        return pieces
    is_number = re.fullmatch(r"\s*\d+(?:[.,/]\d+)?\s*", pieces[0])
    is_number = is_number or A_FRACTION.fullmatch(pieces[0])
    return [f"{made.name} = {pieces[0].strip()}", *pieces[1:]] if is_number else pieces


# What parts the answers of a line; a colon or an arrow only before a value.
_BETWEEN = re.compile(r",(?!\d)|;|(?<=[A-Za-z\s])(?::|→|[-=]+>)(?=\s*[\d(]+[^:;]*$)")
_SENTENCES = re.compile(r"(?<=\w)(?<!\.[dD])(?<!\s[dD])\.(?=\s+[A-Za-z])")
_LEADING_TO = re.compile(
    r"(?i)^\s*(?:and\s+|so\s+|then\s+|which\s+|that\s+|together\s+|it\s+)*"
    r"(?:makes?|making|gives?|giving|is|equals?|comes\s+to|becomes)\s+(?=[\d(]|C\s*/\s*\d)"
)
# C1, C2 and C4 together give 3.5: what the names make stands behind the verb.
_MAKING = re.compile(
    r"(?i)(?<=[\w)])\s+(?:(?:together|which|that|and|all)\s+)*"
    r"(?=(?:makes?|making|gives?|giving|comes?\s+to|becomes?)\s+(?P<value>[\w.,-]+)"
    r"\s*(?:[pnuµμm]|micro|nano|pico)?(?:F|farads?)?\W*$)"
)


# The four and the twelve -> 3; C1 and C2 in series = 3 uF.
_LEADS_TO = re.compile(
    r"(?i)\s*(?:→|⇒|[-=]+>|(?<=\bseries)\s*=|(?<=\bparallel)\s*=|(?<=\btogether)\s*=)\s*"
    r"(?=\d[\d.,/]*\s*(?:[pnuµμm]|micro|nano|pico)?(?:F|farads?)?\W*$)"
)


def _the_value(piece: str) -> str:
    """A piece without the words that lead to a value: makes six; 24 all together."""
    if told := _TOGETHER.fullmatch(piece):
        return told[1]
    if re.match(r"\s*[\d(]|[^A-Za-z]*[A-Za-z]\w*\s*=", piece):
        return piece
    found = _LEADING_TO.match(in_figures(piece))
    return in_figures(piece)[found.end():] if found is not None else piece


_TOGETHER = re.compile(
    r"(?i)(\s*\d[\d.,/]*\s*(?:[pnuµμm]?F\b)?)\s*(?:all\s*together|altogether|together|in\s+(?:all|total)"
    r"|for\s+(?:the\s+two|both))\W*"
)


def _words_and_value(piece: str) -> list[str]:
    """What is shared and the first of the values that follow, with nothing between: p.d. 100."""
    found = re.fullmatch(
        r"(?i)(?P<words>\W*(?:the\s+)?(?:charge|p\.?d\.?|voltage|volts?)\W*?)\s+"
        r"(?:(?:(?:and|then|so|with)\s+)*(?P<value>\d[\d.]*\s*\w{0,2}(?:\s+and\s+\d.*)?)"
        r"|(?:(?:so|then|hence)\s+)+(?P<named>[CQVUE]_?\d+'*\s*=.*))", piece
    )
    return [found["words"], found["value"] or found["named"]] if found is not None else [piece]


def _told_apart(line: str) -> str:
    """A line of names with a comma before what they make, and that in figures."""
    found = _MAKING.search(line)
    if found is None or not re.fullmatch(r"[\d.,]+", value := in_figures(found["value"])):
        return line
    at = found.end("value") - len(found["value"])
    made = with_unit(f"{value}{line[found.end('value'):]}", "F")
    return f"{line[: found.start()]}, {line[found.end(): at]}{made}"


# 8/3 uF, C/6: never the number of a capacitor.
A_FRACTION = re.compile(
    r"\s*(?:\d[\d.]*\s*/\s*\d[\d.]*\s*[pnuµμm]?F|\d*\s*C\s*/\s*\d+)\s*"
)


def _pieces(walk: Walk, question: Question, line: str) -> list[str]:
    """The pieces of a line at its commas; the line alone where it is not to be parted."""
    told = _told_apart(_LEADS_TO.sub(" gives ", line)) if question.about == "choice" else line
    if question.going_back:
        told = _SENTENCES.sub(",", told)  # the charge, 600 each. no dividing
    parts = [each for each in _BETWEEN.split(told) if plain(each)]
    pieces = [_the_value(each) for each in parts]
    is_led_to = bool(pieces) and told != line and re.match(r"\s*\d", pieces[-1]) is not None
    if question.about == "choice" and (
        is_led_to or _is_what_they_make(walk, pieces, parts[-1:] != pieces[-1:])
    ):
        pieces[-1] = f"= {pieces[-1].strip()}"  # a value, and no name by its number
    if question.going_back:
        pieces = [part for each in pieces for part in _words_and_value(each)]
    if question.about == "choice":
        made = with_what_they_make(walk, line)
        pieces = made or pieces
    if not question.going_back:
        pieces = [part for each in pieces for part in _without_commas(walk, question, each)]
    if walk.aside is not None or not 1 < len(pieces) <= MOST_PIECES:
        return [line]
    if question.about == "choice":
        pieces = _with_reasons(walk, question, pieces)
    if question.about == "shares" and len(pieces) > 1:
        pieces = _without_names_in_hand(walk, question, pieces)
    if question.about == "shares" and question.going_back:
        pieces = [each for each in pieces if not _says_what_is_held(walk, question, each)] or pieces
    sorts = [_sort(walk, question, each) for each in pieces]
    first, then = _ORDER.get(question.about, (None, ()))
    after = next((sort for sort in sorts if sort != first), None)
    return pieces if sorts[0] == first and after in then else [line]


def _is_what_they_make(walk: Walk, pieces: list[str], is_said_so: bool) -> bool:
    """Whether a line ends in the value that those named before it make: C1 and C2, 2 uF, though
    another one has 2 µF too; without its unit where it ``is_said_so``: C1 and C2, gives 2.
    """
    unit = r"(?:[pnuµμm]?F)?" if is_said_so else r"[pnuµμm]?F"
    if len(pieces) < 2 or not re.fullmatch(rf"\s*\d[\d.]*\s*{unit}\W*", pieces[-1]):
        return False
    return make_so_much(walk, ", ".join(pieces[:-1]), pieces[-1])


def _without_names_in_hand(walk: Walk, question: Question, pieces: list[str]) -> list[str]:
    """A whole line, names first, where the names were not asked since only these are left."""
    leading = list(takewhile(lambda each: _sort(walk, question, each) == "names", pieces))
    if question.step is None or not leading or len(leading) == len(pieces):
        return pieces
    said = capacitors_in(", ".join(leading), walk.network, walk.problem.powers["capacitance"])
    parts = {c.name for c in question.step.parts}
    is_named = said is not None and set(said.names) == parts
    return pieces[len(leading):] if is_named else pieces


def _says_what_is_held(walk: Walk, question: Question, piece: str) -> bool:
    """Whether a piece only says once more the p.d. or charge that is to be passed on: 1.8 each."""
    made = question.step.makes if question.step is not None else None
    found = re.fullmatch(
        r"(?i)\s*(?:still\s+)?(\d+(?:[.,]\d+)?)\s*(?:[a-zµμ]{1,2}|volts?|\w*coulombs?)?\s*"
        r"(?:(?:(?:for|on|in|across|to)\s+)?(?:each|both|all)(?:\s+(?:of\s+)?\w+)?)?\W*", piece
    )
    if made is None or found is None:
        return False
    number = Fraction(found[1].replace(",", "."))
    return any(
        walk.known.get(each) == number * Fraction(10) ** walk.problem.powers[each.dimension]
        for each in (Quantity("V", made.name), Quantity("Q", made.name))
    )


def _with_reasons(walk: Walk, question: Question, pieces: list[str]) -> list[str]:
    """Words after names that do not say what is shared belong to the names, as their reason."""
    found: list[str] = []
    for at, piece in enumerate(pieces):
        rest = pieces[at + 1 :]
        if any(conclusion_in(each, walk.network) for each in rest):  # it is the reason for that
            return [*found, *pieces[at:]]
        is_reason = bool(found) and _sort(walk, question, piece) == "words" and (
            conclusion_in(piece, walk.network) is None
        )
        if is_reason and _sort(walk, question, found[-1]) == "names":
            found[-1] = f"{found[-1]}, {piece.strip()}"
        else:
            found.append(piece)
    return found


_QUANTITY_SHARED: Final = (
    r"(?:(?:share|have|hold|with|the|same|one)\s+)*"
    r"(?:charges?|voltages?|volts|[qv]|p\.?\s?d\b\.?|potential\s+difference)\b"
)
_ITS_VALUE: Final = (
    r"(?P<value>\s(?:(?:so|then|[-=]+>|→)\s*)?(?:c\w*\s*=\s*)?\d[\d.,/]*\s*[pnuµμm]?f?)?\s*"
)
_ALL_IN_ONE = re.compile(
    r"(?i)\s*(?P<names>(?:(?:[a-z]_?\d++'*+\s*+(?:(?:(?:and|with)\b|&|\+)\s*+)?+)+"
    r"|(?:all|both)\s+(?:(?:of\s+them|three|four|five|[345])\s+)?)"
    r"(?:(?:in\s+)?(?:parallel|series|a\s+chain|a\s+row)\s+)?)"
    rf"(?:(?:[:=–—-]+>?|so)\s*)?(?P<words>{_QUANTITY_SHARED}.*?){_ITS_VALUE}"
)
# The charge P 2.5: the points are capitals.
_SHARED_IN_ONE = re.compile(
    rf"\s*(?P<words>(?i:{_QUANTITY_SHARED})(?:[\s&]|\b(?:and|at|points?|[A-Z]\d?'*)\b)*?)(?i:{_ITS_VALUE})"
)


def _without_commas(walk: Walk, question: Question, line: str) -> list[str]:
    """Names, what they share and perhaps a value, one after the other with nothing between."""
    is_choice = question.about == "choice"
    found = (_ALL_IN_ONE if is_choice else _SHARED_IN_ONE).fullmatch(line)
    if found is None or (found["value"] or "").strip() in walk.network.points():
        return [line]
    return [each for each in found.groupdict().values() if each]


_ORDER: Mapping[About, tuple[Sort, tuple[Sort, ...]]] = MappingProxyType(
    {"choice": ("names", ("words", "value")), "shares": ("words", ("value",))}
)


def _head(walk: Walk, question: Question, pieces: list[str]) -> list[str]:
    """As many pieces as answer the question in hand."""
    if len(pieces) == 1:
        return pieces
    first = _sort(walk, question, pieces[0])
    if question.about == "choice" and _leaves_out(walk, pieces[0]):
        return pieces[:1]  # C3 out, then C1 and C2: two steps
    return list(takewhile(lambda each: _sort(walk, question, each) == first, pieces))


def _leaves_out(walk: Walk, piece: str) -> bool:
    """Whether a piece is a step of its own, one that is left out since it holds nothing."""
    said = capacitors_in(piece, walk.network, walk.problem.powers["capacitance"], walk.made)
    if said is None or said.kind != "removal" or len(said.names) != 1 or said.unknown:
        return False
    judged = examine(walk.network, said.names)
    return isinstance(judged, Choice) and judged.kind == "removal"


def _sort(walk: Walk, question: Question, piece: str) -> Sort:
    """What a piece is; at a choice a value may name the capacitor that has it."""
    power = walk.problem.powers["capacitance"]
    chosen = capacitors_in(piece, walk.network, power, walk.made)
    is_named = chosen is not None and bool(chosen.names) and not chosen.unknown
    is_value = "=" in piece or re.match(r"\s*[\d.½⅓¼]", piece) is not None
    if A_FRACTION.fullmatch(piece):
        return "value"
    if SAYS_EQUAL.search(piece) or _is_reason(walk, question, piece):
        return "words"
    if "=" in piece or (is_value and not (is_named and question.about == "choice")):
        return "value"
    return "names" if is_named else "words"


def _is_reason(walk: Walk, question: Question, piece: str) -> bool:
    """Whether a piece says how those in question are joined, and names none for a step to come:
    the same charge, only C2 and C3 meet at P.
    """
    if (step := question.step) is None or question.about != "shares" or question.going_back:
        return False
    by = reason_in(piece, walk.network, step).by
    parts = [c.name for c in step.parts]
    return by is not None and by.says not in _NAMES_A_STEP and not (
        is_of_others(piece, walk.network, parts)
    )


_NAMES_A_STEP: Final = ("series", "parallel", "near", "same", "same pd", "same charge")
