"""A problem in stages talked through: its questions in order, each with help, tries and reasons.

It keeps the manners of a walk: nothing is shown before an answer or an honest 'I don't know';
after two wrong tries the answer is shown; a wrong number is traced to the rules that give it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from grammar.answers import Claim, Measure
from grammar.expressions import Num
from grammar.quantity import SYMBOL
from grammar.records import Refusal
from tutor.circuit.network import Capacitor
from tutor.circuit.values import Value, in_letters
from tutor.teaching.cautions import Hazards, cautions
from tutor.teaching.conversation import TurnOf
from tutor.teaching.follow_up_items import ITEMS
from tutor.teaching.follow_ups import said_to
from tutor.teaching.hearing import (
    NONE_MEANT,
    is_a_change,
    is_a_quantity,
    is_none,
    nought_in_figures,
)
from tutor.teaching.in_sight import of_network, of_telling
from tutor.teaching.judging import Judged, close
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.messages import Message
from tutor.teaching.misfit import NONE, does_not_fit, known_at, unfit
from tutor.teaching.pace import is_asked_in, is_of_this_task, last_value, pace_of
from tutor.teaching.pointing import capacitors_in
from tutor.teaching.policy import is_to_be_shown
from tutor.teaching.reading.menu_choice import entry_of, speaks_to_the_point
from tutor.teaching.reading.other_grounds import gives_another_ground
from tutor.teaching.reading.said_values import Unsettled, with_unit
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.choosing import (
    and_which,
    doubtful,
    is_lettered,
    named,
    names_one,
    offered,
)
from tutor.teaching.staged.energies import asks_energy, energy_asks
from tutor.teaching.staged.equations_said import holds_as_equation
from tutor.teaching.staged.measuring import (
    JudgedValue,
    claims_in,
    from_before,
    is_equation,
    later_answered,
    lookup_of,
    of_something_else,
    said_of,
    stated,
)
from tutor.teaching.staged.skills import skills_of
from tutor.teaching.staged.story import Ask, Option, Story, StorySource, Telling
from tutor.teaching.staged.tracing import contexts_at, trace

Told = TurnOf[Telling]

LAST_HINT = "That was the last hint before the answer; 'show me' shows it, after a try."
FIRST_AN_IDEA = "First your own idea, please, even a rough one; or say 'I don't know'."
EQUATION = (
    "That is an equation with a value in it that is still to be found. Give the value here, or "
    "type 'working' to have equations marked."
)
TRUE_EQUATION = "That is true. What value comes out of it for what is asked?"
A_WHOLE_NUMBER = "That is the sum; but can there be a part of one? A whole number is wanted."
HALF_WAY = "That is a value on the way, of another kind. What comes out for what is asked?"
ONE_OVER = "That is one over it, right so far: turn it over."
GROUND = "That it is, but not for that reason."
NOT_SO = "Not so."
ONE_DOES = "One of them does."
A_VALUE = "A number with its unit is wanted here."
A_CHANGE = "That says how something changes; a value is asked here."
NO_SUCH_VALUE = "No value of that name is asked in this problem."
STEP_OFF = (
    "does not fit, though the later steps may well be right. One step before it may be off."
)
REASON_LATER = "The reason comes with the answer."
RESTS_ON = " 'hint' says what it rests on."
TYPED = (
    "A value with its unit, or a word or letter that is asked for; several at once, like "
    "V = 4 V, Q = 8 uC; 'hint', 'where are we', 'list', 'why', 'show me', 'undo', 'what if', "
    "'fair copy', 'start again', 'stop', or 'I don't know'."
)
ENERGY_ANYWAY = "The energy is asked here anyway, in its turn."
ENERGY_LATER = "The energies will be asked for as well, at the end."
NO_ENERGY = "No charge and p.d. of one capacitor are known here, so there is no energy to ask for."
STEP_BY_STEP = "Then step by step."
NO_DRAWING = "There is no drawing here; 'list' says it again in words."
NEXT = "Type another network, or 'start again' or 'stop'."


def begin(
    story: Story, terms: Settings = DEFAULTS, manner: Manner = PLAIN,
    source: StorySource | None = None,
) -> Told:
    """The opening and the first question."""
    telling = _in_short(Telling(story, terms, manner=manner, source=source))
    return _next(telling, [opening(story, terms)])


def _in_short(telling: Telling) -> Telling:
    """The end alone of a story that is at its start, where that alone is asked for: its last value,
    with what leads to it told after it.
    """
    story = telling.story
    last = last_value(story.asks)
    is_begun = bool(telling.at or telling.found)
    if pace_of(telling.terms, telling.manner) != "the end" or is_begun or last < 1:
        return telling
    way = "\n".join(ask.reveal for ask in story.asks[: last + 1])
    after = tuple(ask.reveal for ask in story.asks[last + 1 :])
    end = story.asks[last]._replace(reveal=way)
    moments = tuple(moment._replace(since=0) for moment in story.moments[-1:])
    short = story._replace(asks=(end,), closing=(*after, *story.closing), moments=moments)
    return telling._replace(story=short, in_full=story)


def _in_full(telling: Telling, said: list[Message]) -> Told:
    """The steps asked after all, where the end alone was asked for and does not come right."""
    assert telling.in_full is not None, "the end alone is a part of a story"
    manner = telling.manner._replace(stepwise=True)
    whole = _unanswered(telling)._replace(story=telling.in_full, in_full=None, manner=manner)
    return _next(whole, [*said, Message("say", STEP_BY_STEP)])


def opening(story: Story, terms: Settings = DEFAULTS) -> Message:
    """What is given and wanted."""
    return Message("say", "\n".join(story.opening), drawn=of_telling(Telling(story, terms)))


def retold(telling: Telling, terms: Settings) -> Telling:
    """The same place of the same story in other words."""
    kept = telling.in_full or telling.story
    story = telling.source.story(terms) if telling.source is not None else kept
    return _in_short(telling._replace(story=story, terms=terms, in_full=None))


def on(telling: Telling, said: list[Message]) -> Told:
    """On from the question in hand, after what is said, where it need not be asked any more."""
    return _next(telling, said)


def answer(telling: Telling, line: str) -> Told:
    """What a line answers: a route, an option, or one value or several."""
    ask = telling.ask
    if ask is None or telling.over:
        return ended(telling)
    if telling.routes and not names_one(ask, line) and (turn := _route_chosen(telling, line)):
        return turn
    if not names_one(ask, line) and (reply := _to_follow_up(telling, line)) is not None:
        return again(_answered_back(telling), [Message("say", reply)])
    place = telling.at if telling.back_to is None else telling.back_to
    telling = _answered_back(telling)._replace(back_to=None)
    if ask.options and (names_one(ask, line) or not _states_a_value(telling, line)):
        return _word(telling, ask, line)
    return _values(telling, ask, line, place)


_BARE_NUMBER = re.compile(r"\s*[-+]?[\d.,/]+\s*")


def _answered_back(telling: Telling) -> Telling:
    return telling._replace(routes=(), asked_back="", follow_up="")


def _to_follow_up(telling: Telling, line: str) -> str | None:
    """What is said to a line that answers what was asked back after a wrong value."""
    item = ITEMS.get(telling.follow_up)
    sizes = {
        name: each.value for name, each in lookup_of(telling).items() if re.match(r"C\d+$", name)
    }
    said = said_to(item, line, sizes) if item is not None and telling.asked_back else None
    speech = Speech(telling.story.powers, telling.terms)
    return rule_text.in_terms(said, speech) if said else None


def ended(telling: Telling) -> Told:
    """What is said where nothing is left to ask."""
    return TurnOf(telling._replace(over=True), (Message("close", f"This problem is done. {NEXT}"),))


# What may be asked for at any time


def where(telling: Telling) -> Told:
    """What is given, and every answer so far."""
    return again(telling, [Message("say", "\n".join([*telling.story.opening, *so_far(telling)]))])


def so_far(telling: Telling) -> list[str]:
    """The worked answers that have been given or shown."""
    asks = telling.story.asks
    return [
        ask.reveal for at, ask in enumerate(asks) if telling.is_known(at)
    ]


def points(telling: Telling) -> Told:
    """What is given, in words."""
    return again(telling, [Message("say", "\n".join(telling.story.opening))])


def drawing(telling: Telling) -> Told:
    """The network, for the shell to draw."""
    drawn = of_telling(telling)
    if drawn is None:
        return again(telling, [Message("say", NO_DRAWING)])
    return again(telling, [Message("say", "The network:", drawn=drawn)])


def typed(telling: Telling) -> Told:
    """What can be typed now."""
    if telling.ask is None or telling.over:
        return ended(telling)
    return again(telling, [Message("say", TYPED)])


def energy(telling: Telling) -> Told:
    """Energies are asked for as well, at the end, where there are any to ask for."""
    if asks_energy(telling.story):
        return again(telling, [Message("say", ENERGY_ANYWAY)])
    speech = Speech(telling.story.powers, telling.terms)
    more = tuple(energy_asks(telling.story, speech))
    if not more:
        return again(telling, [Message("say", NO_ENERGY)])
    story = telling.story._replace(asks=(*telling.story.asks, *more))
    wanting = telling._replace(story=story, over=False)
    return again(wanting, [Message("say", ENERGY_LATER)])


def building(telling: Telling) -> Message:
    """A word for someone who says that they will build it."""
    lines = telling.story.cautions or cautions(None, None, Hazards(building=True), telling.terms)
    return Message("say", "\n".join(lines))


def why(telling: Telling) -> Told:
    """The reason of the last answer; that of an entry of a list is still to come."""
    ask, lines = telling.ask, []
    if telling.at:
        before = telling.story.asks[telling.at - 1]
        lines.append(before.because or before.reveal)
    if ask is not None and (not lines or is_lettered(ask)):
        lines.append(REASON_LATER + (RESTS_ON if ask.hints else ""))
    return again(telling, [Message("say", "\n".join(lines))])


def hint(telling: Telling) -> Told:
    """The next hint."""
    if telling.ask is None or telling.over:
        return ended(telling)
    return _next_hint(telling) or again(telling, [Message("say", LAST_HINT)])


def unsure(telling: Telling) -> Told:
    """An honest 'I don't know': the next hint, and after the last one the answer."""
    if telling.ask is None or telling.over:
        return ended(telling)
    telling = telling._replace(unsure=True)
    if (turn := _next_hint(telling)) is not None:
        return turn
    return _show(telling, [])


