"""The dialogue of a story: a line in, messages and the next state out.

It keeps the manners of a walk: nothing is shown before an answer or an honest 'I don't know';
after two wrong tries the answer is shown; a wrong number is traced to the rules that give it.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from fractions import Fraction
from typing import Literal

from grammar.answers import Measure, evaluate, half_in_si, known, read_claims
from grammar.expressions import Name, parts_of
from grammar.measures import PURE
from grammar.records import PERMITTIVITY_LETTER, Dimension, Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.hearing import (
    is_a_change,
    is_a_quantity,
    nought_in_figures,
    plain,
    request_in,
)
from tutor.teaching.judging import Judged, judge
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.messages import Message
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.diagnosis import Diagnosis, Typed, diagnose_on
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.choosing import doubtful, is_lettered, named, names_one, offered
from tutor.teaching.staged.skills import key_of, skills_of, with_evidence
from tutor.teaching.staged.story import Ask, Story, Telling, Told
from tutor.teaching.whatif.change_words import opens

NO_WHAT_IF = (
    "A problem in stages is taken as it stands, so nothing can be supposed in it. Type it as a new "
    "problem with the one thing changed, and compare the two."
)
LAST_HINT = "That was the last hint before the answer; 'show me' shows it, after a try."
EQUATION = (
    "That is an equation with a value in it that is still to be found. Give the value here, or "
    "type 'working' to have equations marked."
)
NOT_SO = "Not so."
A_VALUE = "A number with its unit is wanted here."
A_CHANGE = "That says how something changes; a value is asked here."
REASON_LATER = "The reason comes with the answer."
RESTS_ON = " 'hint' says what it rests on."
NEXT = "Type another network, or 'start again' or 'stop'."


def begin(story: Story, terms: Settings = DEFAULTS, manner: Manner = PLAIN) -> Told:
    """The opening and the first question."""
    opening = Message("say", "\n".join(story.opening), network=story.network)
    return _next(Telling(story, terms, manner=manner), [opening])


def hear(telling: Telling, line: str) -> Told:
    """Answer one line."""
    return with_evidence(telling, _answered(telling, line), line)


def _answered(telling: Telling, line: str) -> Told:
    ask, request = telling.ask, request_in(line)
    if opens(line) is not None:
        return _again(telling, [Message("say", NO_WHAT_IF)])
    if ask is not None and not telling.over and names_one(ask, line):
        return _word(telling._replace(routes=(), asked_back=""), ask, line)
    if request == "restart":
        return begin(telling.story, telling.terms, telling.manner)
    if request == "stop" or ask is None or telling.over:
        done = Message("close", f"This problem is done. {NEXT}" if ask is None else "Stopped.")
        return Told(telling._replace(over=True), (done,))
    if request in ("unsure", "hint"):
        return _help(telling._replace(unsure=telling.unsure or request == "unsure"), ask, request)
    if request == "show":
        if not telling.tries and not telling.unsure:
            first = "First your own idea, please, even a rough one; or say 'I don't know'."
            return _again(telling, [Message("say", first)])
        return _show(telling, ask, [])
    if request is not None:
        return _again(telling, [_asked_for(telling, request)])
    if telling.routes and (turn := _route_chosen(telling, ask, line)):
        return turn
    telling = telling._replace(routes=(), asked_back="")
    return _word(telling, ask, line) if ask.options else _value(telling, ask, line)


def _asked_for(telling: Telling, request: str) -> Message:
    story = telling.story
    if request == "drawing":
        if story.network is None:
            return Message("say", "There is no drawing here; 'list' says it again in words.")
        return Message("say", "The network:", network=story.network)
    if request == "why":
        return Message("say", _why(telling))
    if request == "typed":
        return Message("say", "A value with its unit, or a word or letter that is asked for; "
                              "'hint', 'list', 'show me', 'start again', 'stop', or "
                              "'I don't know'.")
    shown = [ask.reveal for ask in story.asks[: telling.at]]
    return Message("say", "\n".join([*story.opening, *shown]))


def _why(telling: Telling) -> str:
    """The reason of the last answer; that of an entry of a list is still to come."""
    ask, lines = telling.ask, []
    if telling.at:
        before = telling.story.asks[telling.at - 1]
        lines.append(before.because or before.reveal)
    if ask is not None and (not lines or is_lettered(ask)):
        lines.append(REASON_LATER + (RESTS_ON if ask.hints else ""))
    return "\n".join(lines)


def _next(telling: Telling, said: list[Message]) -> Told:
    """The next question; those that this learner is not asked are shown on the way to it."""
    ask, story = telling.ask, telling.story
    manner, at = telling.manner, telling.at
    if ask is not None and not is_asked(manner, at, ask):
        if at and not any(is_asked(manner, n, story.asks[n]) for n in range(at, len(story.asks))):
            ended = Message("close", f"That is all that was asked here. {NEXT}")
            return Told(telling._replace(over=True), (*said, ended))
        return _next(telling._replace(at=at + 1), [*said, _revealed(ask, at)])
    if ask is not None:
        return Told(telling, (*said, _question(telling, ask)))
    if story.closing:
        said = [*said, Message("reveal", "\n".join(story.closing), about="check")]
    close = "\n".join([*story.cautions, NEXT])
    return Told(telling._replace(over=True), (*said, Message("close", close)))


def is_asked(manner: Manner, at: int, ask: Ask) -> bool:
    """Whether a question, at its place from 0, is asked and not shown."""
    if manner.only is not None:
        return key_of(at, ask) in manner.only
    return manner.asked is None or bool(manner.asked.intersection(ask.skills or skills_of(ask)))


def asks_any(story: Story, manner: Manner) -> bool:
    """Whether anything of a story is asked."""
    return any(is_asked(manner, at, ask) for at, ask in enumerate(story.asks))


def _again(telling: Telling, said: list[Message]) -> Told:
    ask = telling.ask
    return Told(telling, (*said, _question(telling, ask))) if ask else Told(telling, tuple(said))


def _question(telling: Telling, ask: Ask) -> Message:
    return Message("ask", telling.asked_back or ask.text, step=telling.at + 1, about=ask.about)


def question(telling: Telling) -> Message | None:
    """The question in hand, to be asked once more."""
    return _question(telling, telling.ask) if telling.ask else None


def _onward(telling: Telling, said: list[Message]) -> Told:
    """To the next question; what was asked is settled."""
    moved = Telling(telling.story, telling.terms, telling.at + 1, manner=telling.manner)
    return _next(moved, said)


def _revealed(ask: Ask, at: int) -> Message:
    return Message("reveal", ask.reveal, step=at + 1, about=ask.about, network=ask.network)


def _show(telling: Telling, ask: Ask, said: list[Message]) -> Told:
    return _onward(telling, [*said, _revealed(ask, telling.at)])


def _help(telling: Telling, ask: Ask, request: str) -> Told:
    if telling.rung < len(ask.hints):
        text = ask.hints[telling.rung]
        said = Message("hint", text, about=ask.about)
        return _again(telling._replace(rung=telling.rung + 1), [said])
    if request == "hint":
        return _again(telling, [Message("say", LAST_HINT)])
    return _show(telling, ask, [])


# Answers in words


def _word(telling: Telling, ask: Ask, line: str) -> Told:
    found = named(ask, line)
    if len(found) != 1:
        text = doubtful(found) if found else offered(ask.options, is_lettered(ask), line)
        verdict: Literal["unread", "incomplete"] = "incomplete" if found else "unread"
        return _again(telling, [_verdict(ask, telling, text, verdict)])
    option = found[0]
    if option.is_right:
        text = f"Yes. {ask.because}".rstrip()
        return _onward(telling, [_verdict(ask, telling, text, "right")])
    is_told_now = option.again and telling.tries + 1 >= _most_tries(telling, ask)
    reply = NOT_SO if is_told_now else option.reply
    message = _verdict(ask, telling, reply, "wrong")._replace(malrules=option.malrules)
    if len(ask.options) == 2 and any(o.is_right for o in ask.options) and not option.again:
        return _show(telling, ask, [message])  # of two, the other is known now
    return _after_wrong(telling, ask, [message], None)


def _verdict(
    ask: Ask, telling: Telling, text: str, word: Literal["right", "wrong", "incomplete", "unread"]
) -> Message:
    return Message("verdict", text, step=telling.at + 1, about=ask.about, verdict=word)


def _after_wrong(
    telling: Telling, ask: Ask, said: list[Message], value: Value | None
) -> Told:
    counts = value is None or value != telling.last_wrong
    tried = telling._replace(tries=telling.tries + counts, last_wrong=value)
    if tried.tries >= _most_tries(tried, ask):
        return _show(tried, ask, said)
    return _again(tried, said)


def _most_tries(telling: Telling, ask: Ask) -> int:
    return telling.manner.tries(ask.skills or skills_of(ask))


# Values


def _value(telling: Telling, ask: Ask, line: str) -> Told:
    if is_a_quantity(line) or is_a_change(line):
        text = A_VALUE if is_a_quantity(line) else A_CHANGE
        return _again(telling, [_verdict(ask, telling, text, "unread")])
    try:
        measure, turned = _measured(telling, ask, nought_in_figures(line))
    except Refusal as refusal:
        text = EQUATION if _is_equation(telling, line) else str(refusal)
        return _again(telling, [_verdict(ask, telling, text, "unread")])
    if turned:
        text = "That is one over it, right so far perhaps: turn it over."
        return _again(telling, [_verdict(ask, telling, text, "incomplete")])
    judged = _judged(telling, ask, measure)
    speech = Speech(telling.story.powers, telling.terms)
    if judged.verdict == "right":
        text = f"Right. {ask.because}".rstrip()
        return _onward(telling, [_verdict(ask, telling, text, "right"), _revealed(ask, telling.at)])
    if judged.verdict == "incomplete":
        text = "That is right to one figure. Give two or three."
        return _again(telling, [_verdict(ask, telling, text, "incomplete")])
    if judged.note == "unit":
        text = "The unit belongs to another quantity: look at what is asked."
        return _again(telling, [_verdict(ask, telling, text, "wrong")])
    said = _said(judged, ask, speech)
    if judged.note == "power of ten":
        text = f"The figures of {said} fit; the power of ten does not."
        return _again(telling, [_verdict(ask, telling, text, "wrong")])
    return _traced(telling, ask, judged, measure, said)


def _is_equation(telling: Telling, line: str) -> bool:
    """Whether a line is an equation in values of this story, some of them still to be found."""
    asks = telling.story.asks
    names = {ask.name for ask in asks if ask.name}
    names |= {name for ask in asks for way in ask.ways for name in way.uses}
    try:
        claims = read_claims(telling.terms.understood(line), {*names, *map(twin, names)})
    except Refusal:
        return False
    sides = [s for claim in claims for s in claim.sides[1 if claim.target else 0 :]]
    is_equal = any(len(claim.sides) > 1 for claim in claims)
    return is_equal and any(isinstance(p, Name) for side in sides for p in parts_of(side))


def _measured(telling: Telling, ask: Ask, line: str) -> tuple[Measure, bool]:
    """The last side of what was typed, with the values of earlier questions to use in sums."""
    lookup: dict[str, Measure] = {}
    for before in telling.story.asks[: telling.at]:
        if before.name and before.right is not None and before.dimension:
            power = telling.story.powers[before.dimension]
            lookup[before.name] = known(before.right, before.dimension, power)
    letters = letters_in(telling.story)
    lookup |= letters
    # a p.d. and an energy may be written in either letter, whatever is set
    lookup |= {other: lookup[name] for name in [*lookup] if (other := twin(name)) not in lookup}
    names = {*lookup, ask.name, twin(ask.name)} - {""}
    line = without_primes(telling.terms.understood(line), names)
    units = set(re.findall(r"\d\s*([CV])(?![A-Za-z0-9])", line))
    meant = bool(letters) and units <= {name[:1] for name in letters}
    claims = read_claims(line, names, meant, told=tuple(sorted(names)))
    claim = claims[-1]
    sides = claim.sides[1:] if claim.target or claim.reciprocal else claim.sides
    if not sides:
        raise Refusal("Nothing is said after the equals sign.", "Write a value such as 5 uF.")
    return evaluate(sides[-1], lookup), claim.reciprocal is not None


def without_primes(line: str, names: Collection[str]) -> str:
    """Q1' for Q1, as a value after a change is written, where no name has the prime of its own."""
    return re.sub(
        r"\b([A-Za-z]\w*)'+",
        lambda found: found[0] if found[0] in names or found[1] not in names else found[1], line,
    )


