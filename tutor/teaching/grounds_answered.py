"""What is said to a reason that was weighed: the words, and where they stand in a turn."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any, Final, NamedTuple

from grammar.spoken_numbers import in_figures
from tutor.circuit.values import Value, in_letters
from tutor.teaching.answering import BUT_NOT_FOR_THAT
from tutor.teaching.conversation import TurnOf
from tutor.teaching.messages import Message
from tutor.teaching.reading.grounds import GroundWeight, SaidGround

NOT_SO_THE_GROUND: Final = "The reason is another one."
NOT_FOR_THAT: Final = "For that reason, though, and not for the one you give."
NOT_BY_THAT: Final = f"{BUT_NOT_FOR_THAT}."
AS_TOLD_BELOW: Final = "But not for the reason you give; what makes it so comes now."
NOTHING_FLOWS: Final = "Once all is at rest no current flows, and charge never crosses a gap."
YES_BUT: Final = "Yes, but not for the reason you give."
CANNOT_TELL: Final = "I cannot tell whether the reason you give is a good one."
WHAT_MAKES_IT_SO: Final = f"{CANNOT_TELL} What makes it so here:"
COUNTS_WITHOUT: Final = f"{CANNOT_TELL} Your answer counts without it."
THE_REST: Final = (
    "I cannot tell whether the reasoning beside it is so; your answer counts without it."
)
AND_THIS_IS_WHY: Final = "That is so. What makes it so here:"


class WeighedGround(NamedTuple):
    """How a reason was found, and what makes the answer so."""

    weight: GroundWeight
    told: str


def is_said_as_working(ground: SaidGround, weight: GroundWeight) -> bool:
    """Whether what stands before 'so' may be working, of which nothing is to be said."""
    is_open = ground.leads and weight == "open"
    return is_open and _WORKING.search(in_figures(ground.text)) is not None


_WORKING = re.compile(
    r"(?i)\d|\b(?:half|thirds?|quarters?|\w+fths?|plus|minus|times|over|divided)\b"
)


def with_told(heard: TurnOf[Any], at: int, right: Message, weighed: WeighedGround) -> TurnOf[Any]:
    """A turn with what is to be said to its right answer's reason put behind that answer."""
    said = [right]
    if weighed.told == THE_REST:
        said.append(Message("say", THE_REST))
    elif weighed.weight != "so":
        said.append(Message("verdict", weighed.told, about=right.about, verdict="incomplete"))
    return heard._replace(messages=(*heard.messages[:at], *said, *heard.messages[at + 1 :]))


def left_open(reason: str) -> str:
    """What is said to a reason that nobody foresaw; ``reason`` is what makes the answer so."""
    return f"{WHAT_MAKES_IT_SO} {reason}" if reason else COUNTS_WITHOUT


def plainly(value: Value, power: int) -> Value | None:
    """A value in plain numbers, where no letters stand in it."""
    return None if in_letters(value) else value / Fraction(10) ** power