def _next_hint(telling: Telling) -> Told | None:
    ask = telling.ask
    if ask is None or telling.rung >= len(ask.hints):
        return None
    said = Message("hint", ask.hints[telling.rung], about=ask.about)
    return again(telling._replace(rung=telling.rung + 1), [said])


def show(telling: Telling) -> Told:
    """The answer, after a try or 'I don't know'."""
    if telling.ask is None or telling.over:
        return ended(telling)
    if not telling.tries and not telling.unsure:
        return again(telling, [Message("say", FIRST_AN_IDEA)])
    return _show(telling, [])


def tell(telling: Telling) -> Told:
    """The answer, asked for by whoever leads the problem."""
    return ended(telling) if telling.ask is None or telling.over else _show(telling, [])


def fair_copy(telling: Telling) -> str:
    """Everything worked out so far, written out: what is given, then a line for each answer."""
    lines = so_far(telling) or ["Nothing has been worked out yet."]
    return "\n".join([*telling.story.opening, *lines])


# From one question to the next


def _next(telling: Telling, said: list[Message]) -> Told:
    """The next question; those that this learner is not asked, or has answered already, are shown
    on the way to it.
    """
    ask, story = telling.ask, telling.story
    manner, at = telling.manner, telling.at
    if ask is not None and at in telling.found:
        return _next(telling._replace(at=at + 1), said)
    if ask is not None and not is_asked_in(telling, at):
        rest = range(at, len(story.asks))
        if at and not any(is_of_this_task(manner, n, story.asks[n]) for n in rest):
            ended = Message("close", f"That is all that was asked here. {NEXT}")
            return TurnOf(telling._replace(over=True), (*said, ended))
        return _next(telling._replace(at=at + 1), [*said, _told(telling, ask)])
    if ask is not None:
        return TurnOf(telling, (*said, _question(telling, ask)))
    if story.closing:
        said = [*said, Message("reveal", "\n".join(story.closing), about="check")]
    close = "\n".join([*story.cautions, NEXT])
    return TurnOf(telling._replace(over=True), (*said, Message("close", close)))


