"""An answer in words to a question of a problem in stages: one of what is on offer."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Literal

from grammar.spoken_numbers import in_figures
from tutor.circuit.network import Capacitor
from tutor.circuit.values import Value
from tutor.teaching.hearing import plain
from tutor.teaching.judging import close
from tutor.teaching.pointing import capacitors_in
from tutor.teaching.reading.menu_choice import speaks_to_the_point
from tutor.teaching.staged.choosing import (
    all_or_none,
    and_what_it_is,
    and_what_stays,
    and_which,
    and_which_way,
    asks_which_way,
    by_place_in,
    denied_in,
    describes,
    doubtful,
    first_clause,
    is_lettered,
    is_vague,
    moving,
    named,
    offered,
    says_a_change,
)
from tutor.teaching.staged.compared import as_given, says_alike
from tutor.teaching.staged.going_on import (
    Told,
    after_wrong,
    again,
    most_tries,
    onward,
    show_answer,
    verdict_on,
)
from tutor.teaching.staged.measuring import AN_AMOUNT, factor_in, value_before
from tutor.teaching.staged.moves import PLAIN_WORDS, TURNED_WORDS, WHAT_ADDS
from tutor.teaching.staged.story import LESS, MORE, SAME, Ask, Option, Telling
from tutor.teaching.staged.values_beside import is_told_amount

NOT_SO = "Not so."
ONE_DOES = "One of them does."
ANOTHER_FACTOR = "It goes that way, but not so many times. Which way alone, first?"


_IN_SHORT = re.compile(
    r"(?i)\W*(?:none|neither|nothing|all|both|everything)\b(?:\W+\w+){0,4}\W*$"
)


def answer_in_words(telling: Telling, ask: Ask, line: str) -> Told:
    """What follows a line where one of several is to be named."""
    found, moves = options_meant(telling, ask, line), moving(ask, line)
    found = [option for option in found if option not in moves and not is_vague(line)]
    if len(found) != 1:
        denied = [] if found or is_lettered(ask) else denied_in(ask, plain(line))
        is_same = any(o.is_right and o.words is SAME for o in ask.options)
        if any(option.is_right for option in denied) or (
            is_same and not found and says_a_change(ask, line)
        ):
            return after_wrong(telling, ask, [verdict_on(ask, telling.at, NOT_SO, "wrong")], None)
        text = _asked_on(ask, line, found, moves, denied)
        verdict: Literal["unread", "incomplete"] = "incomplete" if text else "unread"
        text = text or offered(ask.options, is_lettered(ask), line)
        return again(telling, [verdict_on(ask, telling.at, text, verdict)])
    option = found[0]
    if option.is_right and _is_by_another_factor(telling, line):
        return again(telling, [verdict_on(ask, telling.at, ANOTHER_FACTOR, "incomplete")])
    if option.is_right and option.unless and re.search(option.unless, line):
        return again(telling, [verdict_on(ask, telling.at, option.reply, "incomplete")])
    if option.is_right:
        text = f"Yes. {ask.because}".rstrip()
        telling = telling._replace(chosen=(*telling.chosen, option.words[0]))
        said = [verdict_on(ask, telling.at, text, "right")]
        return onward(telling, said)
    is_told_now = option.again and telling.tries + 1 >= most_tries(telling, ask)
    reply = NOT_SO if is_told_now else option.reply
    message = verdict_on(ask, telling.at, reply, "wrong")._replace(malrules=option.malrules)
    if len(ask.options) == 2 and any(o.is_right for o in ask.options) and not option.again:
        return show_answer(telling, [message])  # of two, the other is known now
    return after_wrong(telling, ask, [message], None)


def _asked_on(
    ask: Ask, line: str, found: list[Option], moves: list[Option], denied: list[Option]
) -> str:
    """What is asked back after words that speak of the matter and leave open which answer is
    meant; nothing after others.
    """
    if moves:
        return and_what_stays(ask.options)
    if not found and says_a_change(ask, line):
        return and_which_way(ask.options)
    if found:
        return doubtful(found)
    if denied:
        return and_what_it_is([option for option in ask.options if option not in denied])
    if all_or_none(ask, line) or _IN_SHORT.match(line):
        return f"{ONE_DOES} {offered(ask.options, is_lettered(ask))}"
    asks_on = speaks_to_the_point(line) or describes(line) or (ask.compared and as_given(line))
    return and_which(ask.options, is_lettered(ask)) if asks_on else ""


def options_meant(telling: Telling, ask: Ask, line: str) -> list[Option]:
    """The answers on offer that a line means, by a value of theirs, by name or by an amount."""
    if (alike := says_alike(telling, ask, line)) is not None:
        return [o for o in ask.options if o.words[0] == ("yes" if alike else "no")]
    if ask.compared and as_given(line):
        return []
    return (
        _by_first_clause(telling, ask, line) or _by_value(telling, ask, line)
        or _by_factor(ask, line) or _by_what_stays(telling, ask, line)
        or _by_formula(ask, line) or named(ask, line)
        or _by_amount(telling, ask, line)
    )


_A_SUM = re.compile(r"(?P<turned>1\s*/\s*)?\bC\w*\s*\+\s*(?:1\s*/\s*)?C\w*")


def _by_formula(ask: Ask, line: str) -> list[Option]:
    """Capacitances or their reciprocals, where a line writes what adds up as a sum."""
    found = _A_SUM.search(line) if ask.key == WHAT_ADDS else None
    if found is None:
        return []
    words = TURNED_WORDS if found["turned"] else PLAIN_WORDS
    return [option for option in ask.options if option.words is words]


def _by_factor(ask: Ask, line: str) -> list[Option]:
    """Lower or higher, where a line says how many times as much it is: it doubles."""
    factor = factor_in(first_clause(line)) if asks_which_way(ask) else None
    if factor is None:
        return []
    words = MORE if factor > 1 else LESS if factor < 1 else SAME
    return [option for option in ask.options if option.words is words]


def _is_by_another_factor(telling: Telling, line: str) -> bool:
    """Whether a line says how many times as much it is, and it is another number of times."""
    then = telling.story.asks[telling.at + 1 : telling.at + 2]
    clauses = [each for each in re.split(r"[,;]", line) if not _OF_A_LETTER.match(each)]
    factors = [by for each in clauses if (by := factor_in(each)) is not None]
    if not factors or not then or then[0].right is None:
        return False
    before, right = value_before(telling, then[0]), then[0].right
    return before is not None and any(not close(by * before, right) for by in factors)


_OF_A_LETTER = re.compile(r"\W*(?:(?:and|but|so|as|since|the)\s+)*[CQVU]\d?'?\b")  # no energy


def _by_first_clause(telling: Telling, ask: Ask, line: str) -> list[Option]:
    """The answer that a line begins with by value or by place: the second, C1 can do more."""
    head = first_clause(line)
    if head == line or is_lettered(ask):
        return []
    of_place = by_place_in(ask, head)
    return _by_value(telling, ask, head) or ([of_place] if of_place is not None else [])


_SIZES: Mapping[str, Callable[..., Capacitor]] = MappingProxyType({"s": min, "l": max, "b": max})


_BY_SIZE = re.compile(
    r"(?i)\W*(?:it['’]?s\s+|i\s+think\s+)?(?:the\s+|that\s+)?(?:one\s+with\s+(?:the\s+)?)?"
    r"(?P<size>small|large|bigg?)(?:er|est)?(?:\s+(?:one|cap\w*|of\s+the\s+two))*\W*"
)


def _by_value(telling: Telling, ask: Ask, line: str) -> list[Option]:
    """The capacitor on offer that is told by its value, its size or its place."""
    network = telling.story.network
    names = {option.words[0] for option in ask.options}
    if network is None or not names <= {c.name for c in network.capacitors}:
        return []
    if any(re.search(rf"(?i)\b{re.escape(name)}\b", line) for name in names):
        return []
    parts = network.named(names)
    if (sized := _BY_SIZE.fullmatch(line)) and len({c.value for c in parts}) == len(parts):
        meant: tuple[str, ...] = (_SIZES[sized["size"][0].lower()](parts, key=_value_of).name,)
    else:
        power = telling.story.powers["capacitance"]
        chosen = capacitors_in(line, network, power)
        if chosen is None or not chosen.names:  # the four
            chosen = capacitors_in(in_figures(line), network, power)
        meant = chosen.names if chosen and not (chosen.asks or chosen.unknown) else ()
    return [o for o in ask.options if o.words[0] in meant] if len(meant) == 1 else []


def _value_of(part: Capacitor) -> Value:
    return part.value


_UNIT_OF_AMOUNT = r"\d\s*[pnuµμmk]?([VCJ])(?![A-Za-z])"
_STAYS = r"(?:\s+\w+){0,2}?\s+(?:stays?|kept|remains?|fixed|conserved|constant|the\s+same)\b"


def _units_of_known(telling: Telling, ask: Ask, line: str) -> list[str]:
    """The units of the amounts of a line that are known by now, those of its first clause first."""
    for said in (first_clause(line), line):
        known = [
            found[1] for amount in AN_AMOUNT.finditer(said)
            if (found := re.search(_UNIT_OF_AMOUNT, amount[0])) is not None
            and is_told_amount(telling, ask, amount[0])
        ]
        if known:
            return known
    return []


def _by_what_stays(telling: Telling, ask: Ask, line: str) -> list[Option]:
    """The quantity of which the first clause says that a known amount of it stays, whatever is
    said of others after it: 10 V stays, Q triples.
    """
    head = first_clause(line)
    kept = re.search(rf"{_UNIT_OF_AMOUNT}{_STAYS}", head) is not None
    return _by_amount(telling, ask, head) if kept and head != line else []


def _by_amount(telling: Telling, ask: Ask, line: str) -> list[Option]:
    """The quantity on offer of which an amount is said to stay (the 36 uC is kept), or of which
    the amount known by now is said; any other amount is no word for what is the same.
    """
    kept = re.findall(rf"{_UNIT_OF_AMOUNT}{_STAYS}", line)
    units = {*(kept or _units_of_known(telling, ask, line))}
    word = {"V": "p.d.", "C": "charge", "J": "energy"}.get(units.pop()) if len(units) == 1 else None
    if word is None or re.search(r"(?i)\b(?:half|halved|lost|gone|less|more)\b", line):
        return []
    return [o for o in ask.options if any(word in each for each in o.words)]
