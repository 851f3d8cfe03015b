"""A problem in stages talked through: its questions in order, each with help, tries and reasons.

It keeps the manners of a walk: nothing is shown before an answer or an honest 'I don't know';
after two wrong tries the answer is shown; a wrong number is traced to the rules that give it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.quantity import UNIT_SIGN
from tutor.teaching.cautions import Hazards, cautions
from tutor.teaching.conversation import TurnOf
from tutor.teaching.follow_ups import said_to
from tutor.teaching.hearing import NO_HINT
from tutor.teaching.in_sight import of_telling
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.messages import Message
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.awaited_values import VALUES_BACK
from tutor.teaching.rules.idea_texts import FollowUp, follow_up_of
from tutor.teaching.said_of_each import EVERY
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.answers_in_values import (
    answer_in_values,
    is_one_over,
    value_at_a_choice,
    values_found,
)
from tutor.teaching.staged.answers_in_words import answer_in_words, options_meant
from tutor.teaching.staged.asked_how import (
    answered_back,
    on_its_sum,
    right_end,
    route_chosen,
    taken_up,
)
from tutor.teaching.staged.by_law import asks_energy, energy_asks
from tutor.teaching.staged.choosing import is_lettered, named, names_one
from tutor.teaching.staged.equations_said import with_equals_signs
from tutor.teaching.staged.going_on import (
    NEXT,
    Told,
    again,
    go_on,
    in_short,
    show_answer,
    verdict_on,
    worked,
)
from tutor.teaching.staged.measuring import lookup_of
from tutor.teaching.staged.story import Ask, Story, StorySource, Telling
from tutor.teaching.staged.values_beside import is_told, said_to_stay

LAST_HINT = "That was the last hint before the answer; 'show me' shows it, after a try."
FIRST_AN_IDEA = "First your own idea, please, even a rough one; or say 'I don't know'."
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
WHO = "That says which capacitor; a value with its unit is wanted here."
OF_ALL_TOGETHER = "{}: right. And how much is it of all together?"
NOT_KEPT = "But {} does not stay what it was; its own question comes."
NOT_THAT_VALUE = "The value behind it does not fit; its own question comes."
NO_DRAWING = "There is no drawing here; 'list' says it again in words."


def begin(
    story: Story, terms: Settings = DEFAULTS, manner: Manner = PLAIN,
    source: StorySource | None = None,
) -> Told:
    """The opening and the first question."""
    telling = in_short(Telling(story, terms, manner=manner, source=source))
    told = opening(story, terms)
    return go_on(telling, [told] if told.text or told.drawn is not None else [])


def opening(story: Story, terms: Settings = DEFAULTS) -> Message:
    """What is given and wanted."""
    return Message("say", "\n".join(story.opening), drawn=of_telling(Telling(story, terms)))


def retold(telling: Telling, terms: Settings) -> Telling:
    """The same place of the same story in other words."""
    kept = telling.in_full or telling.story
    story = telling.source.story(terms) if telling.source is not None else kept
    return in_short(telling._replace(story=story, terms=terms, in_full=None))


def answer(telling: Telling, line: str) -> Told:
    """What a line answers: a route, an option, or one value or several. One that is not taken so
    is read once more by what each of its amounts is said of.
    """
    ask = telling.ask
    if ask is None or telling.over:
        return ended(telling)
    if EVERY.search(line) and (said := _said_of_each(telling, line)) is not None:
        return said
    line = _WORD_AND_VALUE.sub(", ", line) if ask.options else with_equals_signs(telling, line)
    turn = _answered(telling, ask, line)
    if not re.search(r"\d.*\d|\d\D*[A-Za-z]|[A-Za-z]\s*=\s*\d", line) or is_lettered(ask):
        return turn
    verdicts = [m.verdict for m in turn.messages if m.verdict]
    is_named = bool(ask.options) and bool(named(ask, _UNIT.sub("", line)))
    if verdicts and all(verdict == "right" for verdict in verdicts):
        return _with_what_changes(
            telling, _with_values_behind(telling, turn, line, is_named), line
        )
    return turn if is_named or names_one(ask, line) else _by_its_amounts(telling, ask, line, turn)


def _said_of_each(telling: Telling, line: str) -> Told | None:
    """What follows an amount that is said of each, judged for all; None for other lines."""
    from tutor.teaching.staged.amounts_of_story import of_each

    start = taken_up(telling)
    values = of_each(start, line)
    return values_found(start, values) if values else None


_WORD_AND_VALUE = re.compile(r"(?<=[a-z]{3}):\s*(?=\d)")  # charge: 90 uC, where a word is asked
# And names of values: Q1, or Q in Q both 60.
_UNIT = re.compile(
    rf"(?<=\d)\s*{UNIT_SIGN}|\b[CQVUE]_?\d+'*"
    r"|\b[QVUE]'*(?=\s+(?:is|are|both|each)(?:\s+(?:is|are|both|each))?\s+\d)"
)


def _with_values_behind(telling: Telling, turn: Told, line: str, is_named: bool) -> Told:
    """What follows a right answer, with all the other values of the line where they are right."""
    from tutor.teaching.staged.amounts_of_story import judged_values

    start = turn.task if is_named else taken_up(telling)
    if start.over or start.ask is None:
        return turn
    values = [v for v in judged_values(start, line) if v.at is None or not start.is_known(v.at)]
    taken = 0 if is_named else sum(1 for m in turn.messages if m.verdict)
    asked = telling.ask or start.ask
    if is_named and any(
        each.judged.verdict == "wrong" and not is_told(telling, asked, each.measure)
        for each in values
    ):
        *said, last = turn.messages
        doubt = verdict_on(start.ask, start.at, NOT_THAT_VALUE, "incomplete")
        return turn._replace(messages=(*said, doubt, last))
    if len(values) <= taken or any(each.judged.verdict != "right" for each in values):
        return turn
    more = values_found(start, values)
    before = [m for m in turn.messages if m.kind != "ask"] if is_named else []
    return more._replace(messages=(*before, *more.messages))


def _with_what_changes(telling: Telling, turn: Told, line: str) -> Told:
    """A right answer, with a doubt where the line says beside it that something stays as it was
    that does not.
    """
    changed = said_to_stay(telling, line)
    if changed is None or any(m.verdict == "incomplete" for m in turn.messages):
        return turn
    *said, last = turn.messages
    doubt = Message("say", NOT_KEPT.format(changed.name.rstrip("'")))
    return turn._replace(messages=(*said, doubt, last))


def _by_its_amounts(telling: Telling, ask: Ask, line: str, turn: Told) -> Told:
    """What a line says by whom its amounts are said of, where that is more than was heard."""
    from tutor.teaching.staged.amounts_of_story import judged_values, only_points, true_beside

    again_at = taken_up(telling)
    is_unread = any(m.verdict == "unread" for m in turn.messages)
    values = judged_values(again_at, line)
    is_new = any(each.at is not None and not telling.is_known(each.at) for each in values)
    are_right = all(each.judged.verdict == "right" for each in values)
    if is_new and (is_unread or are_right):
        return values_found(again_at, values)
    is_a_word = bool(ask.options) and not re.search(r"\b[CQVUE]_?\d", line) and (
        len(options_meant(telling, ask, line)) == 1  # still the 80 V: the p.d., where it is kept
    )
    if not is_a_word and (told := true_beside(telling, line)) is not None:
        if ask.dimension == "energy" and re.match(r"[EW]\d", told) and ask.name in "EW":
            return again(telling, [verdict_on(
                ask, telling.at, OF_ALL_TOGETHER.format(told), "incomplete"
            )])
        return again(telling, [Message("say", f"{told}: true, though that is not asked now.")])
    if ask.dimension is not None and only_points(telling, line):
        return again(telling, [verdict_on(ask, telling.at, WHO, "unread")])
    return turn


def _answered(telling: Telling, ask: Ask, line: str) -> Told:
    line = right_end(telling, line) if telling.asked_back and not telling.routes else line
    if telling.routes and not names_one(ask, line) and (
        turn := route_chosen(telling, line) or on_its_sum(telling, line)
    ):
        return turn
    if telling.follow_up in VALUES_BACK and (turn := _of_values_back(telling, line)):
        return turn
    if not names_one(ask, line) and (reply := to_follow_up(telling, line)) is not None:
        return again(answered_back(telling), [Message("say", reply)])
    place = telling.asked_at
    telling = taken_up(telling)
    if ask.options and not names_one(ask, line) and (
        turn := value_at_a_choice(telling, ask, line, place)
    ):
        return turn
    if ask.options:
        return answer_in_words(telling, ask, line)
    return answer_in_values(telling, ask, line, place)


def _of_values_back(telling: Telling, line: str) -> Told | None:
    """What is said to values that a question asked back expects, or to others in their place."""
    from tutor.teaching.staged.amounts_of_story import to_asked_back

    found = to_asked_back(telling, line)
    if found is None:
        return None
    speech = Speech(telling.story.powers, telling.terms)
    told = Message("say", rule_text.in_terms(found.text, speech))
    return again(telling if found.found == "part" else answered_back(telling), [told])


def to_follow_up(telling: Telling, line: str) -> str | None:
    """What is said to a line that answers what was asked back after a wrong value."""
    item = follow_up_of(telling.follow_up if telling.asked_back else _idea_of_hint(telling))
    sizes = {
        name: each.value for name, each in lookup_of(telling).items() if re.match(r"C\d+$", name)
    }
    said = said_to(item, line, sizes) if item is not None else None
    if said is None and item is not None and telling.asked_back:
        said = _with_what_is_left(telling, item, line)
    speech = Speech(telling.story.powers, telling.terms)
    return rule_text.in_terms(said, speech) if said else None


# The wrong idea that asks back what a hint asks, by the question and the place of the hint.
_HINTS: Mapping[tuple[str, int], str] = MappingProxyType({("area", 2): "area-unit-slip"})


def _idea_of_hint(telling: Telling) -> str:
    return _HINTS.get((telling.ask.key, telling.rung), "") if telling.ask is not None else ""


def _with_what_is_left(telling: Telling, item: FollowUp, line: str) -> str | None:
    """What is said to both parts of a question with two: what adds up, and one over the value that
    is left; None for any other line.
    """
    first, _, rest = re.sub(r"[,;](?!\d)", ". ", line).partition(". ")
    numbers = re.findall(r"(?<![\w.])\d+(?:\.\d+|\s*/\s*\d+)?", rest)
    right = telling.story.asks[telling.asked_at].right
    if not numbers or not isinstance(right, Fraction) or (said := said_to(item, first)) is None:
        return None
    over, _, under = numbers[-1].partition("/")
    left = Fraction(over) / (Fraction(under) if under and int(under) else 1)
    return said if is_one_over(left, right) else None


def ended(telling: Telling) -> Told:
    """What is said where nothing is left to ask."""
    return TurnOf(telling._replace(over=True), (Message("close", f"This problem is done. {NEXT}"),))


# What may be asked for at any time


def where(telling: Telling) -> Told:
    """What is given, and every answer so far."""
    return again(telling, [Message("say", "\n".join([*telling.story.opening, *so_far(telling)]))])


def so_far(telling: Telling) -> list[str]:
    """The worked answers that have been given or shown."""
    places = range(len(telling.story.asks))
    return [worked(telling, at) for at in places if telling.is_known(at)]


def points(telling: Telling) -> Told:
    """What is given, in words, and every value found so far."""
    return where(telling)


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
    none_left = LAST_HINT if telling.ask.hints else NO_HINT
    return _next_hint(telling) or again(telling, [Message("say", none_left)])


def unsure(telling: Telling) -> Told:
    """An honest 'I don't know': the next hint, and after the last one the answer."""
    if telling.ask is None or telling.over:
        return ended(telling)
    telling = telling._replace(unsure=True)
    if (turn := _next_hint(telling)) is not None:
        return turn
    return show_answer(telling, [])


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
    return show_answer(telling, [])


def tell(telling: Telling) -> Told:
    """The answer, asked for by whoever leads the problem."""
    return ended(telling) if telling.ask is None or telling.over else show_answer(telling, [])


def fair_copy(telling: Telling) -> str:
    """Everything worked out so far, written out: what is given, then a line for each answer."""
    lines = so_far(telling) or ["Nothing has been worked out yet."]
    return "\n".join([*telling.story.opening, *lines])