def again(telling: Telling, said: list[Message]) -> Told:
    """The question in hand once more, after what is said."""
    asked = question(telling)
    return TurnOf(telling, (*said, asked) if asked else tuple(said))


def _question(telling: Telling, ask: Ask) -> Message:
    return Message("ask", telling.asked_back or ask.text, step=telling.at + 1, about=ask.about)


def question(telling: Telling) -> Message | None:
    """The question in hand, to be asked once more."""
    if telling.ask is None or telling.over:
        return None
    return _question(telling, telling.ask)


def _onward(telling: Telling, said: list[Message]) -> Told:
    """To the next question; what was asked is settled."""
    return _next(_unanswered(telling._replace(at=telling.at + 1)), said)


def _unanswered(telling: Telling) -> Telling:
    """Nothing said yet to the question in hand."""
    return telling._replace(
        tries=0, rung=0, unsure=False, last_wrong=None, routes=(), asked_back="", back_to=None,
        follow_up="",
    )


def _revealed(telling: Telling, ask: Ask, at: int) -> Message:
    drawn = of_network(ask.network, telling.story, telling.terms) if ask.network else None
    return Message("reveal", ask.reveal, step=at + 1, about=ask.about, drawn=drawn)


def _told(telling: Telling, ask: Ask) -> Message:
    """An answer that is told and not asked; with its reason where it is one of this task."""
    told = _revealed(telling, ask, telling.at)
    if not is_of_this_task(telling.manner, telling.at, ask) or ask.because in ask.reveal:
        return told
    return told._replace(text=f"{ask.because}\n{ask.reveal}")


