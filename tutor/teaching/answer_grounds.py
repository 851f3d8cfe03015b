"""What is said to the reason behind a right answer, in walks and in problems in stages alike.

The answer stands whatever its reason is. A reason found so is praised with it; for one that is
found not so, what is so is said; one that cannot be judged is left open, and what makes the answer
so is said. The record counts the answer.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final

from grammar.answers import known
from grammar.spoken_numbers import in_figures
from tutor.circuit.network import Network
from tutor.circuit.steps import Step
from tutor.teaching.answering import BUT_NOT_FOR_THAT, IS_IT_BALANCED, IT_CAN
from tutor.teaching.claimed_values import claims_judged, compared_in, knows_numbers
from tutor.teaching.claims import names_now
from tutor.teaching.conversation import OpenTask, StagedSupposing, TurnOf
from tutor.teaching.dialogue import VALUE_QUESTIONS, with_others_in_names
from tutor.teaching.grounds_answered import (
    AS_TOLD_BELOW,
    CANNOT_TELL,
    NOT_BY_THAT,
    NOT_FOR_THAT,
    NOT_SO_THE_GROUND,
    THE_REST,
    YES_BUT,
    WeighedGround,
    is_said_as_working,
    left_open,
    plainly,
    with_told,
)
from tutor.teaching.grounds_in_stages import in_stages
from tutor.teaching.hints import hint
from tutor.teaching.messages import Message
from tutor.teaching.reading.because_words import BECAUSE_OR_AS, without_values_behind
from tutor.teaching.reading.grounds import (
    GroundPlace,
    JudgesOfValues,
    SaidGround,
    beside_in,
    ground_in,
    parts_of,
    weigh_ground,
)
from tutor.teaching.reading.other_grounds import goes_by_size
from tutor.teaching.reasons import because
from tutor.teaching.showing import show_answer
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import before_step, speech_of
from tutor.teaching.values_here import ValuesHeld, ValuesHere
from tutor.teaching.walk import Question, Walk, next_question, question_about
from tutor.teaching.whatif.change import Supposing
from tutor.teaching.whatif.grounds_supposed import weighed_where_supposed


def with_ground_weighed(task: OpenTask, line: str, heard: TurnOf[Any]) -> TurnOf[Any]:
    """A turn with what is to be said to the reason of the line behind its first right answer, or
    to what is said beside it and is not so.
    """
    at = next((n for n, each in enumerate(heard.messages) if each.verdict == "right"), None)
    if at is None:
        return _small_answer_weighed(task, line, heard)
    weigh = _WEIGHED_BY[type(task)]
    if isinstance(task, Walk):
        line = with_others_in_names(task, line)
    ground, beside = ground_in(line), beside_in(line)
    if ground is not None and not ground.leads:
        at = _place_of_whose_it_is(line, heard, at)
    found = heard if ground is None else weigh(task, ground, heard, at)
    is_answered = any(m.verdict == "incomplete" for m in found.messages)
    if beside is None or is_answered:
        return found
    if ground is not None and not ground.leads:
        beside = beside._replace(text=beside.text.replace(ground.text, " "))
    of_all = weigh(task, beside, heard, at)
    return found if of_all is heard else of_all


def _place_of_whose_it_is(line: str, heard: TurnOf[Any], first: int) -> int:
    """The place of the right answer that a reason stands behind: the last that was named."""
    named = re.findall(r"(?i)(?<![\w.])([QVUE])_?(\d+'*)\s*=", BECAUSE_OR_AS.split(line)[0])
    if not named:
        return first
    name = f"{named[-1][0].upper().replace('U', 'V')}{named[-1][1]}"
    places = (
        n for n, each in enumerate(heard.messages)
        if each.verdict == "right" and each.of is not None and each.of.name == name
    )
    return next(places, first)


def _small_answer_weighed(task: OpenTask, line: str, heard: TurnOf[Any]) -> TurnOf[Any]:
    """What answers a hint's small question rightly, for a reason that is not so."""
    first, ground = heard.messages[0], ground_in(line)
    if ground is None or ground.leads or not isinstance(task, Walk) or first.verdict or (
        not first.text.startswith("Yes.")
    ):
        return heard
    weighed = _in_walk(task, ground, heard, first)
    if weighed is None or weighed.weight != "not so":
        return heard
    told = first._replace(text=first.text.replace("Yes.", YES_BUT, 1))
    return heard._replace(messages=(told, *heard.messages[1:]))


def _in_a_walk(walk: Walk, ground: SaidGround, heard: TurnOf[Any], at: int) -> TurnOf[Any]:
    weighed = _in_walk(walk, ground, heard, heard.messages[at])
    return heard if weighed is None else with_told(heard, at, heard.messages[at], weighed)


