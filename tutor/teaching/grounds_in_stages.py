"""The reason behind a right answer in a problem in stages, weighed by what holds at its stage."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import Any

from grammar.answers import Measure, known
from tutor.circuit.network import Network
from tutor.circuit.steps import step_of_all
from tutor.circuit.values import in_letters
from tutor.teaching.claimed_values import claims_judged, compared_in, knows_numbers
from tutor.teaching.conversation import TurnOf
from tutor.teaching.grounds_answered import (
    AND_THIS_IS_WHY,
    NOT_SO_THE_GROUND,
    NOTHING_FLOWS,
    THE_REST,
    WeighedGround,
    is_said_as_working,
    left_open,
    plainly,
    with_told,
)
from tutor.teaching.reading.grounds import (
    GroundPlace,
    GroundWeight,
    JudgesOfValues,
    SaidGround,
    parts_of,
    weigh_ground,
)
from tutor.teaching.reading.none_said import none_said
from tutor.teaching.reading.other_grounds import (
    gives_another_ground,
    goes_by_charge_alone,
    goes_by_rating_alone,
    goes_by_size,
    goes_by_the_greater,
    lets_another_stay,
    tells_of_flow,
)
from tutor.teaching.staged.amounts_of_story import held_in_the_end, owner_of
from tutor.teaching.staged.choosing import named
from tutor.teaching.staged.measuring import lookup_of
from tutor.teaching.staged.story import Ask, Telling, is_called
from tutor.teaching.values_here import ValuesHere


def in_stages(telling: Telling, ground: SaidGround, heard: TurnOf[Any], at: int) -> TurnOf[Any]:
    """A turn with what is said to the reason behind its right answer, the message ``at``."""
    right = heard.messages[at]
    place: int | None = right.step - 1 if right.step else telling.at
    if right.of is not None:  # a value that was not asked for
        telling = heard.task
        asks = telling.story.asks
        place = next((n for n, ask in enumerate(asks) if is_called(ask, right.of.name)), None)
    if place is None:
        return heard
    ask = telling.story.asks[place]
    if ground.leads and ask.options and any(o.is_right for o in named(ask, ground.text)):
        return heard  # what stands before 'so' is the answer
    if ground.beside and ask.options:
        behind = [each for each in parts_of(ground.text)[1:] if not _answers_alone(ask, each)]
        ground = ground._replace(text="; ".join(behind))
    elif ground.beside and ask.right == 0:  # what says that there is none is the answer
        behind = [each for each in parts_of(ground.text) if not _says_none(ask, each)]
        ground = ground._replace(text="; ".join(behind))
    elif ask.options:  # a later value behind it is judged as its own answer
        ground = ground._replace(text=_VALUE_BEHIND.sub("", ground.text))
    weight, reason = _weighed_in_stages(telling, place, ground), ask.because
    if is_said_as_working(ground, weight) or (ground.beside and weight == "so"):
        return heard
    if ground.beside and weight == "open":
        return with_told(heard, at, right, WeighedGround(weight, THE_REST))
    if weight == "so":
        lead = f"{AND_THIS_IS_WHY} {reason}" if ask.options and reason else right.text
        return with_told(heard, at, right._replace(text=lead), WeighedGround(weight, ""))
    alone = right.text.removesuffix(reason).rstrip() if reason else right.text
    flow = f"{NOTHING_FLOWS} " if not ask.options and tells_of_flow(ground.text) else ""
    told = left_open(reason) if weight == "open" else f"{NOT_SO_THE_GROUND} {flow}{reason}"
    return with_told(heard, at, right._replace(text=alone), WeighedGround(weight, told.rstrip()))


_VALUE_BEHIND = re.compile(
    r"(?<=\w)\s*(?:[,;]\s*(?:so|and|then)?|\bso\b)\s*[CQVUE]_?\d*'*\s*=\s*[\d.]+(?:\s*[pnuµm]?[FVCJ])?\W*$"
)
_AROUND_AN_ANSWER = frozenset((
    "the", "it", "its", "is", "s", "are", "they", "both", "all", "have", "has", "share", "shared",
    "same", "equal", "one", "what", "of", "on", "in", "common", "not", "but", "be", "must", "to",
    "ve",
))


def _answers_alone(ask: Ask, part: str) -> bool:
    """Whether a part of a line says the right answer and no more: the charge is the same."""
    said = {*re.findall(r"[a-z]+", part.lower())}
    words = {w for option in ask.options for each in option.words for w in each.split()}
    words |= {w.replace(".", "") for w in words}
    return bool(said & words) and said <= words | _AROUND_AN_ANSWER and any(
        option.is_right for option in named(ask, part)
    )


def _says_none(ask: Ask, part: str) -> bool:
    """Whether a part of a line says that there is none of what is asked for."""
    none = none_said(part)
    return none is not None and none.whom[1:] in ("", ask.name[1:])


_OF_VOLTS = re.compile(r"(?i)\b(?:volts?|voltages?|tension|p\.?\s?d)\b")


def _weighed_in_stages(telling: Telling, at: int, ground: SaidGround) -> GroundWeight:
    ask, said = telling.story.asks[at], ground.text
    if ask.right == 0 and goes_by_size(said):
        return "not so"  # of no size does it hang that nothing is there
    stays = next((o.words[0] for o in ask.options if o.is_right), "")
    by_size = telling.story.kind == "ratings" and not any(
        not option.is_right for option in named(ask, said)  # that of the other one is greater
    ) and (
        goes_by_the_greater(said) or goes_by_rating_alone(said, ask.because)
        or goes_by_charge_alone(said, ask.because)
    )
    if by_size and _OF_VOLTS.search(said):  # it has the greater p.d., and where that is so
        network = telling.story.network
        by_size = not all(claims_judged(said, _values_in_stages(telling, ask, network)))
    if ground.beside:
        if lets_another_stay(said, stays) or (ask.options and by_size):
            return "not so"
    elif ask.options and not ground.leads:
        if by_size or gives_another_ground(said, stays):
            return "not so"
    elif not ask.options and tells_of_flow(said):
        return "not so"
    network = telling.story.network or next((m.network for m in telling.story.moments), None)
    step = step_of_all(network) if network is not None else None
    before = [] if ask.options else [each.because for each in telling.story.asks[:at]]
    told = (ask.because, ask.text, *ask.hints, ask.reveal, *before)
    here = _values_in_stages(telling, ask, network)

    def judged(text: str) -> list[bool]:
        claims = claims_judged(text, here)
        if ask.options and stays in _SHARED and all(claims):
            return []  # values are so by what they share, and no reason for it
        return claims

    judges = JudgesOfValues(
        judged, lambda text: compared_in(text, here), lambda text: knows_numbers(text, here, told)
    )
    return weigh_ground(ground, GroundPlace(network, step, told, stays), judges)


_SHARED = frozenset(("the charge", "the p.d.", "the voltage", "the potential difference"))


def _values_in_stages(telling: Telling, ask: Ask, network: Network | None) -> ValuesHere:
    story = telling.story
    names: Mapping[str, Measure] = lookup_of(telling) | {
        each.name: known(each.right, each.dimension, story.powers[each.dimension])
        for each in story.asks if each.name and each.right is not None and each.dimension
    }
    held = dict(held_in_the_end(telling, network))
    in_hand = tuple(c.name for c in network.capacitors) if network is not None else ()
    sizes = [held[key][0] for key in held if key[0] == "C" and key[1] is not None]
    if sizes and not any(map(in_letters, sizes)):
        held.setdefault(("C", None), (sum(sizes, Fraction(0)),))  # of those that are joined
    it, right = owner_of(telling, ask) if ask.name else _option_meant(ask, in_hand), None
    if ask.right is not None:
        power = 0 if ask.pure or not ask.dimension else story.powers[ask.dimension]
        right = plainly(ask.right, power)
    never_by = "-" if ask.pure and not ask.dimension else ""  # of how many there are
    return ValuesHere(
        held, in_hand, story.powers, names, it, right,
        kind=None if ask.pure else ask.dimension or None, never_by=never_by,
        asks_work="work" in ask.text,
    )


def _option_meant(ask: Ask, in_hand: Collection[str]) -> str | None:
    """The capacitor that is the right answer, where one is: C1, since it has more volts."""
    rights = [option.words[0] for option in ask.options if option.is_right]
    return rights[0] if len(rights) == 1 and rights[0] in in_hand else None