def _show(telling: Telling, said: list[Message]) -> Told:
    assert telling.ask is not None
    if telling.in_full is not None:
        return _in_full(telling, said)
    return _onward(telling, [*said, _revealed(telling, telling.ask, telling.at)])


# Answers in words


def _word(telling: Telling, ask: Ask, line: str) -> Told:
    found = _by_value(telling, ask, line) or named(ask, line) or _by_amount(ask, line)
    if len(found) != 1:
        none_meant = re.match(
            r"(?i)\W*(?:none|neither|nothing|all|both|everything)\b(?:\W+\w+){0,4}\W*$", line
        ) is not None
        asks_on = not found and (speaks_to_the_point(line) or none_meant)
        text = (
            f"{ONE_DOES} {offered(ask.options, is_lettered(ask))}" if none_meant and not found
            else doubtful(found) if found
            else and_which(ask.options, is_lettered(ask)) if asks_on
            else offered(ask.options, is_lettered(ask), line)
        )
        verdict: Literal["unread", "incomplete"] = "incomplete" if found or asks_on else "unread"
        return again(telling, [_verdict(ask, telling.at, text, verdict)])
    option = found[0]
    if option.is_right:
        text = f"Yes. {ask.because}".rstrip()
        telling = telling._replace(chosen=(*telling.chosen, option.words[0]))
        said = [_verdict(ask, telling.at, text, "right")]
        if gives_another_ground(line, option.words[0]):
            said = [said[0]._replace(text=f"{GROUND} {ask.because}".rstrip(), verdict="incomplete")]
        return _onward(telling, said)
    is_told_now = option.again and telling.tries + 1 >= _most_tries(telling, ask)
    reply = NOT_SO if is_told_now else option.reply
    message = _verdict(ask, telling.at, reply, "wrong")._replace(malrules=option.malrules)
    if len(ask.options) == 2 and any(o.is_right for o in ask.options) and not option.again:
        return _show(telling, [message])  # of two, the other is known now
    return _after_wrong(telling, ask, [message], None)


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
        chosen = capacitors_in(line, network, telling.story.powers["capacitance"])
        meant = chosen.names if chosen and not (chosen.asks or chosen.unknown) else ()
    return [o for o in ask.options if o.words[0] in meant] if len(meant) == 1 else []


