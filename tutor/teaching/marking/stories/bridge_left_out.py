"""A bridge that is not balanced, worked as if what bridges it were not there.

Whoever says so makes the mistake there and then: what follows rightly in the network that is left
is not called wrong once more, but it is no way to what is asked and earns nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.grading import Judgement
from tutor.teaching.marking.stories.held_after import NO_QUESTION
from tutor.teaching.marking.stories.paper import Paper, values_otherwise
from tutor.teaching.speech import listed

_OMITTED = (
    r"\b(?:leave|leaving|left|tak(?:e|ing)|ignor\w+|skip\w*|drop\w*|remov\w+|forget\w*|without|omit\w*"
    r"|neglect\w*)\b"
)
_IDLE = r"\b(?:no|zero|nothing|not|nt|never|0)\b"
_CLAUSES: Final = re.compile(r"\bso\b|\bhence\b|\btherefore\b|;", re.IGNORECASE)
_MATTER = r"\b(?:charge\w*|current|effect|volt\w*|p\.?d|matter\w*|part|count\w*|flows?|carr\w+)\b"


def said_left_out(paper: Paper, words: str) -> Judgement[int] | None:
    """What is made of words by which the capacitor that bridges two inner points plays no part."""
    names = _bridging(paper)
    if not names:
        return None
    one = rf"(?:\b(?:{'|'.join(names)})\b|\b(?:middle|bridge|bridging|cross)\b)"
    ways = (
        rf"{_OMITTED}.*{one}",
        rf"{one}.*{_OMITTED}",
        rf"{one}.*{_IDLE}.*{_MATTER}",
        rf"{_IDLE}.*{_MATTER}.*{one}",
        r"(?<!not )(?<!un)\bbalanced\b",
    )
    clauses = _CLAUSES.split(words)
    is_said = any(re.search(way, each, re.IGNORECASE) for way in ways for each in clauses)
    if not is_said or not _values_without_it(paper):
        return None
    told = (
        f"This bridge is not balanced: between the ends of {listed(names)} there is a p.d., so it "
        "plays its part. What would have to hold for its ends to be level?"
    )
    return Judgement(NO_QUESTION, "wrong", given=True, told=told, is_certain=True)


def _bridging(paper: Paper) -> list[str]:
    network = paper.story.network
    if network is None or paper.story.kind != "network":
        return []
    return [c.name for c in network.capacitors if not c.points & set(network.ends)]


def _values_without_it(paper: Paper) -> list[Mapping[int, Value]]:
    """The answers in each network without a bridging capacitor; none where the bridge is level."""
    _chain, _side_by_side, *without = values_otherwise(paper) or ({}, {})
    return without


def as_found_without(paper: Paper, each: Judgement[int]) -> Judgement[int]:
    """A right value as carried where it is as near to that of the network without the bridge, by
    which the pupil, who has no potential, came to it.
    """
    own, right = each.value, paper.own.get(each.quantity)
    if not paper.is_cut or each.verdict != "right" or own is None or in_letters(own):
        return each
    has_level = any(paper.asks[at].about == "potential" for at in paper.stated)
    others = (values.get(each.quantity) for values in _values_without_it(paper))
    is_led = any(v is not None and v != right and close(own, v) for v in others)
    if has_level or not is_led:
        return each
    return Judgement(each.quantity, "carried", value=own, is_final=each.is_final)


def as_without(paper: Paper, each: Judgement[int]) -> Judgement[int]:
    """A wrong judgement as carried where it is right in the network without the bridge."""
    own = each.value
    if not paper.is_cut or each.verdict != "wrong" or own is None or in_letters(own):
        return each
    others = (values.get(each.quantity) for values in _values_without_it(paper))
    if not any(v is not None and not in_letters(v) and close(own, v) for v in others):
        return each
    return Judgement(each.quantity, "carried", value=own, is_final=each.is_final)