def twin(name: str) -> str:
    """V_P for U_P and the other way, E for W; any other name as it is."""
    return name[:1].translate(str.maketrans("VUEW", "UVWE")) + name[1:]


def letters_in(story: Story) -> dict[str, Measure]:
    """The letters that stand for values in this story, as learners may use them."""
    found: dict[str, Measure] = {}
    for ask in story.asks:
        if ask.right is None or not in_letters(ask.right):
            continue
        for symbol in ask.right.free_symbols:
            first = str(symbol)[:1]
            if str(symbol) == PERMITTIVITY_LETTER:
                found[str(symbol)] = Measure(symbol, bare=True)
                continue
            kind: Dimension = (
                "voltage" if first in "VU" else "charge" if first == "Q" else "capacitance"
            )
            found[str(symbol)] = known(symbol, kind)
    return found


def _judged(telling: Telling, ask: Ask, measure: Measure) -> Judged:
    assert ask.right is not None
    if ask.pure or ask.dimension is None:
        return judge(measure, PURE, 0, ask.right)
    return judge(measure, ask.dimension, telling.story.powers[ask.dimension], ask.right)


def _said(judged: Judged, ask: Ask, speech: Speech) -> str:
    if judged.value is None:
        return "that"
    if ask.pure or ask.dimension is None:
        return f"{float(judged.value):g}"
    return speech.amount(judged.value, ask.dimension)