def _value_of(part: Capacitor) -> Value:
    return part.value


def _by_amount(ask: Ask, line: str) -> list[Option]:
    """The quantity on offer of which an amount is said to stay: the 36 uC is kept."""
    units = set(re.findall(r"\d\s*[pnuµμmk]?([VCJ])(?![A-Za-z])", line))
    word = {"V": "p.d.", "C": "charge", "J": "energy"}.get(units.pop()) if len(units) == 1 else None
    if word is None or re.search(r"(?i)\b(?:half|halved|lost|gone|less|more)\b", line):
        return []
    return [o for o in ask.options if any(word in each for each in o.words)]


def _verdict(
    ask: Ask, at: int, text: str, word: Literal["right", "wrong", "incomplete", "unread"]
) -> Message:
    return Message("verdict", text, step=at + 1, about=ask.about, verdict=word)


def _after_wrong(
    telling: Telling, ask: Ask, said: list[Message], value: Value | str | None
) -> Told:
    counts = value is None or value != telling.last_wrong
    rightly = {**telling.rightly, ask.key: 0}
    tried = telling._replace(tries=telling.tries + counts, last_wrong=value, rightly=rightly)
    if tried.in_full is not None and not (tried.asked_back or tried.routes):
        return _in_full(tried, said)
    is_put = bool(tried.asked_back) and counts
    if is_to_be_shown(tried.tries, _most_tries(tried, ask), is_put):
        return _show(tried, said)
    return again(tried, said)


def _most_tries(telling: Telling, ask: Ask) -> int:
    return telling.manner.tries(ask.skills or skills_of(ask))


# Values


def _states_a_value(telling: Telling, line: str) -> bool:
    """Whether a line, where words are asked, says a value of this problem by its name."""
    try:
        claims = claims_in(telling, line)
    except Refusal:
        return False
    return any(claim.target and isinstance(claim.sides[-1], Num) for claim in claims)


def _values(telling: Telling, ask: Ask, line: str, place: int) -> Told:
    """The values of a line, one after the other; the first that is not right ends it. A value
    without a name is that of the question at ``place``.
    """
    line = from_before(telling, line)
    if is_a_quantity(line) or is_a_change(line):
        text = A_VALUE if is_a_quantity(line) else A_CHANGE
        return again(telling, [_verdict(ask, telling.at, text, "unread")])
    if is_none(line) and ask.right != 0:
        return again(telling, [_verdict(ask, telling.at, NONE_MEANT, "incomplete")])
    if holds_as_equation(telling, line):
        return again(telling, [_verdict(ask, telling.at, TRUE_EQUATION, "incomplete")])
    said: list[Message] = []
    start = telling
    try:
        symbol = SYMBOL.get(ask.dimension) if ask.dimension else None
        line = with_unit(line, symbol) if symbol and not ask.pure else line
        claims = claims_in(telling, nought_in_figures(line))
        for claim in claims:
            turn = _one_value(telling, claim, stated(telling, claim, max(place, telling.at)))
            said += turn.messages
            telling = turn.task
            is_wrong = any(m.verdict == "wrong" for m in turn.messages)
            if is_wrong and (beside := of_something_else(ask.name, line)):
                return again(start, [_verdict(ask, start.at, beside, "incomplete")])
            if said[-1].kind != "reveal" and said[-1].verdict != "right":
                return turn._replace(messages=tuple(said))
            telling = _past_found(telling)
            if telling.ask is None:
                break
    except Unsettled as unsettled:
        return again(telling, [*said, _verdict(ask, telling.at, str(unsettled), "incomplete")])
    except Refusal as refusal:
        text = EQUATION if is_equation(telling, line) else str(refusal)
        now = telling.ask or ask
        return again(telling, [*said, _verdict(now, telling.at, text, "unread")])
    return _next(telling, said)