def _where_supposed(
    task: Supposing | StagedSupposing, ground: SaidGround, heard: TurnOf[Any], at: int
) -> TurnOf[Any]:
    """Behind a right guess; what makes it so is told with both sides, below."""
    weight = weighed_where_supposed(task, ground)
    if weight == "so" or (weight == "open" and ground.leads):
        return heard
    told = AS_TOLD_BELOW if weight == "not so" else THE_REST if ground.beside else CANNOT_TELL
    return with_told(heard, at, heard.messages[at], WeighedGround(weight, told))


# In a walk


def _in_walk(
    walk: Walk, ground: SaidGround, heard: TurnOf[Any], right: Message
) -> WeighedGround | None:
    """How a reason is found behind a choice, a value, or what is shared or passes on; None where
    the reason is asked and weighed, and nothing of it is not so, and where it is left open whether
    that of a value ahead is so.
    """
    in_hand = next_question(walk)
    question = _answered_by(walk, in_hand, right, ground) if in_hand is not None else None
    if question is None:
        return None
    is_ahead = question is not in_hand
    if question.about in VALUE_QUESTIONS and not ground.beside:
        ground = ground._replace(text=without_values_behind(ground.text))
    is_choice = question.about == "choice"
    rules: list[str] = []
    if is_choice and ground.beside:
        rules = [each for each in parts_of(ground.text)[1:] if _RULES.search(each)]
        ground = ground._replace(text="; ".join(rules) or ground.text)
    step = _chosen_step(walk, heard.task) if is_choice else question.step
    is_left_out = is_choice and step is not None and step.kind == "removal"
    # its shape is weighed with the choice
    by_values = is_choice and ground.beside and not rules and not is_left_out
    if is_choice and step is None:
        return None if ground.beside else _of_none(walk, ground, heard, right)
    reason = _made_so_by(walk, question, step)
    joined = step or next(iter(walk.steps[-1:]), None)  # of the whole: what was made last
    network = before_step(walk, joined) if joined is not None else walk.network
    told = (reason, *_hints(walk, question))
    of_capacitance = question.quantity is not None and question.quantity.symbol == "C"
    place = GroundPlace(
        network, None if by_values else joined, told, on_the_way=_networks_so_far(walk),
        is_of_capacitance=of_capacitance,
    )
    here = _values_in_walk(walk, question, joined)
    of_words = question.about in ("choice", "shares", "reason")

    if is_choice and step is not None:
        ground = ground._replace(text=_by_name(ground.text, walk, step))

    def judged(text: str) -> list[bool]:
        claims = claims_judged(text, here)
        if of_words and all(claims) and not _FIGURES.search(in_figures(text)):
            return []  # that one is larger is so, and no reason for what is shared
        return claims

    def compared(text: str) -> list[bool]:
        claims = compared_in(text, here)
        return [each for each in claims if not each] if of_words else claims

    judges = JudgesOfValues(judged, compared, lambda text: knows_numbers(text, here))
    weight = weigh_ground(ground, place, judges)
    if is_choice and weight == "open" and goes_by_size(ground.text):
        weight = "not so"  # the two biggest: of no size does it hang who can be combined
    is_weighed = of_words and not question.going_back and weight != "not so" and not (
        is_choice and ground.beside and weight == "open" and not by_values
    )
    if is_choice and (
        any(m.text.startswith(BUT_NOT_FOR_THAT) for m in heard.messages)
        or _is_answered_with_the_sharing(heard, step)
    ):
        return None
    if is_weighed or is_said_as_working(ground, weight) or (
        weight == "open" and (is_left_out or is_ahead)
    ):
        return None
    if ground.beside and weight == "open" and of_words and not is_choice:
        return None  # words are asked and weighed there
    if ground.beside and weight == "open":
        return WeighedGround(weight, THE_REST)
    if is_choice:
        told_of_it = NOT_BY_THAT.replace("They", "It") if is_left_out else NOT_BY_THAT
        return WeighedGround(weight, told_of_it)  # what they share is still to be asked
    if of_words and weight == "not so":
        return WeighedGround(weight, NOT_FOR_THAT)  # what makes it so stands in the answer before
    text = left_open(reason) if weight == "open" else f"{NOT_SO_THE_GROUND} {reason}".rstrip()
    return WeighedGround(weight, text)


