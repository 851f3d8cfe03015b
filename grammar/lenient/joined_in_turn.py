"""One charged capacitor joined to others that are empty, to one after the other: touched to the
first, taken away, touched to the second. Each time it keeps what is left on it.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Final

from grammar.lenient.asked_of_whom import with_questions
from grammar.lenient.charged_told import EMPTY, JOINED, ToldCharged, charged_in
from grammar.lenient.questions_heard import HeardWishes
from grammar.lenient.tabletop import Cap, Tabletop, Tied
from grammar.lenient.ways_told import ASKS, SENTENCE
from grammar.lenient.wishes_written import wanted_of
from grammar.records import Refusal

# Parted after it was joined, before it is joined to the next.
_PARTED: Final = re.compile(
    r"(?i)\b(?:tak\w+|took|pull\w*|lift\w*|remov\w+|part(?:s|ed)|separat\w+|disconnect\w*"
    r"|unhook\w*|unclip\w*|mov\w+)\b(?P<whom>[^.;]{0,40}?)\b(?:away|off|apart|from|again|out)\b"
    r"|\b(?:part(?:s|ed)|separat\w+|disconnect\w*|unhook\w*|unclip\w*|remov\w+)\b"
)

_IS_TOLD: Final = re.compile(r"(?i)^\s*(?:i |we |you )?charged? (?!on|of|in\b)[^?]*$")


def joined_in_turn(plain: str, unit: str, questions: HeardWishes) -> str | None:
    """Such a text in the strict notation; None for any other.

    Errors: ``Refusal`` where capacitors are parted between two joinings, and who is joined to
    whom is not clear.
    """
    said = SENTENCE.findall(plain)
    told = " ".join(each for each in said if _IS_TOLD.search(each) or not ASKS.search(each))
    told = re.sub(r"(?i)\ba (?:third|fourth) (?:capacitor|one)\b,?(?: of)?", "another", told)
    found = list(charged_in(told, unit))
    empty = len(EMPTY.findall(told))
    if len(found) < 3 or empty < len(found) - 1 or not all(each.value for each in found):
        return None
    partings = [_PARTED.search(told, a.end, b.start) for a, b in pairwise(found[1:])]
    joinings = [JOINED.search(told, a.end, b.start) for a, b in pairwise(found)]
    if not any(partings) or not all(joinings):
        return None
    charged = [each for each in found if each.begins.startswith("charged")]
    if charged != found[:1] or not all(partings) or _speaks_of_another(told, found):
        raise Refusal(
            "Some are joined, parted and joined again, and who is joined to whom is not clear.",
            "Say it step by step: C1 = 3 uF charged to 10 V; C2 = 6 uF; C3 = 2 uF; join C1 and C2;"
            " then take out C2; then join C1 and C3.",
        )
    return _in_steps(found, questions)


def _speaks_of_another(told: str, found: list[ToldCharged]) -> bool:
    """Whether one of those that were empty is named again between two joinings."""
    between = (told[a.end : b.start] for a, b in pairwise(found[1:]))
    rest = [each.value for each in found[1:]]
    return any(value in text for value in rest for text in between)


def _in_steps(found: list[ToldCharged], questions: HeardWishes) -> str:
    names = {at: f"C{at + 1}" for at in range(len(found))}
    worths = [each.value.split("=")[-1].strip() for each in found]
    caps = tuple(Cap(worth, names[at]) for at, worth in enumerate(worths))
    root = Tied("parallel", tuple(range(len(caps))))
    table = with_questions(Tabletop(caps=caps, roots=(root,)), questions)
    steps = [f"C1 = {worths[0]} {found[0].begins}"]
    steps += [f"{names[at]} = {worth}" for at, worth in enumerate(worths) if at]
    steps.append("join C1 and C2")
    for at in range(2, len(found)):
        steps += [f"then take out {names[at - 1]}", f"then join C1 and {names[at]}"]
    wanted = ", ".join(wanted_of(table._replace(changes=()), names))
    return "; ".join([*steps, *([f"asked: {wanted}"] if wanted else [])])