def _past_found(telling: Telling) -> Telling:
    while telling.at in telling.found:
        telling = _unanswered(telling._replace(at=telling.at + 1))
    return telling


def _one_value(telling: Telling, claim: Claim, found: JudgedValue) -> Told:
    """One value judged. Right ones are said and shown, and the next question is left to ask."""
    ask = telling.ask
    assert ask is not None
    by_name = bool(claim.target or claim.reciprocal)
    if found.judged.note == "unit" and not by_name:
        found = later_answered(telling, found)
    at, judged = found.at, found.judged
    if at is None or telling.story.asks[at].right is None:
        text = offered(ask.options, is_lettered(ask)) if ask.options else NO_SUCH_VALUE
        return again(telling, [_verdict(ask, telling.at, text, "unread")])
    about = telling.story.asks[at]
    if found.turned:
        text = "That is one over it, right so far perhaps: turn it over."
        return again(telling, [_verdict(about, at, text, "incomplete")])
    if judged.verdict == "right" and telling.is_known(at):
        text = f"{about.name or 'That'} is known already, yes."
        return TurnOf(telling, (_verdict(about, at, text, "right"),))
    if judged.verdict == "right":
        return _take_right(telling, about, at, judged)
    if judged.verdict == "incomplete":
        text = "That is right to one figure. Give two or three."
        return again(telling, [_verdict(about, at, text, "incomplete")])
    if (asked_back := _nearly(about, judged)) is not None:
        return again(telling, [_verdict(about, at, asked_back, "incomplete")])
    if judged.note == "unit" and _is_half_way(telling, about, found.measure):
        return again(telling, [_verdict(about, at, HALF_WAY, "incomplete")])
    if judged.note == "unit":
        text = "The unit belongs to another quantity: look at what is asked."
        return again(telling, [_verdict(about, at, text, "wrong")])
    said = said_of(judged, about, Speech(telling.story.powers, telling.terms))
    if judged.note == "power of ten":
        text = f"The figures of {said} fit; the power of ten does not."
        return again(telling, [_verdict(about, at, text, "wrong")])
    if at != telling.at and about.name:
        said = f"{about.name} = {said}"
    return _traced(telling, at, judged, found.measure, said)


def _nearly(ask: Ask, judged: Judged) -> str | None:
    """What is asked back where a value is one step from the right one."""
    value, right = judged.value, ask.right
    if not isinstance(value, Fraction) or not isinstance(right, Fraction) or value == 0:
        return None
    if ask.pure and value.denominator > 1 and right.denominator == 1 and (
        right - 1 < value < right
    ):
        return A_WHOLE_NUMBER
    is_over = ask.dimension == "capacitance" and judged.bare
    return ONE_OVER if is_over and _is_one_over(value, right) else None


def _is_half_way(telling: Telling, ask: Ask, measure: Measure) -> bool:
    """Whether a value of another kind leads to the right one by one known value."""
    if in_letters(measure.value) or in_letters(ask.right or Fraction(0)) or measure.value == 0:
        return False
    return any(
        close(worth, ask.right) for each in lookup_of(telling).values()
        if ask.right is not None and not in_letters(each.value) and each.value != 0
        for worth in (measure.value / each.value, measure.value * each.value)
    )


def _is_one_over(value: Fraction, right: Fraction) -> bool:
    """Whether both multiply to one, each counted in the same unit of any prefix."""
    product = value * right
    return any(close(product, Fraction(10) ** power) for power in (0, -6, -12, -18, -24))