def _answered_by(
    walk: Walk, in_hand: Question, right: Message, ground: SaidGround
) -> Question | None:
    """The question that a right answer is to: that in hand, or on the way back that of a value
    ahead; None for other values ahead, and for what is said beside one.
    """
    if right.of is None or right.of == in_hand.quantity:
        return in_hand
    step = walk.part_of(right.of.of) if in_hand.going_back else None
    if step not in walk.steps or ground.beside:
        return None
    return question_about(walk, right.of)._replace(step=step)


def _made_so_by(walk: Walk, question: Question, step: Step | None) -> str:
    """What makes an answer so: the points that a step rests on, or on the way back the relation of
    the capacitor itself, for that they share something gives nobody's value.
    """
    if question.going_back and question.part is not None and question.about in VALUE_QUESTIONS:
        return show_answer(walk, question)[1][0].text
    return because(step, speech_of(walk)) if step is not None else ""


def _is_answered_with_the_sharing(heard: TurnOf[Any], step: Step | None) -> bool:
    """Whether what they share was said as well, and its reason weighed there."""
    is_said = step is not None and ("shares", step.made) in heard.task.settled
    return is_said and any(
        m.about == "shares" and m.verdict in ("wrong", "incomplete") for m in heard.messages
    )


def _by_name(text: str, walk: Walk, step: Step) -> str:
    """Those of a step by their names, where a choice calls them by what they are worth: 2 and 5
    both join P and B.
    """
    power = walk.problem.powers["capacitance"]
    names = {plainly(c.value, power): c.name for c in step.parts}
    return _BARE.sub(lambda found: names.get(Fraction(found[0]), found[0]), text)


_BARE = re.compile(
    r"(?<![\w.,=])\d+(?:\.\d+)?(?!\.?\d)(?!\s*(?:[pnuµμmk]?[FVCJ]\b|volts?|[=+*/×÷^-]))"
)


_FIGURES = re.compile(r"(?<![A-Za-z_\d])\d")
# What is said of how it is always done, which is no remark on these.
_RULES = re.compile(r"(?i)\b(?:always|never|must|has\s+to|have\s+to|the\s+rule|every\s+time)\b")


def _of_none(
    walk: Walk, ground: SaidGround, heard: TurnOf[Any], right: Message
) -> WeighedGround | None:
    """How a reason is found for combining nothing: it stands where it says what was told."""
    if not heard.opens or ground.leads or right.text.startswith((IT_CAN, IS_IT_BALANCED)):
        return None  # the questions that follow are for the reason
    place = GroundPlace(walk.network, None, (right.text,))
    weight = weigh_ground(ground, place, _NO_VALUES)
    return None if weight == "so" else WeighedGround(weight, CANNOT_TELL)


# Of no value is anything said that bears on it.
_NO_VALUES: Final = JudgesOfValues(lambda _: (), lambda _: (), lambda _: False)


def _networks_so_far(walk: Walk) -> tuple[Network, ...]:
    """The network that was given, and those in which its capacitors were combined, to this one."""
    return (*(before_step(walk, step) for step in walk.steps), walk.network)


def _chosen_step(walk: Walk, after: Walk) -> Step | None:
    """The step that an answer to a choice has begun, or done as well."""
    return after.pending or next(iter(after.steps[len(walk.steps) :]), None)


def _hints(walk: Walk, question: Question) -> list[str]:
    speech = speech_of(walk)
    return [text for rung in (2, 3) if (text := hint(walk, question, rung, speech))]


def _values_in_walk(walk: Walk, question: Question, step: Step | None) -> ValuesHere:
    asked = question.quantity
    held: ValuesHeld = {(q.symbol, q.of): (v,) for q, v in walk.truth.items() if q.point is None}
    parts = step.parts if step is not None else walk.network.capacitors
    powers = walk.problem.powers
    names = {
        name: known(walk.truth[each], each.dimension, powers[each.dimension])
        for name, each in names_now(walk).items()
    }
    it = asked.of if asked is not None else None
    right = None
    if asked is not None and asked in walk.truth:
        right = plainly(walk.truth[asked], powers[asked.dimension])
    of_group = asked is not None and asked.symbol == "C" and step is not None
    never_by = "" if not of_group or step is None else "+-" if step.kind == "series" else "-"
    in_hand = tuple(c.name for c in parts)
    return ValuesHere(
        held, in_hand, powers, names, it, right,
        kind=asked.dimension if asked is not None else None, never_by=never_by,
        asks_work=asked is not None and asked.symbol == "W",
    )


_WEIGHED_BY: Mapping[type, Callable[[Any, SaidGround, TurnOf[Any], int], TurnOf[Any]]] = (
    MappingProxyType({
        Walk: _in_a_walk, Telling: in_stages,
        Supposing: _where_supposed, StagedSupposing: _where_supposed,
    })
)