def _traced(
    telling: Telling, ask: Ask, judged: Judged, measure: Measure, said: str
) -> Told:
    found = _diagnosed(telling, ask, judged, measure)
    speech, groups = Speech(telling.story.powers, telling.terms), found.groups
    if not groups or found.context is None:
        text = f"{said} does not fit."
        if ask.hints:
            text += f" {ask.hints[0]}"
        return _after_wrong(telling, ask, [_verdict(ask, telling, text, "wrong")], judged.value)
    if len(groups) == 1:
        text = rule_text.origin(said, groups[0][0], found.context, speech)
        asked = telling._replace(asked_back=rule_text.question(groups[0][0], found.context, speech))
    else:
        text = f"{said} does not fit, and more than one way leads to it."
        routes = tuple(
            tuple(rule.name for rule in group) for group in groups[: rule_text.MOST_ROUTES]
        )
        asked = telling._replace(routes=routes, asked_back=rule_text.menu(found, said, speech))
    message = _verdict(ask, telling, text, "wrong")._replace(malrules=found.names)
    return _after_wrong(asked, ask, [message], judged.value)


def _diagnosed(telling: Telling, ask: Ask, judged: Judged, measure: Measure) -> Diagnosis:
    """The malrules of this question whose number, rounded as typed, is what was typed."""
    context = context_of_ask(ask, telling.story.powers)
    if context is None or not isinstance(judged.value, Fraction):
        return Diagnosis((), context)
    scale = Fraction(10) ** context.usual
    half = half_in_si(measure, context.usual) if measure.one_number else None
    typed = Typed(judged.value / scale, half / scale if half is not None else None, measure.figures)
    return diagnose_on([context], typed)


def _route_chosen(telling: Telling, ask: Ask, line: str) -> Told | None:
    letter = plain(line)
    if letter not in tuple(rule_text.LETTERS[: len(telling.routes) + 1]):
        return None
    at = rule_text.LETTERS.index(letter)
    cleared = telling._replace(routes=(), asked_back="")
    if at >= len(telling.routes):
        return _again(cleared, [Message("say", "Then let us look at your own way.")])
    context, names = context_of_ask(ask, telling.story.powers), telling.routes[at]
    assert context is not None
    rule = next(m for m in CATALOGUE if m.name == names[0] and m.fits(context))
    speech = Speech(telling.story.powers, telling.terms)
    message = _verdict(ask, telling, rule_text.cannot_be(rule, context, speech), "wrong")
    asked = cleared._replace(asked_back=rule_text.question(rule, context, speech))
    return _again(asked, [message._replace(malrules=names)])