def _take_right(telling: Telling, ask: Ask, at: int, judged: Judged) -> Told:
    own = telling.own
    if judged.value is not None and judged.value != ask.right and ask.name:
        own = {**own, ask.name: judged.value}
    rightly = {**telling.rightly, ask.key: telling.rightly.get(ask.key, 0) + 1}
    known = telling._replace(own=own, found=telling.found | {at}, rightly=rightly)
    text = f"Right. {ask.because}".rstrip()
    return TurnOf(known, (_verdict(ask, at, text, "right"), _revealed(telling, ask, at)))


def _traced(
    telling: Telling, at: int, judged: Judged, measure: Measure, said: str
) -> Told:
    """Where a wrong value may come from, as a question. One out of its turn spends no try."""
    ask, speech = telling.story.asks[at], Speech(telling.story.powers, telling.terms)
    traced = trace(telling, at, judged, measure)
    found, asked, names = traced.found, telling, traced.found.names
    text = _unfit(ask, judged, found.context, said, speech) or f"{said} does not fit."
    if traced.is_cut:
        text, names = rule_text.cut_off(said), (rule_text.CUT_OFF,)
    elif not found.groups or found.context is None:
        if ask.hints and at == telling.at and text.endswith("does not fit."):
            text += f" {ask.hints[0]}"
    elif traced.at != at:
        text, asked = f"{said} {STEP_OFF}", _asking_back(telling, traced.at)
    elif len(found.groups) == 1 and not traced.is_asked:
        text = rule_text.origin(said, found.groups[0][0], found.context, speech)
        question = rule_text.question(found.groups[0][0], found.context, speech)
        name = found.groups[0][0].name
        asked = telling._replace(asked_back=question, back_to=at, follow_up=name)
    else:
        if traced.is_asked:  # nothing is held against the learner before they say so
            names = ()
        else:
            text = f"{said} does not fit, and more than one way leads to it."
        routes = tuple(
            tuple(rule.name for rule in group) for group in found.groups[: rule_text.MOST_ROUTES]
        )
        menu = rule_text.menu(found, said, speech)
        asked = telling._replace(routes=routes, asked_back=menu, back_to=at)
    message = _verdict(ask, at, text, "wrong")._replace(malrules=names)
    if at != telling.at:
        return again(asked, [message])
    return _after_wrong(asked, ask, [message], judged.value)


def _unfit(
    ask: Ask, judged: Judged, context: RuleContext | None, said: str, speech: Speech
) -> str | None:
    """The consequence that cannot be, where a simple check finds one."""
    known = known_at(context, speech) if context is not None else None
    found = unfit(known, judged.value) if known and judged.value is not None else NONE
    if found.kind == "none" or ask.dimension is None:
        return None
    return does_not_fit(found, said, ask.dimension, speech)


def _asking_back(telling: Telling, place: int) -> Telling:
    """The question at a step that was skipped, where it is not the one in hand anyway."""
    if place == telling.at:
        return telling
    return telling._replace(asked_back=telling.story.asks[place].text, back_to=place)


def _route_chosen(telling: Telling, line: str) -> Told | None:
    chosen = None if _BARE_NUMBER.fullmatch(line) else entry_of(telling.asked_back, line)
    if chosen is None or chosen > len(telling.routes):
        return None
    cleared = _answered_back(telling)
    if chosen >= len(telling.routes):
        cleared = cleared._replace(back_to=None)
        return again(cleared, [Message("say", "Then let us look at your own way.")])
    at, names = telling.at if telling.back_to is None else telling.back_to, telling.routes[chosen]
    context = contexts_at(telling, at)[0]
    rule = next(m for m in CATALOGUE if m.name == names[0] and m.fits(context))
    speech = Speech(telling.story.powers, telling.terms)
    text = rule_text.cannot_be(rule, context, speech)
    message = _verdict(telling.story.asks[at], at, text, "wrong")
    asked = cleared._replace(
        asked_back=rule_text.question(rule, context, speech), follow_up=rule.name
    )
    return again(asked, [message._replace(malrules=names)])
