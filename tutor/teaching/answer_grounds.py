"""What is said to the reason behind a right answer, in walks and in problems in stages alike.

The answer stands whatever its reason is. A reason found so is praised with it; for one that is
found not so, what is so is said; one that cannot be judged is left open, and what makes the answer
so is said. The record counts the answer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Final, NamedTuple

from grammar.answers import Measure, known
from grammar.spoken_numbers import in_figures
from tutor.circuit.network import Network, Supply
from tutor.circuit.solving import solve
from tutor.circuit.steps import Choice, Step, carry_out, examine
from tutor.circuit.values import Value, in_letters
from tutor.teaching.claimed_values import ValuesHeld, ValuesHere, claims_judged
from tutor.teaching.claims import names_now
from tutor.teaching.conversation import OpenTask, TurnOf
from tutor.teaching.hints import hint
from tutor.teaching.messages import Message
from tutor.teaching.reading.grounds import (
    GroundPlace,
    GroundWeight,
    SaidGround,
    ground_in,
    weigh_ground,
)
from tutor.teaching.reading.other_grounds import (
    gives_another_ground,
    goes_by_the_greater,
    tells_of_flow,
)
from tutor.teaching.reasons import because
from tutor.teaching.staged.amounts_of_story import held_in, owner_of
from tutor.teaching.staged.choosing import named
from tutor.teaching.staged.measuring import lookup_of
from tutor.teaching.staged.story import Ask, Telling
from tutor.teaching.turn import before_step, speech_of
from tutor.teaching.walk import Question, Walk, next_question

NOT_SO_THE_GROUND: Final = "The reason is another one."
NOT_FOR_THAT: Final = "For that reason, though, and not for the one you give."
NOTHING_FLOWS: Final = "Once all is at rest no current flows, and charge never crosses a gap."
CANNOT_TELL: Final = "I cannot tell whether the reason you give is a good one."
WHAT_MAKES_IT_SO: Final = f"{CANNOT_TELL} What makes it so here:"
COUNTS_WITHOUT: Final = f"{CANNOT_TELL} Your answer counts without it."
AND_THIS_IS_WHY: Final = "That it is, and this is why."


class _Weighed(NamedTuple):
    """How a reason was found, and what makes the answer so."""

    weight: GroundWeight
    told: str


def with_ground_weighed(task: OpenTask, line: str, heard: TurnOf[Any]) -> TurnOf[Any]:
    """A turn with what is to be said to the reason of the line behind its first right answer."""
    at = next((n for n, each in enumerate(heard.messages) if each.verdict == "right"), None)
    ground = ground_in(line)
    if at is None or ground is None:
        return heard
    right = heard.messages[at]
    if isinstance(task, Telling):
        return _in_stages(task, ground, heard, at)
    weighed = _in_walk(task, ground, right) if isinstance(task, Walk) else None
    return heard if weighed is None else _with(heard, at, right, weighed)


def _is_said_as_working(ground: SaidGround, weight: GroundWeight) -> bool:
    """Whether what stands before 'so' may be working, of which nothing is to be said."""
    is_open = ground.leads and weight == "open"
    return is_open and _WORKING.search(in_figures(ground.text)) is not None


_FIGURES = re.compile(r"(?<![A-Za-z_\d])\d")
_WORKING = re.compile(
    r"(?i)\d|\b(?:half|thirds?|quarters?|\w+fths?|plus|minus|times|over|divided)\b"
)


def _with(heard: TurnOf[Any], at: int, right: Message, weighed: _Weighed) -> TurnOf[Any]:
    said = [right]
    if weighed.weight != "so":
        said.append(Message("verdict", weighed.told, about=right.about, verdict="incomplete"))
    return heard._replace(messages=(*heard.messages[:at], *said, *heard.messages[at + 1 :]))


# In a walk


def _in_walk(walk: Walk, ground: SaidGround, right: Message) -> _Weighed | None:
    """How a reason is found behind a value, or behind what is shared or passes on; None where the
    reason is asked and weighed, and nothing of it is not so, and where what is right is a later
    value, of which the question in hand says nothing.
    """
    question = next_question(walk)
    if question is None or question.about in ("choice", "reason"):
        return None
    if right.of is not None and right.of != question.quantity:
        return None
    step = question.step
    reason = because(step, speech_of(walk)) if step is not None else ""
    network = before_step(walk, step) if step is not None else walk.network
    place = GroundPlace(network, step, (reason, *_hints(walk, question)))
    claims = claims_judged(ground.text, _values_in_walk(walk, question))
    if question.about == "shares" and all(claims) and not _FIGURES.search(in_figures(ground.text)):
        claims = []  # that one is larger is so, and no reason for what is shared
    weight = weigh_ground(ground.text, place, claims)
    is_weighed = question.about == "shares" and not question.going_back and weight != "not so"
    if is_weighed or _is_said_as_working(ground, weight):
        return None
    if question.about == "shares" and weight == "not so":
        return _Weighed(weight, NOT_FOR_THAT)  # what makes it so stands in the answer before
    told = _left_open(reason) if weight == "open" else f"{NOT_SO_THE_GROUND} {reason}"
    return _Weighed(weight, told)


def _left_open(reason: str) -> str:
    return f"{WHAT_MAKES_IT_SO} {reason}" if reason else COUNTS_WITHOUT


def _hints(walk: Walk, question: Question) -> list[str]:
    speech = speech_of(walk)
    return [text for rung in (2, 3) if (text := hint(walk, question, rung, speech))]


def _values_in_walk(walk: Walk, question: Question) -> ValuesHere:
    step, asked = question.step, question.quantity
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
        right = _plainly(walk.truth[asked], powers[asked.dimension])
    return ValuesHere(held, tuple(c.name for c in parts), powers, names, it, right)


def _plainly(value: Value, power: int) -> Value | None:
    """A value in plain numbers, where no letters stand in it."""
    return None if in_letters(value) else value / Fraction(10) ** power


# In stages


def _in_stages(telling: Telling, ground: SaidGround, heard: TurnOf[Any], at: int) -> TurnOf[Any]:
    right = heard.messages[at]
    place = right.step - 1 if right.step else telling.at
    ask = telling.story.asks[place]
    if ground.leads and ask.options and any(o.is_right for o in named(ask, ground.text)):
        return heard  # what stands before 'so' is the answer
    weight, reason = _weighed_in_stages(telling, place, ground), ask.because
    if _is_said_as_working(ground, weight):
        return heard
    if weight == "so":
        lead = f"{AND_THIS_IS_WHY} {reason}" if ask.options and reason else right.text
        return _with(heard, at, right._replace(text=lead), _Weighed(weight, ""))
    alone = right.text.removesuffix(reason).rstrip() if reason else right.text
    flow = f"{NOTHING_FLOWS} " if not ask.options and tells_of_flow(ground.text) else ""
    told = _left_open(reason) if weight == "open" else f"{NOT_SO_THE_GROUND} {flow}{reason}"
    return _with(heard, at, right._replace(text=alone), _Weighed(weight, told.rstrip()))


def _weighed_in_stages(telling: Telling, at: int, ground: SaidGround) -> GroundWeight:
    ask, said = telling.story.asks[at], ground.text
    stays = next((o.words[0] for o in ask.options if o.is_right), "")
    if ask.options and not ground.leads:
        by_size = telling.story.kind == "ratings" and goes_by_the_greater(said)
        if by_size or gives_another_ground(said, stays):
            return "not so"
    elif not ask.options and tells_of_flow(said):
        return "not so"
    network = telling.story.network or next((m.network for m in telling.story.moments), None)
    step = _whole_step(network) if network is not None else None
    before = [] if ask.options else [each.because for each in telling.story.asks[:at]]
    settled = re.sub(r"[^.?!]*\?", " ", ask.text)
    told = (ask.because, settled, *ask.hints, ask.reveal, *before)
    claims = claims_judged(said, _values_in_stages(telling, ask, network))
    if ask.options and stays in _SHARED and all(claims):
        claims = []  # values are so by what they share, and no reason for it
    return weigh_ground(said, GroundPlace(network, step, told, stays), claims)


_SHARED = frozenset(("the charge", "the p.d.", "the voltage", "the potential difference"))


def _whole_step(network: Network) -> Step | None:
    """The one step of a network that is a chain or a set side by side."""
    choice = examine(network, [c.name for c in network.capacitors])
    return carry_out(network, choice) if isinstance(choice, Choice) else None


def _values_in_stages(telling: Telling, ask: Ask, network: Network | None) -> ValuesHere:
    story = telling.story
    names: Mapping[str, Measure] = lookup_of(telling) | {
        each.name: known(each.right, each.dimension, story.powers[each.dimension])
        for each in story.asks if each.name and each.right is not None and each.dimension
    }
    held = dict(held_in(telling))
    across, kind = story.results.get("V", (None, None))
    if network is not None and across is not None and kind == "voltage":
        for name, each in solve(network, Supply("voltage", across)).holdings.items():
            held |= {("V", name): (each.voltage,), ("Q", name): (each.charge,)}
    in_hand = tuple(c.name for c in network.capacitors) if network is not None else ()
    sizes = [held[key][0] for key in held if key[0] == "C" and key[1] is not None]
    if sizes and not any(map(in_letters, sizes)):
        held.setdefault(("C", None), (sum(sizes, Fraction(0)),))  # of those that are joined
    it, right = owner_of(telling, ask) if ask.name else None, None
    if ask.right is not None:
        power = 0 if ask.pure or not ask.dimension else story.powers[ask.dimension]
        right = _plainly(ask.right, power)
    return ValuesHere(held, in_hand, story.powers, names, it, right)


